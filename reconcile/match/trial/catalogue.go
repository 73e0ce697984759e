package trial

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
	"layshaft/catalog/standard"
)

//go:embed positions.csv
var positionsCSV string

//go:embed writings.csv
var writingsCSV string

// Spec says what catalogue to invent.
type Spec struct {
	Seed     uint64
	Families int
	Variants int    // of each family; 1 or more
	Numbers  string // number style: "dashed", "letters", "digits", "maker", "dotted", "spaced"
	Names    string // name style: "plain", "noun-first", "shout", "kind-only"
}

// NumberStyles lists the number styles that can be asked for.
var NumberStyles = []string{"dashed", "letters", "digits", "maker", "dotted", "spaced"}

// Fact is what the generator knows of a part, to decide what a line tells.
type Fact struct {
	Part  *catalog.Part
	Kind  string
	Mods  []string // as in positions.csv
	Sizes string   // as a list would write them, "" for none
	Teeth int
	// Pieces fitted.
	Pieces int
}

// World is an invented catalogue with what the generator knows of it.
type World struct {
	Catalogue *catalog.Catalogue
	// Facts of the parts of each variant, standard ones and alternatives.
	Facts    map[catalog.VariantID][]*Fact
	spec     Spec
	rng      *rand.Rand
	next     int
	used     map[string]bool
	hard     map[string]*Fact // standard hardware, shared by the families
	bearings map[string][]string
}

type row struct{ id, assembly, kind, qty, box, mods, spec string }

func table(text string) [][]string {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		panic("trial: embedded table: " + err.Error())
	}
	return rows[1:]
}

// NewWorld invents a catalogue. The same Spec gives the same one.
func NewWorld(spec Spec) *World {
	w := &World{
		Catalogue: &catalog.Catalogue{}, Facts: map[catalog.VariantID][]*Fact{}, spec: spec,
		rng: rand.New(rand.NewPCG(spec.Seed, 77)), used: map[string]bool{}, hard: map[string]*Fact{}, bearings: map[string][]string{},
	}
	w.Catalogue.Attributes = []*catalog.AttributeDef{
		{Name: catalog.KeyTeeth, Label: "tooth count", Kind: catalog.KindCount},
		{Name: catalog.KeyBore, Label: "bore", Kind: catalog.KindLength},
		{Name: catalog.KeyOutside, Label: "outside diameter", Kind: catalog.KindLength},
		{Name: catalog.KeyWidth, Label: "width", Kind: catalog.KindLength},
		{Name: catalog.KeyThickness, Label: "thickness", Kind: catalog.KindLength},
		{Name: catalog.KeyThread, Label: "thread", Kind: catalog.KindText},
	}
	for i := range spec.Families {
		w.family(i)
	}
	return w
}

func (w *World) family(i int) {
	id := catalog.FamilyID(fmt.Sprintf("g%d-%d", w.spec.Seed, i+1))
	box := catalog.Longitudinal
	if w.rng.IntN(3) == 0 {
		box = catalog.Transaxle
	}
	w.Catalogue.Families = append(w.Catalogue.Families, &catalog.Family{ID: id, Name: strings.ToUpper(string(id)), Box: box})
	var variants []catalog.VariantID
	for k := range w.spec.Variants {
		v := catalog.VariantID(fmt.Sprintf("%s-%c", id, 'a'+k))
		variants = append(variants, v)
		w.Catalogue.Variants = append(w.Catalogue.Variants, &catalog.Variant{ID: v, Family: id, Name: strings.ToUpper(string(v))})
	}
	for order, r := range table(positionsCSV) {
		p := row{r[0], r[1], r[2], r[3], r[4], r[5], r[6]}
		if box == catalog.Longitudinal && p.box == "T" || box == catalog.Transaxle && p.box == "L" || w.rng.IntN(20) == 0 {
			continue
		}
		w.position(id, variants, p, order)
	}
}

