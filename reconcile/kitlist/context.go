package kitlist

import (
	"fmt"
	"slices"
	"strings"
)

// context gives a line the headings above it, and makes a heading count for the lines below.
func (s *state) context(e *entry, n *Line) {
	at := len(s.l.Lines)
	switch n.Kind {
	case Heading:
		if e.first == e.d.table.head || e.stackHead() {
			return // names of columns say nothing of the parts
		}
		if s.kit == nil && !s.items && e.has(e.body, e.b, mKit, mBox, mContents) && s.section == nil && !e.sectionOf(n) {
			s.kit = &at
			return
		}
		if s.kit != nil {
			n.Context = []string{s.l.Lines[*s.kit].Text}
		}
		s.section = &at
	case Item, Note:
		for _, h := range []*int{s.kit, s.section} {
			if h == nil {
				continue
			}
			n.Context = append(n.Context, s.l.Lines[*h].Text)
			i := *h
			n.Heading = &i
		}
		if s.section != nil && n.Kind == Item {
			s.inherit(n, s.l.Lines[*s.section].Flags)
		}
	}
}

// sectionOf says that a first heading is for one of several variants, and not the name of the kit.
func (e *entry) sectionOf(n *Line) bool {
	v := n.Flags.Variant
	return v != "" && !strings.HasSuffix(v, "speed") && !e.has(e.body, e.b, mKit, mContents)
}

// inherit applies what a heading such as "not included" or "also available" says to a line below it.
func (s *state) inherit(n *Line, f Flags) {
	n.Flags.Offered = n.Flags.Offered || f.Offered
	if n.Flags.Variant == "" {
		n.Flags.Variant = f.Variant
	}
	n.Flags.Conditional = n.Flags.Conditional || f.Conditional
	n.Flags.BackOrder = n.Flags.BackOrder || f.BackOrder
	n.Flags.NotAvailable = n.Flags.NotAvailable || f.NotAvailable
	n.Flags.Excluded = n.Flags.Excluded || f.Excluded
	if f.Excluded || f.BackOrder || f.NotAvailable {
		n.Quantity.Pieces = 0
	}
}

// finish looks at the list as a whole.
func (s *state) finish() {
	s.voice()
	s.alternatives()
	s.corrections()
	s.l.total()
	s.repeats()
	s.pages()
}

func (s *state) voice() {
	switch {
	case s.demand > 0 && s.supply == 0:
		s.l.Voice = Demand
	case s.supply > 0 && s.demand == 0:
		s.l.Voice = Supply
	}
	if s.demand > 0 {
		s.l.Questions = append(s.l.Questions, Question{Code: "voice", Text: "is this what someone wants, or what a kit contains?", End: len(s.l.Text)})
	}
}

// alternatives groups lines that name the same thing for different variants: "(EARLY)" and "(LATE)".
func (s *state) alternatives() {
	type choice struct {
		lines    []int
		variants []string
	}
	open := map[string]*choice{}
	lines := s.l.Lines
	for i := range lines {
		n := &lines[i]
		if n.Kind != Item || n.Flags.Variant == "" || n.Flags.Alternative != 0 {
			continue
		}
		key := n.name() + " " + variantClass(n.Flags.Variant)
		c := open[key]
		if c == nil || slices.Contains(c.variants, n.Flags.Variant) {
			open[key] = &choice{[]int{i}, []string{n.Flags.Variant}}
			continue
		}
		first := &lines[c.lines[0]]
		if first.Flags.Alternative == 0 {
			s.groups++
			first.Flags.Alternative = s.groups
		}
		n.Flags.Alternative = first.Flags.Alternative
		c.lines, c.variants = append(c.lines, i), append(c.variants, n.Flags.Variant)
	}
	s.lone()
	s.opened()
	s.paired()
	s.renumber()
}

// lone makes a part for one variant conditional where the list has others in pairs: "reverse ring (late)" without an early one.
func (s *state) lone() {
	paired := map[string]bool{}
	for i := range s.l.Lines {
		if n := &s.l.Lines[i]; n.Kind == Item && n.Flags.Alternative != 0 && n.Flags.Variant != "" {
			paired[n.Flags.Variant] = true
		}
	}
	for i := range s.l.Lines {
		if n := &s.l.Lines[i]; n.Kind == Item && n.Flags.Alternative == 0 && paired[n.Flags.Variant] {
			n.Flags.Conditional = true
		}
	}
}

// variantClass keeps apart what does not exclude each other: how many gears, which wheels are driven, and when built.
func variantClass(v string) string {
	switch {
	case strings.Contains(v, "speed"):
		return "speed"
	case strings.HasSuffix(v, "wd"):
		return "drive"
	}
	return "build"
}

// opened ties lines that open with "or" to the line before.
func (s *state) opened() {
	for _, i := range s.or {
		a, b := &s.l.Lines[i-1].Flags, &s.l.Lines[i].Flags
		if a.Alternative == 0 {
			s.groups++
			a.Alternative = s.groups
		}
		b.Alternative = a.Alternative
	}
}

