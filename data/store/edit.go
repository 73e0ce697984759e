package store

import (
	"strconv"
	"time"

	"github.com/fxamacker/cbor/v2"

	"layshaft/catalog"
)

// wireEdit is an edit as stored.
type wireEdit struct {
	Rev     uint64    `cbor:"1,keyasint"`
	Request string    `cbor:"2,keyasint"`
	Who     string    `cbor:"3,keyasint"`
	At      time.Time `cbor:"4,keyasint"`
	Why     string    `cbor:"5,keyasint,omitempty"`
	Job     string    `cbor:"6,keyasint,omitempty"`
	Undoes  string    `cbor:"7,keyasint,omitempty"`
	Digest  string    `cbor:"8,keyasint,omitempty"`
	Bulk    bool      `cbor:"9,keyasint,omitempty"`
	Ops     []wireOp  `cbor:"10,keyasint,omitempty"`
}

type wireOp struct {
	Table  catalog.Table   `cbor:"1,keyasint"`
	Key    string          `cbor:"2,keyasint"`
	Before cbor.RawMessage `cbor:"3,keyasint,omitempty"`
	After  cbor.RawMessage `cbor:"4,keyasint,omitempty"`
}

// editID names an edit by its number.
func editID(rev uint64) string { return "e" + strconv.FormatUint(rev, 10) }

func revOfEditID(id string) (uint64, bool) {
	if len(id) < 2 || id[0] != 'e' {
		return 0, false
	}
	n, err := strconv.ParseUint(id[1:], 10, 64)
	return n, err == nil && editID(n) == id
}

func sealEdit(e *catalog.Edit) ([]byte, error) {
	w := wireEdit{Rev: e.Rev, Request: e.Request, Who: e.Who, At: e.At.UTC(), Why: e.Why, Job: e.Job,
		Undoes: e.Undoes, Digest: e.Digest, Bulk: e.Bulk}
	for _, op := range e.Ops {
		o := wireOp{Table: op.Table, Key: op.Key}
		for _, side := range []struct {
			rec catalog.Record
			to  *cbor.RawMessage
		}{{op.Before, &o.Before}, {op.After, &o.After}} {
			if side.rec == nil {
				continue
			}
			p, err := pack(side.rec)
			if err != nil {
				return nil, err
			}
			*side.to = p.Body
		}
		w.Ops = append(w.Ops, o)
	}
	return seal(w)
}

func unsealEdit(b []byte) (*catalog.Edit, error) {
	var w wireEdit
	if err := unseal(b, &w); err != nil {
		return nil, err
	}
	e := &catalog.Edit{ID: editID(w.Rev), Rev: w.Rev, Request: w.Request, Who: w.Who, At: w.At, Why: w.Why,
		Job: w.Job, Undoes: w.Undoes, Digest: w.Digest, Bulk: w.Bulk}
	for _, o := range w.Ops {
		op := catalog.Op{Table: o.Table, Key: o.Key}
		var err error
		if len(o.Before) > 0 {
			if op.Before, err = (packed{Key: o.Key, Body: o.Before}).unpack(o.Table); err != nil {
				return nil, err
			}
		}
		if len(o.After) > 0 {
			if op.After, err = (packed{Key: o.Key, Body: o.After}).unpack(o.Table); err != nil {
				return nil, err
			}
		}
		e.Ops = append(e.Ops, op)
	}
	return e, nil
}
