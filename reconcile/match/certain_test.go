package match

import (
	"testing"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
	"layshaft/reconcile/kitlist"
)

// cautiousShop is smallShop with parts that invite a wrong answer.
func cautiousShop() *catalog.Catalogue {
	c := smallShop()
	add := func(pos, name string, asm catalog.Assembly, kind catalog.PartKind, part, number, desig string, mm ...int) {
		c.Positions = append(c.Positions, &catalog.Position{ID: catalog.PositionID(pos), Family: "f5", Name: name, Assembly: asm, Kind: kind, Quantity: 1})
		p := &catalog.Part{ID: catalog.PartID(part), Kind: kind, Name: name, Unit: catalog.UnitPiece, Designation: desig,
			Numbers: []*catalog.Number{{Issuer: "maker", Text: number, Role: catalog.NumberCurrent}}}
		for i, s := range mm {
			p.Attributes = append(p.Attributes, &catalog.Attribute{Name: []catalog.AttributeKey{"bore", "width"}[i],
				Value: catalog.LengthValue(quantity.Length(s) * quantity.MM)})
		}
		c.Parts = append(c.Parts, p)
		c.Fitments = append(c.Fitments, &catalog.Fitment{Variant: "f5-a", Position: catalog.PositionID(pos), Part: p.ID, Standard: true})
	}
	add("oring", "Speedometer o-ring", catalog.AssemblySeals, "o-ring", "o1", "Z7F3140", "", 20, 2)
	add("cs-rear", "Countershaft rear bearing", catalog.AssemblyCounter, "ball bearing", "b5", "Z7F3150", "6305")
	add("cs-rear-2", "Countershaft end bearing", catalog.AssemblyCounter, "ball bearing", "b6", "Z7F3151", "6305 NR")
	return c
}

// TestCertain holds lines that were once certain and wrong, or of their kind: the
// text leaves open what tells parts apart, so a person must look.
func TestCertain(t *testing.T) {
	m := New(catalog.NewIndex(cautiousShop(), 1), Options{})
	for _, c := range []struct {
		line  string
		first catalog.PartID // "" when any will do
		sure  bool
	}{
		// Base and suffixes are two attributes.
		{"input bearing 6207 x1", "p1", false},
		{"input bearing 35x72x17 x1", "p1", false},
		{"main shaft rear bearing 6306 x1", "p2", false},
		{"main shaft rear bearing 30 x 72 x 19 x1", "p2", false},
		{"input bearing 6207 C3 x1", "p1", false},
		{"ball bearing 6305 x1", "", false},
		{"input bearing 6207 NR x1", "p1", true},
		{"input bearing 35x72x17 NR x1", "p1", true},
		{"main shaft rear bearing 6306 N x1", "p2", true},
		{"ball bearing 6305 NR x1", "b6", true},
		// An ambiguous word needs its place.
		{"packing x1", "", false},
		{"PACKING, FRONT COVER  1", "p9", true},
		// A strange number beside the right words is the number of another part.
		{"front cover Z7F3189 x1", "p8", false},
		{"front cover 27F3189 x1", "p8", false},
		// Sizes of another kind of part.
		{"thrust washer 35x50x8 x1", "", false},
		{"needle cage 40x60x10 x1", "", false},
		// Words that nobody knows may change the meaning.
		{"front cover alignment dolly x1", "", false},
		{"t/input bearing x1", "", false},
		{"bearing re x1", "", false},
	} {
		l := kitlist.Read(c.line, kitlist.Options{})
		r := m.Match(l, Context{Variant: "f5-a"})
		if len(r) != 1 {
			t.Errorf("%q: %d results", c.line, len(r))
			continue
		}
		if got := r[0].Outcome == Certain; got != c.sure {
			t.Errorf("%q: %s %s (%s)", c.line, r[0].Outcome, r[0].Part, r[0].Why)
		}
		if c.first != "" && (len(r[0].Candidates) == 0 || r[0].Candidates[0].Part != c.first) {
			t.Errorf("%q: first is not %s: %+v", c.line, c.first, r[0].Candidates)
		}
	}
}

// TestHeadingAndShelf: what a line names itself needs no heading; a shelf is no
// misread word; another kind of part is never taken for a likely one, and a line that
// many parts answer faintly and that names no kind is refused, as are goods of no gearbox.
func TestHeadingAndShelf(t *testing.T) {
	m := New(catalog.NewIndex(cautiousShop(), 1), Options{})
	for _, c := range []struct {
		text string
		want Outcome // of the last line
	}{
		{"BEARINGS\nspeedometer o-ring x1", Certain},
		{"GASKETS\nfront cover x1", Question},
		{"front cover gasket B1 x1", Certain},
	} {
		l := kitlist.Read(c.text, kitlist.Options{})
		r := m.Match(l, Context{Variant: "f5-a"})
		if last := r[len(r)-1]; last.Outcome != c.want {
			t.Errorf("%q: %s %s (%s)", c.text, last.Outcome, last.Part, last.Why)
		}
	}
	hand := handShop(t, Options{})
	for _, c := range []struct {
		line    string
		variant catalog.VariantID
		want    Outcome
	}{{"release bearing x1", "orlan-a", Question}, {"clutch release bearing x1", "orlan-a", None}, {"V/7712/40", "veldra-a", None}} {
		l := kitlist.Read(c.line, kitlist.Options{})
		if r := hand.Match(l, Context{Variant: c.variant}); r[0].Outcome != c.want {
			t.Errorf("%q: %s %s (%s)", c.line, r[0].Outcome, r[0].Part, r[0].Why)
		}
	}
}

// TestStock: words that stand on most lines and that the trade does not know say
// nothing about any of them.
func TestStock(t *testing.T) {
	m := New(catalog.NewIndex(smallShop(), 1), Options{})
	l := kitlist.Read("quarx front cover 1\nquarx front cover gasket 1\nquarx input bearing 6207 NR 1\nquarx main rear bearing 6306 N 1\nsynchro ring 3-4 2", kitlist.Options{})
	if s := m.stock(&l); !s["quarx"] || s["bearing"] || len(s) != 1 {
		t.Errorf("stock words: %v", s)
	}
	for i, r := range m.Match(l, Context{Variant: "f5-a"}) {
		if r.Outcome != Certain {
			t.Errorf("%q: %s (%s)", l.Lines[i].Text, r.Outcome, r.Why)
		}
	}
}