// position fills one position of every variant; sister variants mostly share the
// part, and some positions have an interchangeable second part or more grades.
func (w *World) position(id catalog.FamilyID, variants []catalog.VariantID, r row, order int) {
	qty := 1
	fmt.Sscan(r.qty, &qty)
	mods := split(r.mods)
	w.Catalogue.Positions = append(w.Catalogue.Positions, &catalog.Position{
		ID: catalog.PositionID(r.id), Family: id, Name: w.name(r.kind, mods, "plain"), Assembly: catalog.Assembly(r.assembly),
		Kind: catalog.PartKind(r.kind), Quantity: qty, Order: order, Places: places(mods),
	})
	common := w.parts(r, mods, qty)
	for _, v := range variants {
		parts := common
		if v != variants[0] && w.rng.IntN(9) == 0 {
			parts = w.parts(r, mods, qty)
		}
		for k, f := range parts {
			w.Facts[v] = append(w.Facts[v], f)
			w.Catalogue.Fitments = append(w.Catalogue.Fitments, &catalog.Fitment{
				Variant: v, Position: catalog.PositionID(r.id), Part: f.Part.ID, Standard: k == 0,
			})
		}
	}
}

// parts makes the parts of a position: one, an alternative, or all grades.
func (w *World) parts(r row, mods []string, qty int) []*Fact {
	if strings.HasPrefix(r.spec, "threadlen") || strings.HasPrefix(r.spec, "pin") || strings.HasPrefix(r.spec, "disc") {
		key := fmt.Sprintf("%s %s %d", r.kind, r.spec, w.rng.IntN(3))
		if f := w.hard[key]; f != nil && w.rng.IntN(2) == 0 {
			return []*Fact{{f.Part, r.kind, mods, f.Sizes, 0, qty}}
		}
		f := w.part(r, mods, qty)
		w.hard[key] = f
		return []*Fact{f}
	}
	first := w.part(r, mods, qty)
	out := []*Fact{first}
	if kind, lo, _ := specRange(r.spec); kind == "grade" {
		base := first.Part.Attributes
		for k := range 3 {
			p := w.blank(r.kind, mods)
			p.Attributes = slices.Clone(base)
			t := quantity.Length(base[len(base)-1].Value.Number) + quantity.Length(k+1)*50*quantity.Micron
			p.Attributes[len(base)-1] = &catalog.Attribute{Name: catalog.KeyThickness, Value: catalog.LengthValue(t)}
			out = append(out, &Fact{p, r.kind, mods, mm(t), 0, qty})
		}
		_ = lo
		return out
	}
	if w.rng.IntN(10) == 0 {
		p := w.blank(r.kind, mods)
		p.Attributes, p.Designation = first.Part.Attributes, first.Part.Designation
		out = append(out, &Fact{p, r.kind, mods, first.Sizes, first.Teeth, qty})
	}
	return out
}

func (w *World) blank(kind string, mods []string) *catalog.Part {
	w.next++
	p := &catalog.Part{
		ID: catalog.PartID(fmt.Sprintf("p%d-%04d", w.spec.Seed, w.next)), Kind: catalog.PartKind(kind),
		Name: w.name(kind, mods, w.spec.Names), Unit: catalog.UnitPiece,
		Numbers: []*catalog.Number{{Issuer: "maker", Text: w.number(w.spec.Numbers), Role: catalog.NumberCurrent}},
	}
	if strings.HasSuffix(kind, " set") {
		p.Unit = catalog.UnitSet
	}
	if w.rng.IntN(8) == 0 {
		p.Numbers = append(p.Numbers, &catalog.Number{Issuer: "maker", Text: w.number(w.spec.Numbers), Role: catalog.NumberSuperseded})
	}
	w.Catalogue.Parts = append(w.Catalogue.Parts, p)
	return p
}

