package identify

import (
	"strings"
	"testing"

	"layshaft/catalog"
)

// Every case is evidence on variant a (23/31, 36/13, 32/21) with one error, and
// what must be said about it.
func TestErrorsAreNamed(t *testing.T) {
	ix := exampleIndex()
	for _, c := range []struct {
		evidence []string
		place    string
		should   string
		cause    Cause
		text     string
	}{
		{[]string{"in-drive=24", "cs-drive=31", "m1=36"}, "in-drive", "23", CauseMiscountOne, "the sum would be 55, not 54"},
		{[]string{"in-drive=23", "cs-drive=31", "m2=34", "c2=21"}, "m2", "32", CauseMiscountTwo, "turn the speed"},
		{[]string{"in-drive=31", "cs-drive=23", "m1=36"}, "in-drive", "23", CauseSwapped, "exchanged in the record"},
		{[]string{"in-drive=23", "cs-drive=31", "c1=21", "m1=36"}, "c1", "13", CauseNeighbour, "wheel beside it"},
		{[]string{"in-drive=23", "cs-drive=31", "c1=38", "m1=36"}, "c1", "13", CauseDogTeeth, "dog teeth"},
		{[]string{"in-drive=23", "cs-drive=31", "m1=57", "c1=13"}, "m1", "36", CauseMiscount, "if the count stands"},
		{[]string{"in-drive=23", "cs-drive=31", "splines=11"}, "splines", "10", CauseFewMore, "rubbing"},
		{[]string{"in-drive=23", "cs-drive=31", "m1=36", "splines=21"}, "splines", "10", CauseOtherCount, "exchanged"},
		{[]string{"in-drive=23", "cs-drive=31", "seat=35.10 mm"}, "seat", "35 mm", CauseReading, "read again"},
		{[]string{"in-drive=23", "cs-drive=31", "seat=40 mm"}, "seat", "35 mm", CauseExchanged, "rely on tooth counts"},
		{[]string{"in-drive=23", "cs-drive=31", "bearing=6208 NR"}, "bearing", `"6207 NR"`, CauseExchanged, "misread"},
		{[]string{"in-drive=23", "cs-drive=31", "m1=36", "c1=13", "2nd turns 10 = 5.356"}, "2nd", "4.869 output turns", CauseTurn, "turn again"},
		{[]string{"in-drive=23", "cs-drive=31", "m1=36", "c1=13", "2nd turns 10 = 6.396"}, "2nd", "4.869 output turns", CauseSpeed, "which one is engaged"},
		{[]string{"in-drive=23", "cs-drive=31", "m1=36", "c1=13", "2nd turns 10 = 8.00"}, "2nd", "4.869 output turns", CauseReading, "read again"},
	} {
		r := Run(ix, Input{Evidence: mustParse(ix, c.evidence...)})
		if l := leader(t, r); !strings.HasPrefix(l, "a") {
			t.Errorf("%v: leader %s", c.evidence, l)
		}
		found := false
		for _, x := range r.Contradictions {
			found = found || x.Place == c.place && x.Should == c.should && x.Cause == c.cause && strings.Contains(x.Text, c.text)
		}
		if !found {
			t.Errorf("%v: want %s %s %s, got %+v", c.evidence, c.place, c.should, c.cause, r.Contradictions)
		}
	}
}

// On a transaxle with one flange held the other turns twice as fast.
func TestUnhalvedDifferentialIsNamed(t *testing.T) {
	c := exampleCatalogue()
	evidence := []string{"in-drive=23", "cs-drive=31", "2nd turns 10 = 9.738"}
	c.Families[0].Box = catalog.Transaxle
	ix := catalog.NewIndex(c, 1)
	r := Run(ix, Input{Evidence: mustParse(ix, evidence...)})
	if len(r.Contradictions) != 1 || r.Contradictions[0].Cause != CauseDoubled {
		t.Errorf("%+v", r.Contradictions)
	}
	c.Families[0].Box = catalog.Longitudinal
	ix = catalog.NewIndex(c, 1)
	r = Run(ix, Input{Evidence: mustParse(ix, evidence...)})
	if len(r.Contradictions) != 1 || r.Contradictions[0].Cause == CauseDoubled {
		t.Errorf("a box without differential: %+v", r.Contradictions)
	}
}

