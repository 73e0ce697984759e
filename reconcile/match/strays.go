package match

import (
	"strings"

	"layshaft/catalog"
	"layshaft/reconcile/kitlist"
)

// view reads what a line states, and looks for part numbers that were read as
// something else.
func (m *Matcher) view(text string, n *kitlist.Line, stock map[string]bool) *lineView {
	v := m.read.line(text, n, stock)
	m.strays(v, text, n)
	if v.obscure() {
		v.grams = lineGrams(text, n)
	}
	return v
}

// field is a run of a line without blanks.
type field struct{ start, end int }

// maxJoin is the number of neighbouring fields that one part number may fill.
const maxJoin = 4

// strays adds part numbers that the line reader gave another role: joins of
// fields that are a number of the catalogue to the letter, and single fields that
// mix letters, digits and separators as numbers do.
func (m *Matcher) strays(v *lineView, text string, n *kitlist.Line) {
	if len(v.number) > 0 || n.End > len(text) {
		return
	}
	fields := fieldsOf(text, n.Start, n.End)
	for i := range fields {
		for k := min(i+maxJoin, len(fields)); k > i; k-- {
			s := text[fields[i].start:fields[k-1].end]
			if len(s) > 40 {
				continue
			}
			key, ok := keyOf(s)
			if !ok || !m.standsAlone(key.folded, s) {
				continue
			}
			key.start, key.end, key.joined = fields[i].start, fields[k-1].end, k > i+1
			v.number = append(v.number, key)
			v.forget(n, key)
			return
		}
	}
	for _, f := range fields {
		s := strings.Trim(text[f.start:f.end], ".,;:()[]|")
		if key, ok := keyOf(s); ok && mixed(s) && !m.taken(n, f) {
			key.start, key.end = f.start, f.end
			v.number = append(v.number, key)
			v.forget(n, key)
		}
	}
}

// standsAlone: a folded number of the catalogue, long enough to be no accident.
func (m *Matcher) standsAlone(folded, written string) bool {
	if len(folded) < 6 || len(folded) < 8 && lettersNone(written) || strings.ContainsAny(written, "\t|") || repairLimit(folded) == 0 {
		return false
	}
	hit := false
	m.numbers.exact(folded, func(uint32) { hit = true })
	return hit
}

func lettersNone(s string) bool { return strings.Trim(s, "0123456789 .-/") == "" }

// mixed: letters and digits, or several separators, as in "AB-46646".
func mixed(s string) bool {
	k := catalog.Normal(s)
	digits := 0
	for i := range len(k) {
		if isDigit(k[i]) {
			digits++
		}
	}
	return len(k) >= 6 && digits >= 4 && digits < len(k) && !strings.ContainsAny(s, "xX*=\"'")
}

// forget drops tooth counts that were read inside a number: the "Z7" of "Z7F3189".
func (v *lineView) forget(n *kitlist.Line, k numberKey) {
	v.teeth = v.teeth[:0]
	for _, t := range n.Teeth {
		if t.End <= k.start || t.Start >= k.end {
			v.teeth = append(v.teeth, t.Count)
		}
	}
}

// taken: most of the field was read as something measured.
func (m *Matcher) taken(n *kitlist.Line, f field) bool {
	for _, sp := range n.Spans {
		if 2*(min(sp.End, f.end)-max(sp.Start, f.start)) < f.end-f.start {
			continue
		}
		switch sp.Role {
		case kitlist.RoleDesignation, kitlist.RoleSize, kitlist.RoleThread, kitlist.RoleTeeth:
			return true
		}
	}
	return false
}

func fieldsOf(text string, start, end int) []field {
	var out []field
	for i := start; i < end; {
		if isBlank(text[i]) {
			i++
			continue
		}
		j := i
		for j < end && !isBlank(text[j]) {
			j++
		}
		out = append(out, field{i, j})
		i = j
	}
	return out[:min(len(out), 40)]
}

func isBlank(c byte) bool { return c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '|' }
