package reconcile

import (
	"cmp"
	"fmt"
	"hash/fnv"
	"slices"
	"strconv"
	"strings"

	"layshaft/catalog"
)

// report puts the result together.
func (w *work) report() *Report {
	r := &Report{
		Job: w.job.ID, Family: w.job.Family, Variant: w.job.Variant,
		CatalogRev: w.ix.Rev(), JobRev: w.job.Rev, Lines: w.lines,
	}
	fitted := make([]Fitted, len(w.spots))
	r.Build = make([]*Fitted, len(w.spots))
	for i := range w.spots {
		s := &w.spots[i]
		f := &fitted[i]
		*f = Fitted{Position: s.id, State: s.state, Sizes: s.now.sizes}
		if s.state == FittedReused && s.dec != nil {
			f.Sizes = s.dec.Sizes
		}
		if s.now.part != nil {
			f.Part = s.now.part.ID
		}
		r.Build[i] = f
	}
	for _, possible := range []bool{false, true} {
		for i := range w.spots {
			if s := &w.spots[i]; s.need > 0 && w.possible(s) == possible {
				d := w.demand(s)
				r.Demands = append(r.Demands, d)
				if d.Short > 0 {
					r.Shortages = append(r.Shortages, w.shortage(s, d))
				}
			}
		}
	}
	r.Surplus = w.surplus
	w.closeFindings()
	r.Findings = w.findings
	r.Causes = w.allCauses()
	r.Blocking = blocking(r)
	r.Faults = append(w.faults, check(r, w)...)
	return r
}

func (w *work) demand(s *spot) *Demand {
	d := &Demand{
		Position: s.id, Quantity: s.need, Accept: s.accept(), Open: s.open,
		Possible: w.possible(s), Blocking: s.pos.Blocking, Covered: s.cover, Short: s.need - s.cover,
	}
	if s.back {
		d.Chain = []*Hop{w.sentOutHop(s)}
		d.Causes = d.Chain
	} else {
		d.Chain, d.Causes = w.chain(newNode(s.index)), w.causesOf(newNode(s.index))
	}
	for _, id := range s.uses {
		u := &w.uses[id]
		x := &w.units[u.unit]
		d.Uses = append(d.Uses, &Use{Line: x.line, Part: x.part.ID, Pieces: u.pieces, Why: w.whyHere(s, u)})
	}
	return d
}

func (w *work) sentOutHop(s *spot) *Hop {
	return &Hop{Position: s.id, Cause: CauseSentOut, Reason: because("sent out", s.dec.Treatment)}
}

// whyHere explains an allocation when the part could have gone elsewhere.
func (w *work) whyHere(s *spot, u *use) string {
	x := &w.units[u.unit]
	for _, o := range w.takers[x.part] {
		if o == s || o.open || o.back {
			continue
		}
		for _, id := range o.uses {
			y := &w.units[w.uses[id].unit]
			if y.part != x.part && !s.takes(y.part) {
				return "the " + o.name() + " takes " + w.lineName(y.line) + ", which does not fit here"
			}
		}
		if len(o.uses) > 0 {
			if line := w.units[w.uses[o.uses[0]].unit].line; line != x.line {
				return "the " + o.name() + " is served by " + w.lineName(line)
			}
			continue // one line serves both
		}
		if s.pos.Blocking && !o.pos.Blocking {
			return "the case can't be closed without the " + s.name() + "; it could also go to the " + o.name()
		}
		return "it could also go to the " + o.name() + ", which stays short"
	}
	return ""
}

// ranked is a finding with what it is sorted by.
type ranked struct {
	f                        *Finding
	severity, rule, position int
}

