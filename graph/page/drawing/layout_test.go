package drawing

import (
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"testing"

	"layshaft/catalog"
	"layshaft/data/demo"
)

func shop(t testing.TB) *catalog.Index {
	t.Helper()
	c, err := demo.Catalogue()
	if err != nil {
		t.Fatal(err)
	}
	return catalog.NewIndex(c, 1)
}

var forms = []Form{Sheet, Narrow, Print}

// fault is what the layout of a picture does wrong; empty when nothing.
type fault = string

// faults checks everything that has to hold for any picture of any catalogue.
func faults(ix *catalog.Index, family catalog.FamilyID, variant catalog.VariantID, o Options, p Picture) []fault {
	var out []fault
	bad := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	complete(ix, family, variant, o, p, bad)
	inside(p, bad)
	rows(ix, family, p, bad)
	words := apart(p, bad)
	if words == 0 && len(p.Items) > 0 {
		bad("no word on the picture")
	}
	for _, m := range p.Meshes {
		if math.Abs(m.DrivingR+m.DrivenR-m.Distance) > 1e-9 || m.DrivingR <= 0 || m.DrivenR <= 0 {
			bad("mesh %s: radii %g and %g at a distance of %g", m.Mesh, m.DrivingR, m.DrivenR, m.Distance)
		}
	}
	markup(p, bad)
	return out
}

func complete(ix *catalog.Index, family catalog.FamilyID, variant catalog.VariantID, o Options, p Picture, bad func(string, ...any)) {
	seen := map[catalog.PositionID]int{}
	for _, it := range p.Items {
		seen[it.Position]++
	}
	_, known := ix.Variant(variant)
	want := 0
	for _, pos := range ix.Positions(family) {
		if known && !ix.Has(variant, pos.ID) {
			continue
		}
		want++
		if n := seen[pos.ID]; n > 1 || (n == 0 && o.Shaft == "") {
			bad("position %q is placed %d times", pos.ID, n)
		}
	}
	if o.Shaft == "" && want != len(p.Items) {
		bad("%d items for %d positions", len(p.Items), want)
	}
}

func inside(p Picture, bad func(string, ...any)) {
	in := func(x, y float64) bool {
		const e = 0.01
		return x >= -e && y >= -e && x <= p.Width+e && y <= p.Height+e
	}
	for _, it := range p.Items {
		for _, s := range it.Shapes {
			for _, q := range s.Points {
				if !in(q.X-s.R, q.Y-s.R) || !in(q.X+s.R, q.Y+s.R) {
					bad("%s: %s at %v outside %g x %g", it.Position, s.Pen, q, p.Width, p.Height)
					break
				}
			}
		}
		for _, q := range it.Leader {
			if !in(q.X, q.Y) {
				bad("%s: leader at %v outside", it.Position, q)
			}
		}
		if t := it.Target; !in(t.X, t.Y) || !in(t.X+t.W, t.Y+t.H) {
			bad("%s: target %v outside", it.Position, t)
		}
		if t := it.Target; p.Form != Print && (t.W < 24 || t.H < 24) {
			bad("%s: target %v too small", it.Position, t)
		}
		if len(it.Shapes) == 0 {
			bad("%s: nothing drawn", it.Position)
		}
	}
	for _, t := range p.Texts {
		if b := t.Box; !in(b.X, b.Y) || !in(b.X+b.W, b.Y+b.H) {
			bad("text %q outside: %v", t.Words, b)
		}
	}
}

// rows: parts with a width stand in a row on their axis.
func rows(ix *catalog.Index, family catalog.FamilyID, p Picture, bad func(string, ...any)) {
	f, ok := ix.Family(family)
	if !ok {
		return
	}
	offset := map[string]int64{}
	for _, s := range slices.Backward(f.Shafts) {
		offset[s.ID] = int64(s.Offset)
	}
	row := map[int64][]Item{}
	for _, it := range p.Items {
		if it.Panel < 0 || it.Nested || it.Shaft {
			continue
		}
		pos, _ := ix.Position(family, it.Position)
		row[offset[pos.Shaft]] = append(row[offset[pos.Shaft]], it)
	}
	for _, items := range row {
		slices.SortFunc(items, func(a, b Item) int {
			return int(math.Copysign(1, a.From-b.From))
		})
		for i, it := range items {
			if it.To <= it.From {
				bad("%s: from %g to %g", it.Position, it.From, it.To)
			}
			if i > 0 && items[i-1].To > it.From+1e-9 {
				bad("%s ends at %g, %s begins at %g", items[i-1].Position, items[i-1].To, it.Position, it.From)
			}
		}
	}
}

