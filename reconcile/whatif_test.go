package reconcile

import (
	"testing"

	"pgregory.net/rapid"
)

// TestCompareReports: a report differs from itself in nothing; what is gone one way
// is new the other way, and every finding is in exactly one list.
func TestCompareReports(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawShop(t)
		in := s.input()
		a := mustRun(t, in)
		if w := CompareReports(in.Index, a, a); len(w.Gone)+len(w.New)+len(w.Shortages)+len(w.Surplus) > 0 || len(w.Same) != len(a.Findings) {
			t.Fatalf("a report differs from itself: %+v", w)
		}
		s.line(len(s.supply))
		in.Supply = s.supply
		b := mustRun(t, in)
		there, back := CompareReports(in.Index, a, b), CompareReports(in.Index, b, a)
		if len(there.Gone) != len(back.New) || len(there.New) != len(back.Gone) || len(there.Shortages) != len(back.Shortages) || len(there.Surplus) != len(back.Surplus) {
			t.Fatalf("there and back differ: %+v, %+v", there, back)
		}
		if len(there.Gone)+len(there.Same) != len(a.Findings) || len(there.New)+len(there.Same) != len(b.Findings) {
			t.Fatalf("findings are lost: %d gone, %d new, %d same of %d and %d", len(there.Gone), len(there.New), len(there.Same), len(a.Findings), len(b.Findings))
		}
		short := 0
		for _, x := range there.Shortages {
			if x.A != nil {
				short -= x.A.Quantity
			}
			if x.B != nil {
				short += x.B.Quantity
			}
		}
		if want := allShort(b) - allShort(a); short != want {
			t.Fatalf("the shortages change by %d pieces, the list says %d", want, short)
		}
	})
}

func allShort(r *Report) int {
	n := 0
	for _, s := range r.Shortages {
		n += s.Quantity
	}
	return n
}
