package badgerkv_test

import (
	"testing"

	"github.com/dgraph-io/badger/v4"

	"layshaft/data/kv"
	"layshaft/data/kv/badgerkv"
	"layshaft/data/kv/kvtest"
)

const benchOps = 20

func BenchmarkStore(b *testing.B) {
	s, err := openSmall(b.TempDir())
	if err != nil {
		b.Fatal(err)
	}
	defer s.Close()
	kvtest.Bench(b, kvtest.StoreWriter(s, benchOps))
}

func BenchmarkMemory(b *testing.B) {
	s := kv.NewMemory()
	defer s.Close()
	kvtest.Bench(b, kvtest.StoreWriter(s, benchOps))
}

// BenchmarkBare writes the same batches to Badger with the same tuning and
// nothing around it: no log, no conditions, no revisions.
func BenchmarkBare(b *testing.B) {
	db, err := badger.Open(badgerkv.BadgerOptions(b.TempDir()))
	if err != nil {
		b.Fatal(err)
	}
	defer db.Close()
	kvtest.Bench(b, func(batch int) error {
		return db.Update(func(txn *badger.Txn) error {
			for _, op := range kvtest.BenchBatch(batch, benchOps) {
				if err := txn.Set([]byte(op.Key), op.Value); err != nil {
					return err
				}
			}
			return nil
		})
	})
}
