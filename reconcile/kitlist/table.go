package kitlist

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// table is how a text is cut into columns.
type table struct {
	sep    byte // '\t', '|', ';', ',', or 0
	blanks bool // columns stand under heads, set off by blanks
	cols   []col
	head   int // physical line of the heads, -1 none
}

// col is one column.
type col struct {
	name  string
	kind  string // see words/*.csv, meaning column; "" unknown
	start int    // where the head begins in its line, for blanks
	end   int
}

// cell is the part of an entry that stands in one column.
type cell struct{ a, b, col int }

var delimiterNames = map[byte]string{'\t': "tab", '|': "pipe", ';': "semicolon", ',': "comma"}

func (t table) name() string {
	if t.blanks {
		return "blanks"
	}
	return delimiterNames[t.sep]
}

// findTable decides whether the text is a table, and reads its heads.
func (d *document) findTable() {
	d.table.head = -1
	for _, sep := range []byte{'\t', '|', ';', ','} {
		if d.isDelimiter(sep) {
			d.table.sep = sep
			d.findHeads()
			d.guessColumns()
			d.relate()
			if sep == ',' && d.table.head < 0 && !d.table.has("qty") { // commas in sentences and decimal commas look alike
				d.table.sep, d.table.cols = 0, nil
				continue
			}
			return
		}
	}
	if d.findBlankHeads(); d.table.blanks {
		d.relate()
	}
}

// isDelimiter says that most lines hold the separator, in like numbers.
func (d *document) isDelimiter(sep byte) bool {
	lines, with := 0, 0
	counts := map[int]int{}
	for i := range d.phys {
		p := &d.phys[i]
		if p.blank || p.rule {
			continue
		}
		lines++
		if n := d.countSep(p, sep); n >= minSeps(sep) {
			with++
			counts[n]++
		}
	}
	if with == 0 || with*5 < lines*3 || with < 2 && sep != '\t' || sep == ',' && d.decimalCommas() {
		return false
	}
	if sep == '\t' || sep == '|' {
		return true
	}
	most := 0
	for _, n := range counts {
		most = max(most, n)
	}
	return most*5 >= with*3
}

// decimalCommas says that most commas stand in amounts that end a cell set off by blanks: "14,20     14,20".
func (d *document) decimalCommas() bool {
	commas, amounts := 0, 0
	for i := range d.atoms {
		if d.atoms[i].text != "," {
			continue
		}
		commas++
		if d.moneyAt(i-1) && (d.textAt(i+2) == " " || i+2 >= len(d.atoms)) && (d.textAt(i-2) == " " || i < 2) {
			amounts++
		}
	}
	return amounts*2 > commas
}

func minSeps(sep byte) int {
	if sep == '\t' || sep == '|' {
		return 1
	}
	return 2
}

// countSep counts separators; commas inside quotes, between digits or before a blank are not separators.
func (d *document) countSep(p *physical, sep byte) int {
	if strings.IndexByte(d.text[p.start:p.end], sep) < 0 {
		return 0
	}
	n := 0
	for _, c := range d.cut(p.body, p.b, sep) {
		if c.col > 0 {
			n++
		}
	}
	return n
}

// cut gives the cells of the atoms [a,b).
func (d *document) cut(a, b int, sep byte) []cell {
	var out []cell
	quoted := false
	from := a
	for i := a; i < b; i++ {
		switch c := d.text[d.atoms[i].start]; {
		case c == '"' && (i == from || quoted) && (sep == ',' || sep == ';'):
			quoted = !quoted
		case c == sep && !quoted && (sep != ',' || i+1 >= b || d.atoms[i+1].class != cSpace):
			out = append(out, cell{from, i, len(out)})
			from = i + 1
		}
	}
	out = append(out, cell{from, b, len(out)})
	if sep == '|' && len(out) > 2 && d.empty(out[0]) { // "| a | b |"
		out = out[1:]
		for i := range out {
			out[i].col = i
		}
	}
	return out
}

func (d *document) empty(c cell) bool {
	for i := c.a; i < c.b; i++ {
		if k := d.atoms[i].class; k != cSpace && k != cBad {
			return false
		}
	}
	return true
}

// cellText is the folded text of a cell, blanks as one.
func (d *document) cellText(c cell) string {
	if c.a >= c.b {
		return ""
	}
	if c.b == c.a+1 {
		return strings.Trim(d.atoms[c.a].text, `"*_ `)
	}
	var b strings.Builder
	for i := c.a; i < c.b; i++ {
		switch a := &d.atoms[i]; {
		case a.class == cBad:
		case a.class == cSpace && i+1 < c.b && d.atoms[i+1].class == cSpace:
		default:
			b.WriteString(a.text)
		}
	}
	return strings.Trim(b.String(), `"*_ `)
}

// headScore counts the cells that are known column heads, and those that hold anything.
func (d *document) headScore(cells []cell) (known, filled int) {
	for _, c := range cells {
		t := d.cellText(c)
		if t == "" {
			continue
		}
		filled++
		if _, ok := words().headKind(t); ok {
			known++
		}
	}
	return known, filled
}

