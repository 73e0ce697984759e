package kitlist

import (
	"slices"
	"strings"
)

// maxChain is how many words of supersession one line may hold; no part has that many old numbers.
const maxChain = 12

// setFlags reads the standing of a line from the phrases of its part, and marks them.
func (e *entry) setFlags(n *Line, p part, hits []hit) {
	if e.first == e.d.table.head || e.stackHead() {
		return // names of columns
	}
	chain := 0
	for _, h := range hits {
		if e.someOnly(h, n.Kind) {
			continue
		}
		used := true
		switch h.meaning {
		case mOld, mNew, mSee:
			chain++
			used = chain <= maxChain && e.supersession(n, h)
		case mUnavailable, mBackOrder:
			used = e.missing(n, p, h)
		case mWithout, mWith, mContentWith:
			used = e.extras(n, p, h)
		case mDeclined:
			used = e.declines(p, h)
			if used && e.d.checked && h.a == e.body && e.is(h.b, cSpace) && e.at[h.b].width >= 2 {
				n.Flags.Excluded = true // ticked off as missing
				break
			}
			n.Flags.Declined = n.Flags.Declined || used
		case mDeclinedAft:
			used = h.arg != "end" || e.skip(h.b) >= e.b && e.thing(e.body, h.a)
			n.Flags.Declined = n.Flags.Declined || used
		case mExcluded, mOffered, mConditional, mVariant:
			used = e.limits(n, p, h)
		case mIncluded, mOrLike, mSelect, mStandard, mAll, mMultiplier, mLeft, mSeeNote:
		default:
			used = false
		}
		if used && e.claimable(h) {
			e.claim(h.a, h.b, rFlag)
		}
	}
	e.settleFlags(n, p)
}

// limits reads phrases that exclude a part or limit it to some boxes.
func (e *entry) limits(n *Line, p part, h hit) bool {
	f := &n.Flags
	switch h.meaning {
	case mExcluded:
		if side := e.sideClause(p, h); side != "" {
			f.Without = append(f.Without, side)
		} else {
			f.Excluded = true
		}
	case mOffered:
		f.Excluded, f.Offered = true, true
	case mConditional:
		if h.arg == "column" && !e.inCountColumn(h) || h.arg == "start" && h.a != e.opening() && !e.setOff(h.a) {
			return false
		}
		f.Conditional = true
		if h.arg != "column" && h.arg != "start" {
			f.Variant = first(f.Variant, h.arg)
		}
	case mVariant:
		f.Conditional = f.Conditional || n.Kind == Item && e.onlyNear(h)
		if f.Variant = first(f.Variant, h.arg); n.Kind == Heading && f.Variant != h.arg {
			f.Variant += ", " + h.arg
		}
	}
	return true
}

// missing reads phrases that say a part cannot be had, or not yet.
func (e *entry) missing(n *Line, p part, h hit) bool {
	switch {
	case h.arg == "end" && e.is(e.skip(h.b), cLetters):
		return false
	case h.meaning == mUnavailable && h.arg == "now" && e.untilLater(h.b):
		n.Flags.BackOrder = !e.onlySide(n, p, h)
	case h.meaning == mUnavailable:
		n.Flags.NotAvailable = !e.onlySide(n, p, h)
	case h.arg == "lead" && len(e.prices) > 0, h.arg != "" && e.hasColumn("supplied") && e.columnCount() > 0: // every line of an offer has its time
		return false
	case h.arg == "wait" && (n.Kind != Item || len(e.prices) > 0):
		return false
	default:
		n.Flags.BackOrder = !e.onlySide(n, p, h)
	}
	return true
}