func specRange(spec string) (kind string, lo, hi int) {
	fmt.Sscanf(spec, "%s %d %d", &kind, &lo, &hi)
	return kind, lo, hi
}

// part makes one part with its attributes.
func (w *World) part(r row, mods []string, qty int) *Fact {
	p := w.blank(r.kind, mods)
	f := &Fact{Part: p, Kind: r.kind, Mods: mods, Pieces: qty}
	kind, lo, hi := specRange(r.spec)
	pick := func() int { return lo + w.rng.IntN(hi-lo+1) }
	switch kind {
	case "":
	case "teeth":
		f.Teeth = pick()
		p.Attributes = append(p.Attributes, &catalog.Attribute{Name: catalog.KeyTeeth, Value: catalog.CountValue(f.Teeth)})
	case "ball", "roller", "taper", "cage":
		p.Designation = w.bearing(kind)
		f.Sizes = p.Designation
	case "seal":
		bore := 20 + w.rng.IntN(25)
		w.sizes(f, bore, bore+10+w.rng.IntN(15), 6+w.rng.IntN(5))
	case "washer":
		bore := pick()
		w.sizes(f, bore, bore+8+w.rng.IntN(16), 2+w.rng.IntN(5))
	case "ring":
		w.lengths(f, []catalog.AttributeKey{catalog.KeyBore, catalog.KeyThickness}, quantity.Length(pick())*quantity.MM, quantity.Length(30+w.rng.IntN(4)*5)*50*quantity.Micron)
	case "grade":
		w.lengths(f, []catalog.AttributeKey{catalog.KeyOutside, catalog.KeyThickness}, quantity.Length(pick())*quantity.MM, quantity.Length(20+w.rng.IntN(20))*50*quantity.Micron)
		f.Sizes = mm(quantity.Length(p.Attributes[1].Value.Number))
	case "pin":
		w.lengths(f, []catalog.AttributeKey{catalog.KeyOutside, "length"}, quantity.Length(pick())*quantity.MM, quantity.Length(14+2*w.rng.IntN(8))*quantity.MM)
	case "oring":
		w.lengths(f, []catalog.AttributeKey{catalog.KeyBore, catalog.KeyWidth}, quantity.Length(120+w.rng.IntN(200))*100*quantity.Micron, quantity.Length(16+4*w.rng.IntN(4))*100*quantity.Micron)
	case "disc":
		w.lengths(f, []catalog.AttributeKey{catalog.KeyOutside}, quantity.Length(pick())*quantity.MM)
	case "thread", "threadlen":
		f.Sizes = fmt.Sprintf("M%dx1.5", 2*(pick()/2))
		if kind == "threadlen" {
			f.Sizes = fmt.Sprintf("M%dx%d", 2*(pick()/2), 16+4*w.rng.IntN(10))
		}
		p.Attributes = append(p.Attributes, &catalog.Attribute{Name: catalog.KeyThread, Value: catalog.TextValue(f.Sizes)})
	}
	return f
}

func (w *World) sizes(f *Fact, d, o, b int) {
	w.lengths(f, []catalog.AttributeKey{catalog.KeyBore, catalog.KeyOutside, catalog.KeyWidth},
		quantity.Length(d)*quantity.MM, quantity.Length(o)*quantity.MM, quantity.Length(b)*quantity.MM)
}

func (w *World) lengths(f *Fact, keys []catalog.AttributeKey, nm ...quantity.Length) {
	var s []string
	for i, l := range nm {
		f.Part.Attributes = append(f.Part.Attributes, &catalog.Attribute{Name: keys[i], Value: catalog.LengthValue(l)})
		s = append(s, mm(l))
	}
	f.Sizes = strings.Join(s, "x")
}

func mm(l quantity.Length) string {
	return strings.TrimSuffix(l.Format(quantity.Millimetre), " mm")
}

var bearingFamilies = map[string]standard.Family{
	"ball": standard.DeepGroove, "roller": standard.Cylindrical, "taper": standard.Tapered, "cage": standard.NeedleCage,
}

