package server_test

import (
	"fmt"
	"os"
	"runtime"
	"strconv"
	"sync"
	"testing"
	"time"

	"layshaft/graph/server"
)

// TestSoak asks, edits, subscribes and leaves for a while and looks for
// goroutines and memory that stay behind. LAYSHAFT_SOAK sets the rounds; 20 are
// enough to see a leak of one goroutine a request.
func TestSoak(t *testing.T) {
	rounds := 20
	if n, err := strconv.Atoi(os.Getenv("LAYSHAFT_SOAK")); err == nil {
		rounds = n
	}
	s := openShop(t, func(c *server.Config) { c.CacheBytes = 1 << 20 })
	if err := s.keeper.Step(t.Context()); err != nil {
		t.Fatal(err)
	}
	part, _ := s.shortPart(t, "7203")
	round := func(r int) {
		var wg sync.WaitGroup
		for i := range 10 {
			wg.Go(func() {
				s.post(t, fmt.Sprintf(`query R%d{jobs(first:6){edges{node{key report{blocking}}}}}`, i), nil)
				s.post(t, `{nothing}`, nil)
				if err := s.listen(t, "", func(feedPage) bool { return false }); err != nil {
					t.Error(err)
				}
			})
		}
		wg.Wait()
		s.setGoods(t, "7203", part, r%5+1, r)
		if err := s.keeper.Step(t.Context()); err != nil {
			t.Error(err)
		}
	}
	settle := func() (goroutines int, heap uint64) {
		s.Client().CloseIdleConnections()
		for range 50 { // connections end a moment after their clients
			time.Sleep(20 * time.Millisecond)
			n := runtime.NumGoroutine()
			if n == goroutines {
				break
			}
			goroutines = n
		}
		runtime.GC()
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return goroutines, m.HeapAlloc
	}
	for r := range 5 {
		round(r)
	}
	g0, h0 := settle()
	for r := range rounds {
		round(5 + r)
	}
	g1, h1 := settle()
	t.Logf("goroutines %d then %d, heap %d then %d bytes after %d rounds", g0, g1, h0, h1, rounds)
	if g1 > g0+10 {
		t.Errorf("%d goroutines more", g1-g0)
	}
	// Edits and their history stay, in memory here: about 2 KiB each is theirs.
	if grown := int64(h1) - int64(h0); grown > int64(rounds)*64<<10+4<<20 {
		t.Errorf("%d bytes more after %d rounds", grown, rounds)
	}
}
