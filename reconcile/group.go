package reconcile

import (
	"cmp"
	"slices"

	"layshaft/catalog"
)

// Group is findings that come from one root cause.
type Group struct {
	// Root is the first hop of their chains; nil for findings about the text of a
	// list, the job or the catalogue, and where roots that concern only their own
	// position are gathered.
	Root *Hop
	// Title for people: "Input shaft: replace was decided", "The whole box was
	// stripped", "Lines of the lists".
	Title    string
	Severity Severity // the worst
	Blocking int      // findings that keep the case open and that nobody signed against
	Items    []*Item
}

// Item is findings of one group that say the same of several positions.
type Item struct {
	Code     string
	Severity Severity
	Blocking bool
	// Message is that of the only finding, or what the folded ones have in common.
	Message string
	// Reason that the folded findings share; empty when there is only one.
	Reason   string
	Findings []*Finding // never empty; every finding of the report is in one item
}

// FindingGroups puts a report's findings in groups by root cause for people: what
// blocks first, repeated reasons folded, nothing left out.
func FindingGroups(ix *catalog.Index, r *Report) []*Group {
	var out []*Group
	by := map[Hop]*Group{}
	for _, f := range r.Findings {
		key := rootKey(f)
		g := by[key]
		if g == nil {
			g = &Group{Title: rootTitle(ix, r, f, key), Severity: f.Severity}
			if len(f.Chain) > 0 {
				g.Root = f.Chain[0]
			}
			by[key] = g
			out = append(out, g)
		}
		if f.Blocking && f.Override == nil {
			g.Blocking++
		}
		if severityRank(f.Severity) < severityRank(g.Severity) {
			g.Severity = f.Severity
		}
		g.fold(f)
	}
	out = gather(out)
	for _, g := range out {
		for _, it := range g.Items {
			it.name(ix, r)
		}
	}
	slices.SortStableFunc(out, func(a, b *Group) int {
		return cmp.Or(compareBool(a.Blocking == 0, b.Blocking == 0), cmp.Compare(severityRank(a.Severity), severityRank(b.Severity)))
	})
	return out
}

// gather puts roots that concern nothing but their own position in one group for
// each kind of root.
func gather(groups []*Group) []*Group {
	titles := map[string]string{
		CauseDecision: "Decisions that concern one position", CauseAbsent: "Missing on arrival",
		CauseSentOut: "At a treatment shop", CauseMeasuredOut: "Measured out", CauseUndecided: "Not decided yet",
	}
	by := map[string]*Group{}
	var out []*Group
	for _, g := range groups {
		title := ""
		if g.Root != nil && g.alone() {
			title = titles[g.Root.Cause]
		}
		into := by[title]
		if title == "" || into == nil {
			if title != "" {
				by[title] = g
			}
			out = append(out, g)
			continue
		}
		if into.Root != nil {
			into.Root, into.Title = nil, title
		}
		if severityRank(g.Severity) < severityRank(into.Severity) {
			into.Severity = g.Severity
		}
		into.Blocking += g.Blocking
		for _, it := range g.Items {
			for _, f := range it.Findings {
				into.fold(f)
			}
		}
	}
	return out
}

// alone: no finding of the group is about another position than the root's.
func (g *Group) alone() bool {
	for _, it := range g.Items {
		for _, f := range it.Findings {
			if len(f.Chain) != 1 {
				return false
			}
		}
	}
	return true
}

// rootKey tells groups apart. A full strip is one cause wherever it shows.
func rootKey(f *Finding) Hop {
	switch {
	case len(f.Chain) == 0 && f.Place != nil:
		return Hop{Cause: "text"}
	case len(f.Chain) == 0:
		return Hop{Cause: "record"}
	case f.Chain[0].Cause == CauseFullStrip:
		return Hop{Cause: CauseFullStrip}
	}
	return Hop{Position: f.Chain[0].Position}
}

func rootTitle(ix *catalog.Index, r *Report, f *Finding, key Hop) string {
	switch key.Cause {
	case "text":
		return "Lines of the lists"
	case "record":
		return "The job and the catalogue"
	case CauseFullStrip:
		return "The whole box was stripped"
	}
	return because(upperFirst(positionName(ix, r, key.Position)), f.Chain[0].Reason)
}

func positionName(ix *catalog.Index, r *Report, id catalog.PositionID) string {
	if p, ok := ix.Position(r.Family, id); ok && p.Name != "" {
		return lowerFirst(p.Name)
	}
	return string(id)
}

// fold adds a finding to the item that says the same for the same reason.
func (g *Group) fold(f *Finding) {
	reason := ""
	if len(f.Chain) > 0 {
		reason = f.Chain[len(f.Chain)-1].Reason
	}
	for _, it := range g.Items {
		if it.Code == f.Code && it.Severity == f.Severity && it.Blocking == f.Blocking && it.Reason == reason &&
			f.Override == nil && it.Findings[0].Override == nil && foldable(f) {
			it.Findings = append(it.Findings, f)
			return
		}
	}
	g.Items = append(g.Items, &Item{Code: f.Code, Severity: f.Severity, Blocking: f.Blocking, Reason: reason, Findings: []*Finding{f}})
}

// foldable: the finding says nothing that is its own, such as a size or a line.
func foldable(f *Finding) bool { return f.Place == nil && f.Attribute == "" && f.Position != "" }

// name words an item once all its findings are known.
func (it *Item) name(ix *catalog.Index, r *Report) {
	if len(it.Findings) == 1 {
		it.Message, it.Reason = it.Findings[0].Message, ""
		return
	}
	names := make([]string, len(it.Findings))
	for i, f := range it.Findings {
		names[i] = positionName(ix, r, f.Position)
	}
	for i := range rules {
		if rules[i].Code == it.Code {
			it.Message = upperFirst(list(names)) + ": " + lowerFirst(rules[i].Says)
		}
	}
}
