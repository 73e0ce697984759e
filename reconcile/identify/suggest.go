package identify

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"layshaft/catalog"
)

// Efforts in minutes where the catalogue states none (from memory), and the
// gain below which an observation is not worth naming.
const (
	effortClosedWheel = 10
	effortOpenWheel   = 5
	effortFeature     = 5
	effortOpening     = 60
	leastGain         = 0.01
	closedFirstGain   = 0.1
	mostSuggestions   = 10
)

// place is something that can be observed, over all families that have it.
type place struct {
	id         string
	wheel      bool
	kind       catalog.FeatureKind
	label      string
	caseClosed bool
	effort     int
	assumed    bool // the catalogue states no effort
	speed      string
	feature    *feature // in the family with most of the mass
}

// suggestions ranks the observations worth making next.
func suggestions(families []*family, w *weighed, obs []observed, in Input) []Suggestion {
	mass := make(map[*family]float64, len(families))
	rows := make(map[*family][]float64, len(families))
	for _, fm := range families {
		rows[fm] = make([]float64, len(fm.variants))
	}
	for i := range w.ranked {
		c := &w.ranked[i]
		mass[c.family] += c.posterior
		rows[c.family][c.row] = c.posterior
	}
	byMass := slices.Clone(families)
	slices.SortStableFunc(byMass, func(a, b *family) int { return cmp.Compare(mass[b], mass[a]) })
	seen := map[string]bool{}
	for _, o := range obs {
		seen[o.key()] = true
	}
	var out []Suggestion
	for _, p := range places(byMass) {
		s := p.suggest(byMass, rows, mass, w.none)
		if seen[p.key()] {
			if !p.repeatable() {
				continue
			}
			// The same eyes tend to repeat an error: half the gain (from memory).
			s.Repeat, s.Gain = true, s.Gain/2
			s.Text = "Again: " + s.Text
		}
		if s.Gain >= leastGain {
			out = append(out, s)
		}
	}
	slices.SortStableFunc(out, func(a, b Suggestion) int { return cmp.Compare(b.worth(in.CaseOpen), a.worth(in.CaseOpen)) })
	return out[:min(len(out), mostSuggestions)]
}

// key is the same for all evidence on one place, and for the place.
func (o *observed) key() string {
	if o.Wheel != "" {
		return "wheel " + o.Wheel
	}
	return "feature " + o.Feature
}

func (p *place) key() string {
	switch {
	case p.wheel:
		return "wheel " + p.id
	case p.kind == catalog.FeatureRatio:
		return "feature " + p.speed
	default:
		return "feature " + p.id
	}
}

// at is the place's feature in a family, which may call the turning of a speed
// something else.
func (p *place) at(fm *family) *feature {
	if p.kind == catalog.FeatureRatio {
		return fm.feature(p.speed)
	}
	return fm.feature(p.id)
}

// worth orders suggestions: information per minute; with the case closed, what
// can be seen from outside comes first if it says anything much.
func (s Suggestion) worth(caseOpen bool) float64 {
	effort := float64(s.Effort)
	if !caseOpen && !s.CaseClosed && s.effortAssumed {
		effort += effortOpening // an effort that the catalogue states holds it already
	}
	worth := s.Gain / effort
	if !caseOpen && s.CaseClosed && s.Gain >= closedFirstGain {
		worth += 1e3
	}
	return worth
}

func (p *place) repeatable() bool {
	return p.wheel || p.kind == catalog.FeatureRatio || p.kind == catalog.FeatureCount
}

// places of all families; the first family that has one describes it.
func places(families []*family) []*place {
	var out []*place
	seen := map[string]bool{}
	add := func(p *place) {
		if k := p.key(); !seen[k] {
			seen[k] = true
			out = append(out, p)
		}
	}
	for _, fm := range families {
		for _, wh := range fm.Wheels {
			effort := effortOpenWheel
			if wh.CaseClosed {
				effort = effortClosedWheel
			}
			add(&place{id: wh.ID, wheel: true, label: wh.Label, caseClosed: wh.CaseClosed, effort: effort, assumed: true})
		}
		for _, ft := range fm.features {
			p := &place{id: ft.ID, kind: ft.Kind, label: ft.Label, caseClosed: ft.CaseClosed, effort: ft.Effort, speed: ft.Speed, feature: ft}
			if p.effort <= 0 {
				p.effort, p.assumed = effortFeature, true
			}
			add(p)
		}
	}
	return out
}

func (p *place) suggest(families []*family, rows map[*family][]float64, mass map[*family]float64, none float64) Suggestion {
	s := Suggestion{Label: p.label, Effort: p.effort, CaseClosed: p.caseClosed, effortAssumed: p.assumed}
	if p.wheel {
		s.Wheel = p.id
	} else {
		s.Feature = p.id
	}
	ch := p.channel(families)
	share := none
	ch.unknown = none
	for _, fm := range families {
		if p.in(fm) {
			share += mass[fm]
			p.spread(ch, fm, rows[fm])
		}
	}
	s.Gain = share * ch.information(share)
	s.Text = p.task()
	if s.Gain >= leastGain {
		s.Why = ch.why(p)
	}
	return s
}

func (p *place) in(fm *family) bool {
	if p.wheel {
		return fm.wheel(p.id) >= 0
	}
	ft := p.at(fm)
	return ft != nil && ft.Kind == p.kind
}

func (p *place) task() string {
	switch {
	case p.wheel:
		return "Count the teeth of " + p.label + ", with the start tooth marked"
	case p.kind == catalog.FeatureRatio:
		return fmt.Sprintf("Engage %s, turn the input %d times and read the output turns", p.speed, suggestedTurns)
	case p.kind == catalog.FeatureCount:
		return "Count: " + p.label
	case p.kind == catalog.FeatureSize:
		return "Measure: " + p.label
	case p.kind == catalog.FeatureYesNo:
		return "Look: " + p.label + ", yes or no"
	default:
		return "Read: " + p.label
	}
}

// why names what the likely variants would show.
func (ch *channel) why(p *place) string {
	type bin struct {
		at   int
		mass float64
	}
	var bins []bin
	known := 0.0
	for i, m := range ch.mass {
		if m > 0 {
			bins = append(bins, bin{i, m})
			known += m
		}
	}
	slices.SortStableFunc(bins, func(a, b bin) int { return cmp.Compare(b.mass, a.mass) })
	var parts []string
	// Shares that would be printed as 0 % say nothing.
	for len(bins) > 1 && bins[len(bins)-1].mass < 0.005*known {
		bins = bins[:len(bins)-1]
	}
	for _, b := range bins[:min(3, len(bins))] {
		parts = append(parts, fmt.Sprintf("%s (%.0f %%)", ch.text(p, b.at), 100*b.mass/known))
	}
	if len(bins) > 3 {
		parts = append(parts, fmt.Sprintf("or %d others", len(bins)-3))
	}
	if len(bins) < 2 {
		return "It shows whether it is one of these variants at all: expected " + strings.Join(parts, ", ") + "."
	}
	return "The variants still likely show " + strings.Join(parts, ", ") + "."
}
