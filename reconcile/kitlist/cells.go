package kitlist

import (
	"fmt"
	"slices"
	"strings"
)

// cutCells cuts an entry into its cells and marks the separators.
func (e *entry) cutCells() {
	t := e.d.table
	switch {
	case len(e.d.records.last) > 0:
		if _, ok := e.d.records.last[e.first]; ok {
			e.recordCells()
		}
	case e.d.stack.height > 0:
		if _, ok := e.d.inStack(e.first); ok {
			e.stackCells()
		}
	case t.blanks:
		for k := e.first; k <= e.last; k++ {
			q := &e.d.phys[k]
			e.cells = append(e.cells, t.place(e.d.gapCells(q), e.d, q)...)
		}
	case t.sep != 0:
		e.cells = e.d.cut(e.body, e.b, t.sep)
		if len(e.cells) < 2 {
			e.cells = nil
			return
		}
		e.cells = e.cells[:min(len(e.cells), maxColumns)]
		e.markQuotes()
		for i := e.body; i < e.b; i++ {
			if e.d.text[e.at[i].start] == t.sep && e.at[i].role == none && e.isSeparator(i) {
				e.at[i].role = rPunct
			}
		}
	}
}

// markQuotes marks the quotes around cells, so that none is taken for an inch mark.
func (e *entry) markQuotes() {
	if e.d.table.sep != ',' && e.d.table.sep != ';' {
		return
	}
	for _, c := range e.cells {
		if c.b-c.a > 1 && e.at[c.a].text == `"` && e.at[c.b-1].text == `"` {
			e.at[c.a].role, e.at[c.b-1].role = rPunct, rPunct
		}
	}
}

func (e *entry) isSeparator(i int) bool {
	for _, c := range e.cells {
		if c.b == i || c.a == i+1 {
			return true
		}
	}
	return false
}

// endsCell says that a cell ends at atom i.
func (e *entry) endsCell(i int) bool {
	return slices.ContainsFunc(e.cells, func(c cell) bool { _, b := e.tight(c); return b == i })
}

// columnKind is the kind of column k, "" when unknown.
func (e *entry) columnKind(k int) string {
	if k < len(e.d.table.cols) {
		return e.d.table.cols[k].kind
	}
	return ""
}

// scanCells reads the cells whose column says what they are.
func (e *entry) scanCells() {
	ordered, second := 0, 0
	for _, c := range e.cells {
		a, b := e.tight(c)
		if a >= b {
			continue
		}
		switch kind := e.columnKind(c.col); kind {
		case "row":
			if e.is(a, cDigits) {
				e.claim(a, b, rMarker)
				e.numbered = true
			}
		case "number":
			e.numberCell(a, b)
		case "qty", "supplied":
			e.countCell(a, b, kind)
		case "pieces":
			if n := e.plain(a, b); n >= 0 {
				e.pieces = &count{a: a, b: b, n: n, pack: 1, unit: "piece", strength: column, rule: "column of all pieces"}
				e.claim(a, b, rCount)
			}
		case "ordered":
			if e.plain(a, b) >= 0 && !e.hasColumn("supplied") && !e.hasColumn("qty") {
				e.countCell(a, b, kind)
			} else if ordered = e.plain(a, b); ordered >= 0 {
				e.claim(a, b, rCount)
			}
		case "second":
			if second = e.plain(a, b); second > 0 {
				e.claim(a, b, rCount)
			}
		case "pack":
			if n := e.plain(a, b); n > 0 {
				e.counts = append(e.counts, count{a: a, b: b, pack: n, unit: "set", strength: column, rule: "pack column"})
				e.claim(a, b, rPack)
			}
		case "unit":
			if e.hasMoney(a, b) {
				e.priceCell(a, b, false)
			}
		case "price", "total":
			e.priceCell(a, b, kind == "total")
		}
	}
	if n := e.columnCount(); n >= 0 && ordered > 0 && n < ordered {
		e.ask("short-supplied", fmt.Sprintf("%d ordered, %d supplied: is the rest still to come?", ordered, n), e.body, e.b)
	}
	if n := e.columnCount(); second > 0 && n >= 0 && n != second {
		e.ask("two-quantity-columns", fmt.Sprintf("two columns hold a count (%d and %d): which is the quantity?", n, second), e.body, e.b)
	}
}

