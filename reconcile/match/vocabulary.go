package match

import (
	"slices"

	"layshaft/catalog"
)

// Vocabulary is the lexicon of the trade, the shop and the catalogue's own
// names, for readers of other texts than kit lists. It is immutable but for its
// memory of spellings and may be used by any number of goroutines.
type Vocabulary struct{ r *reader }

// Vocabulary that the matcher reads lists with.
func (m *Matcher) Vocabulary() *Vocabulary { return &Vocabulary{m.read} }

// NewVocabulary compiles the words of an index without laying out its parts.
func NewVocabulary(ix *catalog.Index) *Vocabulary {
	m := &Matcher{ix: ix, parts: ix.Parts(), read: &reader{lx: newLexicon(ix.Words()), words: map[string]term{}}}
	m.read.spell = newSpeller(m.read)
	m.learnWords()
	m.read.spell.fill()
	return &Vocabulary{m.read}
}

// Sense is one thing that a phrase may mean.
type Sense struct {
	// Name of the concept: a part kind, "first", "front", or a word of the
	// catalogue's names.
	Name string
	// Kind: it names a kind of part.
	Kind bool
	// Own: it is only a word of a part's or position's name.
	Own bool
	// Gears has bit n for gear n and bit 0 for reverse.
	Gears uint16
	// Side: it names a side, such as front or left.
	Side bool
	// Shaft that it names or lies on: input, main, counter, output, idler,
	// differential, selector, or "".
	Shaft string
	// List: it is a word of lists that names nothing: "gearbox", "pcs".
	List bool
}

// Phrase finds the longest phrase at the start of folded tokens and what it may
// mean; n is 0 when the first token starts none. Abbreviations are written out
// where that makes the phrase longer.
func (v *Vocabulary) Phrase(words []string) (senses []Sense, n int) {
	var room [maxPhrase]token
	var space [64]byte
	tokens := room[:0]
	for _, w := range words[:min(len(words), maxPhrase)] {
		tokens = append(tokens, token{text: w})
	}
	if len(tokens) == 0 {
		return nil, 0
	}
	alts, n := v.r.lx.longest(tokens, v.r.lx.written(tokens), space[:0])
	for _, c := range alts {
		senses = append(senses, v.sense(c))
	}
	if n == 0 {
		if t, ok := v.r.words[words[0]]; ok {
			return []Sense{{Name: v.r.names[t-firstWord], Own: true}}, 1
		}
	}
	return senses, n
}

func (v *Vocabulary) sense(c concept) Sense {
	m := &v.r.lx.meanings[c]
	s := Sense{Name: m.name, Kind: m.cat == catKind, Gears: m.gear, Side: m.cat == catSide, List: m.cat == catList}
	for name, bit := range shaftBits {
		if m.shaft == bit {
			s.Shaft = name
		}
	}
	return s
}

// Partly gives the phrases that hold a word which is none by itself, when they
// are few: "slinger" of "oil slinger".
func (v *Vocabulary) Partly(word string) []Sense {
	alts := v.r.lx.partial[word]
	if len(alts) == 0 {
		alts = v.r.lx.partial[singular(word)]
	}
	if len(alts) > 3 {
		return nil
	}
	var out []Sense
	for _, c := range alts {
		out = append(out, v.sense(c))
	}
	return out
}

// Repair gives what a misspelt or shortened folded word may mean; nothing when
// it could mean too much.
func (v *Vocabulary) Repair(word string) []Sense {
	var out []Sense
	for _, t := range v.r.spell.repair(word) {
		if t >= firstWord {
			out = append(out, Sense{Name: v.r.names[t-firstWord], Own: true})
		} else {
			out = append(out, v.sense(concept(t)))
		}
	}
	return out
}

// Correct gives the known word that a misspelt or shortened folded word stands
// for; the word itself when it is known, or when none or several would do.
func (v *Vocabulary) Correct(word string) string { return v.r.spell.correct(word) }

// Wider lists the kinds that a kind belongs to, nearest first: "needle bearing"
// is a "bearing".
func (v *Vocabulary) Wider(kind string) []string {
	var out []string
	queue := []concept{v.r.lx.byName[kind]}
	for len(queue) > 0 {
		for _, p := range v.r.lx.meanings[queue[0]].parents {
			if name := v.r.lx.meanings[p].name; !slices.Contains(out, name) {
				out, queue = append(out, name), append(queue, p)
			}
		}
		queue = queue[1:]
	}
	return out
}
