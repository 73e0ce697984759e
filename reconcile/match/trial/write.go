package trial

import (
	"fmt"
	"strings"
)

type writing struct{ usual, withheld []string }

func writings() map[string]writing {
	out := map[string]writing{}
	for _, r := range table(writingsCSV) {
		out[r[0]] = writing{split2(r[1]), split2(r[2])}
	}
	return out
}

func split2(s string) []string {
	if s == "" {
		return nil
	}
	return strings.Split(s, "|")
}

// Withheld lists the writings that the generator keeps from the lexicon.
func Withheld() []string {
	var out []string
	for _, r := range table(writingsCSV) {
		out = append(out, split2(r[2])...)
	}
	return out
}

func (s *scribe) word(w string) string {
	x, ok := s.words[w]
	if !ok {
		return w
	}
	if len(x.withheld) > 0 && s.chance(s.noise.Withheld) {
		return x.withheld[s.rng.IntN(len(x.withheld))]
	}
	return x.usual[s.rng.IntN(len(x.usual))]
}

// modifier writes a place: gear ordinals in many ways, other words from the table.
func (s *scribe) modifier(m string) string {
	if m[0] < '1' || m[0] > '9' {
		return s.word(m)
	}
	if a, b, ok := strings.Cut(m, "-"); ok {
		if b == "R" {
			return []string{"5-R", "5/R", "5th-rev"}[s.rng.IntN(3)]
		}
		return fmt.Sprintf([]string{"%[1]s-%[2]s", "%[1]s/%[2]s", "%[3]s-%[4]s", "%[3]s/%[4]s"}[s.rng.IntN(4)], a, b, ordinals[a], ordinals[b])
	}
	return ordinals[m]
}

func (s *scribe) size(z string) string {
	switch s.rng.IntN(5) {
	case 0:
		return strings.ReplaceAll(z, " ", "")
	case 1:
		if strings.Count(z, "x") == 2 && z[0] >= '0' && z[0] <= '9' {
			return strings.ReplaceAll(z, "x", " x ")
		}
	case 2:
		if strings.Count(z, "x") == 2 && z[0] >= '0' && z[0] <= '9' {
			return strings.ReplaceAll(z, "x", "-")
		}
	}
	return z
}

// typos swaps, drops, doubles or replaces a letter of some words.
func (s *scribe) typos(text string) string {
	words := strings.Fields(text)
	for i, w := range words {
		if len(w) < 4 || strings.ContainsAny(w, "0123456789/") || !s.chance(s.noise.Typos) {
			continue
		}
		k := 1 + s.rng.IntN(len(w)-2)
		switch s.rng.IntN(4) {
		case 0:
			w = w[:k] + string(w[k+1]) + string(w[k]) + w[k+2:]
		case 1:
			w = w[:k] + w[k+1:]
		case 2:
			w = w[:k] + w[k:k+1] + w[k:]
		default:
			w = w[:k] + string(rune('a'+s.rng.IntN(26))) + w[k+1:]
		}
		words[i] = w
	}
	return strings.Join(words, " ")
}

var lookAlike = map[byte]byte{'0': 'O', 'O': '0', '1': 'I', 'I': '1', '5': 'S', 'S': '5', '8': 'B', 'B': '8', '2': 'Z', 'Z': '2', '6': 'G', 'G': '6'}

// number writes a part number as lists do.
func (s *scribe) number(n string) string {
	switch s.rng.IntN(5) {
	case 0:
		n = strings.NewReplacer("-", "", ".", "", " ", "").Replace(n)
	case 1:
		n = strings.ReplaceAll(n, "-", " ")
	case 2:
		n = strings.ToLower(n)
	}
	if !s.chance(s.noise.Misread) {
		return n
	}
	b := []byte(n)
	for range 6 {
		k := s.rng.IntN(len(b))
		if c, ok := lookAlike[b[k]]; ok && s.rng.IntN(3) > 0 {
			b[k] = c
			break
		}
		if b[k] >= '0' && b[k] <= '9' {
			b[k] = '0' + byte(s.rng.IntN(10))
			break
		}
	}
	return string(b)
}

func (s *scribe) add(text string, pieces int, t Truth) { s.addWith("", text, pieces, t) }

// addWith lays the line out in the list's style.
func (s *scribe) addWith(number, text string, pieces int, t Truth) {
	switch s.caps {
	case 1:
		text = strings.ToUpper(text)
	case 2:
		text = strings.ToLower(text)
	}
	price := fmt.Sprintf("%d.%02d", 2+s.rng.IntN(90), s.rng.IntN(100))
	var line string
	switch s.style {
	case 0:
		if line = fmt.Sprintf("%s\t%s\t%d\t%s", text, number, pieces, price); s.noise.Numbers == 0 {
			line = fmt.Sprintf("%s\t%d\t%s", text, pieces, price)
		}
	case 1:
		line = fmt.Sprintf("- %s (%d) %s", text, pieces, number)
	case 2:
		line = fmt.Sprintf("%dx %s %s", pieces, number, text)
	case 3:
		line = fmt.Sprintf("%s %s x%d", number, text, pieces)
	case 4:
		line = fmt.Sprintf("%d off %s %s", pieces, text, number)
	case 5:
		line = fmt.Sprintf("| %s | %s | %d |", number, text, pieces)
	case 6:
		line = fmt.Sprintf("* %s %s qty %d", number, text, pieces)
	default:
		line = fmt.Sprintf("%s %s ..... %d pcs", text, number, pieces)
	}
	line = strings.TrimRight(line, " ")
	if s.style != 0 {
		line = strings.TrimSpace(line)
	}
	if len(s.lines) == 0 && (s.style == 0 || s.style == 5) {
		head := []string{0: "Description\tPart no\tQty\tPrice", 5: "| Part no | Description | Qty |"}[s.style]
		if s.style == 0 && s.noise.Numbers == 0 {
			head = "Description\tQty\tPrice"
		}
		s.lines = append(s.lines, head)
		s.kit.Truth = append(s.kit.Truth, Truth{No: 1, Kind: "heading", Text: s.lines[0]})
	}
	s.lines = append(s.lines, line)
	t.No, t.Kind, t.Pieces, t.Text = len(s.lines), "item", pieces, line
	s.kit.Truth = append(s.kit.Truth, t)
}
