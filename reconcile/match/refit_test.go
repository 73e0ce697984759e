package match

import (
	"os"
	"testing"

	"layshaft/reconcile/kitlist"
	"layshaft/reconcile/match/trial"
)

// TestEvaluateRefit shows what Fit with the shop's own confirmations does: rows of
// every second hand list, in the order of the files, teach; the other half is
// read with the shipped and with the refitted weights. It fails only when the
// refit ranks clearly worse.
func TestEvaluateRefit(t *testing.T) {
	if testing.Short() {
		t.Skip("the evaluation takes some seconds")
	}
	lists, err := trial.ReadLists(os.DirFS("testdata/corpus"))
	if err != nil {
		t.Fatal(err)
	}
	m := handShop(t, Options{})
	var rows []Row
	var rest []*trial.HandList
	for i, h := range lists {
		if h.Apart {
			continue
		}
		if i%2 == 1 {
			rest = append(rest, h)
			continue
		}
		rows = append(rows, rowsOf(m, &h.Kit, Context{Variant: h.Variant})...)
	}
	base := -1.0
	for _, n := range []int{0, 100, 300} {
		n = min(n, len(rows))
		w := Shipped()
		if n > 0 {
			w = Fit(w, rows[:n], 1)
		}
		f := readAll(t, w, rest)
		t.Logf("%d rows of %d: top-1 %s; certain %s; coverage %s; calibration %.4f", n, len(rows), f.top, f.precision, f.answered, calibration(f.forecasts))
		top := float64(f.top.right) / float64(f.top.all)
		if base < 0 {
			base = top
		}
		if top < base-0.02 {
			t.Errorf("%d rows make the ranking worse: %.4f from %.4f", n, top, base)
		}
	}
}

// readAll reads hand lists with weights of one's own.
func readAll(t *testing.T, w *Weights, lists []*trial.HandList) *figures {
	t.Helper()
	m := handShop(t, Options{Weights: w})
	f := &figures{}
	for _, h := range lists {
		list := kitlist.Read(h.Text, kitlist.Options{})
		count(f, list, m.Match(list, Context{Variant: h.Variant}), h.Truth)
	}
	return f
}
