package identify

import (
	"cmp"
	"slices"

	"layshaft/catalog"
	"layshaft/catalog/gearing"
	"layshaft/catalog/quantity"
)

// Model is the catalogue laid out for identification: columns of tooth counts
// and feature values per family. It is immutable and may be used by any number
// of goroutines; build it once per catalogue revision.
type Model struct{ families []*family }

// family is one family's columns; a column has one entry per variant.
type family struct {
	*catalog.Family
	variants []*catalog.Variant
	order    []int // by variant: its place among all variants by id
	wheelAt  map[string]int
	teeth    [][]int32 // by wheel; 0 is not known
	mate     []int     // by wheel; -1 when it has none
	beside   [][]int   // by wheel: wheels next to it on the same part
	features []*feature
	chains   map[string][]link // by speed
}

// link is one mesh of a speed: wheel numbers, -1 for a wheel that is not there.
type link struct {
	driving, driven int
	idlers          []int
}

// feature is a declared feature, or the turning of a speed that the catalogue
// declares no feature for.
type feature struct {
	*catalog.Feature
	// ratios by variant, input turns per output turn, 0 when not known; only for
	// features of that kind.
	ratios []float64
	// distinct values, each once in the order met, and by variant the index of its
	// value, -1 when not known; for all other kinds.
	distinct []catalog.Value
	cells    []int32
	largest  float64 // of the known sizes, in mm
}

// value of a variant; the zero Value when it is not known.
func (ft *feature) value(row int) catalog.Value {
	if k := ft.cells[row]; k >= 0 {
		return ft.distinct[k]
	}
	return catalog.Value{}
}

// NewModel lays out every variant of the catalogue.
func NewModel(ix *catalog.Index) *Model {
	m := &Model{}
	byID := map[catalog.FamilyID]*family{}
	for _, f := range ix.Families() {
		if vs := ix.VariantsOf(f.ID); len(vs) > 0 {
			fm := newFamily(ix, f, vs)
			m.families, byID[f.ID] = append(m.families, fm), fm
		}
	}
	for i, v := range ix.Variants() {
		if fm := byID[v.Family]; fm != nil {
			fm.order = append(fm.order, i)
		}
	}
	return m
}

func newFamily(ix *catalog.Index, f *catalog.Family, vs []*catalog.Variant) *family {
	fm := &family{Family: f, variants: vs, wheelAt: make(map[string]int, len(f.Wheels)), chains: map[string][]link{}}
	for i, w := range f.Wheels {
		fm.wheelAt[w.ID] = i
	}
	fm.fillTeeth()
	fm.fillMeshes()
	fm.fillBeside()
	turned := map[string]bool{}
	for _, ft := range ix.Features(f.ID) {
		if ft.Kind == catalog.FeatureRatio {
			turned[ft.Speed] = true
		}
		fm.features = append(fm.features, fm.newFeature(ft))
	}
	for _, s := range f.Speeds {
		if !turned[s.Name] && len(s.Meshes) > 0 {
			ft := &catalog.Feature{
				ID: s.Name, Family: f.ID, Label: s.Name + " turned", Kind: catalog.FeatureRatio,
				Speed: s.Name, CaseClosed: true, Effort: turningEffort,
			}
			fm.features = append(fm.features, fm.newFeature(ft))
		}
	}
	return fm
}

// fillTeeth spreads the variants' counts over the columns. Counts mostly come
// in the order of the family's wheels, which saves the look-up.
func (fm *family) fillTeeth() {
	n := len(fm.variants)
	cells := make([]int32, n*len(fm.Wheels))
	fm.teeth = make([][]int32, len(fm.Wheels))
	for i := range fm.teeth {
		fm.teeth[i] = cells[i*n : (i+1)*n : (i+1)*n]
	}
	for row, v := range fm.variants {
		next := 0
		for _, t := range v.Teeth {
			w := next
			if w >= len(fm.Wheels) || fm.Wheels[w].ID != t.Wheel {
				known := false
				if w, known = fm.wheelAt[t.Wheel]; !known {
					continue
				}
			}
			if t.Teeth > 0 && t.Teeth <= gearing.MaxTeeth {
				fm.teeth[w][row] = int32(t.Teeth)
			}
			next = w + 1
		}
	}
}

func (fm *family) wheel(id string) int {
	if i, ok := fm.wheelAt[id]; ok {
		return i
	}
	return -1
}

func (fm *family) fillMeshes() {
	fm.mate = make([]int, len(fm.Wheels))
	for i := range fm.mate {
		fm.mate[i] = -1
	}
	links := map[string]link{}
	for _, m := range fm.Meshes {
		l := link{driving: fm.wheel(m.Driving), driven: fm.wheel(m.Driven)}
		for _, id := range m.Idler {
			l.idlers = append(l.idlers, fm.wheel(id))
		}
		links[m.ID] = l
		if l.driving >= 0 && l.driven >= 0 && fm.mate[l.driving] < 0 && fm.mate[l.driven] < 0 {
			fm.mate[l.driving], fm.mate[l.driven] = l.driven, l.driving
		}
	}
	for _, s := range fm.Speeds {
		chain := make([]link, 0, len(s.Meshes))
		for _, id := range s.Meshes {
			l, ok := links[id]
			if !ok {
				l = link{driving: -1, driven: -1}
			}
			chain = append(chain, l)
		}
		fm.chains[s.Name] = chain
	}
}

// fillBeside finds the wheels next to each other on one part, in the order in
// which the family lists them.
func (fm *family) fillBeside() {
	fm.beside = make([][]int, len(fm.Wheels))
	last := map[catalog.PositionID]int{}
	for i, w := range fm.Wheels {
		if w.Position == "" {
			continue
		}
		if j, ok := last[w.Position]; ok {
			fm.beside[i] = append(fm.beside[i], j)
			fm.beside[j] = append(fm.beside[j], i)
		}
		last[w.Position] = i
	}
}

