package catalog

import (
	"layshaft/catalog/gearing"
	"layshaft/catalog/quantity"
)

// checkSums reports pairs whose tooth sum does not suit the centre distance,
// and pairs of one tooth form whose sums lie further apart than profile shift
// makes up for.
func checkSums(k *checkup) {
	judged := judgedSums{}
	for _, v := range k.ix.variants {
		f, ok := k.ix.Family(v.Family)
		if !ok {
			continue
		}
		forms := map[formOf][]pairSum{}
		for _, m := range f.Meshes {
			p, ok := k.pairSum(v, f, m)
			if !ok {
				continue
			}
			k.judgeSum(v, m, p, judged)
			if p.centre == f.CentreDistance {
				at := formOf{m.NormalModule, m.Helix}
				forms[at] = append(forms[at], p)
			}
		}
		for _, pairs := range forms {
			k.judgeSpread(v, pairs)
		}
	}
}

// formOf is the tooth form of a mesh as far as it is known.
type formOf struct {
	module quantity.Length
	helix  quantity.Angle
}

type pairSum struct {
	mesh   string
	sum    int
	centre quantity.Length
}

// pairSum of a mesh without idler and with known module and counts.
func (k *checkup) pairSum(v *Variant, f *Family, m *Mesh) (pairSum, bool) {
	a, okA := k.ix.Teeth(v.ID, m.Driving)
	b, okB := k.ix.Teeth(v.ID, m.Driven)
	if !okA || !okB || len(m.Idler) > 0 || m.NormalModule <= 0 {
		return pairSum{}, false
	}
	p := pairSum{mesh: m.ID, sum: a + b, centre: m.CentreDistance}
	if p.centre == 0 {
		p.centre = f.CentreDistance
	}
	return p, true
}

// judgedSums remembers verdicts: variants of a family share most of theirs, and
// a verdict is dear.
type judgedSums map[sumCase]sumVerdict

type sumCase struct {
	tooth  gearing.Tooth
	sum    int
	centre quantity.Length
}

type sumVerdict struct {
	gearing.SumVerdict
	err error
}

func (j judgedSums) judge(c sumCase) (gearing.SumVerdict, error) {
	v, ok := j[c]
	if !ok {
		v.SumVerdict, v.err = gearing.JudgeSum(c.tooth, c.sum, c.centre)
		j[c] = v
	}
	return v.SumVerdict, v.err
}

func (k *checkup) judgeSum(v *Variant, m *Mesh, p pairSum, judged judgedSums) {
	at := fault{"tooth-sum", "mesh " + m.ID, "Count both wheels again, or correct module, helix or centre distance"}
	verdict, err := judged.judge(sumCase{gearing.Tooth{NormalModule: m.NormalModule, Helix: m.Helix}, p.sum, p.centre})
	switch {
	case err != nil:
		k.severe(v, at, "The tooth sum %d of mesh %s can't be judged: %v.", p.sum, m.ID, err)
	case verdict.Suits == gearing.SuitsNot:
		k.severe(v, at, "The tooth sum %d of mesh %s does not fill %v with module %v; %d to %d would.",
			p.sum, m.ID, p.centre, m.NormalModule, verdict.Low, verdict.High)
	case verdict.Suits == gearing.SuitsBadly:
		k.hint(v, at, "The tooth sum %d of mesh %s fills %v only with an unusual profile shift; %d to %d are likelier.",
			p.sum, m.ID, p.centre, verdict.Low, verdict.High)
	}
}

// widestSpread of the sums of pairs of one tooth form (from memory).
const widestSpread = 2

func (k *checkup) judgeSpread(v *Variant, pairs []pairSum) {
	low, high := pairs[0], pairs[0]
	for _, p := range pairs {
		if p.sum < low.sum {
			low = p
		}
		if p.sum > high.sum {
			high = p
		}
	}
	if high.sum-low.sum > widestSpread {
		k.hint(v, fault{"tooth-sum-spread", "mesh " + high.mesh, "Count the wheels of both pairs again"},
			"Meshes %s and %s have the same tooth form and distance, but the tooth sums %d and %d.", low.mesh, high.mesh, low.sum, high.sum)
	}
}
