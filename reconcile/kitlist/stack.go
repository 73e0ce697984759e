package kitlist

import (
	"slices"
	"strings"
)

// stacked is a table that was copied with every cell on a line of its own.
type stacked struct {
	from, to int // physical lines, the heads not among them
	lines    []int
	height   int // cells of one row
	head     int // index in lines of the first head, -1 none
}

// cell kinds of a stacked table.
const (
	cellWords  = 'w'
	cellWhole  = 'n'
	cellMoney  = 'm'
	cellNumber = 'r'
)

// maxHeight is how many cells one row can have.
const maxHeight = 8

// minStack is how many rows in a row must show the same cells.
const minStack = 3

// findStack looks for lines whose kinds come back row by row: a count, a name, a number, a price.
func (d *document) findStack() {
	if d.table.sep != 0 || d.table.head >= 0 {
		return
	}
	var lines []int
	var kinds []byte
	short := 0
	for k := range d.phys {
		if p := &d.phys[k]; !p.blank && !p.rule {
			c := d.cellKind(p)
			lines, kinds = append(lines, k), append(kinds, c)
			if c != cellWords {
				short++
			}
		}
	}
	if short*3 < len(lines) || short < minStack {
		return
	}
	best := stacked{head: -1}
	for h := 2; h <= maxHeight; h++ {
		for i := 0; i+h*minStack <= len(kinds); i++ {
			n := h
			for i+n < len(kinds) && kinds[i+n] == kinds[i+n-h] {
				n++
			}
			n -= n % h
			if row := string(kinds[i : i+h]); n >= h*minStack && n > best.to-best.from && stackRow(row) {
				best = stacked{from: i, to: i + n, height: h, head: -1}
			}
			i += max(0, n-h)
		}
	}
	if best.height == 0 {
		return
	}
	best.lines = lines
	d.stack = best
	d.stackHeads(kinds[best.from : best.from+best.height])
}

// stackRow says that the cells can be one row: a name, a count, and nothing else twice but money and numbers.
func stackRow(row string) bool {
	return strings.Count(row, "w") == 1 && strings.Count(row, "n") >= 1 && strings.Count(row, "n") <= 3
}

// stackHeads reads the heads above the rows, and what the cells are.
func (d *document) stackHeads(row []byte) {
	s := &d.stack
	start := s.from - s.height
	known := 0
	for k := max(start, 0); k < s.from; k++ {
		if _, ok := words().headKind(d.lineText(s.lines[k])); ok {
			known++
		}
	}
	if start >= 0 && known*3 >= s.height*2 {
		s.head = start
	}
	rising := d.stackRising(row)
	for k, c := range row {
		col := col{}
		if s.head >= 0 {
			line := s.lines[s.head+k]
			col.name = d.text[d.phys[line].start:d.phys[line].end]
			col.kind, _ = words().headKind(d.lineText(line))
		}
		if col.kind == "" || col.kind == "unit" && c == cellMoney {
			switch c {
			case cellMoney:
				col.kind = "price"
			case cellNumber:
				col.kind = "number"
			case cellWhole:
				col.kind = "qty"
				if k == rising {
					col.kind = "row"
				} else if d.table.has("qty") {
					col.kind = "second"
				}
			}
		}
		d.table.cols = append(d.table.cols, col)
	}
}

// stackRising is the cell that counts the rows, -1 when none does.
func (d *document) stackRising(row []byte) int {
	s := &d.stack
	if strings.Count(string(row), "n") < 2 {
		return -1
	}
	for k, c := range row {
		up := c == cellWhole
		for i := s.from + k + s.height; up && i < s.to; i += s.height {
			up = d.wholeOf(s.lines[i]) == d.wholeOf(s.lines[i-s.height])+1
		}
		if up {
			return k
		}
	}
	return -1
}

func (d *document) wholeOf(line int) int {
	n := 0
	for _, c := range d.lineText(line) {
		if c < '0' || c > '9' {
			return -2
		}
		n = min(n*10+int(c-'0'), 1<<30)
	}
	return n
}

func (t table) has(kind string) bool {
	for _, c := range t.cols {
		if c.kind == kind {
			return true
		}
	}
	return false
}

func (d *document) lineText(k int) string {
	p := &d.phys[k]
	return d.cellText(cell{a: p.body, b: p.b})
}

// cellKind says what the only cell of a line holds.
func (d *document) cellKind(p *physical) byte {
	if d.countLine(p) {
		return cellWhole
	}
	digits, letters, decimals, space := 0, 0, false, false
	last := p.b
	for i := p.body; i < last; i++ {
		switch a := &d.atoms[i]; a.class {
		case cDigits:
			digits += len(a.text)
			decimals = len(a.text) == 2 && (d.textAt(i-1) == "." || d.textAt(i-1) == ",")
		case cLetters:
			if _, ok := currencySigns[a.text]; !ok {
				letters += len(a.text)
			}
		case cSpace:
			space = space || i+1 < last && i > p.body
		}
	}
	switch {
	case digits > 0 && letters == 0 && decimals:
		return cellMoney
	case digits > 0 && digits <= 3 && letters == 0 && !space:
		return cellWhole
	case digits >= 2 && letters <= 4 && !d.namesThing(p) && (!space || letters <= 3) && digits+letters >= 4 && !d.bearingLine(p):
		return cellNumber
	}
	return cellWords
}

// countLine says that a line only says how many: "Qty: 2", "2 pcs", "x2".
func (d *document) countLine(p *physical) bool {
	numbers, others := 0, 0
	w := words()
	for i := p.body; i < p.b; i++ {
		a := &d.atoms[i]
		switch a.class {
		case cDigits:
			if numbers++; len(a.text) > 3 {
				return false
			}
		case cLetters:
			if others++; others > 2 || a.text != "x" && w.headWords[a.text] != "qty" && !slices.ContainsFunc(a.word.phrases, func(p phrase) bool { return p.meaning == mUnit && len(p.atoms) == 1 }) {
				return false
			}
		}
	}
	return numbers == 1 && others > 0
}

// bearingLine keeps "6207 NR" from being taken for a part number.
func (d *document) bearingLine(p *physical) bool {
	e := &entry{d: d, at: d.atoms, a: p.a, b: p.b, body: p.body}
	return len(e.bearingsIn()) > 0
}

// inStack gives the row of a stacked table that begins at a physical line, or 0.
func (d *document) inStack(line int) (last int, ok bool) {
	s := &d.stack
	if s.height == 0 {
		return 0, false
	}
	k := s.head
	if k < 0 {
		k = s.from
	}
	for ; k < s.to; k += s.height {
		if s.lines[k] == line {
			return s.lines[k+s.height-1], true
		}
	}
	return 0, false
}

// stackHead says that the entry holds the heads of a stacked table.
func (e *entry) stackHead() bool {
	s := &e.d.stack
	return s.height > 0 && s.head >= 0 && s.lines[s.head] == e.first
}

// stackCells makes a cell of each line of a row.
func (e *entry) stackCells() {
	n := 0
	for k := e.first; k <= e.last; k++ {
		if p := &e.d.phys[k]; !p.blank && !p.rule {
			e.cells = append(e.cells, cell{p.body, p.b, n})
			n++
		}
	}
}
