package identify

import (
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"layshaft/catalog"
)

// oracle is the same model worked out again, variant by variant from the
// catalogue's records, in exact rational arithmetic. The bell curve alone is
// not rational; it is taken to 80 digits.
type oracle struct {
	rate map[string]*big.Rat
	c    *catalog.Catalogue
}

func newOracle(c *catalog.Catalogue) *oracle { return &oracle{rate: exactRates(), c: c} }

// count errors for a kernel, scaled to a feature's own error rate.
func (o *oracle) errors(kernel string, ft *catalog.Feature, parts ...string) map[string]*big.Rat {
	out, all := map[string]*big.Rat{}, zero()
	for _, p := range parts {
		out[p] = o.rate[kernel+" "+p]
		if out[p] == nil {
			out[p] = zero()
		}
		all = add(all, out[p])
	}
	if ft != nil && ft.ErrorRate > 0 {
		s := over(rat(int64(ft.ErrorRate), 1000), all)
		for p := range out {
			out[p] = times(out[p], s)
		}
		all = times(all, s)
	}
	out["right"] = minus(one(), all)
	return out
}

// counted is the chance of counting got where truth is right.
func counted(e map[string]*big.Rat, got, truth int, beside []int) *big.Rat {
	d := got - truth
	p := add(
		when(d == 0, e["right"]),
		when(d == 1 || d == -1, times(rat(1, 2), e["one"])),
		when(d == 2 || d == -2, times(rat(1, 2), e["two"])),
		times(e["other"], rat(1, 116)),
		when(got >= 30 && got <= 42, times(e["dog"], rat(1, 13))),
	)
	if len(beside) == 0 {
		return add(p, times(e["neighbour"], rat(1, 116)))
	}
	for _, b := range beside {
		p = add(p, when(b == got, times(e["neighbour"], rat(1, int64(len(beside))))))
	}
	return p
}

func teethOf(v *catalog.Variant, wheel string) int {
	for _, t := range v.Teeth {
		if t.Wheel == wheel {
			return t.Teeth
		}
	}
	return 0
}

func (o *oracle) family(id catalog.FamilyID) *catalog.Family {
	for _, f := range o.c.Families {
		if f.ID == id {
			return f
		}
	}
	panic("no family")
}

// besides are the counts of the wheels next to wheel on its part.
func besides(f *catalog.Family, v *catalog.Variant, wheel string) (out []int) {
	var on []string
	pos := catalog.PositionID("")
	for _, w := range f.Wheels {
		if w.ID == wheel {
			pos = w.Position
		}
	}
	for _, w := range f.Wheels {
		if w.Position == pos {
			on = append(on, w.ID)
		}
	}
	at := slices.Index(on, wheel)
	for _, i := range []int{at - 1, at + 1} {
		if i >= 0 && i < len(on) && teethOf(v, on[i]) > 0 {
			out = append(out, teethOf(v, on[i]))
		}
	}
	return out
}

func mateOf(f *catalog.Family, wheel string) string {
	for _, m := range f.Meshes {
		switch wheel {
		case m.Driving:
			return m.Driven
		case m.Driven:
			return m.Driving
		}
	}
	return ""
}

