package identify

import (
	"math"
	"strings"
	"testing"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

func TestWildInputIsNamedNotUsed(t *testing.T) {
	ix := exampleIndex()
	clean := Run(ix, Input{})
	length := func(mm int64) catalog.Value { return catalog.LengthValue(quantity.Length(mm) * quantity.MM) }
	for _, c := range []struct {
		e    Evidence
		code string
		say  string
	}{
		{count("in-drive", 310), "absurd-count", "22 to 25"},
		{count("in-drive", 0), "absurd-count", "22 to 25"},
		{count("in-drive", -4), "absurd-count", "cannot be"},
		{count("no-such", 23), "unknown-place", "no-such"},
		{Evidence{Feature: "no-such", Value: length(3)}, "unknown-place", "no-such"},
		{Evidence{}, "no-place", "no wheel"},
		{Evidence{Wheel: "m1", Feature: "seat"}, "no-place", "both"},
		{Evidence{Wheel: "m1", Value: length(36)}, "wrong-kind", "tooth count"},
		{Evidence{Feature: "seat", Value: catalog.CountValue(35)}, "wrong-kind", "a size"},
		{Evidence{Feature: "seat"}, "wrong-kind", "nothing"},
		{Evidence{Feature: "seat", Value: length(351)}, "absurd-size", "40 mm"},
		{Evidence{Feature: "seat", Value: length(-35)}, "absurd-size", "cannot be"},
		{Evidence{Feature: "seat", Value: catalog.LengthValue(math.MaxInt64)}, "absurd-size", "cannot be"},
		{Evidence{Feature: "splines", Value: catalog.CountValue(1000)}, "absurd-count", "10 to 26"},
		{Evidence{Feature: "bearing", Value: catalog.TextValue(" - ")}, "empty-mark", "no letter"},
		{Evidence{Feature: "2nd", Turns: 10, Output: -4_000_000}, "absurd-turns", "did not turn"},
		{Evidence{Feature: "2nd", Turns: 10, Output: 400_000_000}, "absurd-turns", "no gearbox"},
		{Evidence{Feature: "2nd", Turns: 100_000, Output: 4_000_000}, "absurd-turns", "by hand"},
		{Evidence{Feature: "2nd", Value: catalog.CountValue(2)}, "wrong-kind", "input turns"},
		{Evidence{Feature: "cable-speedo", Turns: 10, Output: 4_000_000}, "wrong-kind", "yes or no"},
	} {
		r := Run(ix, Input{Evidence: []Evidence{c.e}})
		if len(r.Problems) != 1 || r.Problems[0].Code != c.code || r.Problems[0].Used || r.Problems[0].Evidence != 0 ||
			!strings.Contains(r.Problems[0].Cause, c.say) || r.Problems[0].Remedy == "" {
			t.Errorf("%+v: %+v", c.e, r.Problems)
			continue
		}
		for i := range r.Ranked {
			if r.Ranked[i].ID != clean.Ranked[i].ID || r.Ranked[i].Posterior != clean.Ranked[i].Posterior {
				t.Errorf("%+v changed the answer", c.e)
			}
		}
	}
}

func TestFarInputIsNamedAndUsed(t *testing.T) {
	ix := exampleIndex()
	for code, e := range map[string]Evidence{
		"far-count": count("in-drive", 60),
		"far-ratio": {Feature: "5th", Turns: 10, Output: 2_000_000},
	} {
		r := Run(ix, Input{Evidence: []Evidence{e}})
		if len(r.Problems) != 1 || r.Problems[0].Code != code || !r.Problems[0].Used {
			t.Errorf("%s: %+v", code, r.Problems)
		}
	}
	// Nothing suits: none of these, said plainly, and the sums as well.
	r := Run(ix, Input{Evidence: mustParse(ix, "in-drive=19", "cs-drive=40", "m1=44", "c1=11", "m2=27", "c2=30")})
	if r.None < 0.99 || len(r.Contradictions) != 6 {
		t.Errorf("none %v, %d contradictions", r.None, len(r.Contradictions))
	}
	sums := 0
	for _, p := range r.Problems {
		if p.Code == "tooth-sum" && p.Used {
			sums++
		}
	}
	if sums != 3 {
		t.Errorf("%d tooth sums named: %+v", sums, r.Problems)
	}
}

func TestInputProblems(t *testing.T) {
	r := Run(exampleIndex(), Input{Family: "nope"})
	if len(r.Problems) != 1 || r.Problems[0].Code != "unknown-family" || len(r.Ranked) != 5 {
		t.Errorf("%+v", r.Problems)
	}
	r = Run(catalog.NewIndex(&catalog.Catalogue{}, 1), Input{Evidence: []Evidence{count("m1", 36)}})
	if len(r.Problems) == 0 || r.Problems[0].Code != "no-variants" || r.None != 1 || len(r.Ranked) != 0 {
		t.Errorf("%+v", r)
	}
	if _, ok := r.Leader(); ok {
		t.Error("an empty catalogue has a leader")
	}
}

func TestPriorFromJobs(t *testing.T) {
	r := Run(exampleIndex(), Input{Prior: map[catalog.VariantID]int{"c": 15, "nobody": 100, "a": -7}})
	// (15+1)/(15+5) of 98 %.
	if leader(t, r) != "c" || math.Abs(r.Ranked[0].Posterior-0.98*16/20) > 1e-9 {
		t.Errorf("%+v", r.Ranked[0])
	}
}

func TestOrderOfEvidenceDoesNotMatter(t *testing.T) {
	ix := exampleIndex()
	e := mustParse(ix, "in-drive=24", "cs-drive=31", "m1=36", "seat=35.01 mm", "2nd turns 10 = 4.9", "splines=10")
	a := Run(ix, Input{Evidence: e})
	b := Run(ix, Input{Evidence: []Evidence{e[5], e[2], e[4], e[1], e[3], e[0]}})
	for i := range a.Ranked {
		if a.Ranked[i].ID != b.Ranked[i].ID || a.Ranked[i].Posterior != b.Ranked[i].Posterior {
			t.Errorf("%v and %v", a.Ranked[i], b.Ranked[i])
		}
	}
}

func TestOneWheelCountedWithoutEnd(t *testing.T) {
	var e []Evidence
	for range 300 {
		e = append(e, count("in-drive", 40), count("cs-drive", 11))
	}
	r := Run(exampleIndex(), Input{Evidence: e})
	refused := 0
	for _, p := range r.Problems {
		if p.Code == "too-often" && !p.Used {
			refused++
		}
	}
	if refused != 600-2*mostPerPlace || !(r.None > 0.99) {
		t.Errorf("%d refused, none %v", refused, r.None)
	}
}

// Faulty records must not break the answer.
func TestFaultyCatalogue(t *testing.T) {
	c := exampleCatalogue()
	f := c.Families[0]
	f.Meshes = append(f.Meshes, &catalog.Mesh{ID: "lost", Driving: "no", Driven: "m1"}, &catalog.Mesh{ID: "self", Driving: "m1", Driven: "m1"})
	f.Speeds = append(f.Speeds, &catalog.Speed{Name: "6th", Meshes: []string{"drive", "lost"}}, &catalog.Speed{Name: "7th", Meshes: []string{"none"}})
	for _, ft := range c.Features {
		ft.ErrorRate = 5000
		for _, v := range ft.Values {
			v.Value.Number, v.Value.Text = 0, ""
		}
	}
	c.Variants[0].Teeth = append(c.Variants[0].Teeth, &catalog.ToothCount{Wheel: "no", Teeth: 3}, &catalog.ToothCount{Wheel: "m1", Teeth: -8})
	ix := catalog.NewIndex(c, 1)
	r := Run(ix, Input{Evidence: []Evidence{
		count("m1", 36), {Feature: "seat", Value: catalog.LengthValue(35 * quantity.MM)}, {Feature: "splines", Value: catalog.CountValue(10)},
		{Feature: "bearing", Value: catalog.TextValue("6207")}, {Feature: "6th", Turns: 10, Output: 4_000_000}, {Feature: "7th", Turns: 10, Output: 4_000_000},
	}})
	sum := r.None
	for _, v := range r.Ranked {
		sum += v.Posterior
	}
	if !(math.Abs(sum-1) < 1e-9) {
		t.Errorf("probabilities add up to %v: %+v", sum, r)
	}
}