// apart: words, frames and targets keep off each other. It gives the number of
// words.
func apart(p Picture, bad func(string, ...any)) int {
	type label struct {
		name string
		box  Rect
	}
	var labels, targets []label
	for _, t := range p.Texts {
		labels = append(labels, label{t.Words, t.Box})
	}
	for _, it := range p.Items {
		labels = append(labels, label{"frame of " + string(it.Position),
			Rect{it.Frame.X - it.Radius, it.Frame.Y - it.Radius, 2 * it.Radius, 2 * it.Radius}})
		targets = append(targets, label{string(it.Position), it.Target})
		for _, t := range it.Texts {
			labels = append(labels, label{t.Words, t.Box})
		}
	}
	for _, set := range [][]label{labels, targets} {
		for i, a := range set {
			for _, b := range set[:i] {
				const e = 0.02
				if a.box.X+e < b.box.X+b.box.W && b.box.X+e < a.box.X+a.box.W &&
					a.box.Y+e < b.box.Y+b.box.H && b.box.Y+e < a.box.Y+a.box.H {
					bad("%q at %v and %q at %v overlap", a.name, a.box, b.name, b.box)
				}
			}
		}
	}
	return len(labels)
}

// markup reads the SVG as XML: well formed, ids unique, no script, no inline
// style, every position a link with title, name and state.
func markup(p Picture, bad func(string, ...any)) {
	d := xml.NewDecoder(strings.NewReader(p.SVG()))
	ids := map[string]bool{}
	links, titles := 0, 0
	for {
		tok, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			bad("not well formed: %v", err)
			return
		}
		e, ok := tok.(xml.StartElement)
		if !ok {
			continue
		}
		attr := map[string]string{}
		for _, a := range e.Attr {
			attr[a.Name.Local] = a.Value
			if a.Name.Local == "style" || strings.HasPrefix(a.Name.Local, "on") {
				bad("attribute %s", a.Name.Local)
			}
			if strings.ContainsAny(a.Value, "\u202e\u2066\u0000") {
				bad("control character in %s", a.Name.Local)
			}
			if strings.Contains(a.Value, "NaN") || strings.Contains(a.Value, "Inf") {
				bad("%s is %q", a.Name.Local, a.Value)
			}
		}
		switch e.Name.Local {
		case "svg", "g", "path", "text", "defs", "pattern":
		case "title":
			titles++
		case "a":
			if attr["data-position"] != "" {
				links++
				if attr["aria-label"] == "" || attr["href"] == "" {
					bad("%s has no name or leads nowhere", attr["id"])
				}
			}
		default:
			bad("element %s", e.Name.Local)
		}
		if id := attr["id"]; id != "" {
			if ids[id] || strings.ContainsAny(id, " \t\n") {
				bad("id %q", id)
			}
			ids[id] = true
		}
	}
	if links != len(p.Items) || titles != len(p.Items) {
		bad("%d links and %d titles for %d positions", links, titles, len(p.Items))
	}
}

func TestEveryDemoVariantIsLaidOutSoundly(t *testing.T) {
	ix := shop(t)
	drawn := 0
	for _, v := range ix.Variants() {
		f, _ := ix.Family(v.Family)
		shafts := []string{""}
		for _, s := range f.Shafts {
			shafts = append(shafts, s.ID)
		}
		for _, form := range forms {
			for _, shaft := range shafts {
				o := Options{Form: form, Shaft: shaft}
				p := Draw(ix, v.Family, v.ID, o)
				for _, bad := range faults(ix, v.Family, v.ID, o, p) {
					t.Errorf("%s %s %s: %s", v.ID, form, shaft, bad)
				}
				drawn++
			}
		}
	}
	if drawn < 100 {
		t.Errorf("%d pictures drawn", drawn)
	}
}

func TestVariantNotKnownDrawsWholeFamily(t *testing.T) {
	ix := shop(t)
	for _, f := range ix.Families() {
		for _, form := range forms {
			o := Options{Form: form}
			p := Draw(ix, f.ID, "", o)
			for _, bad := range faults(ix, f.ID, "", o, p) {
				t.Errorf("%s %s: %s", f.ID, form, bad)
			}
			for _, it := range p.Items {
				if strings.Contains(it.Label, "teeth:") {
					t.Errorf("%s: %q counts teeth of no variant", f.ID, it.Label)
				}
			}
		}
	}
}

