package notes

import (
	"slices"
	"strings"

	"layshaft/reconcile/match"
)

// repair is what words were read as: n words of the table's phrase, m of the
// lexicon's.
type repair struct {
	own    entry
	n, m   int
	senses []match.Sense
	more   [][]match.Sense
	ending bool // without its plural ending
	guess  bool // far from how it is spelt, or too short to be sure
}

// repaired reads words that are in neither table as they stand.
func (rd *Reader) repaired(words []string, r *repair) {
	if r.senses, r.m = rd.ended(words); r.m > 0 {
		r.ending = true
		return
	}
	if len(words[0]) < 3 {
		return // too short to be repaired
	}
	if rd.elided(words, r) {
		return
	}
	if rd.compound(words[0], r) {
		return
	}
	if w, ok := slip(words[0]); ok {
		r.own, r.n = phrases[w], 1
		return
	}
	if rd.corrected(words, words[0], r) {
		return
	}
	if bare, ok := strings.CutSuffix(words[0], "s"); ok && rd.corrected(words, bare, r) {
		r.ending = true
		return
	}
	if len(words[0]) < 6 {
		return
	}
	if r.senses = rd.vocabulary.Partly(words[0]); len(r.senses) == 0 {
		r.senses, r.guess = rd.vocabulary.Repair(words[0]), true
	}
	if len(r.senses) > 0 {
		r.m = 1
	}
}

// elided reads French "d'arbre" and "l'arbre" without what is elided.
func (rd *Reader) elided(words []string, r *repair) bool {
	if w := words[0]; len(w) < 5 || w[0] != 'd' && w[0] != 'l' || !strings.ContainsRune("aeiouh", rune(w[1])) {
		return false
	}
	bare := slices.Clone(words)
	bare[0] = bare[0][1:]
	r.senses, r.m = rd.senses(bare)
	return r.m > 0
}

// compound reads two words that are written as one: "Differentiallager".
func (rd *Reader) compound(word string, r *repair) bool {
	const least = 4 // letters of a part
	for k := len(word) - least; k >= least; k-- {
		last, n := rd.senses([]string{word[k:]})
		ending := false
		if n == 0 {
			if last, n = rd.ended([]string{word[k:]}); n == 0 {
				continue
			}
			ending = true
		}
		for _, first := range []string{word[:k], strings.TrimSuffix(word[:k], "s"), strings.TrimSuffix(word[:k], "n"), strings.TrimSuffix(word[:k], "en")} {
			s, m := rd.senses([]string{first})
			if own, ok := phrases[first]; ok && own.role == asKind && m == 0 {
				s, m = kindSense(own.arg), 1
			}
			if m > 0 && firstKind(last) != "" {
				r.senses, r.more, r.m, r.ending = last, [][]match.Sense{s}, 1, ending || plural(word)
				return true
			}
		}
	}
	return false
}

// corrected reads the words with the first one's spelling put right.
func (rd *Reader) corrected(words []string, first string, r *repair) bool {
	fixed := rd.vocabulary.Correct(first)
	if fixed == first || fixed[0] != first[0] && !oneSlip(first, fixed) {
		return false // another first letter and more is another word
	}
	w := slices.Clone(words)
	w[0] = fixed
	r.senses, r.m = rd.senses(w)
	r.guess = len(first) < 5
	return r.m > 0
}

// senses of the lexicon's longest phrase; list words say nothing here. A word
// that is misspelt inside a phrase is repaired.
func (rd *Reader) senses(words []string) ([]match.Sense, int) {
	s, n := rd.vocabulary.Phrase(words)
	if len(words) > 1 && n > 0 && n < len(words) {
		if fixed := rd.vocabulary.Correct(words[n]); fixed != words[n] {
			if _, own := phrases[words[n]]; !own {
				w := slices.Clone(words[:n+1])
				w[n] = fixed
				if s2, n2 := rd.vocabulary.Phrase(w); n2 > n {
					s, n = s2, n2
				}
			}
		}
	}
	s = slices.DeleteFunc(s, func(x match.Sense) bool { return x.List })
	if len(s) == 0 {
		return nil, 0
	}
	return exactly(s, strings.Join(words[:n], " ")), n
}

// ended reads a word without the plural endings of other languages.
func (rd *Reader) ended(words []string) ([]match.Sense, int) {
	for _, end := range []string{"en", "e", "n", "s"} {
		if w, ok := strings.CutSuffix(words[0], end); ok && len(w) >= 4 {
			bare := slices.Clone(words)
			bare[0] = w
			if s, n := rd.senses(bare); n > 0 {
				return s, n
			}
		}
	}
	return nil, 0
}

// exactly keeps the sense whose own name was written, when there is one: a
// "synchro ring" is just that, whatever else some people call so.
func exactly(senses []match.Sense, written string) []match.Sense {
	for _, s := range senses {
		if s.Name == written || s.Name+"s" == written {
			return []match.Sense{s}
		}
	}
	return senses
}
