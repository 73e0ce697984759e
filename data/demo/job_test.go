package demo

import (
	"slices"
	"testing"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
	"layshaft/reconcile"
)

func jobs(t *testing.T) []*reconcile.Job {
	t.Helper()
	js, err := Jobs()
	if err != nil {
		t.Fatal(err)
	}
	return js
}

func TestJobsReferToKnownThings(t *testing.T) {
	ix := catalog.NewIndex(shop(t), 1)
	js := jobs(t)
	atLeast(t, "jobs", len(js), 6)
	for _, j := range js {
		if err := reconcile.ValidJob(ix, j); err != nil {
			t.Errorf("job %s: %v", j.ID, err)
		}
		f, _ := ix.Family(j.Family)
		for _, d := range j.Decisions {
			if _, ok := ix.Position(j.Family, d.Position); !ok || d.Job != j.ID {
				t.Errorf("job %s: decision of job %s about %q", j.ID, d.Job, d.Position)
			}
			for _, s := range d.Sizes {
				if _, ok := ix.AttributeDef(s.Name); !ok {
					t.Errorf("job %s %s: no attribute %q", j.ID, d.Position, s.Name)
				}
			}
		}
		for _, o := range j.Observations {
			wheel := slices.ContainsFunc(f.Wheels, func(w *catalog.Wheel) bool { return w.ID == o.Wheel })
			feature := slices.ContainsFunc(ix.Features(j.Family), func(x *catalog.Feature) bool { return x.ID == o.Feature })
			if wheel == feature {
				t.Errorf("job %s observation %s: wheel %q, feature %q", j.ID, o.ID, o.Wheel, o.Feature)
			}
		}
		measurements(t, ix, j)
	}
}

func measurements(t *testing.T, ix *catalog.Index, j *reconcile.Job) {
	t.Helper()
	limits := map[string]bool{}
	for _, p := range ix.Positions(j.Family) {
		for _, l := range ix.Limits(j.Family, p.ID) {
			limits[l.ID] = true
		}
	}
	for _, m := range j.Measurements {
		stack := slices.ContainsFunc(ix.Stacks(j.Family), func(s *catalog.Stack) bool { return s.ID == m.Stack })
		if stack == limits[m.Limit] {
			t.Errorf("job %s measurement %s: stack %q, limit %q", j.ID, m.ID, m.Stack, m.Limit)
		}
		for _, g := range m.Grades {
			if _, ok := ix.Part(g); !ok {
				t.Errorf("job %s measurement %s: no grade %q", j.ID, m.ID, g)
			}
		}
		for _, r := range m.Readings {
			for _, v := range r.Values {
				if _, err := quantity.ParseLength(v); err != nil {
					t.Errorf("job %s measurement %s: %v", j.ID, m.ID, err)
				}
			}
		}
	}
}

func TestJobsUseTheKitTexts(t *testing.T) {
	kits, err := KitTexts()
	if err != nil {
		t.Fatal(err)
	}
	for _, j := range jobs(t) {
		for _, k := range j.KitLists {
			if !slices.ContainsFunc(kits, func(x Text) bool { return x.Text == k.Text }) {
				t.Errorf("job %s list %s is none of the kit texts", j.ID, k.ID)
			}
		}
	}
}

func TestJobsStandInDifferentStates(t *testing.T) {
	states := map[reconcile.State]bool{}
	var undecided, stripped, out, measuring, signed bool
	for _, j := range jobs(t) {
		states[j.State] = true
		undecided = undecided || j.Variant == "" && len(j.Observations) >= 4
		stripped = stripped || j.FullStrip
		signed = signed || len(j.Overrides) > 0
		for _, d := range j.Decisions {
			out = out || d.Choice == reconcile.SendOut && !d.Returned
		}
		for _, m := range j.Measurements {
			measuring = measuring || m.Stack != "" && len(m.Grades) == 0
		}
	}
	atLeast(t, "states", len(states), 4)
	if !undecided || !stripped || !out || !measuring || !signed {
		t.Errorf("undecided variant %v, full strip %v, sent out %v, measuring %v, signed %v: want all", undecided, stripped, out, measuring, signed)
	}
}

// The shop's own chain: a later style of shaft goes in, and what follows.
func TestClassicChain(t *testing.T) {
	reports := report(t)
	r := reports["7203"]
	if r == nil {
		t.Fatal("no report on job 7203")
	}
	for _, want := range []struct{ code, position string }{
		{"size-mismatch", "pilot-bearing"},
		{"bond-split", "cs-gear-5th"},
		{"one-time-reused", "main-nut"},
		{"one-time-missing", "cs-nut"},
		{"one-time-missing", "input-locating-ring"},
		{"select-fit-open", "main-shim"},
		{"select-fit-open", "cs-shim"},
	} {
		if !slices.ContainsFunc(r.Findings, func(f *reconcile.Finding) bool {
			return f.Code == want.code && string(f.Position) == want.position
		}) {
			t.Errorf("no finding %s about %s", want.code, want.position)
		}
	}
}

func TestReportsHaveNoFaults(t *testing.T) {
	for id, r := range report(t) {
		if len(r.Faults) > 0 {
			t.Errorf("job %s: %v", id, r.Faults)
		}
	}
}

func report(t *testing.T) map[reconcile.JobID]*reconcile.Report {
	t.Helper()
	desk := reconcile.NewDesk(catalog.NewIndex(shop(t), 1))
	today, err := quantity.ParseDate("2026-03-19")
	if err != nil {
		t.Fatal(err)
	}
	out := map[reconcile.JobID]*reconcile.Report{}
	for _, j := range jobs(t) {
		out[j.ID] = desk.Report(j, today)
	}
	return out
}