// The pitch lines of two wheels in mesh fall on each other, at radii in the
// ratio of teeth: looked for among the drawn lines, not in the list of meshes.
func TestPitchLinesOfMatesCoincide(t *testing.T) {
	ix := shop(t)
	for _, v := range ix.Variants() {
		f, _ := ix.Family(v.Family)
		p := Draw(ix, v.Family, v.ID, Options{})
		scale := p.Panels[0].Scale
		carrier := map[string]Item{}
		for _, w := range f.Wheels {
			carrier[w.ID], _ = p.Item(w.Position)
		}
		for _, m := range f.Meshes {
			if len(m.Idler) > 0 {
				continue
			}
			if !shareLine(carrier[m.Driving], carrier[m.Driven]) {
				t.Errorf("%s mesh %s: no pitch line in common", v.ID, m.ID)
			}
			i := slices.IndexFunc(p.Meshes, func(x Touch) bool { return x.Mesh == m.ID })
			if i < 0 {
				t.Errorf("%s mesh %s is not drawn touching", v.ID, m.ID)
				continue
			}
			z1, _ := ix.Teeth(v.ID, m.Driving)
			z2, _ := ix.Teeth(v.ID, m.Driven)
			if got, want := p.Meshes[i].DrivingR/p.Meshes[i].DrivenR, float64(z1)/float64(z2); math.Abs(got-want) > 1e-9 {
				t.Errorf("%s mesh %s: radii as %g, teeth as %g", v.ID, m.ID, got, want)
			}
		}
		if scale < 1 {
			t.Errorf("%s: %g px per mm", v.ID, scale)
		}
	}
}

func shareLine(a, b Item) bool {
	for _, s := range a.Shapes {
		for _, o := range b.Shapes {
			if s.Pen == Chain && o.Pen == Chain && len(s.Points) == 2 && len(o.Points) == 2 &&
				math.Abs(s.Points[0].Y-o.Points[0].Y) < 0.01 &&
				s.Points[0].X < o.Points[1].X && o.Points[0].X < s.Points[1].X {
				return true
			}
		}
	}
	return false
}

func TestZoomShowsOneAxisLarger(t *testing.T) {
	ix := shop(t)
	whole := Draw(ix, "bw76", "bw76-lw2", Options{})
	zoom := Draw(ix, "bw76", "bw76-lw2", Options{Shaft: "counter"})
	if zoom.Panels[0].Scale < 1.5*whole.Panels[0].Scale {
		t.Errorf("scale %g, whole picture %g", zoom.Panels[0].Scale, whole.Panels[0].Scale)
	}
	if _, ok := zoom.Item("main-shaft"); ok {
		t.Error("main shaft on the countershaft's picture")
	}
	for _, it := range Draw(ix, "bw76", "bw76-lw2", Options{Shaft: "input"}).Items {
		if pos, _ := ix.Position("bw76", it.Position); pos.Shaft != "input" && !it.Nested {
			t.Errorf("%s on the input shaft's picture", it.Position)
		}
	}
	if _, ok := zoom.Item("cs-rear-locating-ring"); !ok {
		t.Error("locating ring is not at its bearing")
	}
}

// Parts without a place of their own are drawn inside or upon their host.
func TestNestedPartsFindTheirHost(t *testing.T) {
	ix := shop(t)
	tr := newTrain(ix, "bw76", "bw76-lw2")
	want := map[catalog.PositionID]catalog.PositionID{
		"hub-12": "sleeve-12", "hub-34": "sleeve-34", "hub-5r": "sleeve-5r", "keys-34": "sleeve-34",
		"needle-1st": "gear-1st", "needle-5th": "gear-5th", "needle-rev": "rev-gear", "inner-sleeve-1st": "gear-1st",
		"pilot-bearing": "input-shaft", "rev-idler-bush": "rev-idler", "input-locating-ring": "input-bearing",
		"main-locating-ring": "main-bearing", "cs-rear-locating-ring": "cs-rear-bearing",
	}
	hosts := map[catalog.PositionID]catalog.PositionID{}
	for _, p := range tr.pieces {
		if p.host != nil {
			hosts[p.pos.ID] = p.host.pos.ID
		}
	}
	for p, h := range want {
		if hosts[p] != h {
			t.Errorf("%s is drawn at %q, not at %s", p, hosts[p], h)
		}
	}
}
