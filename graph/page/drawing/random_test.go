package drawing

import (
	"fmt"
	"slices"
	"testing"

	"layshaft/catalog"
	"layshaft/catalog/quantity"

	"pgregory.net/rapid"
)

var hostile = []string{
	"", "Gear", `"><script>alert(1)</script>`, "a\u202egnirb\u2066", "\x00\x07tab\there", "' onload='x", "&amp;<b>&",
	"\u0301\u0301combining", "\U0001F9F0 kit", "\xff\xfe broken", "wheel wheel wheel wheel wheel wheel wheel wheel",
	string(make([]rune, 400)), "\u6b6f\u8eca\u6b6f\u8eca", "]]>", "javascript:alert(1)",
}

var drawnKinds = []catalog.PartKind{
	"gear", "input shaft", "main shaft", "countershaft", "reverse idler", "reverse idler shaft", "ball bearing",
	"bearing cone", "bearing cup", "needle bearing", "synchro hub", "synchro sleeve", "synchro ring", "synchro key",
	"synchro key spring", "multi-cone ring set", "snap ring", "shim", "thrust washer", "washer", "spacer", "nut",
	"oil seal", "output flange", "bush", "pilot bearing", "dowel", "case", "bell housing", "extension housing",
	"front bearing retainer", "final drive ring gear", "speedometer drive gear", "bolt", "no such kind",
	"differential pinion shaft", "inner sleeve", "",
}

var lengths = []quantity.Length{0, 0, 1, -5 * quantity.MM, 200, quantity.MM / 10, quantity.MM, 2 * quantity.MM,
	20 * quantity.MM, 28 * quantity.MM, 76 * quantity.MM, 140 * quantity.MM, 300 * quantity.MM, 900 * quantity.MM,
	4_000_000 * quantity.MM, 1 << 62, -1 << 62}

func drawLength(t *rapid.T, name string) quantity.Length {
	return rapid.SampledFrom(lengths).Draw(t, name)
}

// randomFamily is a family such as a half-filled or broken catalogue holds it.
func randomFamily(t *rapid.T) (*catalog.Catalogue, catalog.VariantID) {
	word := rapid.SampledFrom(hostile)
	f := &catalog.Family{ID: "f", Name: word.Draw(t, "family"), CentreDistance: drawLength(t, "centre")}
	shafts := []string{"", "nowhere"}
	for i := range rapid.IntRange(0, 4).Draw(t, "shafts") {
		id := fmt.Sprintf("s%d", i)
		shafts = append(shafts, id, id)
		f.Shafts = append(f.Shafts, &catalog.Shaft{ID: id, Name: word.Draw(t, "shaft"), Offset: drawLength(t, "offset")})
	}
	c := &catalog.Catalogue{Families: []*catalog.Family{f}}
	n := rapid.IntRange(0, 90).Draw(t, "positions")
	for i := range n {
		id := catalog.PositionID(fmt.Sprintf("p%d", i))
		if i%17 == 16 {
			id = catalog.PositionID(fmt.Sprintf("%d %s", i, word.Draw(t, "id")))
		}
		p := &catalog.Position{ID: id, Family: "f", Name: word.Draw(t, "name"), Order: i / 2, Quantity: i % 4,
			Kind: rapid.SampledFrom(drawnKinds).Draw(t, "kind"), Shaft: rapid.SampledFrom(shafts).Draw(t, "on"),
			Assembly: rapid.SampledFrom([]catalog.Assembly{"case", "shift", "main shaft", "differential", "", "<odd>"}).Draw(t, "assembly"),
			Places:   []string{rapid.SampledFrom([]string{"1st", "2nd", "front", "<"}).Draw(t, "place")}}
		switch rapid.IntRange(0, 3).Draw(t, "where") {
		case 0: // in a sound row
			p.From, p.Width = quantity.Length(i)*10*quantity.MM, 9*quantity.MM
		case 1:
			p.From, p.Width = drawLength(t, "from"), drawLength(t, "width")
		}
		c.Positions = append(c.Positions, p)
	}
	v := &catalog.Variant{ID: "v", Family: "f"}
	wheels := []string{"none"}
	for i := range min(n, rapid.IntRange(0, 14).Draw(t, "wheels")) {
		id := fmt.Sprintf("w%d", i)
		wheels = append(wheels, id)
		f.Wheels = append(f.Wheels, &catalog.Wheel{ID: id,
			Position: c.Positions[rapid.IntRange(0, n-1).Draw(t, "carrier")].ID})
		v.Teeth = append(v.Teeth, &catalog.ToothCount{Wheel: id, Teeth: rapid.SampledFrom([]int{0, -3, 1, 13, 37, 90, 100000}).Draw(t, "z")})
	}
	wheel := rapid.SampledFrom(wheels)
	for i := range rapid.IntRange(0, 10).Draw(t, "meshes") {
		m := &catalog.Mesh{ID: fmt.Sprintf("m%d", i), Driving: wheel.Draw(t, "driving"), Driven: wheel.Draw(t, "driven"),
			NormalModule: drawLength(t, "module")}
		for range rapid.IntRange(0, 3).Draw(t, "idlers") {
			m.Idler = append(m.Idler, wheel.Draw(t, "idler"))
		}
		f.Meshes = append(f.Meshes, m)
	}
	c.Variants = []*catalog.Variant{v}
	return c, rapid.SampledFrom([]catalog.VariantID{"v", "", "other"}).Draw(t, "variant")
}

func TestAnyFamilyIsLaidOutSoundly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, variant := randomFamily(t)
		ix := catalog.NewIndex(c, 1)
		o := Options{
			Form:   rapid.SampledFrom(forms).Draw(t, "form"),
			Shaft:  rapid.SampledFrom([]string{"", "", "s0", "s1", "nowhere"}).Draw(t, "zoom"),
			Href:   func(id catalog.PositionID) string { return "?p=" + string(id) },
			Prefix: "x-",
			States: map[catalog.PositionID]State{},
		}
		for _, p := range c.Positions {
			o.States[p.ID] = rapid.SampledFrom(append(States, "<unknown>")).Draw(t, "state")
		}
		for _, bad := range faults(ix, "f", variant, o, Draw(ix, "f", variant, o)) {
			t.Error(bad)
		}
	})
}

// The same catalogue gives the same bytes.
func TestPictureIsTheSameEveryTime(t *testing.T) {
	want := Draw(shop(t), "vm77", "vm77-tour", Options{}).SVG()
	for range 5 {
		if got := Draw(shop(t), "vm77", "vm77-tour", Options{}).SVG(); got != want {
			t.Fatal("two pictures of one catalogue differ")
		}
	}
}

func TestSpreadKeepsOrderPitchAndRoom(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := rapid.SliceOfN(rapid.Float64Range(-50, 500), 0, 40).Draw(t, "want")
		slices.Sort(want)
		lo, hi, pitch := 10.0, rapid.Float64Range(20, 600).Draw(t, "hi"), 12.0
		got := spread(want, pitch, lo, hi)
		if len(got) != len(want) {
			t.Fatalf("%d of %d", len(got), len(want))
		}
		if n := len(want); n > 1 {
			pitch = min(pitch, (hi-lo)/float64(n-1))
		}
		for i, x := range got {
			if x < lo-1e-6 || x > hi+1e-6 || (i > 0 && x-got[i-1] < pitch-1e-6) {
				t.Fatalf("point %d at %g of %v", i, x, got)
			}
		}
		if cost := distance(got, want); cost > distance(naive(want, pitch, lo, hi), want)+1e-6 {
			t.Fatalf("a push to the right is nearer than %v", got)
		}
	})
}
