package kitlist

import "strings"

// maxJoined is how many physical lines one entry can span.
const maxJoined = 6

// entries groups the physical lines that belong together.
func (d *document) entries() [][2]int {
	out := make([][2]int, 0, len(d.phys))
	hanging := d.hanging()
	d.counted = hanging
	for i := 0; i < len(d.phys); i++ {
		if d.phys[i].blank {
			continue
		}
		if j, ok := d.records.last[i]; ok {
			out = append(out, [2]int{i, j})
			i = j
			continue
		}
		if j, ok := d.inStack(i); ok {
			out = append(out, [2]int{i, j})
			i = j
			continue
		}
		j := i
		for j+1 < len(d.phys) && j-i+1 < maxJoined && d.continues(i, j, hanging) {
			j++
		}
		out = append(out, [2]int{i, j})
		i = j
	}
	return out
}

// hanging says that entries begin with a count or bullet at the margin, so that indented lines without one continue
// the entry above.
func (d *document) hanging() bool {
	if d.table.sep != 0 {
		return false
	}
	margin, counted, upper := 0, 0, 0
	for k := range d.phys {
		p := &d.phys[k]
		if p.blank || p.rule || p.indent > 0 {
			continue
		}
		margin++
		if d.opens(p) {
			counted++
			if d.capitalAfter(p) {
				upper++
			}
		}
	}
	d.capital = counted >= 3 && upper*10 >= counted*9
	return counted >= 2 && counted*2 >= margin
}

// capitalAfter says that the first word behind a count or bullet begins with a capital.
func (d *document) capitalAfter(p *physical) bool {
	for i := p.body; i < p.b; i++ {
		if t := d.atoms[i].text; d.atoms[i].class == cLetters && t != "x" {
			c := d.text[d.atoms[i].start]
			return 'A' <= c && c <= 'Z' || c >= 0x80
		}
	}
	return false
}

// opens says that a line begins with a count, a number or a bullet.
func (d *document) opens(p *physical) bool {
	if p.body >= p.b {
		return false
	}
	if d.isDigits(p.body) {
		return len(d.atoms[p.body].text) <= 3 && (d.breakAfter(p.body) || d.textAt(p.body+1) == "x" && !d.isDigits(p.body+2))
	}
	return d.bullet(p.body, p.b) > p.body
}

// continues says that the line after j belongs to the entry that began at line i.
func (d *document) continues(i, j int, hanging bool) bool {
	p, q, first := &d.phys[j], &d.phys[j+1], &d.phys[i]
	if j == d.table.head || p.rule || q.blank || q.rule || q.depth != p.depth || d.table.sep != 0 || p.end-p.start > 400 || q.end-q.start > 400 || p.body >= p.b || q.body >= q.b {
		return false
	}
	if d.textAt(q.body) == "(" && q.indent > p.indent && d.textAt(q.b-1) == ")" && d.hasDigit(p) {
		return true
	}
	if a := &d.atoms[q.body]; a.class == cLetters && d.textAt(q.body+1) == " " && d.isDigits(q.body+2) && eachWords[a.text] {
		return false // "je 2 Federn"
	}
	if d.textAt(q.b-1) == ":" && d.hasDigit(p) {
		return false // a heading
	}
	if d.wrapped(p, q) || d.prose(p, q) || d.underWords(p, q) {
		return true
	}
	if d.closing(q) {
		return false
	}
	if d.opens(q) {
		return d.openBracket(i, j) && d.closesFirst(q)
	}
	if d.gaps(q) > 0 && d.gaps(p) > 0 && d.namesThing(q) && d.underNext(first, q) {
		return false // a row without a count
	}
	if (d.endCount || d.endPrice) && d.countAtEnd(p) && d.countAtEnd(q) && d.gaps(p) > 0 && d.gaps(q) > 0 {
		return false // both are whole rows
	}
	last := p.b - 1
	for last > p.body && d.atoms[last].class == cSpace {
		last--
	}
	switch t := d.atoms[last].text; {
	case d.openBracket(i, j) && d.closesFirst(q):
		return true
	case (t == "/" || t == "&" || t == "+") && last > p.body:
		return true
	case t == "-" && d.atoms[last-min(1, last)].class == cLetters && d.lowerStart(q):
		return true
	case sizePrefix[t] && d.isDigits(q.body) && q.indent > p.indent:
		return true
	}
	if hanging && d.capital && d.opens(first) && d.lowerStart(q) && len(d.atoms[q.body].text) > 1 && q.indent >= first.indent {
		return true
	}
	return q.indent > first.indent && (hanging && first.indent == 0 && d.opens(first) || d.bullet(first.body, first.b) > first.body && q.indent >= first.indent+2)
}

