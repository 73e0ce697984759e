package badgerkv

import (
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"

	"github.com/dgraph-io/badger/v4"

	"layshaft/data/kv"
)

// logged is one change as the log holds it. Each names the revision before it,
// so a missing one shows even where revisions have gaps.
type logged struct {
	kv.Change
	prev kv.Rev
}

func logKey(rev kv.Rev, part int) []byte {
	b := append(make([]byte, 0, 11), logPrefix...)
	return append(binary.BigEndian.AppendUint64(b, uint64(rev)), byte(part))
}

// logKeyRev takes a log key apart.
func logKeyRev(key []byte) (rev kv.Rev, part int) {
	return kv.Rev(binary.BigEndian.Uint64(key[2:])), int(key[10])
}

// parts encodes a change into the values of its log keys.
func (l logged) parts() [][]byte {
	size := 2 * binary.MaxVarintLen64
	for _, op := range l.Ops {
		size += 1 + 2*binary.MaxVarintLen32 + len(op.Key) + len(op.Value)
	}
	payload := binary.AppendUvarint(make([]byte, 0, size), uint64(l.prev))
	payload = binary.AppendUvarint(payload, uint64(len(l.Ops)))
	for _, op := range l.Ops {
		if op.Delete {
			payload = append(payload, 1)
		} else {
			payload = append(payload, 0)
		}
		payload = append(binary.AppendUvarint(payload, uint64(len(op.Key))), op.Key...)
		payload = append(binary.AppendUvarint(payload, uint64(len(op.Value))), op.Value...)
	}
	n := 1 + len(payload)/logPartSize
	first := binary.BigEndian.AppendUint32(make([]byte, 0, logHead+len(payload)/n), logSum(l.Rev, payload))
	first = append(first, byte(n))
	out := [][]byte{append(first, payload[:min(logPartSize, len(payload))]...)}
	for i := 1; i < n; i++ {
		out = append(out, payload[i*logPartSize:min((i+1)*logPartSize, len(payload))])
	}
	return out
}

func logSum(rev kv.Rev, payload []byte) uint32 {
	sum := crc32.Checksum(binary.BigEndian.AppendUint64(nil, uint64(rev)), crcTable)
	return crc32.Update(sum, crcTable, payload)
}

// changeIn reads the change of one revision.
func changeIn(txn *badger.Txn, rev kv.Rev) (logged, error) {
	var payload []byte
	var sum uint32
	for part, n := 0, 1; part < n; part++ {
		item, err := txn.Get(logKey(rev, part))
		if errors.Is(err, badger.ErrKeyNotFound) {
			return logged{}, damaged(fmt.Sprintf("the change of revision %d is missing from the log", rev), nil)
		}
		if err != nil {
			return logged{}, damaged(fmt.Sprintf("the change of revision %d cannot be read", rev), err)
		}
		b, err := item.ValueCopy(nil)
		if err != nil || part == 0 && len(b) < logHead {
			return logged{}, damaged(fmt.Sprintf("the change of revision %d cannot be read", rev), err)
		}
		if part == 0 {
			sum, n = binary.BigEndian.Uint32(b), int(b[4])
			b = b[logHead:]
		}
		payload = append(payload, b...)
	}
	if sum != logSum(rev, payload) {
		return logged{}, damaged(fmt.Sprintf("the change of revision %d fails its checksum", rev), nil)
	}
	return decodeLogged(rev, payload)
}

// decodeLogged reads a payload whose checksum held; what it finds wrong was
// written wrong.
func decodeLogged(rev kv.Rev, payload []byte) (logged, error) {
	d := decoder{rest: payload}
	l := logged{Change: kv.Change{Rev: rev}, prev: kv.Rev(d.number())}
	n := d.number()
	if n > kv.MaxOps {
		d.bad = true
	}
	for i := uint64(0); i < n && !d.bad; i++ {
		flag := d.bytes(1)
		op := kv.Op{Key: string(d.bytes(d.number()))}
		value := d.bytes(d.number())
		if d.bad {
			break
		}
		if op.Delete = flag[0] == 1; !op.Delete {
			op.Value = append([]byte{}, value...)
		}
		l.Ops = append(l.Ops, op)
	}
	if d.bad || len(d.rest) > 0 {
		return logged{}, damaged(fmt.Sprintf("the change of revision %d cannot be decoded", rev), nil)
	}
	return l, nil
}

type decoder struct {
	rest []byte
	bad  bool
}

func (d *decoder) number() uint64 {
	n, size := binary.Uvarint(d.rest)
	if size <= 0 {
		d.bad = true
		return 0
	}
	d.rest = d.rest[size:]
	return n
}

func (d *decoder) bytes(n uint64) []byte {
	if d.bad || n > uint64(len(d.rest)) {
		d.bad = true
		return nil
	}
	b := d.rest[:n]
	d.rest = d.rest[n:]
	return b
}
