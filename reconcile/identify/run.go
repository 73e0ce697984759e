package identify

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"layshaft/catalog"
)

// Run answers which variant the evidence points to. For many questions on one
// catalogue revision build a Model once.
func Run(ix *catalog.Index, in Input) Result { return NewModel(ix).Run(in) }

// candidate is one variant while it is weighed.
type candidate struct {
	family *family
	row    int
	// log is the log-likelihood and logPrior the log-prior in units of 2^-40.
	log, logPrior int64
	posterior     float64
	// alike is the fingerprint of all factors: equal for candidates that the
	// evidence cannot tell apart.
	alike uint64
}

func (c *candidate) id() catalog.VariantID { return c.family.variants[c.row].ID }

// Run answers which variant the evidence points to.
func (m *Model) Run(in Input) Result {
	families, problems := m.choose(in)
	obs, more := check(families, in)
	problems = append(problems, more...)
	w := weigh(families, obs, in.Prior)
	res := Result{None: w.none, NonePermille: permille(w.none), Problems: problems}
	res.Ranked = make([]Variant, len(w.ranked))
	for i := range w.ranked {
		c := &w.ranked[i]
		res.Ranked[i] = Variant{ID: c.id(), Family: c.family.ID, Posterior: c.posterior, Permille: permille(c.posterior)}
		if i < Detailed {
			res.Ranked[i].Speeds = c.family.exactRatios(c.row)
			res.Ranked[i].Contradictions = contradictions(c, obs)
		}
	}
	if len(res.Ranked) > 0 {
		res.Contradictions = res.Ranked[0].Contradictions
		res.Problems = append(res.Problems, sumProblems(w.ranked[0].family, obs)...)
	}
	res.Groups = groups(w.ranked)
	res.Next = suggestions(families, &w, obs, in)
	return res
}

// choose the families to consider.
func (m *Model) choose(in Input) ([]*family, []Problem) {
	if len(m.families) == 0 {
		return nil, []Problem{{Code: "no-variants", Evidence: -1, Cause: "The catalogue holds no variants.", Remedy: "Record the family and its variants first."}}
	}
	if in.Family == "" {
		return m.families, nil
	}
	for _, fm := range m.families {
		if fm.ID == in.Family {
			return []*family{fm}, nil
		}
	}
	return m.families, []Problem{{Code: "unknown-family", Evidence: -1, Place: string(in.Family),
		Cause:  fmt.Sprintf("The catalogue has no family %q with variants; all families were considered.", in.Family),
		Remedy: "Choose one of the catalogue's families."}}
}

// weighed is the posterior over all candidates.
type weighed struct {
	ranked []candidate
	none   float64
}

// weigh applies Bayes' rule.
func weigh(families []*family, obs []observed, prior map[catalog.VariantID]int) weighed {
	n, jobs := 0, 0
	for _, fm := range families {
		n += len(fm.variants)
		for _, v := range fm.variants {
			jobs += max(0, prior[v.ID])
		}
	}
	w := weighed{ranked: make([]candidate, 0, n), none: 1}
	if n == 0 {
		return w
	}
	priorNone := table["none/prior"]
	for _, fm := range families {
		first := len(w.ranked)
		for row, v := range fm.variants {
			// One job more than seen keeps a variant that was never here possible.
			p := (1 - priorNone) * float64(max(0, prior[v.ID])+1) / float64(jobs+n)
			w.ranked = append(w.ranked, candidate{family: fm, row: row, logPrior: logOf(p)})
		}
		fm.score(w.ranked[first:], obs)
	}
	logNone := logOf(priorNone)
	for _, o := range obs {
		logNone += logOf(o.none)
	}
	w.normalise(logNone)
	w.sort()
	return w
}

// sort by falling posterior, ties by id. Sorting small keys is several times
// faster than sorting candidates.
func (w *weighed) sort() {
	type key struct {
		sum       int64
		order, at int32
	}
	keys := make([]key, len(w.ranked))
	for i := range w.ranked {
		c := &w.ranked[i]
		keys[i] = key{c.log + c.logPrior, int32(c.family.order[c.row]), int32(i)}
	}
	slices.SortFunc(keys, func(a, b key) int {
		if a.sum != b.sum {
			return cmp.Compare(b.sum, a.sum)
		}
		return cmp.Compare(a.order, b.order)
	})
	sorted := make([]candidate, len(keys))
	for i, k := range keys {
		sorted[i] = w.ranked[k.at]
	}
	w.ranked = sorted
}

// score adds the log-likelihood of every factor to the family's candidates.
func (fm *family) score(cs []candidate, obs []observed) {
	for _, f := range fm.factors(obs) {
		for i := range cs {
			l := logOf(f(cs[i].row))
			cs[i].log += l
			cs[i].alike = mix(cs[i].alike, l)
		}
	}
}

// mix folds one more number into a 64 bit fingerprint (the finaliser of
// splitmix64).
func mix(h uint64, l int64) uint64 {
	h = (h + uint64(l)) + 0x9e3779b97f4a7c15
	h = (h ^ h>>30) * 0xbf58476d1ce4e5b9
	h = (h ^ h>>27) * 0x94d049bb133111eb
	return h ^ h>>31
}

// normalise turns logarithms into probabilities that add up to 1 with none.
func (w *weighed) normalise(logNone int64) {
	top := logNone
	for i := range w.ranked {
		top = max(top, w.ranked[i].log+w.ranked[i].logPrior)
	}
	sum := math.Exp(float64(logNone-top) / logUnit)
	w.none = sum
	for i := range w.ranked {
		c := &w.ranked[i]
		c.posterior = math.Exp(float64(c.log+c.logPrior-top) / logUnit)
		sum += c.posterior
	}
	w.none /= sum
	for i := range w.ranked {
		w.ranked[i].posterior /= sum
	}
}

func permille(p float64) int { return int(math.Round(p * 1000)) }