// closeFindings sorts findings, gives them ids and attaches overrides. What is
// equal stays as found: by what a line is, not where it stands.
func (w *work) closeFindings() {
	order := make(map[string]int, len(rules))
	for i := range rules {
		order[rules[i].Code] = i
	}
	rs := make([]ranked, len(w.findings))
	for i, f := range w.findings {
		rs[i] = ranked{f, severityRank(f.Severity), order[f.Code], w.rank(f.Position)}
	}
	slices.SortStableFunc(rs, func(a, b ranked) int {
		return cmp.Or(
			cmp.Compare(a.severity, b.severity),
			compareBool(b.f.Blocking, a.f.Blocking),
			cmp.Compare(a.rule, b.rule),
			cmp.Compare(a.position, b.position),
			cmp.Compare(a.f.Part, b.f.Part),
			cmp.Compare(placeText(a.f), placeText(b.f)))
	})
	signed := make(map[string]*Override, len(w.job.Overrides))
	for _, o := range w.job.Overrides {
		signed[o.Finding] = o
	}
	seen := make(map[string]int, len(rs))
	for i := range rs {
		f := rs[i].f
		w.findings[i] = f
		f.ID = findingID(f)
		n := seen[f.ID]
		seen[f.ID]++
		if n > 0 {
			f.ID += "-" + strconv.Itoa(n+1)
		}
		f.Override = signed[f.ID]
	}
}

func (w *work) rank(id catalog.PositionID) int {
	if i, ok := w.at[id]; ok {
		return i
	}
	return len(w.spots)
}

func placeText(f *Finding) string {
	if f.Place == nil {
		return ""
	}
	return f.Place.List + "\x00" + f.Place.Text
}

// findingID is the same for the same fact: code, position, part, text of the
// line; never its number.
func findingID(f *Finding) string {
	id := f.Code
	if f.Position != "" {
		id += "." + string(f.Position)
	}
	if f.Part == "" && f.Place == nil && len(id) <= 64 {
		return id
	}
	h := fnv.New32a()
	h.Write([]byte(f.Part))
	h.Write([]byte{0})
	h.Write([]byte(placeText(f)))
	if len(id) > 55 {
		h.Write([]byte(id))
		id = f.Code
	}
	hex := strconv.FormatUint(uint64(h.Sum32())|1<<32, 16)
	return id + "." + hex[1:]
}

// blocking counts what keeps the case open, each position once: findings that
// nobody signed against, and shortages.
func blocking(r *Report) int {
	n := 0
	seen := map[catalog.PositionID]bool{}
	for _, f := range r.Findings {
		if f.Blocking && f.Override == nil && !(f.Position != "" && seen[f.Position]) {
			seen[f.Position] = true
			n++
		}
	}
	for _, s := range r.Shortages {
		if s.Blocking && !s.Possible && !seen[s.Position] {
			seen[s.Position] = true
			n++
		}
	}
	return n
}

// check asserts what every report must satisfy.
func check(r *Report, w *work) []string {
	var faults []string
	fault := func(format string, args ...any) { faults = append(faults, fmt.Sprintf(format, args...)) }
	used := 0
	for _, d := range r.Demands {
		sum := 0
		for _, u := range d.Uses {
			sum += u.Pieces
			if !d.Open && !slices.Contains(d.Accept, u.Part) {
				fault("%s is covered by %s, which is not acceptable there", d.Position, u.Part)
			}
		}
		used += sum
		if sum != d.Covered || d.Covered+d.Short != d.Quantity || d.Short < 0 || d.Quantity <= 0 {
			fault("%s: %d wanted, %d covered by uses of %d, %d short", d.Position, d.Quantity, d.Covered, sum, d.Short)
		}
		if len(d.Chain) == 0 || d.Chain[0].From != "" || d.Chain[len(d.Chain)-1].Position != d.Position {
			fault("%s is in demand without a cause", d.Position)
		}
	}
	supplied, over := 0, 0
	for i := range w.units {
		supplied += w.units[i].pieces
	}
	for _, s := range r.Surplus {
		over += s.Pieces
	}
	if supplied != used+over {
		fault("%d pieces supplied, %d used, %d over", supplied, used, over)
	}
	for _, f := range r.Findings {
		switch {
		case strings.TrimSpace(f.Message) == "":
			fault("finding %s says nothing", f.ID)
		case len(f.Chain) > 0 && f.Chain[0].From != "":
			fault("the chain of finding %s has no root", f.ID)
		case len(f.Chain) == 0 && f.Place == nil && f.Position != "" && f.Code != "catalogue-contradiction":
			fault("finding %s has no cause", f.ID)
		}
	}
	return faults
}
