package reconcile

import (
	"cmp"
	"slices"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
	"layshaft/reconcile/measure"
)

// StackState is what a job's measurements say about one select-fit stack.
type StackState struct {
	Stack *catalog.Stack
	// Readings is the measurement whose readings count, Choice the one whose
	// grades count: the latest of each by date, then by id. Nil when there is none.
	Readings, Choice *Measurement
	// Result of the readings; nil without readings.
	Result *measure.StackResult
	// Open: the part that sets the stack is in demand and its grade is not
	// settled.
	Open bool
}

// Void says why the readings can't be used; false when they can, or when there
// are none.
func (s *StackState) Void() (measure.Refusal, bool) {
	if s.Result == nil || len(s.Result.Refusals) == 0 {
		return measure.Refusal{}, false
	}
	return s.Result.Refusals[0], true
}

// Outside reports that the grades chosen give a play outside the window.
func (s *StackState) Outside() bool {
	return s.Result != nil && s.Result.Chosen != nil && !s.Result.Chosen.Inside
}

// Closed reports that grades are chosen and nothing speaks against them. Void
// readings never close a stack, nor do grades outside the window.
func (s *StackState) Closed() bool {
	_, void := s.Void()
	return s.Choice != nil && !void && !s.Outside()
}

// Grades that were chosen, one entry a piece; nil when none were.
func (s *StackState) Grades() []catalog.PartID {
	if s.Choice == nil {
		return nil
	}
	return s.Choice.Grades
}

// best is the grade, or the pieces, that the readings ask for.
func (s *StackState) best() (measure.Candidate, bool) {
	if s == nil || s.Result == nil {
		return measure.Candidate{}, false
	}
	return s.Result.Best()
}

// Inspection is what a job's measurements say about one limit.
type Inspection struct {
	Limit *catalog.Limit
	// Measurement that counts: the latest with readings, by date, then by id.
	Measurement *Measurement
	Result      measure.InspectResult
}

// latest orders measurements by date, then by id; those without a date first.
func latest(all []*Measurement) []*Measurement {
	return slices.SortedStableFunc(slices.Values(all), func(a, b *Measurement) int {
		return cmp.Or(a.Date.Compare(b.Date), cmp.Compare(a.ID, b.ID))
	})
}

// gauge of a measurement, as far as it is recorded.
func (m *Measurement) gauge() measure.Instrument {
	return measure.Instrument{Name: m.Instrument, Resolution: m.Resolution, Certificate: m.Certificate, Pooled: m.Pooled}
}

// measured reports whether the record holds any reading.
func (m *Measurement) measured() bool {
	return slices.ContainsFunc(m.Readings, func(r *Reading) bool { return r != nil && len(r.Values) > 0 })
}

func (m *Measurement) series() []measure.Reading {
	var out []measure.Reading
	for _, r := range m.Readings {
		if r != nil {
			out = append(out, measure.Reading{Name: r.Name, Values: r.Values})
		}
	}
	return out
}

// stackState puts a stack's measurements together. Accept are the grades that go
// with their neighbours; without them those like the standard part are taken.
func stackState(ix *catalog.Index, job *Job, variants []catalog.VariantID, st *catalog.Stack, accept []catalog.PartID) *StackState {
	s := &StackState{Stack: st}
	for _, m := range latest(job.Measurements) {
		if m.Stack != st.ID {
			continue
		}
		if m.measured() {
			s.Readings = m
		}
		if len(m.Grades) > 0 {
			s.Choice = m
		}
	}
	if s.Readings == nil {
		return s
	}
	grades := Grades(ix, variants, st, append(slices.Clone(s.Grades()), accept...))
	r := measure.Stack(measure.StackInput{Stack: st, Readings: s.Readings.series(), Instrument: s.Readings.gauge(),
		Grades: onTheShelf(grades, job.Goods), Chosen: s.Grades()})
	s.Result = &r
	return s
}

// onTheShelf notes the stock of grades that the job has goods of; the stock of
// the others is not known.
func onTheShelf(grades []measure.Grade, goods []*Goods) []measure.Grade {
	for i := range grades {
		for _, g := range goods {
			if g.Part != grades[i].Part || g.Source == FromOrder {
				continue
			}
			n := g.Pieces
			if grades[i].Stock != nil {
				n += *grades[i].Stock
			}
			grades[i].Stock = &n
		}
	}
	return grades
}