func (e *entry) hasMoney(a, b int) bool {
	for i := a; i < b; i++ {
		if _, ok := currencySigns[e.text(i)]; ok || e.is(i, cDigits) && i >= a+2 && (e.text(i-1) == "." || e.text(i-1) == ",") && len(e.text(i)) == 2 {
			return true
		}
	}
	return false
}

func (e *entry) hasColumn(kind string) bool {
	for _, c := range e.d.table.cols {
		if c.kind == kind {
			return true
		}
	}
	return false
}

// columnCount is the count a column gave, -1 when none did.
func (e *entry) columnCount() int {
	if e.zero != "" {
		return 0
	}
	for _, c := range e.counts {
		if c.strength == column && c.pack == 0 {
			return c.n
		}
	}
	return -1
}

// tight drops blanks and quotes around a cell.
func (e *entry) tight(c cell) (int, int) {
	a, b := c.a, c.b
	quoted := false
	for a < b && (e.at[a].class == cSpace || e.at[a].class == cBad || e.at[a].text == `"`) {
		quoted = quoted || e.at[a].text == `"`
		a++
	}
	for b > a && (e.at[b-1].class == cSpace || e.at[b-1].class == cBad || quoted && e.at[b-1].text == `"`) {
		b--
	}
	return a, b
}

// plain reads a cell that holds only a whole number ("2", "2.00", "2,000"), else -1.
func (e *entry) plain(a, b int) int {
	n, ok := e.num(a)
	if !ok || n.b != b || n.lead || n.fraction {
		return -1
	}
	for i := range n.decimals {
		if n.text[len(n.text)-1-i] != '0' {
			return -1
		}
	}
	n.text = n.text[:len(n.text)-n.decimals-min(n.decimals, 1)]
	n.decimals = 0
	return n.value()
}

// noneWords stand in a column of counts for none.
var noneWords = wordSet("noneWords")

func (e *entry) countCell(a, b int, kind string) {
	n := e.plain(a, b)
	if b == a+1 && (noneWords[e.text(a)] || e.at[a].class == cPunct && strings.Contains("-–—", e.text(a))) && kind == "qty" {
		e.none = true
		e.claim(a, b, rPunct)
		return
	}
	if n == 0 {
		e.none = e.none || kind == "qty"
		e.zero = kind
		e.claim(a, b, rCount)
	}
	if n <= 0 || n > maxCount {
		e.nocount = e.nocount || kind == "qty" && e.wordsOnly(a, b)
		return // "2 pr", "A/R": the other scanners read it
	}
	e.counts = append(e.counts, count{a: a, b: b, n: n, strength: column, rule: kind + " column"})
	e.claim(a, b, rCount)
}

// wordsOnly says that a cell holds words, and none that say how many.
func (e *entry) wordsOnly(a, b int) bool {
	letters := 0
	for i := a; i < b; i++ {
		if e.at[i].class == cDigits || numberWords[e.text(i)] > 0 {
			return false
		}
		if e.at[i].class == cLetters {
			letters += len(e.at[i].text)
		}
	}
	return letters > 1 && !e.has(a, b, mUnit, mAll, mSetOf, mCount, mKit)
}

func (e *entry) numberCell(a, b int) {
	digits := false
	for i := a; i < b; i++ {
		digits = digits || e.at[i].class == cDigits
	}
	if !digits {
		return
	}
	e.numbers = append(e.numbers, NumberToken{Text: e.raw(a, b), Start: e.start(a), End: e.end(b), Column: true})
	e.claim(a, b, rNumber)
}

func (e *entry) priceCell(a, b int, total bool) {
	i, cur := a, ""
	if c, ok := currencySigns[e.text(i)]; ok {
		i, cur = e.skip(i+1), c
	}
	v, end, _, ok := e.amount(i)
	if !ok || end > b {
		return
	}
	if c, ok := currencySigns[e.text(e.skip(end))]; ok && e.skip(end) < b {
		cur, end = c, e.skip(end)+1
	}
	if e.skip(end) < b {
		return
	}
	e.addPrice(a, b, v, cur)
	if !total && e.hasColumn("total") || !total {
		e.prices[len(e.prices)-1].Unit = v
	}
}
