package badgerkv_test

import (
	"testing"

	"layshaft/data/kv"
	"layshaft/data/kv/badgerkv"
	"layshaft/data/kv/kvtest"
)

func small(dir string) badgerkv.Options {
	return badgerkv.Options{Dir: dir, FreeFloor: 1, Ballast: -1}
}

func openSmall(dir string) (kv.Store, error) { return badgerkv.Open(small(dir)) }

func TestConformance(t *testing.T) {
	t.Parallel()
	kvtest.Run(t, kvtest.Engine{Open: openSmall, Durable: true, Exclusive: true})
}