// settleFlags adds what stands in no phrase, and lets the stronger of two flags stand.
func (e *entry) settleFlags(n *Line, p part) {
	f := &n.Flags
	item := n.Kind == Item
	if e.crossed && item && !f.NotAvailable && !f.BackOrder {
		f.Excluded = true
	}
	if e.extra && item {
		f.Excluded, f.Offered = true, true
	}
	f.Conditional = f.Conditional || e.nocount && item && !f.Excluded && !f.NotAvailable && !f.BackOrder
	if e.none && item && !f.Excluded && e.has(p.a, p.b, mSelect) {
		f.Conditional = true // no count stands where it is chosen at the bench
	}
	f.Excluded = f.Excluded || e.none && (e.pieces == nil || e.pieces.n == 0) && item && !f.NotAvailable && !f.BackOrder && !f.Conditional
	for _, r := range e.serials {
		if r.a >= p.a && r.b <= p.b {
			f.Variant = first(f.Variant, r.text)
		}
	}
	if f.BackOrder && f.Excluded && item && !f.Offered && !f.Declined { // "not sent, on back order"
		f.Excluded = false
	}
	if f.Excluded && f.Conditional && f.Variant == "" && item && !f.Offered { // "as needed, not in the set"
		f.Conditional = false
	}
	if f.NotAvailable && f.BackOrder && !e.gone(p) { // "none in stock, 2 weeks", "en rupture, attendue fin mai"
		f.NotAvailable = false
	}
	if f.NotAvailable { // "no washer - gone obsolete", "none left, 3 weeks"
		f.Declined, f.BackOrder = false, false
	}
	f.Excluded = f.Excluded || f.Declined
}

// untilLater says that a time follows a remark: "out of stock till Monday".
func (e *entry) untilLater(i int) bool {
	until := false
	for ; i < e.b && !e.cutsRemark(i); i++ {
		if e.at[i].class != cLetters {
			continue
		}
		r := e.at[i].word.remark
		if until = until || r&(rmUntil|rmFuture|rmLater|rmWithin) != 0; until && r&(rmTime|rmFuture) != 0 {
			return true
		}
	}
	return false
}

// gone says that a part is out of stock for good, and not only for now.
func (e *entry) gone(p part) bool {
	return slices.ContainsFunc(e.hits, func(h hit) bool {
		return h.meaning == mUnavailable && h.a >= p.a && h.b <= p.b && h.arg != "now"
	})
}

// number is the small number at atom i that nothing else has read, or 0.
func (e *entry) number(i int) int {
	if !e.is(i, cDigits) || len(e.at[i].text) > 2 || e.sticky(i-1, -1) || e.at[i].role != none {
		return 0
	}
	return wholeText(e.at[i].text)
}

// inCountColumn says that a phrase stands where the count should: alone in its cell, or behind a wide gap at the end.
func (e *entry) inCountColumn(h hit) bool {
	for _, c := range e.cells {
		if a, b := e.tight(c); a == h.a && b == h.b {
			k := e.columnKind(c.col)
			return k == "qty" || k == "ordered" || k == "supplied"
		}
	}
	return e.gap(h.a) >= 2 && e.skip(h.b) >= e.tail() && e.upper(h.a)
}

// sideClause gives the words of a clause, bracket or cell that speaks of another thing than the line: "bearing 6305 N,
// circlip not included"; "" when the phrase speaks of the line's own thing.
func (e *entry) sideClause(p part, h hit) string {
	from := max(p.a, e.body)
	i := h.a
	for i > from && !e.breaksClause(i-1) {
		if i--; e.leader(i) {
			return "" // the row speaks
		}
	}
	if i <= from || !e.thing(i, h.a) || e.within(i, h.a, rDesignation) || e.within(i, h.a, rSize) {
		return ""
	}
	words := 0
	for k := from; k < i; k++ {
		if e.at[k].class == cLetters {
			words++
		}
	}
	if words < 2 && e.text(i-1) == "," || !e.thing(from, i) && !e.within(from, i, rDesignation) {
		return "" // "nut, main shaft not supplied"
	}
	return strings.Trim(Fold(e.raw(i, h.a)), " .:,;-()")
}

// breaksClause says that a clause ends at atom i: a comma, a bracket, a cell's end, a dash between blanks.
func (e *entry) breaksClause(i int) bool {
	switch t := e.text(i); t {
	case ";", "(", ",":
		return e.at[i].class == cPunct
	case "-":
		return e.is(i-1, cSpace) && e.is(i+1, cSpace)
	}
	return e.at[i].role == rPunct && len(e.cells) > 1
}

