package badgerkv

import (
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"

	"github.com/dgraph-io/badger/v4"

	"layshaft/data/kv"
)

// Keys inside Badger. Numbers are big-endian so that their order is numeric.
//
//	0x00 'm'                 meta
//	0x00 'l' <rev8> <part1>  one part of a change in the log
//	0x01 <key>               an entry
const (
	spaceEngine = 0x00
	spaceEntry  = 0x01
)

var (
	metaKey   = []byte{spaceEngine, 'm'}
	logPrefix = []byte{spaceEngine, 'l'}
	crcTable  = crc32.MakeTable(crc32.Castagnoli)
)

const (
	metaFormat  = 1
	metaLen     = 1 + 3*8 + 4
	entryHead   = 8 + 4     // revision, CRC-32C of key, revision and value
	logPartSize = 512 << 10 // a part stays below Badger's value threshold
	logHead     = 4 + 1     // CRC-32C of revision and payload, number of parts
)

// meta is the engine's own state, written with every commit.
type meta struct {
	rev     kv.Rev // last revision
	trimmed kv.Rev // changes up to here are not to be given out
	purged  kv.Rev // changes up to here are gone from the log
}

func (m meta) encode() []byte {
	b := make([]byte, 0, metaLen)
	b = append(b, metaFormat)
	for _, r := range []kv.Rev{m.rev, m.trimmed, m.purged} {
		b = binary.BigEndian.AppendUint64(b, uint64(r))
	}
	return binary.BigEndian.AppendUint32(b, crc32.Checksum(b, crcTable))
}

func decodeMeta(b []byte) (meta, error) {
	if len(b) != metaLen || crc32.Checksum(b[:metaLen-4], crcTable) != binary.BigEndian.Uint32(b[metaLen-4:]) {
		return meta{}, damaged("the store's state record fails its checksum", nil)
	}
	if b[0] != metaFormat {
		return meta{}, &kv.UnavailableError{Reason: fmt.Sprintf("the data folder has format %d, this program reads format %d: use the newer program", b[0], metaFormat)}
	}
	at := func(i int) kv.Rev { return kv.Rev(binary.BigEndian.Uint64(b[1+8*i:])) }
	return meta{rev: at(0), trimmed: at(1), purged: at(2)}, nil
}

// metaIn reads the state as a transaction sees it; all zero in a new store.
func metaIn(txn *badger.Txn) (m meta, err error) {
	item, err := txn.Get(metaKey)
	if errors.Is(err, badger.ErrKeyNotFound) {
		return meta{}, nil
	}
	if err != nil {
		return meta{}, damaged("the store's state record cannot be read", err)
	}
	if verr := item.Value(func(b []byte) error { m, err = decodeMeta(b); return nil }); verr != nil {
		return meta{}, damaged("the store's state record cannot be read", verr)
	}
	return m, err
}

func readMeta(db *badger.DB) (meta, error) {
	txn := db.NewTransaction(false)
	defer txn.Discard()
	return metaIn(txn)
}

func entryKey(key string) []byte {
	return append(append(make([]byte, 0, 1+len(key)), spaceEntry), key...)
}

func encodeEntry(rev kv.Rev, key string, value []byte) []byte {
	b := make([]byte, entryHead, entryHead+len(value))
	binary.BigEndian.PutUint64(b, uint64(rev))
	binary.BigEndian.PutUint32(b[8:], entrySum(b[:8], key, value))
	return append(b, value...)
}

func entrySum(rev []byte, key string, value []byte) uint32 {
	sum := crc32.Update(0, crcTable, []byte(key))
	sum = crc32.Update(sum, crcTable, rev)
	return crc32.Update(sum, crcTable, value)
}

// decodeEntry checks and decodes a stored entry; the result shares no memory
// with b.
func decodeEntry(key string, b []byte) (kv.Entry, error) {
	if len(b) < entryHead || entrySum(b[:8], key, b[entryHead:]) != binary.BigEndian.Uint32(b[8:]) {
		return kv.Entry{}, damaged(fmt.Sprintf("the entry under key %q fails its checksum", key), nil)
	}
	value := append([]byte{}, b[entryHead:]...)
	return kv.Entry{Key: key, Value: value, Rev: kv.Rev(binary.BigEndian.Uint64(b))}, nil
}

// entryIn reads one entry as a transaction sees it.
func entryIn(txn *badger.Txn, key string) (e kv.Entry, found bool, err error) {
	item, err := txn.Get(entryKey(key))
	if errors.Is(err, badger.ErrKeyNotFound) {
		return kv.Entry{}, false, nil
	}
	if err != nil {
		return kv.Entry{}, false, damaged(fmt.Sprintf("the entry under key %q cannot be read", key), err)
	}
	e, err = entryOf(item, key)
	return e, err == nil, err
}

func entryOf(item *badger.Item, key string) (e kv.Entry, err error) {
	if verr := item.Value(func(b []byte) error { e, err = decodeEntry(key, b); return nil }); verr != nil {
		return kv.Entry{}, damaged(fmt.Sprintf("the entry under key %q cannot be read", key), verr)
	}
	return e, err
}