// wrapped says that q goes on with a row whose first cell was broken: the count stands only at the end of one of them.
func (d *document) wrapped(p, q *physical) bool {
	if !d.table.blanks && !d.endCount && !d.endPrice || d.capitals(p) {
		return false
	}
	ends, next := d.countAtEnd(p), d.countAtEnd(q)
	lower := d.lowerStart(q) && d.upperStarts
	switch {
	case !ends && next:
		return (lower || d.trailsOff(p) || d.mostNamed && d.namesThing(p) && !d.namesThing(q) && d.gaps(q) == 0 && d.textAt(p.b-1) != ".") && d.textAt(p.b-1) != ":"
	case ends && !next:
		return lower && d.gaps(p) >= 1 && d.gaps(q) == 0
	}
	return false
}

// underWords says that q holds nothing but the rest of the words of a row above: it stands under the heads of a column of
// words, set in, and no count, number or price stands beside it.
func (d *document) underWords(p, q *physical) bool {
	if !d.table.blanks || q.indent == 0 || d.opens(q) || d.closing(q) {
		return false
	}
	cells := d.table.place(d.gapCells(q), d, q)
	return len(cells) == 1 && d.table.cols[cells[0].col].kind == "words" && cells[0].a == q.body && cells[0].b == q.b &&
		len(d.gapCells(p)) > 1 && d.gaps(q) == 0
}

// underNext says that a line begins just under the second cell of another.
func (d *document) underNext(p, q *physical) bool {
	cells := d.gapCells(p)
	return len(cells) > 1 && d.column(p, int(d.atoms[cells[1].a].start)) == d.column(q, int(d.atoms[q.body].start))
}

// proseLine is how long a line of running text is when it was broken to fit.
const proseLine = 55

// prose says that running text was broken: a long line with words of a sentence, and the next goes on in small letters.
func (d *document) prose(p, q *physical) bool {
	if d.table.sep != 0 || d.table.blanks || p.end-p.start < proseLine || !d.lowerStart(q) || d.gaps(p) > 0 || d.opens(p) {
		return false
	}
	t := d.textAt(p.b - 1)
	if t == ":" || t == "." || t == ";" {
		return false
	}
	if t == "," && numberWords[d.textAt(q.body)] > 0 || d.starts(q, mDeclined) || d.addsThing(q) && d.namesThing(p) || d.namesThing(q) && !d.namesThing(p) && !d.trailsOff(p) {
		return false // the next of several things, counted in words, or none of one
	}
	for i := p.body; i < p.b; i++ {
		if a := &d.atoms[i]; a.class == cLetters && (a.word.talk || trailing[a.text]) {
			return true
		}
	}
	return false
}

// addsThing says that a line begins with a joining word and an article or a count: "and the back one", "then two keys".
func (d *document) addsThing(q *physical) bool {
	i := q.body
	if !andWords[d.textAt(i)] && !fillers[d.textAt(i)] || i+2 >= q.b {
		return false
	}
	t := d.textAt(i + 2)
	return articles[t] || t == "a" || t == "an" || numberWords[t] > 0 || d.isDigits(i+2)
}

// starts says that a line begins with a phrase of a meaning.
func (d *document) starts(q *physical, m meaning) bool {
	found := false
	if d.atoms[q.body].class == cLetters {
		words().all(d.atoms[:q.b], q.body, func(p phrase, _ int) { found = found || p.meaning == m })
	}
	return found
}

// closing says that a line begins with words that end a list or stand outside it: a total, tax, a greeting.
func (d *document) closing(q *physical) bool {
	a := &d.atoms[q.body]
	if a.class != cLetters {
		return false
	}
	closes := false
	words().all(d.atoms[:q.b], q.body, func(p phrase, j int) {
		switch p.meaning {
		case mTotal, mTax, mSignoff, mPage, mLetterhead, mCost, mGreeting:
			closes = true
		}
	})
	return closes
}

// capitals says that a line is a name in capitals: a heading is not broken.
func (d *document) capitals(p *physical) bool {
	for i := p.body; i < p.b; i++ {
		if d.atoms[i].class == cLetters {
			if c := d.text[d.atoms[i].start]; 'a' <= c && c <= 'z' {
				return false
			}
		}
	}
	return true
}

// gaps is the number of wide gaps in a line.
func (d *document) gaps(p *physical) int {
	n := 0
	for i := p.body; i < p.b; i++ {
		if a := &d.atoms[i]; a.class == cSpace && a.width >= 2 && i+1 < p.b {
			n++
		}
	}
	return n
}

// trailing are words that no line of its own ends with.
var trailing = wordSet("trailing")

