package match

import (
	"slices"
	"strings"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
	"layshaft/catalog/standard"
	"layshaft/reconcile/kitlist"
)

// lineView is everything that one line states.
type lineView struct {
	phraseView
	number []numberKey
	old    []numberKey // numbers the line calls old
	desigs []designation
	// suffixes of a bearing that is given by its sizes.
	suffixes []string
	sizes    []sizeGroup
	threads  []kitlist.Thread
	teeth    []int
	pieces   int
	grams    []gram // only when the words leave something open
	set      bool   // says set, kit, pair
	// fromContext: kinds were taken from the headings; other: the line itself
	// names another kind.
	fromContext, other bool
	own                int // so many kinds are the line's own words
}

type sizeGroup struct {
	nm     []int64
	grades bool
	guess  bool // without a unit: inches are tried too
	loose  bool // a bare decimal that may be a size: speaks for, never against
}

type numberKey struct {
	raw, folded string
	text        string // as written
	column      bool
	joined      bool
	start, end  int
}

// line reads what a line states, but for words of stock.
func (r *reader) line(text string, n *kitlist.Line, stock map[string]bool) *lineView {
	v := &lineView{pieces: n.Quantity.Pieces}
	tokens := lineTokens(text, n)
	if len(stock) > 0 {
		tokens = slices.DeleteFunc(tokens, func(t token) bool { return stock[t.text] })
	}
	r.read(tokens, false, &v.phraseView)
	for _, g := range n.Gears {
		v.gears |= gearMask(g.Gears)
	}
	v.set = n.Quantity.Unit == "set" || n.Quantity.Unit == "pair" || slices.Contains(v.kinds, r.lx.byName["set"])
	for _, t := range n.Numbers {
		v.addNumber(t)
	}
	for _, s := range n.Flags.Superseded {
		if k, ok := keyOf(s); ok {
			v.old = append(v.old, k)
		}
	}
	for _, d := range n.Designations {
		r.designated(v, text, n, d)
	}
	for _, g := range n.Sizes {
		if m, ok := hubPair(g); ok && v.gears == 0 {
			v.gears = m // "fork 3/4" is no three quarters of an inch
			continue
		}
		if s := sizesOf(g); len(s.nm) > 0 {
			v.sizes = append(v.sizes, s)
		}
	}
	v.looseSizes(text, n)
	v.looseSuffixes(n)
	v.threads = n.Threads
	r.handSides(v, text, n)
	for _, t := range n.Teeth {
		v.teeth = append(v.teeth, t.Count)
	}
	v.own = len(v.kinds)
	r.context(n, v)
	r.dropShafts(v)
	return v
}

// designated takes a bearing's designation, or only its sizes where the line wants
// what goes on that bearing: "snap ring for 6207 N".
func (r *reader) designated(v *lineView, text string, n *kitlist.Line, t kitlist.Designation) {
	d := readDesignation(t.Text)
	bearing := r.lx.byName["bearing"]
	other := len(v.kinds) > 0 && !slices.ContainsFunc(v.kinds, func(k concept) bool { return k == bearing || r.lx.isWider(bearing, k) })
	before := strings.Fields(kitlist.Fold(text[min(n.Start, t.Start):t.Start]))
	if !other || len(before) == 0 || !forWords[before[len(before)-1]] {
		v.desigs = append(v.desigs, d)
		return
	}
	for _, nm := range d.nm {
		v.sizes = append(v.sizes, sizeGroup{nm: []int64{nm}, loose: true})
	}
}

// forWords say that what follows is what the part goes with.
var forWords = map[string]bool{"for": true, "fur": true, "zu": true, "pour": true, "para": true, "f.": true}

// handSides takes "left" and "right" as a side where the list reader took them for
// the hand of a thread and the line has none.
func (r *reader) handSides(v *lineView, text string, n *kitlist.Line) {
	if len(n.Threads) > 0 || v.sides != 0 {
		return
	}
	for _, s := range n.Spans {
		if s.Role != kitlist.RoleFlag {
			continue
		}
		for _, c := range r.lx.phrases[squash(kitlist.Fold(text[s.Start:s.End]))] {
			v.sides |= r.lx.meanings[c].side
		}
	}
}

// dropShafts takes shafts out of the kinds where they only say where the part
// sits: a gear ordinal, a designation or another kind is named too.
func (r *reader) dropShafts(v *lineView) {
	isShaft := func(c concept) bool {
		switch r.lx.meanings[c].name {
		case "input shaft", "main shaft", "output shaft", "countershaft":
			return true
		}
		return false
	}
	if len(v.desigs) > 0 || v.gears != 0 || slices.ContainsFunc(v.kinds, func(c concept) bool { return !isShaft(c) }) {
		own := slices.DeleteFunc(slices.Clone(v.kinds[:v.own]), isShaft)
		v.kinds = append(own, slices.DeleteFunc(slices.Clone(v.kinds[v.own:]), isShaft)...)
		v.own = len(own)
	}
}

// looseSizes takes bare decimals that nothing else claimed: "snap ring 1.75".
func (v *lineView) looseSizes(text string, n *kitlist.Line) {
	for i := 0; i < len(n.Spans); i++ {
		r := n.Spans[i].Role
		if !wordRole(r) && r != kitlist.RoleNumber {
			continue
		}
		j := i
		for j+1 < len(n.Spans) && (wordRole(n.Spans[j+1].Role) || filler(n.Spans[j+1].Role)) {
			j++
		}
		for f := range strings.FieldsSeq(text[n.Spans[i].Start:n.Spans[j].End]) {
			if nm, ok := decimal(f); ok {
				v.sizes = append(v.sizes, sizeGroup{nm: []int64{nm}, loose: true, guess: true})
			}
		}
		i = j
	}
}

