package kv_test

import (
	"testing"

	"layshaft/data/kv"
	"layshaft/data/kv/kvtest"
)

func TestMemory(t *testing.T) {
	kvtest.Run(t, kvtest.Engine{Open: func(string) (kv.Store, error) { return kv.NewMemory(), nil }})
}

func BenchmarkMemory(b *testing.B) {
	s := kv.NewMemory()
	defer s.Close()
	kvtest.Bench(b, kvtest.StoreWriter(s, 20))
}
