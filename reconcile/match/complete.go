package match

import (
	"slices"
	"strings"
)

// complete writes out unknown words where exactly one word makes a phrase with
// its neighbour: "sft" is "shift" before "rail" and "shaft" behind "main". It
// reports whether it wrote any.
func (r *reader) complete(tokens []token) bool {
	any := false
	for i := range tokens {
		w := tokens[i].text
		if len(w) < 2 || !lettersOnly(w) || r.means(w) || r.inPhrase(tokens, i) {
			continue
		}
		var before, after [3]string
		if i > 0 {
			before = r.lx.ways(tokens[i-1].text)
		}
		if i+1 < len(tokens) {
			after = r.lx.ways(tokens[i+1].text)
		}
		if full := r.spell.beside(w, before, after); full != "" {
			tokens[i].text = full
			any = true
		}
	}
	return any
}

// divide cuts unknown compounds of two known words: "driveshaft", and
// "antriebswellenlager" with its linking letters.
func (r *reader) divide(tokens []token) []token {
	for i := 0; i < len(tokens); i++ {
		w := tokens[i].text
		if len(w) < 8 || !lettersOnly(w) || r.known(w) {
			continue
		}
		if a, b := r.halves(w); a != "" {
			tokens = slices.Insert(slices.Clone(tokens), i+1, token{b, ' '})
			tokens[i].text = a
			i++
		}
	}
	return tokens
}

// links join the words of a compound.
var links = []string{"", "s", "n", "en", "es"}

// ended is a known word, or its plural's singular; "" when it is neither.
func (r *reader) ended(w string) string {
	if r.known(w) {
		return w
	}
	for _, end := range []string{"en", "n", "e"} {
		if s, ok := strings.CutSuffix(w, end); ok && len(s) >= 4 && r.known(s) {
			return s
		}
	}
	return ""
}

// overlaps finds two known words of which the first runs into the second: the input
// shaft's seal is "Antriebswelle" and "Wellendichtring" in one.
func (r *reader) overlaps(w string) (string, string) {
	const shared, least = 4, 8
	for i := 4; i+least <= len(w); i++ {
		b := r.ended(w[i:])
		if b == "" {
			continue
		}
		for end := len(w) - 1; end >= i+shared; end-- {
			if r.known(w[:end]) {
				return w[:end], b
			}
		}
	}
	return "", ""
}

// halves finds the cut with the longest first word.
func (r *reader) halves(w string) (string, string) {
	if a, b := r.overlaps(w); a != "" {
		return a, b
	}
	for i := len(w) - 4; i >= 4; i-- {
		b := r.ended(w[i:])
		if b == "" {
			continue
		}
		for _, l := range links {
			if a, ok := strings.CutSuffix(w[:i], l); ok && len(a) >= 4 && r.known(a) {
				return a, b
			}
		}
	}
	return "", ""
}

// lostPrefix counts letters before a slash that no phrase knows: the "t/" of
// "t/roller" changes the meaning of what follows.
func (r *reader) lostPrefix(tokens []token) int {
	n := 0
	for i := range len(tokens) - 1 {
		w := tokens[i].text
		if len(w) == 1 && lettersOnly(w) && tokens[i+1].sep == '/' && !r.inPhrase(tokens, i) {
			n++
		}
	}
	return n
}

// inPhrase: a phrase of several words starts or ends at the i-th token.
func (r *reader) inPhrase(tokens []token, i int) bool {
	var space [64]byte
	if _, n := r.lx.find(tokens[i:], space[:0]); n > 0 {
		return true
	}
	for k := 1; k < maxPhrase && k <= i; k++ {
		if _, n := r.lx.find(tokens[i-k:], space[:0]); n > k {
			return true
		}
	}
	return false
}

// means: the word has a meaning by itself.
func (r *reader) means(w string) bool {
	_, own := r.words[w]
	return own || r.lx.phrases[w] != nil || r.lx.phrases[singular(w)] != nil
}