// Grades are the parts that can set a stack, by thickness: the parts named, and
// what fits the position of the variants and is like the first of them (else
// like the standard part) in every other size. Prices are the least unit prices
// offered in the shop's currency.
func Grades(ix *catalog.Index, variants []catalog.VariantID, st *catalog.Stack, named []catalog.PartID) []measure.Grade {
	var out []measure.Grade
	seen := map[catalog.PartID]bool{}
	currency := ix.Currency()
	add := func(id catalog.PartID) {
		a, ok := ix.Attribute(id, catalog.KeyThickness, "")
		if seen[id] || !ok || a.Value.Kind != catalog.KindLength {
			return
		}
		seen[id] = true
		out = append(out, measure.Grade{Part: id, Thickness: a.Value.Length(), Price: leastPrice(ix, id, currency)})
	}
	for _, id := range named {
		add(id)
	}
	var like catalog.PartID
	if len(named) > 0 {
		like = named[0]
	}
	for _, v := range variants {
		if like == "" {
			if p, ok := ix.Standard(v, st.Position); ok {
				like = p.ID
			}
		}
		for _, f := range ix.Fits(v, st.Position) {
			if f.Standing != catalog.Doubted && alikeBut(ix, f.Part, like) {
				add(f.Part)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b measure.Grade) int {
		return cmp.Or(cmp.Compare(a.Thickness, b.Thickness), cmp.Compare(a.Part, b.Part))
	})
	return out
}

// alikeBut: two parts agree in every length that both state, the thickness
// apart: a ring for another shaft is no grade.
func alikeBut(ix *catalog.Index, a, b catalog.PartID) bool {
	for _, x := range ix.Attributes(a) {
		if x.Name == catalog.KeyThickness || x.Value.Kind != catalog.KindLength {
			continue
		}
		if y, ok := ix.Attribute(b, x.Name, x.At); ok && y.Value != x.Value {
			return false
		}
	}
	return true
}

// leastPrice of one piece in a currency; the zero Money when none is offered.
func leastPrice(ix *catalog.Index, id catalog.PartID, currency string) quantity.Money {
	var least quantity.Money
	for _, o := range ix.Offers(id) {
		if len(o.Breaks) == 0 || o.Breaks[0].Price.Currency != currency || o.Pack > 1 {
			continue
		}
		if p := o.Breaks[0].Price; least.Currency == "" || p.Minor < least.Minor {
			least = p
		}
	}
	return least
}

// inspection judges the latest readings of a limit; nil when there are none.
// Earlier ones of this job and before are the past of the wear trend.
func inspection(job *Job, l *catalog.Limit, before []measure.Earlier) *Inspection {
	var all []*Measurement
	for _, m := range latest(job.Measurements) {
		if m.Limit == l.ID && m.measured() {
			all = append(all, m)
		}
	}
	if len(all) == 0 {
		return nil
	}
	in := &Inspection{Limit: l, Measurement: all[len(all)-1]}
	past := slices.Clone(before)
	for _, m := range all[:len(all)-1] {
		past = append(past, m.earlier())
	}
	in.Result = measure.Inspect(measure.InspectInput{Limit: l, Values: in.Measurement.values(),
		Instrument: in.Measurement.gauge(), Date: in.Measurement.Date, Before: past})
	return in
}

// values of all series of a measurement, in order.
func (m *Measurement) values() []string {
	var out []string
	for _, r := range m.Readings {
		if r != nil {
			out = append(out, r.Values...)
		}
	}
	return out
}

func (m *Measurement) earlier() measure.Earlier {
	return measure.Earlier{Date: m.Date, Values: m.values()}
}

// Stacks says what the job's measurements come to, for every stack of its family
// that is open or measured, in the order of the catalogue. Report is the job's.
func (d *Desk) Stacks(job *Job, report *Report) []*StackState {
	var out []*StackState
	variants := jobVariants(d.index, job.Head)
	for _, st := range d.index.Stacks(job.Family) {
		var accept []catalog.PartID
		open := false
		for _, need := range report.Demands {
			if need.Position == st.Position && need.Open {
				open, accept = true, need.Accept
			}
		}
		s := stackState(d.index, job, variants, st, accept)
		s.Open = open
		if open || s.Readings != nil || s.Choice != nil {
			out = append(out, s)
		}
	}
	return out
}

// Inspections judges every limit that the job has readings for. Before are
// readings of the same gearbox on earlier jobs, by limit.
func (d *Desk) Inspections(job *Job, before map[string][]measure.Earlier) []*Inspection {
	var out []*Inspection
	for _, p := range d.index.Positions(job.Family) {
		for _, l := range d.index.Limits(job.Family, p.ID) {
			if in := inspection(job, l, before[l.ID]); in != nil {
				out = append(out, in)
			}
		}
	}
	return out
}