func (d *document) cellRaw(c cell) string {
	if c.a >= c.b {
		return ""
	}
	return d.text[d.atoms[c.a].start:d.atoms[c.b-1].end]
}

func (d *document) headKind(c cell) string {
	k, _ := words().headKind(d.cellText(c))
	return k
}

// gapCells cuts a line at gaps of two blanks or more.
func (d *document) gapCells(p *physical) []cell {
	var out []cell
	from := p.body
	for i := p.body; i < p.b; i++ {
		a := d.atoms[i]
		if a.class != cSpace || a.width < 2 {
			continue
		}
		if i > from {
			out = append(out, cell{from, i, len(out)})
		}
		from = i + 1
	}
	if from < p.b {
		out = append(out, cell{from, p.b, len(out)})
	}
	return out
}

// column is where a byte stands in its line, in characters: heads with accents must not shift the columns.
func (d *document) column(p *physical, off int) int {
	return utf8.RuneCountInString(d.text[p.start:off])
}

// splitHeads cuts "ordered delivered", set off by one blank only, into its two heads.
func (d *document) splitHeads(cells []cell) []cell {
	var out []cell
	w := words()
	for _, c := range cells {
		from := c.a
		for i := c.a + 1; i+1 < c.b; i++ {
			if d.atoms[i].class != cSpace {
				continue
			}
			l, r := w.headWords[d.cellText(cell{a: from, b: i})], w.headWords[d.cellText(cell{a: i + 1, b: c.b})]
			if counts[l] && counts[r] && l != r && l != "qty" && r != "qty" || l == "qty" && r == "words" || l == "words" && r == "qty" {
				out = append(out, cell{from, i, len(out)})
				from = i + 1
			}
		}
		out = append(out, cell{from, c.b, len(out)})
	}
	return out
}

// counts are the kinds of column that never share a head with each other.
var counts = map[string]bool{"ordered": true, "supplied": true, "price": true, "total": true}

// guessColumns fills in what the cells themselves show: money under "Unit", and all columns when there are no heads.
func (d *document) guessColumns() {
	var stats []colStat
	for i := range d.phys {
		p := &d.phys[i]
		if p.blank || p.rule || i == d.table.head {
			continue
		}
		for _, c := range d.cut(p.body, p.b, d.table.sep) {
			for len(stats) <= c.col && len(stats) < maxColumns {
				stats = append(stats, colStat{})
			}
			if c.col < len(stats) {
				stats[c.col].add(d.cellText(c))
			}
		}
	}
	for len(d.table.cols) < len(stats) {
		d.table.cols = append(d.table.cols, col{})
	}
	free := !slices.ContainsFunc(d.table.cols, func(c col) bool { return c.kind == "qty" || c.kind == "supplied" || c.kind == "ordered" })
	for i, s := range stats {
		c := &d.table.cols[i]
		switch {
		case c.kind == "unit" && s.money*2 > s.filled:
			c.kind = "price"
		case c.kind == "pack" && s.whole == 0:
			c.kind = "unit"
		case c.kind != "" || s.filled == 0 || d.table.head >= 0 && !(free && s.whole*4 >= s.filled*3 && s.filled*2 >= len(d.phys)-d.table.head-2):
		case s.money*3 >= s.filled*2:
			c.kind = "price"
		case s.whole*3 >= s.filled*2 && s.rising && i == 0 && s.filled > 2:
			c.kind = "row"
		case s.whole*3 >= s.filled*2 && s.biggest < 1000 && free:
			c.kind = "qty"
			if slices.ContainsFunc(d.table.cols[:i], func(c col) bool { return c.kind == "qty" }) {
				c.kind = "second"
			}
		}
	}
	d.secondPrice(stats)
}

// secondPrice makes the last of two money columns the total.
func (d *document) secondPrice(stats []colStat) {
	last := -1
	for i := range stats {
		if d.table.cols[i].kind == "total" {
			return
		}
		if d.table.cols[i].kind == "price" {
			if last >= 0 {
				d.table.cols[i].kind = "total"
			}
			last = i
		}
	}
}

// maxColumns bounds what one odd line can make of a table.
const maxColumns = 64

// colStat is what the cells of a column look like.
type colStat struct {
	filled, whole, money, biggest, prev int
	rising                              bool
}

func (s *colStat) add(t string) {
	if t == "" {
		return
	}
	s.filled++
	n, digits, marks := 0, 0, 0
	for i := range len(t) {
		switch c := t[i]; {
		case '0' <= c && c <= '9':
			n, digits = min(n*10+int(c-'0'), 1<<30), digits+1
		case c == '.' || c == ',':
			marks++
		default:
			return
		}
	}
	if marks == 0 && digits > 0 {
		s.whole++
		s.biggest = max(s.biggest, n)
		s.rising = (s.whole == 1 || s.rising) && n == s.prev+1
		s.prev = n
	}
	if len(t) > 3 && (t[len(t)-3] == '.' || t[len(t)-3] == ',') {
		s.money++
	}
}