// wheels is the chance of all tooth counts on one family's variant.
func (o *oracle) wheels(f *catalog.Family, v *catalog.Variant, evidence []Evidence) *big.Rat {
	p := one()
	as := func(e Evidence, wheel string) *big.Rat {
		z := teethOf(v, wheel)
		if z == 0 {
			return o.rate["none count"]
		}
		kernel := "teeth"
		if e.Care != "" {
			kernel += "-" + string(e.Care)
		}
		return counted(o.errors(kernel, nil, "one", "two", "neighbour", "dog", "other"), int(e.Value.Number), z, besides(f, v, wheel))
	}
	for _, w := range f.Wheels {
		mate := mateOf(f, w.ID)
		if mate != "" && slices.IndexFunc(f.Wheels, func(x *catalog.Wheel) bool { return x.ID == mate }) <
			slices.IndexFunc(f.Wheels, func(x *catalog.Wheel) bool { return x.ID == w.ID }) {
			continue // taken with its mate
		}
		straight, crossed := one(), one()
		for _, e := range evidence {
			switch {
			case e.Wheel == "":
			case e.Wheel == w.ID:
				straight, crossed = times(straight, as(e, w.ID)), times(crossed, as(e, mate))
			case e.Wheel == mate:
				straight, crossed = times(straight, as(e, mate)), times(crossed, as(e, w.ID))
			}
		}
		if mate == "" || teethOf(v, w.ID) == 0 || teethOf(v, mate) == 0 {
			p = times(p, straight)
			continue
		}
		s := o.rate["pair swapped"]
		p = times(p, add(times(minus(one(), s), straight), times(s, crossed)))
	}
	return p
}

func ratioOf(f *catalog.Family, v *catalog.Variant, speed string) *big.Rat {
	r := one()
	for _, s := range f.Speeds {
		if s.Name != speed {
			continue
		}
		for _, id := range s.Meshes {
			for _, m := range f.Meshes {
				if m.ID == id {
					a, b := teethOf(v, m.Driving), teethOf(v, m.Driven)
					if a == 0 || b == 0 {
						return nil
					}
					r = times(r, rat(int64(b), int64(a)))
				}
			}
		}
	}
	return r
}

func (o *oracle) turned(f *catalog.Family, v *catalog.Variant, e Evidence) *big.Rat {
	ratio := ratioOf(f, v, e.Feature)
	n := rat(int64(e.Turns), 1)
	if ratio == nil {
		return over(rat(1, 2), n)
	}
	parts := []string{"turn", "speed", "other"}
	if f.Box == catalog.Transaxle {
		parts = append(parts, "double")
	}
	r := o.errors("turning", nil, parts...)
	sigma := times(o.rate["turning sigma-degrees"], rat(1, 360))
	got := rat(e.Output, 1_000_000)
	at := func(turns int64, ratio *big.Rat) *big.Rat {
		return bellAt(minus(got, over(rat(turns, 1), ratio)), sigma)
	}
	p := add(times(r["right"], at(int64(e.Turns), ratio)), over(r["other"], times(rat(2, 1), n)),
		times(r["turn"], rat(1, 2), add(at(int64(e.Turns)+1, ratio), at(int64(e.Turns)-1, ratio))))
	if f.Box == catalog.Transaxle {
		p = add(p, times(r["double"], at(2*int64(e.Turns), ratio)))
	}
	for _, s := range []string{"1st", "2nd", "3rd", "5th", "reverse"} {
		if other := ratioOf(f, v, s); s != e.Feature && other != nil {
			p = add(p, times(r["speed"], rat(1, 4), at(int64(e.Turns), other)))
		}
	}
	return p
}

func (o *oracle) feature(f catalog.FamilyID, id string) *catalog.Feature {
	for _, ft := range o.c.Features {
		if ft.Family == f && ft.ID == id {
			return ft
		}
	}
	return nil
}

func valueOf(ft *catalog.Feature, v catalog.VariantID) (catalog.Value, bool) {
	for _, x := range ft.Values {
		if x.Variant == v {
			return x.Value, true
		}
	}
	return catalog.Value{}, false
}

// marks of a feature, and the largest size, over its variants.
func spreadOf(ft *catalog.Feature) (marks []string, largest int64) {
	for _, x := range ft.Values {
		largest = max(largest, x.Value.Number)
		if m := strings.ReplaceAll(x.Value.Text, " ", ""); m != "" && !slices.Contains(marks, m) {
			marks = append(marks, m)
		}
	}
	return marks, largest
}

