package match

import (
	"encoding/csv"
	"os"
	"slices"
	"testing"
)

// readElsewhere are words of lists that package kitlist reads: counts, flags and
// attributes, no parts.
var readElsewhere = []string{"gearbox", "tooth", "inside diameter", "outside diameter", "thickness", "standard size", "oversize",
	"pieces", "pair", "with", "without", "no longer available", "superseded", "order separately", "if fitted"}

// bareLetters mean a gear or a place only beside other things, or, as "mainshaft",
// mean one thing so much more often that the other is left out.
var bareLetters = []string{"I", "V", "R", "r", "AR"}

// TestSynonyms walks the trade's table of words (common practice, testdata/synonyms.csv):
// every way of writing a part or place must lead to it, or at least not be lost
// among other meanings.
func TestSynonyms(t *testing.T) {
	f, err := os.Open("testdata/synonyms.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	lx := newLexicon()
	r := &reader{lx: lx, words: map[string]term{}}
	r.spell = newSpeller(r)
	r.spell.fill()
	seen := 0
	for _, row := range rows[1:] {
		if slices.Contains(readElsewhere, row[0]) || slices.Contains(bareLetters, row[1]) || row[0] == "input shaft" && row[1] == "mainshaft" {
			continue
		}
		c := lx.byName[row[0]]
		if c == 0 {
			t.Errorf("%q is no concept", row[0])
			continue
		}
		seen++
		var v phraseView
		r.read(tokenize(row[1]), false, &v)
		if !leadsTo(lx, &v, c) {
			t.Errorf("%q does not lead to %q: kinds %v, unknown %d", row[1], row[0], conceptNames(lx, v.kinds), v.unknown)
		}
	}
	if seen < 600 {
		t.Errorf("only %d rows were tried", seen)
	}
}

func leadsTo(lx *lexicon, v *phraseView, c concept) bool {
	m := &lx.meanings[c]
	if m.gear != 0 || m.side != 0 {
		return v.gears&m.gear != 0 || v.sides&m.side != 0
	}
	for _, s := range v.slots {
		for _, a := range s.alts {
			if a == term(c) || a < firstWord && lx.isWider(c, concept(a)) {
				return true
			}
		}
	}
	return false
}

func conceptNames(lx *lexicon, list []concept) []string {
	var out []string
	for _, c := range list {
		out = append(out, lx.meanings[c].name)
	}
	return out
}
