package kitlist

import (
	"strconv"

	"layshaft/catalog/quantity"
)

// survey looks over the whole text before any line is read: unit, decimal mark, running numbers, columns at line ends.
func (d *document) survey() {
	d.speakers()
	d.checks()
	d.findTable()
	d.findStack()
	d.findRecords()
	d.markRunning()
	d.surveyNumbers()
	if d.table.sep == 0 {
		d.surveyEnds()
		d.surveyRows()
	}
	d.surveyRowsFull()
	d.surveySolid()
	d.surveyGroups()
	d.surveyCounted()
}

// surveyNumbers guesses the unit of bare sizes and the decimal mark.
func (d *document) surveyNumbers() {
	inch, mm, point, comma := 0, 0, 0, 0
	for i := range d.atoms {
		a := d.atoms[i]
		if a.class != cDigits || a.role != none {
			continue
		}
		prev, next := d.textAt(i-1), d.textAt(i+1)
		switch {
		case next == `"` && d.quoteEnds(i+1):
		case next == `"`:
			inch++
		case next == "mm" || next == "mmx" || next == " " && d.textAt(i+2) == "mm":
			mm++
		case next == "x" && len(a.text) <= 3 && d.isDigits(i+2) && len(d.atoms[i+2].text) >= 2:
			mm++
		case prev == "." && len(a.text) == 3 && !d.isDigits(i-2):
			inch++
		}
		if d.isDigits(i+2) && len(d.atoms[i+2].text) <= 3 {
			switch next {
			case ".":
				point++
			case ",":
				comma++
			}
		}
	}
	d.decimal = choose(point, comma, ".", ",")
	d.units = choose(mm, inch, "mm", "in")
	switch {
	case d.opts.Unit != "":
		d.unit = d.opts.Unit
	case inch > 0 && inch >= mm:
		d.unit = quantity.Inch
	case mm > 0:
		d.unit = quantity.Millimetre
	}
}

// quoteEnds says that a quote closes a cell and is no inch mark.
func (d *document) quoteEnds(i int) bool {
	if d.table.sep != ',' && d.table.sep != ';' {
		return false
	}
	return i+1 >= len(d.atoms) || d.text[d.atoms[i+1].start] == d.table.sep || d.text[d.atoms[i+1].start] == '\n' || d.text[d.atoms[i+1].start] == '\r'
}

func choose(a, b int, first, second string) string {
	switch {
	case a > 0 && b > 0:
		return "both"
	case a > 0:
		return first
	case b > 0:
		return second
	}
	return ""
}

func (d *document) textAt(i int) string {
	if i < 0 || i >= len(d.atoms) {
		return ""
	}
	return d.atoms[i].text
}

func (d *document) isDigits(i int) bool {
	return i >= 0 && i < len(d.atoms) && d.atoms[i].class == cDigits
}

// surveyEnds sees whether lines end in bare counts or prices often enough to make a column.
func (d *document) surveyEnds() {
	letters, capitals := 0, 0
	lines, counts, wideCounts, prices, widePrices, starts, commas := 0, 0, 0, 0, 0, 0, 0
	for k := range d.phys {
		p := &d.phys[k]
		if p.blank || p.rule {
			continue
		}
		lines++
		if c := d.text[d.atoms[p.body].start]; d.atoms[p.body].class == cLetters {
			letters++
			if c < 'a' || c > 'z' {
				capitals++
			}
		}
		if d.moneyAt(p.body) && d.textAt(p.body+3) == " " {
			starts++
		}
		i := p.b - 1
		for i > p.body && d.atoms[i].class == cSpace {
			i--
		}
		if i <= p.body || d.atoms[i].class != cDigits {
			continue
		}
		if m, k := d.textAt(i-1), d.beforeSign(i-3); (m == "." || m == ",") && d.isDigits(i-2) && d.textAt(k) == " " && len(d.atoms[i].text) == 2 {
			prices++
			if g := d.atoms[k]; g.width >= 2 {
				widePrices++
			}
		} else if m == " " && len(d.atoms[i].text) <= 3 && d.atoms[i-1].class == cSpace {
			counts++
			if d.textAt(i-2) == "," {
				commas++
			}
			if g := d.atoms[i-1]; g.width >= 2 {
				wideCounts++
			}
		}
	}
	d.commaCount = commas >= 2
	d.upperStarts = letters > 0 && capitals*3 >= letters*2
	d.endGap = 2
	if counts > 2*wideCounts {
		d.endGap = 1
	}
	d.startPrice = starts >= 3 && starts*2 >= lines
	d.endCount = wideCounts >= 2 || counts >= 3 && counts*5 >= lines*3
	d.endPrice = widePrices >= 2 || prices >= 3 && prices*2 >= lines
}