// none is the chance of evidence on an unknown box.
func (o *oracle) none(e Evidence) *big.Rat {
	if e.Turns > 0 {
		return rat(1, 2*int64(e.Turns))
	}
	switch e.Value.Kind {
	case catalog.KindCount:
		return o.rate["none count"]
	case catalog.KindYesNo:
		return rat(1, 2)
	}
	most, largest := 0, int64(0)
	for _, ft := range o.c.Features {
		if ft.ID == e.Feature {
			marks, l := spreadOf(ft)
			most, largest = max(most, len(marks)), max(largest, l)
		}
	}
	if e.Value.Kind == catalog.KindText {
		return rat(1, int64(most)+1)
	}
	return over(rat(1, 2), rat(largest, 1_000_000))
}

func (o *oracle) seen(f *catalog.Family, v *catalog.Variant, e Evidence) *big.Rat {
	ft := o.feature(f.ID, e.Feature)
	if ft == nil {
		return times(o.none(e), o.rate["place missing"])
	}
	want, stated := valueOf(ft, v.ID)
	if !stated {
		return o.none(e)
	}
	var known []int // each value that some variant has, once
	for _, x := range ft.Values {
		if !slices.Contains(known, int(x.Value.Number)) {
			known = append(known, int(x.Value.Number))
		}
	}
	marks, largest := spreadOf(ft)
	switch ft.Kind {
	case catalog.FeatureCount:
		return counted(o.errors("count", ft, "one", "two", "neighbour", "dog", "other"), int(e.Value.Number), int(want.Number), known)
	case catalog.FeatureYesNo:
		r := o.errors("yes/no", ft, "wrong")
		if want.Number == e.Value.Number {
			return r["right"]
		}
		return r["wrong"]
	case catalog.FeatureSize:
		r := o.errors("size", ft, "exchanged", "other")
		mm := func(n int64) *big.Rat { return rat(n, 1_000_000) }
		p := add(times(r["right"], bellAt(mm(e.Value.Number-want.Number), mm(int64(ft.Sigma)))), over(r["other"], times(rat(2, 1), mm(largest))))
		for _, k := range known {
			p = add(p, times(r["exchanged"], rat(1, int64(len(known))), bellAt(mm(e.Value.Number-int64(k)), mm(int64(ft.Sigma)))))
		}
		return p
	default:
		r := o.errors("mark", ft, "wrong")
		a, b := strings.Fields(e.Value.Text), strings.Fields(want.Text)
		n := min(len(a), len(b))
		if slices.Equal(a[:n], b[:n]) {
			return r["right"]
		}
		return times(r["wrong"], rat(1, int64(len(marks))))
	}
}

// posterior of every variant by id, and of none of them.
func (o *oracle) posterior(in Input) (map[catalog.VariantID]*big.Rat, *big.Rat) {
	jobs := 0
	for _, n := range in.Prior {
		jobs += n
	}
	pn := o.rate["none prior"]
	none := pn
	for _, e := range in.Evidence {
		none = times(none, o.none(e))
	}
	out, sum := map[catalog.VariantID]*big.Rat{}, none
	for _, v := range o.c.Variants {
		f := o.family(v.Family)
		p := times(minus(one(), pn), rat(int64(in.Prior[v.ID]+1), int64(jobs+len(o.c.Variants))), o.wheels(f, v, in.Evidence))
		for _, e := range in.Evidence {
			switch {
			case e.Turns > 0:
				p = times(p, o.turned(f, v, e))
			case e.Feature != "":
				p = times(p, o.seen(f, v, e))
			}
		}
		out[v.ID], sum = p, add(sum, p)
	}
	for id := range out {
		out[id] = over(out[id], sum)
	}
	return out, over(none, sum)
}