// trailsOff says that a line ends in a word that something must follow.
func (d *document) trailsOff(p *physical) bool {
	i := p.b - 1
	for i > p.body && d.atoms[i].class == cSpace {
		i--
	}
	return i > p.body && d.atoms[i].class == cLetters && trailing[d.atoms[i].text]
}

func (d *document) hasDigit(p *physical) bool {
	for k := p.body; k < p.b; k++ {
		if d.atoms[k].class == cDigits {
			return true
		}
	}
	return false
}

// sizePrefix are letters that a number must follow.
var sizePrefix = map[string]bool{"k": true, "hk": true, "nu": true, "nj": true, "m": true, "nup": true, "bk": true, "na": true}

func (d *document) openBracket(i, j int) bool {
	n := 0
	for k := d.phys[i].body; k < d.phys[j].b; k++ {
		switch d.atoms[k].text {
		case "(":
			n++
		case ")":
			n--
		}
	}
	return n == 1
}

// closesFirst says that a closing bracket comes before any opening one.
func (d *document) closesFirst(q *physical) bool {
	for k := q.body; k < q.b; k++ {
		switch d.atoms[k].text {
		case ")":
			return true
		case "(":
			return false
		}
	}
	return false
}

func (d *document) lowerStart(q *physical) bool {
	c := d.text[d.atoms[q.body].start]
	return 'a' <= c && c <= 'z'
}

// bullets are single marks that open a line when a blank follows.
const bullets = "-*•·–—+→○●▪■□☐✓✔►☑" + crosses

// crosses are bullets of what is not there.
const crosses = "✘✗✖✕❌☒"

// bullet gives the atom after the bullets that begin at i, or i.
func (d *document) bullet(i, b int) int {
	from := i
	for i < b && d.atoms[i].class == cPunct && strings.Contains(bullets+">#=", d.atoms[i].text) {
		i++
	}
	if i+1 < b && d.atoms[i].text == "[" { // "[ ]" and "[x]" of check lists
		for k := i; k < b && k < i+4; k++ {
			if d.atoms[k].class == cDigits {
				break // "[2] thrust washer"
			}
			if d.atoms[k].text == "]" {
				i = k + 1
				break
			}
		}
	}
	if i == from || i < b && d.atoms[i].class != cSpace && strings.Contains("-+.#=", d.atoms[i-1].text) {
		return from
	}
	for i < b && d.atoms[i].class == cSpace {
		i++
	}
	return i
}

// open makes the entry of physical lines i to j and takes off its marks.
func (d *document) open(i, j int) *entry {
	p := &d.phys[i]
	e := &d.entry
	e.reset()
	e.d, e.at, e.a, e.b, e.body = d, d.atoms, p.a, d.phys[j].b, p.body
	e.first, e.last, e.depth, e.indent = i, j, p.depth, p.indent
	for k := i + 1; k <= j; k++ { // quote marks and bullets of joined lines
		for m := d.phys[k].a; m < d.phys[k].body; m++ {
			if d.atoms[m].role == none {
				d.atoms[m].role = rSpace
			}
		}
	}
	if b := d.bullet(e.body, e.b); b > e.body && d.table.sep != '|' {
		e.crossed = strings.ContainsAny(d.text[d.atoms[e.body].start:d.atoms[b-1].end], crosses)
		d.mark(e.body, b)
		e.body, e.numbered = b, true
	}
	if n := d.rowNumber(e.body, e.b); n > e.body {
		d.mark(e.body, n)
		e.body, e.numbered = n, true
	}
	for e.b > e.body && d.atoms[e.b-1].class == cSpace && d.atoms[e.b-1].role == none {
		d.atoms[e.b-1].role = rSpace
		e.b--
	}
	return e
}

func (d *document) mark(a, b int) {
	for i := a; i < b; i++ {
		if d.atoms[i].class == cSpace {
			d.atoms[i].role = rSpace
		} else {
			d.atoms[i].role = rMarker
		}
	}
}

// gangWords follow the number of a gear: "5. Gang".
var gangWords = wordSet("gangWords")

// rowNumber gives the atom after a row number at i: "1)" and "1." always, "1" when the list runs 1, 2, 3.
func (d *document) rowNumber(i, b int) int {
	if !d.isDigits(i) || i+2 >= b || len(d.atoms[i].text) > 3 {
		return i
	}
	t := d.textAt(i + 1)
	if t == "." && gangWords[d.textAt(i+3)] {
		return i // "5. Gang"
	}
	if (t == ")" || t == ".") && d.textAt(i+2) == " " {
		return i + 3
	}
	if d.rows && t == " " {
		return i + 2
	}
	return i
}