// beforeSign is the atom before a currency sign at i, or i.
func (d *document) beforeSign(i int) int {
	if _, ok := currencySigns[d.textAt(i)]; ok {
		return i - 1
	}
	return i
}

// surveySolid finds the first and the last line that surely belongs to the list: it opens with a count or a bullet, ends
// in a count or a price as others do, or is a row of the table.
func (d *document) surveySolid() {
	d.solid = [2]int{-1, -1}
	for k := range d.phys {
		p := &d.phys[k]
		if p.blank || p.rule || p.running || p.depth > 0 || k <= d.table.head {
			continue
		}
		solid := d.opens(p) && d.hasLetter(p) && d.textAt(p.body) != d.textAt(p.body+1) || (d.endCount || d.endPrice) && d.countAtEnd(p) && d.gaps(p) > 0
		if d.table.sep != 0 {
			solid = d.countSep(p, d.table.sep) >= minSeps(d.table.sep) && d.hasDigit(p)
		}
		if _, ok := d.inStack(k); ok {
			solid = true
		}
		if !solid && d.table.sep == 0 && d.stack.height == 0 {
			solid = d.hasDigit(p) && d.namesThing(p) && !d.talks(p)
		}
		if !solid || d.closing(p) {
			continue
		}
		if d.solid[0] < 0 {
			d.solid[0] = k
		}
		d.solid[1] = k
	}
}

// talks says that a line holds words of sentences.
func (d *document) talks(p *physical) bool {
	for i := p.body; i < p.b; i++ {
		if a := &d.atoms[i]; a.class == cLetters && a.word.talk {
			return true
		}
	}
	return false
}

// surveyCounted sees whether nearly every line says how many.
func (d *document) surveyCounted() {
	lines, counted, named := 0, 0, 0
	for k := range d.phys {
		p := &d.phys[k]
		if p.blank || p.rule || p.running || k <= d.table.head {
			continue
		}
		lines++
		if d.saysHowMany(p) {
			counted++
		}
		if d.namesThing(p) {
			named++
		}
	}
	d.mostNamed = named >= 4 && named*2 >= lines
	d.mostCounted = counted >= 4 && counted*10 >= lines*6
}

// saysHowMany says that a line opens with or ends in a count, or has one written with a sign.
func (d *document) saysHowMany(p *physical) bool {
	if d.isDigits(p.body) && d.opens(p) || d.countAtEnd(p) {
		return true
	}
	for i := p.body; i < p.b; i++ {
		if t := d.atoms[i].text; t == "x" && (d.isDigits(i+1) || d.isDigits(i-1)) && (d.textAt(i-1) == " " || d.textAt(i+1) == " ") || t == "qty" || t == "off" {
			return true
		}
	}
	i := p.b - 1
	for i > p.body && d.atoms[i].class != cLetters {
		i--
	}
	return numberWords[d.atoms[i].text] > 0
}

// moneyAt says that digits, a decimal mark and two digits begin at atom i.
func (d *document) moneyAt(i int) bool {
	m := d.textAt(i + 1)
	return d.isDigits(i) && (m == "." || m == ",") && d.isDigits(i+2) && len(d.atoms[i+2].text) == 2
}

// surveyRows sees whether lines begin with running numbers 1, 2, 3: then these are no counts.
func (d *document) surveyRows() {
	want, run, with := 1, 0, 0
	for k := range d.phys {
		p := &d.phys[k]
		if p.blank || !d.isDigits(p.body) || p.body >= p.b {
			continue
		}
		n, err := strconv.Atoi(d.atoms[p.body].text)
		if err != nil || !d.breakAfter(p.body) {
			continue
		}
		with++
		if n == want {
			run++
			want++
		}
	}
	d.rows = run >= 3 && run*10 >= with*7
}

// breakAfter says that a leading number ends in a blank, or in "." or ")" and a blank.
func (d *document) breakAfter(i int) bool {
	t := d.textAt(i + 1)
	return t == " " || (t == "." || t == ")" || t == ":") && d.textAt(i+2) == " "
}