// randomInput is evidence on a variant of c with errors of all kinds, some of
// it on a box that is not there.
func randomInput(rng *rand.Rand, c *catalog.Catalogue) Input {
	v := c.Variants[rng.IntN(len(c.Variants))]
	in := Input{Prior: map[catalog.VariantID]int{}}
	for _, x := range c.Variants {
		if rng.IntN(3) == 0 {
			in.Prior[x.ID] = rng.IntN(12)
		}
	}
	for range rng.IntN(9) {
		w := testWheels[rng.IntN(len(testWheels))]
		z := max(teethOf(v, w), 12)
		if rng.IntN(4) == 0 {
			z += rng.IntN(7) - 3
		}
		e := count(w, z)
		e.Care = []Care{CareUsual, CareMarked, CarePhoto}[rng.IntN(3)]
		in.Evidence = append(in.Evidence, e)
	}
	for _, ft := range c.Features {
		if ft.Family != v.Family || rng.IntN(3) == 0 {
			continue
		}
		x, known := valueOf(ft, v.ID)
		if !known || rng.IntN(5) == 0 {
			x = randomValue(rng, ft.Kind)
		}
		if ft.Kind == catalog.FeatureSize {
			x.Number += int64(rng.IntN(200_000) - 100_000)
		}
		in.Evidence = append(in.Evidence, Evidence{Feature: ft.ID, Value: x})
	}
	if s := []string{"1st", "2nd", "3rd", "5th", ""}[rng.IntN(5)]; s != "" {
		if r := ratioOf(boxFamily(""), v, s); r != nil {
			f, _ := r.Float64()
			out := int64(10e6/f) + int64(rng.IntN(60_000)-30_000)
			in.Evidence = append(in.Evidence, Evidence{Feature: s, Turns: 10, Output: out})
		}
	}
	return in
}

// blanks takes some tooth counts and some features out of the catalogue.
func blanks(rng *rand.Rand, c *catalog.Catalogue) {
	for _, v := range c.Variants {
		v.Teeth = slices.DeleteFunc(v.Teeth, func(*catalog.ToothCount) bool { return rng.IntN(12) == 0 })
	}
	c.Features = slices.DeleteFunc(c.Features, func(*catalog.Feature) bool { return rng.IntN(6) == 0 })
}

func TestAgainstExactBayes(t *testing.T) {
	cases := 1000
	if testing.Short() {
		cases = 100
	}
	worst, closest, close := 0.0, 0.0, 0
	for seed := range uint64(cases) {
		rng := rand.New(rand.NewPCG(seed, 11))
		c := randomCatalogue(seed, 1+rng.IntN(3), 2+rng.IntN(6))
		blanks(rng, c)
		in := randomInput(rng, c)
		exact, none := newOracle(c).posterior(in)
		r := Run(catalog.NewIndex(c, 1), in)
		if len(r.Ranked) != len(exact) {
			t.Fatalf("case %d: %d variants ranked of %d", seed, len(r.Ranked), len(exact))
		}
		for _, p := range r.Problems {
			if !p.Used {
				t.Fatalf("case %d: evidence refused: %+v", seed, p)
			}
		}
		off := func(got float64, want *big.Rat) float64 { w, _ := want.Float64(); return math.Abs(got - w) }
		worst = max(worst, off(r.None, none))
		for i, v := range r.Ranked {
			worst = max(worst, off(v.Posterior, exact[v.ID]))
			if i == 0 {
				continue
			}
			before := r.Ranked[i-1]
			switch order := exact[before.ID].Cmp(exact[v.ID]); {
			case order == 0 && before.ID > v.ID:
				t.Errorf("case %d: equal %s and %s not by id", seed, before.ID, v.ID)
			case order < 0:
				// Doubles cannot order what is this close.
				apart, _ := over(minus(exact[v.ID], exact[before.ID]), exact[v.ID]).Float64()
				closest = max(closest, apart)
				close++
				if apart > 1e-9 {
					t.Errorf("case %d: %s ranked before %s, which is likelier by %g", seed, before.ID, v.ID, apart)
				}
			}
		}
	}
	t.Logf("%d cases: largest difference %.2g; %d neighbours exchanged, %.2g apart at most", cases, worst, close, closest)
	if worst > 1e-9 {
		t.Errorf("probabilities differ by %g", worst)
	}
}