// looseSuffixes takes suffixes that stand apart from sizes: "35x72x17 NR".
func (v *lineView) looseSuffixes(n *kitlist.Line) {
	if len(v.desigs) > 0 || !slices.ContainsFunc(v.sizes, func(g sizeGroup) bool { return len(g.nm) >= 3 }) {
		return
	}
	for f := range strings.FieldsFuncSeq(strings.ToUpper(n.Text), func(r rune) bool { return r == ' ' || r == '/' || r == ',' || r == '\t' }) {
		if len(f) > 4 || f != "N" && len(f) < 2 {
			continue
		}
		if b, err := standard.ParseBearing("6207 " + f); err == nil && len(b.Suffixes) == 1 && suffixGroups[b.Suffixes[0].Group] {
			v.suffixes = append(v.suffixes, f)
		}
	}
}

// suffixGroups are those that kit lists write apart.
var suffixGroups = map[standard.SuffixGroup]bool{standard.GroupGroove: true, standard.GroupSeal: true, standard.GroupClearance: true}

// decimal reads "1.75" or "0,05" as millimetres.
func decimal(s string) (int64, bool) {
	if len(s) < 3 || len(s) > 7 || !strings.ContainsAny(s, ".,") || strings.Trim(s, "0123456789.,") != "" {
		return 0, false
	}
	if s[0] == '.' || s[0] == ',' {
		s = "0" + s
	}
	l, err := quantity.ParseLengthIn(s, quantity.Millimetre)
	return int64(l), err == nil && l > 0 && l < 200*quantity.MM
}

func (v *lineView) addNumber(t kitlist.NumberToken) {
	k, ok := keyOf(t.Text)
	if !ok {
		return
	}
	if _, size := decimal(t.Text); size && !t.Column {
		return
	}
	k.column, k.joined, k.start, k.end = t.Column, t.Joined, t.Start, t.End
	v.number = append(v.number, k)
}

func keyOf(text string) (numberKey, bool) {
	raw := catalog.Normal(text)
	digits := 0
	for i := range len(raw) {
		if '0' <= raw[i] && raw[i] <= '9' {
			digits++
		}
	}
	return numberKey{raw: raw, folded: foldNumber(raw), text: text}, len(raw) >= 3 && digits > 0
}

// hubPair reads "1/2" and "3/4" without an inch mark as the gears of one hub.
func hubPair(g kitlist.SizeGroup) (uint16, bool) {
	switch g.Raw {
	case "1/2":
		return 1<<1 | 1<<2, true
	case "3/4":
		return 1<<3 | 1<<4, true
	}
	return 0, false
}

func sizesOf(g kitlist.SizeGroup) sizeGroup {
	s := sizeGroup{grades: g.Grades}
	for _, m := range g.Measures {
		if m.Length != 0 {
			s.nm = append(s.nm, int64(m.Length))
			s.guess = s.guess || m.Unit == ""
		}
	}
	return s
}

// context takes from the headings what the line itself does not say: "Front"
// under BEARINGS is a bearing, the innermost heading first.
func (r *reader) context(n *kitlist.Line, v *lineView) {
	for i := len(n.Context) - 1; i >= 0; i-- {
		tokens := tokenize(n.Context[i])
		if len(tokens) > 8 || !slices.ContainsFunc(tokens, r.firm) {
			continue // a sentence, or nothing of the trade: "We can do:"
		}
		var h phraseView
		r.read(tokens, false, &h)
		if len(h.kinds) > 0 && !v.fromContext && !r.shareKind(v.kinds, h.kinds) {
			v.other = slices.ContainsFunc(v.kinds, func(c concept) bool { return r.lx.meanings[c].host }) && !slices.ContainsFunc(v.kinds, func(c concept) bool { return !r.lx.meanings[c].host })
			v.kinds, v.fromContext = append(slices.Clip(v.kinds), h.kinds...), true
			alts := slot{context: true}
			for _, s := range h.slots {
				alts.alts = append(alts.alts, s.alts...)
			}
			v.slots = append(v.slots, alts)
		}
		if v.shafts == 0 {
			v.shafts = h.shafts
		}
		if v.sides == 0 {
			v.sides = h.sides
		}
	}
}

// firm: a word of the trade, or one long enough to be one misspelt.
func (r *reader) firm(t token) bool { return r.known(t.text) || len(t.text) > 4 }

// shareKind: a kind of a is one of b, or wider or narrower.
func (r *reader) shareKind(a, b []concept) bool {
	for _, x := range a {
		for _, y := range b {
			if x == y || r.lx.isWider(x, y) || r.lx.isWider(y, x) {
				return true
			}
		}
	}
	return false
}

// lineTokens are the words of a line: what kitlist read as something else than
// words is left out.
func lineTokens(text string, n *kitlist.Line) []token {
	var out []token
	if len(n.Spans) == 0 {
		out = tokenize(n.Text)
	}
	for i := 0; i < len(n.Spans); i++ {
		if !wordRole(n.Spans[i].Role) {
			continue
		}
		j := i
		for j+1 < len(n.Spans) && (wordRole(n.Spans[j+1].Role) || filler(n.Spans[j+1].Role)) {
			j++
		}
		out = append(out, tokenize(text[n.Spans[i].Start:n.Spans[j].End])...)
		i = j
	}
	for _, w := range n.Words {
		if w.Inherited {
			out = append(out, token{text: w.Folded, sep: ' '})
		}
	}
	return out
}

func wordRole(r kitlist.Role) bool { return r == kitlist.RoleWords || r == kitlist.RolePlace }

func filler(r kitlist.Role) bool { return r == kitlist.RoleSpace || r == kitlist.RolePunct }
