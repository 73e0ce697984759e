package match

import (
	"slices"
	"sync"
)

// speller repairs words against the lexicon's vocabulary and the catalogue's own
// words: confusable characters, then distance 1 (2 from seven letters), then
// abbreviations that leave letters out.
type speller struct {
	r       *reader
	byFirst [256][]string   // vocabulary by first letter
	tokens  map[string]bool // every token of phrases and names, short ones too
	mu      sync.Mutex
	known   map[string][]term // answers given, bounded
	fixed   map[string]string // corrections given, bounded
}

const maxSpellings = 20_000

func newSpeller(r *reader) *speller {
	return &speller{r: r, tokens: map[string]bool{}, known: map[string][]term{}, fixed: map[string]string{}}
}

// fill sorts the vocabulary once all words are known.
func (s *speller) fill() {
	for w := range s.r.lx.vocabulary {
		s.tokens[w] = true
	}
	for _, w := range s.r.names {
		s.tokens[w] = true
	}
	for w := range s.tokens {
		if len(w) >= 4 && lettersOnly(w) {
			s.byFirst[w[0]] = append(s.byFirst[w[0]], w)
		}
	}
	for _, list := range s.byFirst {
		slices.Sort(list)
	}
}

// repair gives what a misspelt or shortened word may mean, or nothing.
func (s *speller) repair(word string) []term {
	if len(word) < 2 || len(word) > 24 {
		return nil
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if t, ok := s.known[word]; ok {
		return t
	}
	t := s.search(word)
	if len(s.known) >= maxSpellings {
		clear(s.known)
	}
	s.known[word] = t
	return t
}

func (s *speller) search(word string) []term {
	return s.union(s.candidates(word))
}

// correct gives the one word of the vocabulary that a token stands for; the
// token itself when it is known, or when none or several would do.
func (s *speller) correct(word string) string {
	if s.tokens[word] || s.tokens[singular(word)] || len(word) < 3 || len(word) > 24 {
		return word
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if w, ok := s.fixed[word]; ok {
		return w
	}
	out := word
	if found := s.candidates(word); len(found) == 1 {
		out = found[0]
	}
	if len(s.fixed) >= maxSpellings {
		clear(s.fixed)
	}
	s.fixed[word] = out
	return out
}

// candidates are the words of the vocabulary that a token may stand for.
func (s *speller) candidates(word string) []string {
	if w := unOCR(word); w != word && len(word) > 2 { // "B1" is rather a shelf than a ball
		if s.tokens[w] || s.tokens[singular(w)] {
			return []string{w}
		}
		word = w
	}
	if !lettersOnly(word) {
		return nil
	}
	if len(word) >= 4 {
		if found := s.near(word); len(found) > 0 {
			return found
		}
	}
	return s.shortened(word)
}

// unOCR reads digits inside a word as the letters they look like.
func unOCR(word string) string {
	b := []byte(word)
	letters := 0
	for i, c := range b {
		switch c {
		case '0':
			b[i] = 'o'
		case '1':
			b[i] = 'l'
		case '5':
			b[i] = 's'
		case '8':
			b[i] = 'b'
		case '6':
			b[i] = 'g'
		case '2':
			b[i] = 'z'
		default:
			if c < '0' || c > '9' {
				letters++
			}
		}
	}
	if letters*2 < len(b) {
		return word
	}
	return string(b)
}

// terms of a word as it stands.
func (s *speller) terms(word string) []term {
	var out []term
	c := s.r.lx.phrases[word]
	if c == nil {
		c = s.r.lx.phrases[singular(word)]
	}
	for _, c := range c {
		if s.r.lx.meanings[c].cat != catList {
			out = append(out, term(c))
		}
	}
	if t, ok := s.r.words[word]; ok && len(out) == 0 {
		out = append(out, t)
	}
	return out
}

// near takes all words at the least distance.
func (s *speller) near(word string) []string {
	limit := 1
	if len(word) >= 7 {
		limit = 2
	}
	best, found := limit+1, []string(nil)
	try := func(list []string) {
		for _, w := range list {
			if d := distance(word, w, min(best, limit)); d <= limit && d <= best {
				if d < best {
					best, found = d, found[:0]
				}
				found = append(found, w)
			}
		}
	}
	try(s.byFirst[word[0]])
	if best > 1 && word[1] != word[0] {
		try(s.byFirst[word[1]]) // first letter lost or swapped
	}
	return found
}

// beside gives the one word of the vocabulary that an unknown word abbreviates or
// misspells and that makes a phrase with a neighbour; "" when there is none or
// several.
func (s *speller) beside(word string, before, after [3]string) string {
	if before[0] == "" && after[0] == "" || len(word) == 2 && (isVowel(word[0]) || isVowel(word[1])) {
		return ""
	}
	key := word + " " + before[0] + " " + after[0]
	s.mu.Lock()
	defer s.mu.Unlock()
	if w, ok := s.fixed[key]; ok {
		return w
	}
	best, quality := "", 0
	for _, w := range s.byFirst[word[0]] {
		q := max(abbreviates(word, w), skeleton(word, w))
		if q == 0 && len(word) >= 3 && distance(word, w, 1) <= 1 {
			q = 90
		}
		if q == 0 || q < quality || !s.anyPhrase(w, before, after) {
			continue
		}
		if q == quality && singular(w) != singular(best) {
			best = ""
			continue
		}
		if q > quality {
			best, quality = w, q
		}
	}
	if len(s.fixed) >= maxSpellings {
		clear(s.fixed)
	}
	s.fixed[key] = best
	return best
}

// skeleton grades short ways of writing that keep the first letter and some
// letters in order: "fk" of "fork", "extn" of "extension".
func skeleton(short, long string) int {
	if len(short) >= len(long) {
		return 0
	}
	k := 0
	for i := 0; i < len(long) && k < len(short); i++ {
		if long[i] == short[k] {
			k++
		}
	}
	if k < len(short) {
		return 0
	}
	return 30 + 30*len(short)/len(long)
}

// anyPhrase: the word means something with one of its neighbours.
func (s *speller) anyPhrase(w string, before, after [3]string) bool {
	for i := range before {
		if s.phrase(before[i], w) || s.phrase(w, after[i]) {
			return true
		}
	}
	return false
}

// phrase: both words together mean something of their own.
func (s *speller) phrase(a, b string) bool {
	if a == "" || b == "" {
		return false
	}
	c := s.r.lx.phrases[a+b]
	if c == nil {
		c = s.r.lx.phrases[a+singular(b)]
	}
	return c != nil && s.r.lx.meanings[c[0]].cat != catList
}

// shortened finds longer words that the letters abbreviate: same first letter,
// all letters in order, and the last one a consonant of the second half.
func (s *speller) shortened(word string) []string {
	var found []string
	best := 0
	for _, w := range s.byFirst[word[0]] {
		q := abbreviates(word, w)
		if q == 0 || q < best {
			continue
		}
		if q > best {
			best, found = q, found[:0]
		}
		found = append(found, w)
	}
	if len(found) > 4 {
		return nil // says nothing
	}
	return found
}

// abbreviates grades how well short stands for long: 0 for not at all.
func abbreviates(short, long string) int {
	if len(short) >= len(long) || len(short) < 2 || len(short) < 3 && len(long) > 5 {
		return 0
	}
	if long[:len(short)] == short && len(short) >= 3 {
		return 40 + 40*len(short)/len(long)
	}
	k, consonants, hit := 0, 0, 0
	for i := range len(long) {
		vowel := isVowel(long[i])
		if !vowel {
			consonants++
		}
		if k < len(short) && short[k] == long[i] {
			k++
			if !vowel {
				hit++
			}
		}
	}
	if k < len(short) || consonants == 0 || 2*hit < consonants {
		return 0
	}
	return 100 * hit / consonants
}

func isVowel(c byte) bool {
	return c == 'a' || c == 'e' || c == 'i' || c == 'o' || c == 'u' || c == 'y'
}

func (s *speller) union(words []string) []term {
	var out []term
	for _, w := range words {
		for _, t := range s.terms(w) {
			if !containsTerm(out, t) {
				out = append(out, t)
			}
		}
	}
	if len(out) > 6 {
		return nil
	}
	return out
}

func containsTerm(list []term, t term) bool {
	for _, x := range list {
		if x == t {
			return true
		}
	}
	return false
}

// distance is the restricted Damerau-Levenshtein distance (neighbours may swap),
// or limit+1 when it is greater than limit. Bytes are compared.
func distance(a, b string, limit int) int {
	if d := len(a) - len(b); d > limit || -d > limit {
		return limit + 1
	}
	const width = 48
	if len(b) >= width || len(a) >= width {
		return limit + 1
	}
	var rows [3][width]int
	for j := 0; j <= len(b); j++ {
		rows[0][j] = j
	}
	for i := 1; i <= len(a); i++ {
		cur, prev, before := &rows[i%3], &rows[(i+2)%3], &rows[(i+1)%3]
		cur[0] = i
		least := i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			d := min(prev[j-1]+cost, prev[j]+1, cur[j-1]+1)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				d = min(d, before[j-2]+1)
			}
			cur[j] = d
			least = min(least, d)
		}
		if least > limit {
			return limit + 1
		}
	}
	return min(rows[len(a)%3][len(b)], limit+1)
}
