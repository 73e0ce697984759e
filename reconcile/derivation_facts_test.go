package reconcile

import (
	"fmt"
	"slices"
	"strings"

	"layshaft/catalog"
)

// atoms writes the atoms of one job.
type atoms struct {
	b   *strings.Builder
	job int
}

// say writes one atom; text is quoted, numbers are not.
func (f atoms) say(name string, args ...any) {
	fmt.Fprintf(f.b, "%s(%d", name, f.job)
	for _, a := range args {
		switch a := a.(type) {
		case int:
			fmt.Fprintf(f.b, ",%d", a)
		default:
			fmt.Fprintf(f.b, ",%q", fmt.Sprint(a))
		}
	}
	f.b.WriteString(").\n")
}

// when writes an atom if it is so.
func (f atoms) when(ok bool, name string, args ...any) {
	if ok {
		f.say(name, args...)
	}
}

// writeFacts writes what the catalogue, the job and its lists state, and nothing
// that the engine makes of it.
func writeFacts(b *strings.Builder, k int, in Input) {
	f := atoms{b, k}
	ix, job := in.Index, in.Job
	for i, p := range ix.Positions(job.Family) {
		f.say("pos", p.ID, i, p.Kind, p.Life, p.Quantity)
		fmt.Fprintf(b, "class(%q,%q).\n", p.Kind, p.Kind.Class())
		f.when(!ix.Has(job.Variant, p.ID), "lacks", p.ID)
		f.when(p.Blocking, "blocking", p.ID)
		f.when(p.Critical, "critical", p.ID)
		f.when(p.Outside, "outside", p.ID)
		for _, d := range ix.Undoes(job.Family, p.ID) {
			f.say("undoes", d.Reach, d.Undoes)
		}
	}
	f.say("variant", job.Variant)
	for i, p := range ix.Parts() {
		f.part(i, p)
		for _, t := range ix.FitsOf(p.ID) {
			f.say("fit", t.Variant, t.Position, t.Part, t.Standing.Rank())
			f.when(t.Standard, "std", t.Variant, t.Position, t.Part)
		}
		for _, e := range ix.Successors(p.ID) {
			f.say("edge", e.ID, e.Old, e.New, e.Kind, e.Standing.Rank())
		}
	}
	f.relations(ix, job.Family)
	f.jobFacts(job)
	for i, l := range in.Supply {
		f.line(i, l)
	}
}

func (f atoms) part(rank int, p *catalog.Part) {
	f.say("part", p.ID, p.Kind, rank)
	f.when(p.Special, "special", p.ID)
	f.when(p.NotAvailable, "gone", p.ID)
	for _, a := range p.Attributes {
		f.say("val", p.ID, a.Name, int(a.Value.Number/1_000_000))
	}
	for i, c := range p.Contents {
		f.say("content", p.ID, i, c.Part, c.Count)
		f.when(c.Choice != "", "choice", p.ID, i, c.Choice)
	}
}

func (f atoms) relations(ix *catalog.Index, family catalog.FamilyID) {
	for _, m := range ix.Mates(family) {
		f.when(m.Standing != catalog.Doubted, "mate", m.ID, m.A.Position, m.A.Name, m.B.Position, m.B.Name, m.Relation,
			int(m.Min/1_000_000), int(m.Max/1_000_000))
	}
	for _, b := range ix.Bonds(family) {
		f.say("bond", b.ID)
		f.when(b.Advice, "advice", b.ID)
		for _, p := range b.Positions {
			f.say("bonded", b.ID, p)
		}
	}
	for _, s := range ix.Stacks(family) {
		f.say("stack", s.ID, s.Position)
		for _, m := range s.Members {
			f.say("member", s.ID, m)
		}
	}
}

func (f atoms) jobFacts(job *Job) {
	f.when(job.FullStrip, "strip")
	for _, d := range job.Decisions {
		f.say("dec", d.Position, d.Choice)
		f.when(d.Part != "", "named", d.Position, d.Part)
		f.when(d.Found != "", "found", d.Position, d.Found)
		f.when(d.Quantity > 0, "qty", d.Position, d.Quantity)
		f.when(d.Why != "", "why", d.Position)
		f.when(d.Measured != "", "measured", d.Position)
		f.when(d.Returned, "returned", d.Position)
		f.when(strings.Contains(d.Treatment, "grind"), "grind", d.Position)
	}
	for _, m := range job.Measurements {
		f.when(m.Verdict == "renew", "renew", m.Limit) // the limit is named after its position
	}
}

func (f atoms) line(i int, l *SupplyLine) {
	if !slices.Contains([]Outcome{Certain, Likely, Question}, l.Outcome) {
		return
	}
	f.say("line", i, l.Outcome)
	f.say("count", i, l.Pieces)
	f.when(l.Part != "", "gives", i, l.Part)
	f.when(l.Excluded, "excluded", i)
	f.when(l.NotAvailable, "nothad", i)
	f.when(l.Alternative != 0, "alternative", i, l.Place.List, l.Alternative)
	f.when(l.Part == "" && len(l.Candidates) > 0, "guess", i, firstGuess(l))
}

func firstGuess(l *SupplyLine) catalog.PartID {
	if len(l.Candidates) == 0 {
		return ""
	}
	return l.Candidates[0].Part
}
