package page

import "slices"

// listView is one kit list with what was read from it.
type listView struct {
	*ListRow
	Open      []lineView // a person is asked
	Certain   []lineView
	Rest      []lineView // headings, notes, noise
	Questions []string
	Likely    int
	Asked     int
}

// lineView is one line as written, in stretches, and what it means.
type lineView struct {
	*LineRow
	List  string
	Parts []stretch
}

// stretch is a piece of a line and what it was read as.
type stretch struct{ Text, Role string }

// roles that a legend explains, in its order; others are shown plain.
var roles = []string{"count", "pack", "number", "designation", "size", "thread", "teeth", "words", "place", "flag", "price"}

func listViews(j *JobSheetJob) []listView {
	out := make([]listView, len(j.KitLists))
	for i := range j.KitLists {
		k := &j.KitLists[i]
		out[i] = listView{ListRow: k}
		for n := range j.Readings {
			if j.Readings[n].List == k.Name {
				out[i].read(j.Readings[n].Reading.Questions, j.Readings[n].Reading.Lines)
			}
		}
	}
	return out
}

func (l *listView) read(questions []string, lines []LineRow) {
	l.Questions = questions
	for i := range lines {
		v := lineView{&lines[i], l.Name, stretches(l.Text, &lines[i])}
		s := v.Supply
		switch {
		case s == nil || s.Outcome == OutcomeNoItem:
			l.Rest = append(l.Rest, v)
		case s.Outcome == OutcomeCertain || s.Answered:
			l.Certain = append(l.Certain, v)
		default:
			if s.Outcome == OutcomeLikely {
				l.Likely++
			} else {
				l.Asked++
			}
			l.Open = append(l.Open, v)
		}
	}
}

// stretches cuts a line's text at its spans. Nothing is lost: what no span
// covers is a stretch without a role.
func stretches(text string, l *LineRow) []stretch {
	end := min(l.End, len(text))
	at := min(max(l.Start, 0), end)
	var out []stretch
	add := func(to int, role string) {
		if to > at {
			out = append(out, stretch{text[at:to], role})
			at = to
		}
	}
	for _, s := range l.Spans {
		if s.End <= at || s.Start >= end {
			continue
		}
		add(min(s.Start, end), "")
		add(min(s.End, end), s.Role)
	}
	add(end, "")
	return trimmed(out)
}

// trimmed drops blanks at both ends: they only make a line look crooked.
func trimmed(all []stretch) []stretch {
	for len(all) > 0 && all[0].Role == "space" {
		all = all[1:]
	}
	for len(all) > 0 && all[len(all)-1].Role == "space" {
		all = all[:len(all)-1]
	}
	return all
}

// mark names the state of a line: certain, likely or question.
func (l *lineView) mark() string {
	if l.Supply == nil {
		return ""
	}
	if l.Supply.Answered {
		return "certain"
	}
	return slug(string(l.Supply.Outcome))
}

func (l *lineView) id() string { return anchor("line", l.List, itoa(l.Line), itoa(l.Sub)) }

// flags are the words for what a line says about its own standing.
func flags(s *SupplyRow) []string {
	var out []string
	for _, f := range []struct {
		on  bool
		key string
	}{{s.Excluded, "line.excluded"}, {s.Conditional, "line.conditional"}, {s.NotAvailable, "line.unavailable"},
		{s.Alternative > 0, "line.alternative"}, {s.Answered, "line.answered"}, {s.Assumed, "line.assumed"}} {
		if f.on {
			out = append(out, say(f.key))
		}
	}
	return out
}

// percent writes thousandths as whole percents; what is not quite sure never
// shows as 100.
func percent(permille int) string {
	switch {
	case permille >= 995 && permille < 1000:
		return "> 99 %"
	case permille > 0 && permille < 5:
		return "< 1 %"
	}
	return itoa((permille+5)/10) + " %"
}

// remembered are the kept answers that concern this job's lists: of their
// suppliers, or of whoever writes so, for this family or every one.
func (v *jobView) remembered() []*JobSheetAliasesAlias {
	var out []*JobSheetAliasesAlias
	for i := range v.Aliases {
		a := &v.Aliases[i]
		from := a.Supplier == "" || slices.ContainsFunc(v.Job.KitLists, func(k ListRow) bool { return k.Supplier == a.Supplier })
		if from && (a.Family == "" || a.Family == v.Job.FamilyKey) {
			out = append(out, a)
		}
	}
	return out
}
