package match

// term is a concept, or a word of the catalogue's own names above firstWord.
type term uint32

const firstWord term = 1 << 16

// slot is one thing that a text names, with all that it may mean.
type slot struct {
	text    string // as written, squashed
	alts    []term
	fixed   bool // the spelling was repaired or an abbreviation guessed
	context bool // stands in a heading or an earlier part of the line
}

// reader turns words into slots with the lexicon, the catalogue's own words and
// spelling repair.
type reader struct {
	lx    *lexicon
	words map[string]term
	names []string // of words, by term - firstWord
	spell *speller
}

// phraseView is what the words of one text say.
type phraseView struct {
	slots   []slot
	kinds   []concept // as written, in order; several for an ambiguous word
	gears   uint16
	sides   uint16
	shafts  uint16
	unknown int // words that mean nothing here
	words   int
	foreign bool // it names goods that are in no gearbox
}

// learn makes a word of the catalogue's own names known.
func (r *reader) learn(word string) term {
	if t, ok := r.words[word]; ok {
		return t
	}
	t := firstWord + term(len(r.names))
	r.words[word] = t
	r.names = append(r.names, word)
	return t
}

// read reads tokens. With learn, unknown words become words of the catalogue.
func (r *reader) read(tokens []token, learn bool, v *phraseView) {
	var space [64]byte
	fixed := false
	if !learn {
		for i := range tokens {
			if w := r.spell.correct(tokens[i].text); w != tokens[i].text {
				tokens[i].text, fixed = w, true
			}
		}
	}
	if !learn {
		tokens = r.divide(tokens)
		fixed = r.complete(tokens) || fixed
		v.unknown += r.lostPrefix(tokens)
	}
	full := r.lx.written(tokens)
	for i := 0; i < len(tokens); {
		if gears, n := gearsOf(tokens[i:]); n > 0 {
			v.gears |= gears
			i += n
			continue
		}
		rest := full
		if full != nil {
			rest = full[i:]
		}
		if alts, n := r.lx.longest(tokens[i:], rest, space[:0]); n > 0 {
			r.take(alts, fixed, v)
			v.wrote(tokens[i : i+n])
			i += n
			continue
		}
		r.word(tokens[i].text, learn, v)
		v.wrote(tokens[i : i+1])
		i++
	}
}

// wrote notes from what tokens the newest slots come.
func (v *phraseView) wrote(tokens []token) {
	for i := len(v.slots) - 1; i >= 0 && v.slots[i].text == ""; i-- {
		for _, t := range tokens {
			v.slots[i].text += t.text
		}
	}
}

// word reads one token that starts no phrase.
func (r *reader) word(text string, learn bool, v *phraseView) {
	if t, ok := r.words[text]; ok {
		v.words++
		v.slots = append(v.slots, slot{alts: []term{t}})
		return
	}
	if learn {
		if len(text) > 1 && lettersOnly(text) {
			v.words++
			v.slots = append(v.slots, slot{alts: []term{r.learn(text)}})
		}
		return
	}
	if alts := r.lx.partial[text]; len(alts) > 0 && len(alts) <= 3 {
		r.take(alts, true, v)
		return
	}
	if alts := r.spell.repair(text); len(alts) > 0 {
		r.takeTerms(alts, v)
		return
	}
	if len(text) > 2 && lettersOnly(text) {
		v.words++
		v.unknown++
	}
}

// take adds the meanings of a phrase. Places are only set when every meaning
// agrees: an ambiguous word is never resolved without context.
func (r *reader) take(alts []concept, fixed bool, v *phraseView) {
	first := r.lx.meanings[alts[0]]
	switch first.cat {
	case catList:
		return
	case catForeign:
		v.foreign = true
		v.words++
		v.unknown++
		return
	}
	if len(alts) == 1 && first.both != nil {
		for _, c := range first.both {
			r.take([]concept{c}, fixed, v)
		}
		return
	}
	v.words++
	gears, sides, shafts := first.gear, first.side, first.shaft
	all, known := uint16(0), true // shafts of every meaning
	terms := make([]term, 0, len(alts))
	kind := false
	for _, c := range alts {
		m := &r.lx.meanings[c]
		gears, sides, shafts = gears&m.gear, sides&m.side, shafts&m.shaft
		all, known = all|m.shaft, known && m.shaft != 0
		kind = kind || m.cat == catKind
		terms = append(terms, term(c))
	}
	if known && kind {
		shafts = all // one of several shafts: agrees with each of them
	}
	v.gears, v.sides, v.shafts = v.gears|gears, v.sides|sides, v.shafts|shafts
	if kind {
		v.kinds = append(v.kinds, alts...)
	}
	if gears|sides == 0 {
		v.slots = append(v.slots, slot{alts: terms, fixed: fixed})
	}
}

func (r *reader) takeTerms(alts []term, v *phraseView) {
	var concepts []concept
	for _, t := range alts {
		if t < firstWord {
			concepts = append(concepts, concept(t))
		}
	}
	if len(concepts) == len(alts) {
		r.take(concepts, true, v)
		return
	}
	v.words++
	v.slots = append(v.slots, slot{alts: alts, fixed: true})
}

// gearsOf reads gear ordinals: "1st", "3rd", "1-2", "3/4", "5-R".
func gearsOf(tokens []token) (gears uint16, n int) {
	first := ordinal(tokens[0].text, false)
	if first != 0 {
		return first, 1
	}
	first = ordinal(tokens[0].text, true)
	if first == 0 || len(tokens) < 2 || tokens[1].sep != '-' && tokens[1].sep != '/' && tokens[1].sep != '&' && tokens[1].sep != '+' {
		return 0, 0
	}
	second := ordinal(tokens[1].text, true) | ordinal(tokens[1].text, false)
	if second == 0 && (tokens[1].text == "r" || tokens[1].text == "rev") {
		second = gearReverse
	}
	if second == 0 {
		return 0, 0
	}
	return first | second, 2
}

// ordinal reads "3rd", or with bare also "3".
func ordinal(s string, bare bool) uint16 {
	if s == "" || s[0] < '1' || s[0] > '8' {
		return 0
	}
	switch s[1:] {
	case "":
		if !bare {
			return 0
		}
	case "st", "nd", "rd", "th", "eme", "ere", "er", "a", "ste", "te":
	default:
		return 0
	}
	return 1 << (s[0] - '0')
}

func gearMask(gears []int) uint16 {
	var m uint16
	for _, g := range gears {
		if g >= 0 && g <= 8 {
			m |= 1 << g // reverse is 0 and gearReverse is bit 0
		}
	}
	return m
}
