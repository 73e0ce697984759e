package identify

import (
	"fmt"
	"math"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// channel is an observation reduced to bins: how much of the posterior expects
// each bin, and how a reading strays from the bin that is true. All true bins
// stray alike, which makes the information an entropy less a constant.
type channel struct {
	mass    []float64 // by bin
	unknown float64   // mass that expects nothing in particular
	kernel  []float64 // chance of straying by -r..r bins; odd length
	other   float64   // chance of any of the outcomes at all
	outcome int       // how many outcomes there are

	origin, width float64 // of bins, for sizes and turning
	marks         []string
}

// maxBins bounds the bins of a size; finer sizes share bins.
const maxBins = 1 << 14

// channel of a place. Errors with a structure (neighbour wheels, exchanged
// pairs, other speeds) count as "other" here, so a gain is a little understated.
func (p *place) channel(families []*family) *channel {
	if p.wheel {
		return countChannel(toothKernel(CareMarked), maxTeeth+1)
	}
	switch p.kind {
	case catalog.FeatureCount:
		return countChannel(table.counting("count", p.feature.Feature), maxCount+1)
	case catalog.FeatureYesNo:
		e := p.feature.wrong()
		return &channel{mass: make([]float64, 2), kernel: []float64{1 - 2*e}, other: 2 * e, outcome: 2, marks: []string{"no", "yes"}}
	case catalog.FeatureMark:
		return p.markChannel(families)
	}
	low, high := p.bounds(families)
	ch := &channel{width: p.feature.resolution(), origin: low}
	if n := (high - low) / ch.width; n > maxBins {
		ch.width = (high - low) / maxBins
	}
	n := 1
	if high > low {
		n += int(math.Ceil((high - low) / ch.width))
	}
	ch.mass = make([]float64, n)
	ch.other = table["size/exchanged"] + table["size/other"]
	if p.kind == catalog.FeatureRatio {
		ch.other = table["turning/turn"] + table["turning/speed"] + table["turning/other"]
	}
	ch.other *= scale(p.feature.Feature, ch.other)
	ch.kernel = bell(1 - ch.other)
	ch.outcome = 2*n + len(ch.kernel)
	return ch
}

func countChannel(k countKernel, n int) *channel {
	return &channel{
		mass:   make([]float64, n),
		kernel: []float64{k.two / 2, k.one / 2, k.exact, k.one / 2, k.two / 2},
		other:  k.neighbour + k.dog + k.other, outcome: n + 4,
	}
}

func (p *place) markChannel(families []*family) *channel {
	ch := &channel{}
	seen := map[string]bool{}
	for _, fm := range families {
		if !p.in(fm) {
			continue
		}
		for _, v := range p.at(fm).distinct {
			if k := catalog.Normal(v.Text); !seen[k] {
				seen[k] = true
				ch.marks = append(ch.marks, v.Text)
			}
		}
	}
	n := len(ch.marks) + 1
	e := p.feature.wrong()
	ch.mass, ch.outcome = make([]float64, n), n
	// other is spread over the right mark too.
	ch.other = min(1, e*float64(n)/float64(n-1+b2i(n == 1)))
	ch.kernel = []float64{1 - ch.other}
	return ch
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}

// bell is a normal distribution in bins of one standard deviation.
func bell(sum float64) []float64 {
	k := make([]float64, 9)
	all := 0.0
	for i := range k {
		z := float64(i - 4)
		k[i] = math.Exp(-z * z / 2)
		all += k[i]
	}
	for i := range k {
		k[i] *= sum / all
	}
	return k
}

// expected value of a row in the feature's unit; ok is false when not known.
func (ft *feature) expected(row int) (x float64, ok bool) {
	if ft.ratios != nil {
		r := ft.ratios[row]
		return suggestedTurns / r, r > 0
	}
	v := ft.value(row)
	return v.Length().Millimetres(), v.Stated()
}

func (p *place) bounds(families []*family) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, fm := range families {
		if !p.in(fm) {
			continue
		}
		ft := p.at(fm)
		for row := range fm.variants {
			if x, ok := ft.expected(row); ok {
				low, high = min(low, x), max(high, x)
			}
		}
	}
	if low > high {
		return 0, 0
	}
	return low, high
}

