package store

import (
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"

	"github.com/fxamacker/cbor/v2"

	"layshaft/catalog"
	"layshaft/reconcile"
)

// A stored value is a schema byte, deterministic CBOR with integer keys, and a
// CRC32C of both. The checksum is ours because an engine may hand back damaged
// bytes without a word.
const schemaByte = 1

var (
	castagnoli = crc32.MakeTable(crc32.Castagnoli)
	encoding   = mustEncoding()
	decoding   = mustDecoding()

	errChecksum = errors.New("checksum does not match")
)

func mustEncoding() cbor.EncMode {
	o := cbor.CoreDetEncOptions()
	o.Time = cbor.TimeRFC3339Nano
	m, err := o.EncMode()
	if err != nil {
		panic(err) // options are constants
	}
	return m
}

func mustDecoding() cbor.DecMode {
	m, err := cbor.DecOptions{DupMapKey: cbor.DupMapKeyEnforcedAPF, MaxArrayElements: 1 << 20, MaxMapPairs: 1 << 20}.DecMode()
	if err != nil {
		panic(err) // options are constants
	}
	return m
}

// seal encodes a value for storing.
func seal(v any) ([]byte, error) {
	body, err := encoding.Marshal(v)
	if err != nil {
		return nil, err
	}
	b := append(make([]byte, 0, len(body)+5), schemaByte)
	b = append(b, body...)
	return binary.BigEndian.AppendUint32(b, crc32.Checksum(b, castagnoli)), nil
}

// unseal decodes a stored value after proving it whole.
func unseal(b []byte, v any) error {
	if len(b) < 5 {
		return fmt.Errorf("a value of %d bytes: %w", len(b), errChecksum)
	}
	body, sum := b[:len(b)-4], binary.BigEndian.Uint32(b[len(b)-4:])
	if crc32.Checksum(body, castagnoli) != sum {
		return errChecksum
	}
	if body[0] != schemaByte {
		return fmt.Errorf("schema %d is newer than this program", body[0])
	}
	return decoding.Unmarshal(body[1:], v)
}

// newRecord makes an empty record of any table.
func newRecord(t catalog.Table) (catalog.Record, error) {
	if r, ok := catalog.NewRecord(t); ok {
		return r, nil
	}
	if r, ok := reconcile.NewRecord(t); ok {
		return r, nil
	}
	return nil, fmt.Errorf("no table %q", t)
}

// packed is a record inside a larger value.
type packed struct {
	Key  string          `cbor:"1,keyasint"`
	Body cbor.RawMessage `cbor:"2,keyasint,omitempty"`
}

func pack(r catalog.Record) (packed, error) {
	b, err := encoding.Marshal(r)
	return packed{Key: r.Key(), Body: b}, err
}

func (p packed) unpack(t catalog.Table) (catalog.Record, error) {
	r, err := newRecord(t)
	if err != nil {
		return nil, err
	}
	return r, decoding.Unmarshal(p.Body, r)
}

// clone copies a record through its stored form, so that a caller's later
// changes never reach what is shared.
func clone(r catalog.Record) (catalog.Record, error) {
	p, err := pack(r)
	if err != nil {
		return nil, err
	}
	return p.unpack(r.Table())
}