// onlySide notes that only a thing beside the line's own cannot be had, and asks.
func (e *entry) onlySide(n *Line, p part, h hit) bool {
	side := e.sideClause(p, h)
	if side == "" {
		return false
	}
	n.Flags.Without = append(n.Flags.Without, side)
	e.ask("part-of-line", "only "+side+" is meant by "+e.raw(h.a, h.b)+"?", h.a, h.b)
	return true
}

var onlyWords = wordSet("onlyWords")

// onlyNear says that "only" stands within two words of a variant: "(early boxes only)".
func (e *entry) onlyNear(h hit) bool {
	for i := max(e.body, h.a-4); i < min(e.b, h.b+4); i++ {
		if onlyWords[e.at[i].text] {
			return true
		}
	}
	return false
}

func first(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

func (e *entry) claimable(h hit) bool { return e.free(h.a, h.b) }

// extras reads "with X" and "without X"; at the start of a line "without X" says that X itself is not supplied.
func (e *entry) extras(n *Line, p part, h hit) bool {
	if len(h.atoms) == 1 && e.text(h.b) == "-" && e.is(h.b+1, cLetters) {
		return false
	}
	b := e.clause(h.b, min(p.b, e.b))
	text := strings.TrimSpace(strings.Trim(Fold(e.raw(h.b, b)), " .:,"))
	if h.meaning == mWithout {
		if h.arg != "" {
			text = Fold(h.arg)
		}
		if !e.named(p, h.a) {
			n.Flags.Excluded = true
			return true
		}
		if n.Flags.Excluded = n.Flags.Excluded || text == ""; text != "" {
			n.Flags.Without = append(n.Flags.Without, text)
		}
		return true
	}
	if text != "" && h.a > e.body {
		n.Flags.With = append(n.Flags.With, text)
	} else if text == "" { // "thick washer (incl.)"
		if w := e.wordsBefore(h.a); w != "" && h.a > e.body && e.text(e.back(h.a)) == "(" {
			n.Flags.With = append(n.Flags.With, w)
		}
	}
	return true
}

// named says that the part names something before atom b.
func (e *entry) named(p part, b int) bool {
	from := max(p.a, e.body)
	if e.thing(from, b) || e.within(from, b, rDesignation) || e.within(from, b, rNumber) || e.has(from, b, mKit, mUnit) {
		return true
	}
	return slices.ContainsFunc(p.heads, func(h [2]int) bool { return e.thing(h[0], h[1]) })
}

// clause is the end of the words that belong to a phrase ending at atom a: up to a bracket, comma, price or number.
func (e *entry) clause(a, b int) int {
	i := a
	for ; i < b; i++ {
		switch t := e.text(i); {
		case t == "(" || t == ")" || t == ";" || t == ",":
			return i
		case e.at[i].role == rSize && i > a, e.at[i].role == rPrice || e.at[i].role == rNumber || e.at[i].role == rCount && e.at[i].class == cDigits:
			return i
		case e.at[i].class == cSpace && e.at[i].width > 2 && i > a:
			return i
		}
	}
	return i
}

// wordsBefore gives the last two words before a bracket.
func (e *entry) wordsBefore(i int) string {
	j := e.back(i)
	if e.text(j) != "(" {
		return ""
	}
	end := j
	n := 0
	for j--; j >= e.body && n < 3; j-- {
		if e.at[j].class == cSpace {
			n++
			if n == 3 {
				break
			}
		} else if e.at[j].class != cLetters {
			break
		}
	}
	return strings.TrimSpace(Fold(e.raw(j+1, end)))
}

// declines accepts "no shims" only where "no" cannot mean "number".
func (e *entry) declines(p part, h hit) bool {
	from := max(p.a, e.body)
	if h.b <= from {
		return true // said before the first of several
	}
	if e.firstWord(from) != h.a && !(from == e.body && e.opensTalk(h.a)) {
		return false
	}
	k := e.skip(h.b)
	return e.is(k, cLetters) && e.text(h.b) == " "
}

// supersession sorts the numbers around "was", "replaces", "now", "use", "see" into old and new; without a number
// beside it the word says nothing.
func (e *entry) supersession(n *Line, h hit) bool {
	at := e.start(h.a)
	end := e.end(e.clauseEnd(h.b))
	var before, after, rest []NumberToken
	for _, t := range n.Numbers {
		switch {
		case t.Start >= at && t.End <= end:
			after = append(after, t)
		case t.Start < at:
			before = append(before, t)
		default:
			rest = append(rest, t)
		}
	}
	if len(after) == 0 {
		return e.threadChange(n, h)
	}
	switch h.meaning {
	case mOld:
		n.Flags.Superseded = append(n.Flags.Superseded, longest(after)...)
		n.Numbers = append(before, rest...)
	case mNew:
		n.Flags.Superseded = append(n.Flags.Superseded, longest(before)...)
		n.Numbers = append(after, rest...)
		n.Flags.NotAvailable = false
		if n.Price != nil && len(before) > 0 {
			e.ask("whose-price", "is the price that of the old or of the new number?", h.a, h.b)
		}
	case mSee:
		n.Flags.ReplacedBy = append(n.Flags.ReplacedBy, longest(after)...)
		n.Numbers = append(before, rest...)
		n.Flags.NotAvailable = true
	}
	return true
}

// clauseEnd is the end of a supersession clause: the closing bracket, the price or the end.
func (e *entry) clauseEnd(i int) int {
	for ; i < e.b; i++ {
		if t := e.text(i); t == ")" || t == "(" || e.at[i].role == rPrice {
			break
		}
		if _, ok := e.hitAt(i, mOld, mNew, mSee); ok {
			break
		}
	}
	return max(i, 1)
}

// longest keeps of overlapping tokens the longest, in order.
func longest(ts []NumberToken) []string {
	var out []string
	for i, t := range ts {
		inner := slices.ContainsFunc(ts, func(u NumberToken) bool {
			return u.Start <= t.Start && t.End <= u.End && u.End-u.Start > t.End-t.Start
		})
		if !inner && !slices.Contains(out, t.Text) && (i == 0 || t.Start >= 0) {
			out = append(out, t.Text)
		}
	}
	return out
}

// threadChange reads "M30x1,5 LH entfällt, ersetzt durch M32": the part is the same, the thread is not.
func (e *entry) threadChange(n *Line, h hit) bool {
	if h.meaning != mSee && len(n.Sizes) > 1 {
		return e.sizeChange(n, h)
	}
	if h.meaning != mNew || len(n.Threads) < 2 {
		return false
	}
	at := e.start(h.a)
	k := slices.IndexFunc(n.Threads, func(t Thread) bool { return t.Start >= at })
	if k < 1 {
		return false
	}
	for _, t := range n.Threads[:k] {
		n.Flags.Superseded = append(n.Flags.Superseded, t.Raw)
	}
	n.Threads = n.Threads[k:]
	n.Flags.NotAvailable = false
	e.ask("thread-changed", "the new part has another thread; does the shaft have it?", h.a, h.b)
	return true
}

// sizeChange reads "42x62x8 (replaced by 40x62x8)".
func (e *entry) sizeChange(n *Line, h hit) bool {
	at := e.start(h.a)
	k := slices.IndexFunc(n.Sizes, func(g SizeGroup) bool { return g.Start >= at })
	if k < 1 {
		return false
	}
	old, now := n.Sizes[:k], n.Sizes[k:]
	if h.meaning == mOld {
		old, now = now, old
	}
	for _, g := range old {
		n.Flags.Superseded = append(n.Flags.Superseded, g.Raw)
	}
	n.Sizes = now
	n.Flags.NotAvailable = false
	e.ask("size-changed", "the new part has another size; does it fit?", h.a, h.b)
	return true
}