// bearing draws a designation of gearbox size from the ISO tables.
func (w *World) bearing(kind string) string {
	list := w.bearings[kind]
	if list != nil {
		return w.suffix(kind, list[w.rng.IntN(len(list))])
	}
	for _, b := range standard.BearingsBySize(0, 0, 0) {
		size := max(b.Bore, b.Fw)
		if b.Family == bearingFamilies[kind] && size >= 15*quantity.MM && size <= 50*quantity.MM {
			list = append(list, b.Base)
		}
	}
	slices.Sort(list)
	list = slices.Compact(list)
	w.bearings[kind] = list
	return w.suffix(kind, list[w.rng.IntN(len(list))])
}

// suffix adds what ball bearings carry behind their number.
func (w *World) suffix(kind, d string) string {
	if kind == "ball" {
		d += []string{"", "", " N", " NR", " C3", " 2RS"}[w.rng.IntN(6)]
	}
	return d
}

// number invents a part number of a style, never twice.
func (w *World) number(style string) string {
	for {
		n := w.rng.IntN(1_000_000)
		l := func() byte { return "ABCDEFGHKLMNPRSTUWYZ"[w.rng.IntN(20)] }
		var s string
		switch style {
		case "letters":
			s = fmt.Sprintf("%c%d%c%04d%c", l(), n%10, l(), n%10000, l())
		case "digits":
			s = fmt.Sprintf("%d%08d", 1+n%9, w.rng.IntN(100_000_000))
		case "maker":
			s = fmt.Sprintf("%05d-%02d%03d", 30000+n%9000, w.rng.IntN(99), w.rng.IntN(999))
		case "dotted":
			s = fmt.Sprintf("%03d.%03d.%02d.%02d", 100+n%900, w.rng.IntN(999), w.rng.IntN(99), w.rng.IntN(99))
		case "spaced":
			s = fmt.Sprintf("%c %03d %03d %03d", l(), n%1000, w.rng.IntN(999), w.rng.IntN(999))
		default:
			s = fmt.Sprintf("%c%c-%05d", l(), l(), n%100000)
		}
		if k := catalog.Normal(s); !w.used[k] {
			w.used[k] = true
			return s
		}
	}
}

func split(s string) []string {
	if s == "" {
		return nil
	}
	return strings.Split(s, ";")
}

func places(mods []string) []string {
	var out []string
	for _, m := range mods {
		if m[0] >= '1' && m[0] <= '9' || m == "front" || m == "rear" || m == "left" || m == "right" {
			out = append(out, m)
		}
	}
	return out
}

var ordinals = map[string]string{"1": "1st", "2": "2nd", "3": "3rd", "4": "4th", "5": "5th"}
var longMods = map[string]string{"main": "main shaft", "input": "input shaft", "output": "output shaft", "counter": "countershaft"}

// name writes a part's name as this catalogue would.
func (w *World) name(kind string, mods []string, style string) string {
	var m []string
	for _, s := range mods {
		if o := ordinals[s]; o != "" {
			s = o
		} else if l := longMods[s]; l != "" {
			s = l
		}
		m = append(m, s)
	}
	k := kind
	switch {
	case strings.HasSuffix(kind, "bearing") && len(m) > 0:
		k = "bearing"
	case kind == "front bearing retainer":
		k = "front cover"
	}
	words := strings.Join(append(slices.Clone(m), k), " ")
	switch style {
	case "noun-first":
		words = k + ", " + strings.Join(m, " ")
		if len(m) == 0 {
			words = k
		}
	case "shout":
		words = strings.ToUpper(words)
	case "kind-only":
		words = strings.Join(append(slices.Clone(m), kind), " ")
	default:
		words = strings.ToUpper(words[:1]) + words[1:]
	}
	return strings.TrimSuffix(words, ", ")
}
