package kitlist

// markRunning finds the lines that are printed on every page: those above a repeated table head, the first line of
// the text when it comes back, and equal lines beside either.
func (d *document) markRunning() {
	var pairs [][2]int // earlier and later copy of a line that surely begins a page
	if h := d.table.head; h >= 0 {
		for k := h + 1; k < len(d.phys); k++ {
			if d.alike(h, k) {
				pairs = append(pairs, [2]int{h, k})
			}
		}
	}
	if first := d.after(-1); first >= 0 && !d.opens(&d.phys[first]) && d.hasLetter(&d.phys[first]) && first != d.table.head {
		for k := first + minPage; k < len(d.phys); k++ {
			if d.alike(first, k) {
				pairs = append(pairs, [2]int{first, k})
				d.phys[first].running, d.phys[k].running = true, true
			}
		}
	}
	for _, p := range pairs[:min(len(pairs), maxPages)] {
		for _, step := range []func(int) int{d.before, d.after} {
			for a, b := step(p[0]), step(p[1]); a >= 0 && b >= 0 && b < len(d.phys) && a != p[1] && d.alike(a, b) && !d.opens(&d.phys[a]) && a != d.table.head; a, b = step(a), step(b) {
				if step(a) > a && d.countAtEnd(&d.phys[a]) {
					break // pasted twice: the same items come again
				}
				d.phys[a].running, d.phys[b].running = true, true
			}
		}
	}
}

const (
	minPage  = 4    // lines on the shortest page
	maxPages = 1000 // pages looked at
)

func (d *document) alike(a, b int) bool {
	p, q := &d.phys[a], &d.phys[b]
	return !q.blank && !q.rule && d.same(p, q)
}

// after and before are the next lines that hold anything, -1 when there is none.
func (d *document) after(k int) int {
	for k++; k < len(d.phys); k++ {
		if p := &d.phys[k]; !p.blank && !p.rule {
			return k
		}
	}
	return -1
}

func (d *document) before(k int) int {
	for k--; k >= 0; k-- {
		if p := &d.phys[k]; !p.blank && !p.rule {
			return k
		}
	}
	return -1
}

// countAtEnd says that a line ends in a number: a count or a price.
func (d *document) countAtEnd(p *physical) bool {
	i := p.b - 1
	for i > p.body && d.atoms[i].class == cSpace {
		i--
	}
	if i <= p.body || d.atoms[i].class != cDigits || len(d.atoms[i].text) > 4 {
		return false
	}
	return d.atoms[i-1].class == cSpace || d.moneyAt(i-2) || !d.endCount
}