// renumber counts the groups in the order in which they stand in the text.
func (s *state) renumber() {
	to := map[int]int{}
	for i := range s.l.Lines {
		g := &s.l.Lines[i].Flags.Alternative
		if *g == 0 {
			continue
		}
		if to[*g] == 0 {
			to[*g] = len(to) + 1
		}
		*g = to[*g]
	}
}

// name is the folded words and the gears of a line without flags, for comparing lines.
func (n *Line) name() string {
	var w []string
	for _, x := range n.Words {
		if !n.flagged(x) && !onlyWords[x.Folded] {
			w = append(w, x.Folded)
		}
	}
	for _, g := range n.Gears {
		w = append(w, fmt.Sprint(g.Gears))
	}
	return strings.Join(w, " ")
}

func (n *Line) flagged(w Word) bool {
	return slices.ContainsFunc(n.Spans, func(s Span) bool { return s.Role == RoleFlag && s.Start <= w.Start && w.End <= s.End })
}

// paired ties "35x50x8 / 40x55x8  1/1" to the variants of the list, when the list has alternatives at all.
func (s *state) paired() {
	if s.groups == 0 {
		return
	}
	lines := s.l.Lines
	for i := 0; i+1 < len(lines); i++ {
		a, b := &lines[i], &lines[i+1]
		if a.Sub == 1 && b.Sub == 2 && a.No == b.No && a.Quantity.Reason == "count of the first" && a.Flags.Alternative == 0 {
			s.groups++
			a.Flags.Alternative, b.Flags.Alternative = s.groups, s.groups
		}
	}
}

// corrections marks newer statements in a reply chain.
func (s *state) corrections() {
	deepest := 0
	for _, n := range s.l.Lines {
		deepest = max(deepest, n.Depth)
	}
	if deepest == 0 {
		return
	}
	for i := range s.l.Lines {
		n := &s.l.Lines[i]
		if n.Depth < deepest && (n.Kind == Note || n.Kind == Item) {
			n.Flags.Correction = n.Depth == 0
		}
	}
	s.l.Questions = append(s.l.Questions, Question{Code: "reply-chain",
		Text: "the text quotes older messages; the newest statement should win. Is every line still meant?", End: len(s.l.Text)})
}

// total compares the stated total with the prices of the items, as line totals or as prices of one.
func (l *List) total() {
	sum, each, cost := int64(0), int64(0), int64(0)
	apart := int64(0) // of lines that are named and not supplied
	priced := 0
	for i, n := range l.Lines {
		switch {
		case n.Price == nil:
		case n.Kind == Item && n.Flags.Excluded:
			apart += n.Price.Minor
		case n.Kind == Item:
			priced++
			sum += n.Price.Minor
			each += min(n.Price.Minor, maxAmount) * int64(min(max(n.Quantity.Count, 1), maxCount))
		case n.Kind == Noise && l.Totals.Line < 0 && n.totals():
			l.Totals.Stated, l.Totals.Line = n.Price.Minor, i
		case n.Kind == Noise:
			cost += n.Price.Minor
		}
	}
	if l.Totals.Line < 0 || priced == 0 {
		return
	}
	l.Totals.Checked = true
	l.Totals.Sum = sum
	switch want := l.Totals.Stated; want {
	case sum, sum + cost, sum + apart, sum + apart + cost:
		l.Totals.Agrees = true
	case each, each + cost:
		l.Totals.Agrees, l.Totals.Sum = true, each
		for i := range l.Lines {
			if n := &l.Lines[i]; n.Kind == Item && n.Price != nil && n.Price.Unit == 0 {
				n.Price.Unit = n.Price.Minor
				n.Price.Minor *= int64(max(n.Quantity.Count, 1))
			}
		}
	default:
		n := l.Lines[l.Totals.Line]
		l.Questions = append(l.Questions, Question{"total-differs", fmt.Sprintf("the prices add up to %d.%02d, the text says %d.%02d: is a line missing?",
			sum/100, sum%100, want/100, want%100), n.Start, n.End})
	}
	if l.Totals.Agrees {
		l.proven()
	}
}

func (n *Line) totals() bool {
	w := words()
	for _, x := range n.Words {
		for _, p := range w.first[x.Folded] {
			if p.meaning == mTotal && len(p.atoms) == 1 {
				return true
			}
		}
	}
	return strings.Contains(Fold(n.Text), "total") || strings.Contains(Fold(n.Text), "summe")
}

// proven marks assumed counts of priced lines when the total agrees.
func (l *List) proven() {
	for i := range l.Lines {
		if n := &l.Lines[i]; n.Kind == Item && n.Price != nil && n.Quantity.Assumed && n.Quantity.Pieces > 0 {
			n.Quantity.Proven = true
		}
	}
}