func TestCleanEvidenceIsNotContradicted(t *testing.T) {
	ix := exampleIndex()
	r := Run(ix, Input{Evidence: mustParse(ix, "in-drive=23 marked", "cs-drive=31", "m1=36 (photo)", "2nd turns 10 = 4.86", "splines=10", "seat=35.03 mm", "bearing=6207", "cable-speedo=no")})
	if len(r.Contradictions)+len(r.Problems) > 0 || r.Ranked[0].Posterior+r.Ranked[1].Posterior < 0.98 {
		t.Errorf("%+v %+v %v", r.Contradictions, r.Problems, r.Ranked[0])
	}
}

// Two variants of two families, one of them without the wheels counted.
func TestAllFamiliesAtOnce(t *testing.T) {
	c := exampleCatalogue()
	other := boxFamily("OTHER")
	other.Wheels = other.Wheels[:2]
	other.Meshes, other.Speeds = other.Meshes[:1], nil
	c.Families = append(c.Families, other)
	c.Variants = append(c.Variants, boxVariant("OTHER", "o", 23, 31))
	ix := catalog.NewIndex(c, 1)
	r := Run(ix, Input{Evidence: mustParse(ix, "in-drive=23", "cs-drive=31")})
	if len(r.Groups) < 1 || len(r.Ranked) != 6 {
		t.Fatalf("%+v", r.Groups)
	}
	r = Run(ix, Input{Evidence: mustParse(ix, "in-drive=23", "cs-drive=31", "m1=36")})
	if got := r.Ranked[5]; got.ID == "o" || !strings.HasPrefix(leader(t, r), "a") {
		t.Errorf("a family without the wheel should fall behind a, before b: %+v", r.Ranked)
	}
	r = Run(ix, Input{Family: "OTHER", Evidence: mustParse(ix, "in-drive=23")})
	if len(r.Ranked) != 1 || leader(t, r) != "o" {
		t.Errorf("%+v", r.Ranked)
	}
}

// One family declares a feature for turning 2nd, the other does not; both are
// weighed by it whichever name is used, and neither is told to turn it afresh.
func TestTurningUnderTwoNames(t *testing.T) {
	c := exampleCatalogue()
	c.Families = append(c.Families, boxFamily("NEXT"))
	c.Variants = append(c.Variants, boxVariant("NEXT", "n", 22, 32, 36, 13, 32, 21, 29, 25, 20, 33, 37, 15, 22))
	c.Features = append(c.Features, &catalog.Feature{ID: "turning-2nd", Family: "NEXT", Label: "2nd by turning", Kind: catalog.FeatureRatio, Speed: "2nd", Effort: 4, CaseClosed: true})
	ix := catalog.NewIndex(c, 1)
	for _, text := range []string{"2nd turns 10 = 4.51", "turning-2nd turns 10 = 4.51"} {
		r := Run(ix, Input{Evidence: mustParse(ix, text)})
		if r.Ranked[0].ID != "b" || r.Ranked[1].ID != "n" || r.Ranked[0].Posterior != r.Ranked[1].Posterior {
			t.Errorf("%s: %+v %+v", text, r.Ranked[0], r.Ranked[1])
		}
		for _, s := range r.Next {
			if s.Feature == "2nd" || s.Feature == "turning-2nd" {
				if !s.Repeat {
					t.Errorf("%s: told to turn it as if it had not been: %+v", text, s)
				}
			}
		}
	}
	r := Run(ix, Input{Evidence: mustParse(ix, "in-drive=22", "cs-drive=32", "m1=36", "turning-2nd turns 10 = 6.5")})
	if len(r.Contradictions) != 1 || r.Contradictions[0].Place != "turning-2nd" {
		t.Errorf("%+v", r.Contradictions)
	}
}
