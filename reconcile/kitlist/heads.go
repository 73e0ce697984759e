package kitlist

import "strings"

// headKind says what a column holds whose head reads t (folded): a listed phrase, or words that all belong to heads.
func (l *lexicon) headKind(t string) (string, bool) {
	t = strings.TrimRight(t, ":.")
	if k, ok := l.heads[t]; ok {
		return k, true
	}
	if k, ok := l.heads[t+"."]; ok {
		return k, true
	}
	has := map[string]bool{}
	n := 0
	for w := range strings.FieldsFuncSeq(t, func(r rune) bool { return strings.ContainsRune(" ._-()/[]:", r) }) {
		k, ok := l.headWords[w]
		if !ok {
			return "", false
		}
		has[k] = true
		n++
	}
	if n == 0 || n == 1 && has[""] {
		return "", false
	}
	return headClass(has), true
}

// headClass weighs the classes of a head's words: "qty delivered" is what was delivered, "part no" a number.
func headClass(has map[string]bool) string {
	switch {
	case has["supplied"]:
		return "supplied"
	case has["ordered"]:
		return "ordered"
	case has["qty"] && has["total"]:
		return "pieces"
	case has["pack"] && (has["qty"] || has["unit"] || has[""]):
		return "pack"
	case has["qty"]:
		return "qty"
	case has["total"] && !has["price"] || has["total"] && has["price"]:
		return "total"
	case has["price"]:
		return "price"
	case has["number"]:
		return "number"
	case has["note"]:
		return "note"
	case has["row"]:
		return "row"
	case has["words"]:
		return "words"
	case has["unit"]:
		return "unit"
	}
	return "pack"
}

// headLine says that a line without digits only holds words of column heads, of at least two kinds.
func (d *document) headLine(p *physical) bool {
	n := 0
	kinds := map[string]bool{}
	w := words()
	for i := p.body; i < p.b; i++ {
		a := &d.atoms[i]
		switch a.class {
		case cDigits:
			return false
		case cLetters:
			j := i + 1
			for j+1 < p.b && d.atoms[j].class == cPunct && strings.Contains("'/.-", d.atoms[j].text) && d.atoms[j+1].class == cLetters {
				j += 2
			}
			k, ok := w.headWords[d.cellText(cell{a: i, b: j})]
			if !ok {
				if k, ok = w.headWords[a.text]; !ok {
					return false
				}
			}
			if k != "" {
				kinds[k] = true
			}
			n++
			i = j - 1
		}
	}
	return n >= 2 && n <= 12 && len(kinds) >= 2 && (kinds["qty"] || kinds["ordered"] || kinds["supplied"] || kinds["price"] || kinds["number"] && kinds["words"])
}
