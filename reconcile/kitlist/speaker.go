package kitlist

import "strings"

// speakers marks what a message program puts before each line: a time with or without a date, and a name.
func (d *document) speakers() {
	stamps := 0
	names := map[string]int{}
	for k := range d.phys {
		p := &d.phys[k]
		if p.blank || p.rule {
			continue
		}
		if d.stamp(p) > p.body {
			stamps++
		} else if t := d.nameOf(p); t != "" {
			names[t]++
		}
	}
	if !d.conversation(names) {
		names = nil
	}
	if stamps == 0 && d.stampLines() {
		return
	}
	for k := range d.phys {
		p := &d.phys[k]
		if p.blank || p.rule {
			continue
		}
		to := p.body
		if stamps >= 2 {
			to = d.stamp(p)
			to = d.named(to, p.b)
		} else if len(names) >= 2 && names[d.nameOf(p)] >= 2 {
			to = d.named(p.body, p.b)
		}
		if to > p.body && to < p.b {
			d.mark(p.body, to)
			p.body, p.spoken = to, true
		}
	}
}

// conversation says that the names that come back stand before half of the lines.
func (d *document) conversation(names map[string]int) bool {
	lines, spoken := 0, 0
	for k := range d.phys {
		if p := &d.phys[k]; !p.blank && !p.rule {
			lines++
		}
	}
	for _, n := range names {
		if n >= 2 {
			spoken += n
		}
	}
	return spoken*2 >= lines
}

// stampLines marks lines that only hold a name and a time, as a telephone shows them above each message.
func (d *document) stampLines() bool {
	n := 0
	for k := range d.phys {
		if d.nameAndTime(&d.phys[k]) {
			n++
		}
	}
	if n < 2 {
		return false
	}
	spoken := false
	for k := range d.phys {
		p := &d.phys[k]
		if p.stamp = d.nameAndTime(p); p.stamp {
			spoken = true
		} else {
			p.spoken = spoken && !p.blank && !p.rule
		}
	}
	return true
}

// nameAndTime says that a line holds one to three words that name no part, and a time, and nothing else.
func (d *document) nameAndTime(p *physical) bool {
	words, clock := 0, false
	for i := p.body; i < p.b && !p.blank && !p.rule; i++ {
		switch a := &d.atoms[i]; {
		case a.class == cLetters:
			if words++; a.word.thing != "" || words > 3 {
				return false
			}
		case a.class == cDigits:
			clock = clock || len(a.text) == 2 && d.textAt(i-1) == ":" && d.isDigits(i-2)
		case a.class == cPunct && !strings.Contains(":,()[].-/", a.text):
			return false
		}
	}
	return clock && words > 0
}

// checkWords are what people tick lines off with.
var checkWords = wordSet("checkWords")

// checks marks words such as "ok" that stand before lines, set off by a wide gap.
func (d *document) checks() {
	n := 0
	for k := range d.phys {
		if p := &d.phys[k]; d.checkEnd(p) > p.body && d.atoms[p.body].class == cLetters {
			n++
		}
	}
	if n < 2 {
		return
	}
	d.checked = true
	for k := range d.phys {
		if p := &d.phys[k]; d.checkEnd(p) > p.body {
			to := d.checkEnd(p)
			d.mark(p.body, to)
			p.body = to
		}
	}
}

// checkEnd gives the atom behind a check word and a wide gap, or the body.
func (d *document) checkEnd(p *physical) int {
	i := p.body
	if p.blank || p.rule || i >= p.b || !checkWords[d.atoms[i].text] {
		return p.body
	}
	for i < p.b && checkWords[d.atoms[i].text] {
		i++
	}
	if i+1 < p.b && d.atoms[i].class == cSpace && d.atoms[i].width >= 2 {
		return i + 1
	}
	return p.body
}

// stamp gives the atom after "[10:42] ", "14/03/19, 10:42 - " or "10:42 am ", or the body.
func (d *document) stamp(p *physical) int {
	i, clock := p.body, false
	for ; i < p.b && i < p.body+24; i++ {
		switch t := d.atoms[i].text; {
		case d.atoms[i].class == cDigits:
			clock = clock || len(t) == 2 && i >= p.body+2 && d.textAt(i-1) == ":" && d.isDigits(i-2)
		case t == "[" || t == "]" || t == "(" || t == ")" || t == "/" || t == "." || t == ":" || t == "," || t == "-" || t == " ":
		case (t == "am" || t == "pm" || t == "uhr" || t == "h") && clock:
		default:
			if !clock || i == p.body || d.atoms[i-1].class == cDigits {
				return p.body
			}
			return i
		}
	}
	return p.body
}

// named gives the atom behind a name and a colon that follow a time, or i.
func (d *document) named(i, b int) int {
	words := 0
	for k := i; k < b && k < i+8; k++ {
		switch a := &d.atoms[k]; {
		case a.class == cLetters:
			if words++; words > 3 {
				return i
			}
		case a.text == ":" && words > 0:
			for k++; k < b && d.atoms[k].class == cSpace; k++ {
			}
			return k
		case a.class != cSpace && a.text != "-" && a.text != "'":
			return i
		}
	}
	return i
}

// nameOf is what stands before a colon at the start of a line when it may be a name: up to three words, not all of them
// words of the trade or of column heads.
func (d *document) nameOf(p *physical) string {
	to := d.named(p.body, p.b)
	if to == p.body || to >= p.b {
		return ""
	}
	w := words()
	for i := p.body; i < to; i++ {
		a := &d.atoms[i]
		if a.class != cLetters {
			continue
		}
		if _, head := w.headWords[a.text]; !head && a.word.thing == "" && !a.word.place && len(a.word.phrases) == 0 {
			return d.cellText(cell{a: p.body, b: to})
		}
	}
	return ""
}