func (fm *family) newFeature(ft *catalog.Feature) *feature {
	out := &feature{Feature: ft}
	if ft.Kind == catalog.FeatureRatio {
		out.ratios = fm.ratiosOf(ft.Speed)
		fm.eachValue(ft, func(row int, v catalog.Value) {
			if out.ratios[row] == 0 {
				if r, err := quantity.ParseRatio(v.Text); err == nil && r.Num() > 0 {
					out.ratios[row] = r.Float64()
				}
			}
		})
		return out
	}
	out.cells = make([]int32, len(fm.variants))
	for row := range out.cells {
		out.cells[row] = -1
	}
	number := numbering{byNumber: map[int64]int32{}, byText: map[string]int32{}, byFold: map[string]int32{}}
	kind, mayBeZero := valueKind(ft.Kind), ft.Kind == catalog.FeatureYesNo || ft.Kind == catalog.FeatureMark
	fm.eachValue(ft, func(row int, v catalog.Value) {
		if v.Kind == kind && (mayBeZero || v.Number > 0) {
			out.cells[row] = number.of(v, &out.distinct)
			out.largest = max(out.largest, v.Length().Millimetres())
		}
	})
	return out
}

// eachValue calls fn for every value of the family's variants. Values mostly
// come in the order of the variants, which saves the look-up.
func (fm *family) eachValue(ft *catalog.Feature, fn func(row int, v catalog.Value)) {
	next := 0
	for _, v := range ft.Values {
		row, ok := next, true
		if row >= len(fm.variants) || fm.variants[row].ID != v.Variant {
			if row, ok = fm.row(v.Variant); !ok {
				continue
			}
		}
		fn(row, v.Value)
		next = row + 1
	}
}

// row of a variant; variants are sorted by id.
func (fm *family) row(id catalog.VariantID) (int, bool) {
	return slices.BinarySearchFunc(fm.variants, id, func(v *catalog.Variant, id catalog.VariantID) int {
		return cmp.Compare(v.ID, id)
	})
}

// numbering gives every distinct value a number; marks that fold alike share
// one.
type numbering struct {
	byNumber map[int64]int32
	byText   map[string]int32 // as written
	byFold   map[string]int32
}

func (n numbering) of(v catalog.Value, distinct *[]catalog.Value) int32 {
	if v.Kind != catalog.KindText {
		k, ok := n.byNumber[v.Number]
		if !ok {
			k = int32(len(*distinct))
			n.byNumber[v.Number] = k
			*distinct = append(*distinct, v)
		}
		return k
	}
	if k, ok := n.byText[v.Text]; ok {
		return k
	}
	fold := catalog.Normal(v.Text)
	k, ok := n.byFold[fold]
	if !ok {
		k = int32(len(*distinct))
		n.byFold[fold] = k
		*distinct = append(*distinct, v)
	}
	n.byText[v.Text] = k
	return k
}

// valueKind of what a feature shows; marks are text.
func valueKind(k catalog.FeatureKind) catalog.ValueKind {
	switch k {
	case catalog.FeatureCount:
		return catalog.KindCount
	case catalog.FeatureSize:
		return catalog.KindLength
	case catalog.FeatureYesNo:
		return catalog.KindYesNo
	default:
		return catalog.KindText
	}
}

// ratiosOf a speed for every variant, as floats for statistics.
func (fm *family) ratiosOf(speed string) []float64 {
	out := make([]float64, len(fm.variants))
	chain, ok := fm.chains[speed]
	if !ok {
		return out
	}
	for row := range out {
		r := 1.0
		for _, l := range chain {
			r *= fm.step(l, row)
		}
		out[row] = r
	}
	return out
}

// step is the ratio of one mesh, 0 when a count is not known.
func (fm *family) step(l link, row int) float64 {
	driving, driven := fm.count(l.driving, row), fm.count(l.driven, row)
	if driving == 0 || driven == 0 {
		return 0
	}
	r := float64(driven) / float64(driving)
	if len(l.idlers) == 2 {
		in, out := fm.count(l.idlers[0], row), fm.count(l.idlers[1], row)
		if in == 0 || out == 0 {
			return 0
		}
		r *= float64(in) / float64(out)
	}
	return r
}

// count of a wheel of a variant, 0 when it is not known.
func (fm *family) count(wheel, row int) int {
	if wheel < 0 {
		return 0
	}
	return int(fm.teeth[wheel][row])
}

// exactRatios of all speeds of a variant.
func (fm *family) exactRatios(row int) []SpeedRatio {
	out := make([]SpeedRatio, 0, len(fm.Speeds))
	for _, s := range fm.Speeds {
		var chain []gearing.Mesh
		for _, l := range fm.chains[s.Name] {
			m := gearing.Mesh{Driving: fm.count(l.driving, row), Driven: fm.count(l.driven, row)}
			for _, i := range l.idlers {
				m.Idlers = append(m.Idlers, fm.count(i, row))
			}
			chain = append(chain, m)
		}
		sr := SpeedRatio{Speed: s.Name}
		if r, err := gearing.Ratio(chain...); err == nil {
			sr.Ratio = r
		}
		out = append(out, sr)
	}
	return out
}

func (fm *family) feature(id string) *feature {
	for _, f := range fm.features {
		if f.ID == id {
			return f
		}
	}
	// A speed's name finds its ratio feature, whatever that is called.
	for _, f := range fm.features {
		if f.Kind == catalog.FeatureRatio && f.Speed == id {
			return f
		}
	}
	return nil
}
