package kitlist

import (
	"fmt"
	"strconv"
	"strings"
)

// minRepeat is how many lines in a row must come back for a block to count as pasted twice.
const minRepeat = 3

// repeats finds a block of lines that stands in the text twice.
func (s *state) repeats() {
	var keys []string
	var at []int
	for i, n := range s.l.Lines {
		if n.Kind == Item && n.Sub <= 1 {
			keys = append(keys, Fold(n.Text))
			at = append(at, i)
		}
	}
	firstAt := map[[minRepeat]string]int{}
	for i := 0; i+minRepeat <= len(keys); i++ {
		k := [minRepeat]string(keys[i : i+minRepeat])
		j, ok := firstAt[k]
		if !ok {
			firstAt[k] = i
			continue
		}
		if i < j+minRepeat {
			continue
		}
		n := 0
		for i+n < len(keys) && j+n < i && keys[i+n] == keys[j+n] {
			n++
		}
		a, b := s.l.Lines[at[j]], s.l.Lines[at[i]]
		end := s.l.Lines[at[i+n-1]].End
		s.l.Questions = append(s.l.Questions, Question{"pasted-twice",
			fmt.Sprintf("%d lines from line %d come again from line %d: pasted twice, or wanted twice?", n, a.No, b.No), b.Start, end})
		return
	}
}

// pages asks for the pages that a footer counts and the text does not hold.
func (s *state) pages() {
	for _, n := range s.l.Lines {
		if n.Kind != Noise || len(n.Text) > 200 {
			continue
		}
		page, of, ok := pageOf(Fold(n.Text))
		if ok && of > 1 && of < 100 && page >= 1 && page <= of && s.pageLines() < of {
			s.l.Questions = append(s.l.Questions, Question{"pages-missing",
				fmt.Sprintf("this is page %d of %d: are the other pages here?", page, of), n.Start, n.End})
			return
		}
	}
}

func (s *state) pageLines() int {
	n := 0
	for _, l := range s.l.Lines {
		if l.Kind == Noise && len(l.Text) <= 200 {
			if _, _, ok := pageOf(Fold(l.Text)); ok {
				n++
			}
		}
	}
	return n
}

// pageOf reads "page 2/3", "seite 2 von 3", "page 2 of 3".
func pageOf(t string) (page, of int, ok bool) {
	f := strings.FieldsFunc(t, func(r rune) bool { return r == ' ' || r == '/' || r == ':' || r == '.' })
	for i, w := range f {
		if w != "page" && w != "seite" && w != "pagina" && w != "pag" && w != "hoja" || i+2 >= len(f) {
			continue
		}
		j := i + 2
		if o := f[j]; (o == "of" || o == "von" || o == "sur" || o == "de") && j+1 < len(f) {
			j++
		}
		p, err := strconv.Atoi(f[i+1])
		n, err2 := strconv.Atoi(f[j])
		return p, n, err == nil && err2 == nil
	}
	return 0, 0, false
}
