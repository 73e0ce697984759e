package identify

import (
	"math"

	"layshaft/catalog"
)

// leastGroup is the posterior below which a group is not named.
const leastGroup = 0.001

// groups collects the candidates that no factor of the evidence tells apart.
// They come out in the order of their likeliest member.
func groups(ranked []candidate) []Group {
	type name struct {
		family *family
		alike  uint64
	}
	at := map[name]int{}
	var members [][]*candidate
	for i := range ranked {
		c := &ranked[i]
		n := name{c.family, c.alike}
		k, ok := at[n]
		if !ok {
			// So unlikely a leader cannot head a group that is worth naming.
			if c.posterior*float64(len(ranked)) < leastGroup {
				continue
			}
			k = len(members)
			at[n] = k
			members = append(members, nil)
		}
		members[k] = append(members[k], c)
	}
	var out []Group
	for _, cs := range members {
		if len(cs) < 2 {
			continue
		}
		g := Group{}
		for _, c := range cs {
			g.Variants = append(g.Variants, c.id())
			g.Posterior += c.posterior
		}
		if g.Posterior < leastGroup {
			continue
		}
		g.Permille = permille(g.Posterior)
		g.Inseparable = inseparable(cs)
		out = append(out, g)
	}
	return out
}

// inseparable reports whether all values known of these variants of one family
// agree, so that nothing in the catalogue tells them apart.
func inseparable(cs []*candidate) bool {
	fm := cs[0].family
	for w := range fm.teeth {
		seen := 0
		for _, c := range cs {
			z := fm.count(w, c.row)
			if z > 0 && seen > 0 && z != seen {
				return false
			}
			seen = max(seen, z)
		}
	}
	for _, ft := range fm.features {
		if ft.separates(cs) {
			return false
		}
	}
	return true
}

// separates reports whether two of the variants differ in the feature by more
// than its reading error.
func (ft *feature) separates(cs []*candidate) bool {
	low, high := math.Inf(1), math.Inf(-1)
	var first catalog.Value
	for _, c := range cs {
		switch {
		case ft.ratios != nil:
			if r := ft.ratios[c.row]; r > 0 {
				low, high = min(low, suggestedTurns/r), max(high, suggestedTurns/r)
			}
			continue
		case ft.cells[c.row] < 0:
			continue
		}
		v := ft.value(c.row)
		switch ft.Kind {
		case catalog.FeatureSize:
			mm := v.Length().Millimetres()
			low, high = min(low, mm), max(high, mm)
		case catalog.FeatureCount:
			low, high = min(low, float64(v.Number)), max(high, float64(v.Number))
		default:
			if first.Stated() && !sameValue(first, v) {
				return true
			}
			first = v
		}
	}
	return high-low > 2*ft.resolution()
}

// suggestedTurns of the input when a speed is turned.
const suggestedTurns = 10

// resolution is the reading's standard deviation in the feature's own unit:
// output turns, millimetres, or nothing for counts.
func (ft *feature) resolution() float64 {
	switch ft.Kind {
	case catalog.FeatureRatio:
		return table["turning/sigma-degrees"] / 360
	case catalog.FeatureSize:
		return ft.sigma()
	default:
		return 0
	}
}
