package identify

import (
	"math"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// logUnit is the unit of log-likelihoods: sums of whole units do not depend on
// the order of adding.
const logUnit = 1 << 40

func logOf(p float64) int64 { return int64(math.Round(math.Log(p) * logUnit)) }

// observed is evidence that passed the checks, with its kernels.
type observed struct {
	Evidence
	index  int
	place  string      // as the caller named it
	kernel countKernel // of a tooth count
	// none is the chance of the observation on an unknown box.
	none float64
}

// factor is an independent factor of the likelihood: one observation, or all
// counts of a wheel and its mate. It gives the chance for one variant of the
// family.
type factor func(row int) float64

// factors of the likelihood in one family.
func (fm *family) factors(obs []observed) []factor {
	var out []factor
	byWheel := map[int][]observed{}
	var order []int
	for _, o := range obs {
		if o.Wheel != "" {
			w := fm.wheel(o.Wheel)
			if w < 0 {
				out = append(out, constant(o.none*table["place/missing"]))
				continue
			}
			if len(byWheel[w]) == 0 {
				order = append(order, w)
			}
			byWheel[w] = append(byWheel[w], o)
			continue
		}
		ft := fm.feature(o.Feature)
		if ft == nil || !o.suits(ft) {
			out = append(out, constant(o.none*table["place/missing"]))
			continue
		}
		out = append(out, fm.featureFactor(ft, o))
	}
	done := map[int]bool{}
	for _, w := range order {
		if done[w] {
			continue
		}
		done[w] = true
		mate := fm.mate[w]
		if mate >= 0 {
			done[mate] = true
		}
		out = append(out, fm.pairFactor(w, mate, byWheel[w], byWheel[mate]))
	}
	return out
}

func constant(p float64) factor { return func(int) float64 { return p } }

// pairFactor is the chance of all counts of a wheel and its mate: recorded
// right, or exchanged in the record.
func (fm *family) pairFactor(w, mate int, on, onMate []observed) factor {
	swapped := table["pair/swapped"]
	return func(row int) float64 {
		z, zm := fm.count(w, row), fm.count(mate, row)
		straight := fm.counts(on, w, row) * fm.counts(onMate, mate, row)
		if z == 0 || zm == 0 {
			return straight
		}
		return (1-swapped)*straight + swapped*fm.counts(on, mate, row)*fm.counts(onMate, w, row)
	}
}

// counts is the chance of counts if they were made on wheel w.
func (fm *family) counts(obs []observed, w, row int) float64 {
	p := 1.0
	for i := range obs {
		p *= fm.countChance(&obs[i], w, row)
	}
	return p
}

func (fm *family) countChance(o *observed, w, row int) float64 {
	truth := fm.count(w, row)
	if truth == 0 {
		return o.none
	}
	var near [2]int
	return o.kernel.chance(int(o.Value.Number), truth, fm.near(&near, w, row))
}

// near fills in the known counts of the wheels beside w, at most two.
func (fm *family) near(room *[2]int, w, row int) []int {
	n := 0
	for _, b := range fm.beside[w] {
		if z := fm.count(b, row); z > 0 {
			room[n] = z
			n++
		}
	}
	return room[:n]
}

func (fm *family) countParts(o *observed, w, row int) [countParts]float64 {
	var near [2]int
	return o.kernel.weigh(int(o.Value.Number), fm.count(w, row), fm.near(&near, w, row))
}

var toothKernels = map[Care]countKernel{
	CareUsual:  table.counting("teeth", nil),
	CareMarked: table.counting("teeth-marked", nil),
	CarePhoto:  table.counting("teeth-photo", nil),
}

func toothKernel(c Care) countKernel {
	if k, ok := toothKernels[c]; ok {
		return k
	}
	return toothKernels[CareUsual]
}

// suits reports whether the evidence is of the feature's kind.
func (o *observed) suits(ft *feature) bool {
	if ft.Kind == catalog.FeatureRatio {
		return o.Turns > 0
	}
	return o.Turns == 0 && o.Value.Kind == valueKind(ft.Kind)
}

func (fm *family) featureFactor(ft *feature, o observed) factor {
	if ft.Kind == catalog.FeatureRatio {
		k := fm.turning(ft)
		return func(row int) float64 {
			if ft.ratios[row] == 0 {
				return o.none
			}
			parts := k.weigh(&o, row)
			return total(parts[:])
		}
	}
	chances := ft.chances(o.Value)
	return func(row int) float64 {
		if k := ft.cells[row]; k >= 0 {
			return chances[k]
		}
		return o.none
	}
}

// chances of seeing got where each of the distinct values is the right one; for
// sizes a density per millimetre.
func (ft *feature) chances(got catalog.Value) []float64 {
	out := make([]float64, len(ft.distinct))
	switch ft.Kind {
	case catalog.FeatureCount:
		k := table.counting("count", ft.Feature)
		known := make([]int, len(ft.distinct))
		for i, v := range ft.distinct {
			known[i] = int(v.Number)
		}
		for i := range out {
			out[i] = k.chance(int(got.Number), known[i], known)
		}
	case catalog.FeatureSize:
		ft.sizeChances(got.Length(), out)
	default:
		// Wrong answers are spread over the other one, or over the other marks and
		// "something else".
		wrong, others := ft.wrong(), 1
		if ft.Kind == catalog.FeatureMark {
			others = len(ft.distinct)
		}
		for i, v := range ft.distinct {
			out[i] = wrong / float64(others)
			if sameValue(got, v) {
				out[i] = 1 - wrong
			}
		}
	}
	return out
}

// sizeChances: the size read is right, that of another variant's part, or
// anything between zero and twice the largest known size.
func (ft *feature) sizeChances(got quantity.Length, out []float64) {
	exchanged, other := table["size/exchanged"], table["size/other"]
	s := scale(ft.Feature, exchanged+other)
	exchanged, other = exchanged*s, other*s
	wrong := other / (2 * ft.largest)
	for i, v := range ft.distinct {
		out[i] = normal((got - v.Length()).Millimetres(), ft.sigma())
		wrong += exchanged / float64(len(out)) * out[i]
	}
	for i := range out {
		out[i] = (1-exchanged-other)*out[i] + wrong
	}
}

// wrong is the chance that a yes/no or a mark is not what the variant has.
func (ft *feature) wrong() float64 {
	w := table["mark/wrong"]
	if ft.Kind == catalog.FeatureYesNo {
		w = table["yes/no/wrong"]
	}
	return w * scale(ft.Feature, w)
}

func (ft *feature) sigma() float64 {
	if ft.Sigma > 0 {
		return ft.Sigma.Millimetres()
	}
	return table["size/sigma-mm"]
}

// normal is the density of the normal distribution at d.
func normal(d, sigma float64) float64 {
	z := d / sigma
	return math.Exp(-z*z/2) / (sigma * math.Sqrt(2*math.Pi))
}
