package match

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// slowDistance is the textbook recursion, as an oracle.
func slowDistance(a, b string) int {
	switch {
	case a == "":
		return len(b)
	case b == "":
		return len(a)
	}
	cost := 1
	if a[0] == b[0] {
		cost = 0
	}
	d := min(slowDistance(a[1:], b[1:])+cost, slowDistance(a[1:], b)+1, slowDistance(a, b[1:])+1)
	if len(a) > 1 && len(b) > 1 && a[0] == b[1] && a[1] == b[0] {
		d = min(d, slowDistance(a[2:], b[2:])+1)
	}
	return d
}

func TestDistanceAgainstRecursion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[ab12]{0,6}`)
		a, b := text.Draw(t, "a"), text.Draw(t, "b")
		limit := rapid.IntRange(0, 3).Draw(t, "limit")
		if got, want := distance(a, b, limit), min(slowDistance(a, b), limit+1); got != want {
			t.Fatalf("distance(%q, %q, %d) = %d, want %d", a, b, limit, got, want)
		}
	})
}

// near must find every number at distance 1: one of its halves is intact.
func TestNearFindsEveryNeighbour(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		texts := rapid.SliceOfN(rapid.StringMatching(`[A-C][0-3]{4,8}`), 1, 30).Draw(t, "numbers")
		var entries []numberEntry
		for i, s := range texts {
			entries = append(entries, numberEntry{s, uint32(i)})
		}
		table := buildNumbers(entries)
		q := rapid.StringMatching(`[A-C][0-3]{4,8}`).Draw(t, "query")
		var got, want []uint32
		table.near(q, 1, func(part uint32, _ string, d int) { got = append(got, part) })
		for i, s := range texts {
			if slowDistance(q, s) == 1 {
				want = append(want, uint32(i))
			}
		}
		slices.Sort(got)
		if !slices.Equal(got, want) {
			t.Fatalf("near(%q) in %q = %v, want %v", q, texts, got, want)
		}
		got = got[:0]
		table.exact(q, func(part uint32) { got = append(got, part) })
		for i, s := range texts {
			if (s == q) != slices.Contains(got, uint32(i)) {
				t.Fatalf("exact(%q) in %q = %v", q, texts, got)
			}
		}
	})
}

func FuzzNumberRepair(f *testing.F) {
	table := buildNumbers([]numberEntry{{"27F3102K", 0}, {"8K22071", 1}, {"770311402", 2}, {"770311403", 3}})
	for _, s := range []string{"Z7F3102K", "BK-2207-1", "77O3.114.02", "", "\x00\xff", "ééé123456"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		k, ok := keyOf(s)
		if !ok || len(k.folded) > 200 {
			return
		}
		table.exact(k.folded, func(part uint32) {
			if table.at(slices.Index(table.part, part)) != k.folded {
				t.Fatalf("%q is not %q", table.at(int(part)), k.folded)
			}
		})
		if limit := repairLimit(k.folded); limit > 0 {
			table.near(k.folded, limit, func(_ uint32, text string, d int) {
				if d < 1 || d > limit || distance(k.folded, text, limit) != d {
					t.Fatalf("%q near %q: %d", k.folded, text, d)
				}
			})
		}
	})
}

func TestFoldNumberIsStable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringMatching(`[A-Z0-9]{0,12}`).Draw(t, "number")
		if f := foldNumber(s); foldNumber(f) != f || len(f) != len(s) {
			t.Fatalf("foldNumber(%q) = %q, again %q", s, f, foldNumber(f))
		}
	})
}