// spread adds the posterior of a family's variants to the bins they expect.
func (p *place) spread(ch *channel, fm *family, posterior []float64) {
	if p.wheel {
		for row, z := range fm.teeth[fm.wheel(p.id)] {
			ch.add(int(z), z > 0, posterior[row])
		}
		return
	}
	ft := p.at(fm)
	if p.kind == catalog.FeatureRatio {
		for row, m := range posterior {
			x, ok := ft.expected(row)
			ch.add(ch.bin(x), ok, m)
		}
		return
	}
	bins := ch.bins(ft)
	for row, k := range ft.cells {
		if k >= 0 {
			ch.add(bins[k], true, posterior[row])
		} else {
			ch.add(0, false, posterior[row])
		}
	}
}

// bin of a size or of output turns.
func (ch *channel) bin(x float64) int { return int(math.Round((x - ch.origin) / ch.width)) }

// bins of a feature's distinct values.
func (ch *channel) bins(ft *feature) []int {
	markAt := make(map[string]int, len(ch.marks))
	for i, m := range ch.marks {
		markAt[catalog.Normal(m)] = i
	}
	out := make([]int, len(ft.distinct))
	for i, v := range ft.distinct {
		switch ft.Kind {
		case catalog.FeatureSize:
			out[i] = ch.bin(v.Length().Millimetres())
		case catalog.FeatureMark:
			out[i] = markAt[catalog.Normal(v.Text)]
		default:
			out[i] = int(v.Number)
		}
	}
	return out
}

func (ch *channel) add(bin int, known bool, mass float64) {
	if !known || bin < 0 || bin >= len(ch.mass) {
		ch.unknown += mass
		return
	}
	ch.mass[bin] += mass
}

// information in bits between outcome and variant, for masses that add up to
// share.
func (ch *channel) information(share float64) float64 {
	if share <= 0 {
		return 0
	}
	r := len(ch.kernel) / 2
	p := make([]float64, len(ch.mass)+2*r)
	known := 0.0
	for i, m := range ch.mass {
		if m == 0 {
			continue
		}
		known += m / share
		for d, k := range ch.kernel {
			p[i+d] += m / share * k
		}
	}
	unknown := ch.unknown / share
	floor := (ch.other*known + unknown) / float64(ch.outcome)
	entropy, untouched := 0.0, float64(ch.outcome)
	for _, x := range p {
		if x > 0 {
			entropy += plogp(x + floor)
			untouched--
		}
	}
	entropy += max(0, untouched) * plogp(floor)
	given, rest := 0.0, ch.other/float64(ch.outcome)
	for _, k := range ch.kernel {
		given += plogp(k + rest)
	}
	given += float64(max(0, ch.outcome-len(ch.kernel))) * plogp(rest)
	return max(0, entropy-known*given-unknown*math.Log2(float64(ch.outcome)))
}

// plogp is -p log2 p.
func plogp(p float64) float64 {
	if p <= 0 {
		return 0
	}
	return -p * math.Log2(p)
}

// text of a bin as a person would record it.
func (ch *channel) text(p *place, bin int) string {
	switch {
	case ch.marks != nil && bin < len(ch.marks):
		return ch.marks[bin]
	case p.kind == catalog.FeatureRatio:
		return fmt.Sprintf("%.2f output turns", ch.origin+float64(bin)*ch.width)
	case p.kind == catalog.FeatureSize:
		return quantity.Length(math.Round((ch.origin+float64(bin)*ch.width)*100) * 1e4).String()
	default:
		return fmt.Sprint(bin)
	}
}
