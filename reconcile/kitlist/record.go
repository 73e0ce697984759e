package kitlist

// records is a list written as one field a line, "Part: ...", "Qty: 2", the same fields coming back for every part.
type records struct {
	last map[int]int // first line of a record -> its last line
	col  map[int]int // line -> column
}

// findRecords looks for lines that begin with a column head and a colon, the first head coming back.
func (d *document) findRecords() {
	if d.table.sep != 0 || d.table.head >= 0 || d.stack.height > 0 {
		return
	}
	lines, labelled := 0, 0
	first, label := "", map[int]string{}
	starts := 0
	for k := range d.phys {
		p := &d.phys[k]
		if p.blank || p.rule {
			continue
		}
		lines++
		if t, _ := d.label(p); t != "" {
			if labelled++; first == "" {
				first = t
			}
			if t == first {
				starts++
			}
			label[k] = t
		}
	}
	if starts < 2 || labelled < 4 || labelled*10 < lines*7 || starts == labelled {
		return
	}
	d.groupRecords(first, label)
}

func (d *document) groupRecords(first string, label map[int]string) {
	d.records = records{last: map[int]int{}, col: map[int]int{}}
	cols := map[string]int{}
	open := -1
	for k := range d.phys {
		t, ok := label[k]
		switch {
		case d.phys[k].blank:
			continue
		case !ok:
			open = -1
			continue
		case t == first:
			open = k
		}
		if open < 0 {
			continue
		}
		d.records.last[open] = k
		if _, ok := cols[t]; !ok {
			cols[t] = len(cols)
			kind, _ := words().headKind(t)
			d.table.cols = append(d.table.cols, col{name: t, kind: kind})
		}
		d.records.col[k] = cols[t]
	}
}

// label is the column head that opens a line before a colon, and the atom behind the colon.
func (d *document) label(p *physical) (string, int) {
	for i := p.body; i < p.b && i < p.body+8; i++ {
		if d.atoms[i].text != ":" {
			continue
		}
		t := d.cellText(cell{a: p.body, b: i})
		if _, ok := words().headKind(t); ok {
			return t, i + 1
		}
		return "", 0
	}
	return "", 0
}

// recordCells makes a cell of what stands behind the colon of each line.
func (e *entry) recordCells() {
	for k := e.first; k <= e.last; k++ {
		p := &e.d.phys[k]
		c, ok := e.d.records.col[k]
		if p.blank || p.rule || !ok {
			continue
		}
		_, a := e.d.label(p)
		for i := p.body; i < a; i++ {
			e.at[i].role = rPunct
		}
		e.cells = append(e.cells, cell{a, p.b, c})
	}
}
