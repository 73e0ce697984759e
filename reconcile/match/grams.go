package match

import (
	"cmp"
	"slices"

	"layshaft/catalog"
	"layshaft/reconcile/kitlist"
)

// gram is three neighbouring letters of a word with a blank at both its ends.
type gram uint32

// gramsOf gives the grams of folded words, sorted, each once.
func gramsOf(tokens []token) []gram {
	var out []gram
	for _, t := range tokens {
		w := " " + t.text + " "
		if !lettersOnly(t.text) {
			continue
		}
		for i := 0; i+3 <= len(w); i++ {
			out = append(out, gram(w[i])<<16|gram(w[i+1])<<8|gram(w[i+2]))
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// alike is the share of a name's letters that a line has too: twice the common
// grams among all (Dice 1945).
func alike(a, b []gram) float32 {
	if len(a)+len(b) == 0 {
		return 0
	}
	common := 0
	for i, k := 0, 0; i < len(a) && k < len(b); {
		switch c := cmp.Compare(a[i], b[k]); {
		case c < 0:
			i++
		case c > 0:
			k++
		default:
			common, i, k = common+1, i+1, k+1
		}
	}
	return 2 * float32(common) / float32(len(a)+len(b))
}

// obscure: words stayed unknown or none names a kind, so that letters count.
func (v *lineView) obscure() bool { return v.unknown > 0 || len(v.kinds) == 0 }

// gramIndex lists the parts' names by gram. Parts share names, so each name is
// kept once with the parts that have it.
type gramIndex struct {
	grams []gram
	start []uint32
	list  []uint32 // names
	sizes []uint8  // grams of each name
	parts [][]uint32
}

// newGramIndex of names, as kept by buildTables.
func newGramIndex(parts []*catalog.Part) *gramIndex {
	type entry struct {
		g gram
		n uint32
	}
	ix := &gramIndex{}
	at := map[string]uint32{}
	var entries []entry
	for i, p := range parts {
		n, ok := at[p.Name]
		if !ok {
			n = uint32(len(ix.parts))
			at[p.Name] = n
			ix.parts = append(ix.parts, nil)
			gs := gramsOf(tokenize(p.Name))
			ix.sizes = append(ix.sizes, uint8(min(len(gs), 255)))
			for _, g := range gs {
				entries = append(entries, entry{g, n})
			}
		}
		if len(ix.parts[n]) < maxSameName {
			ix.parts[n] = append(ix.parts[n], uint32(i))
		}
	}
	slices.SortFunc(entries, func(a, b entry) int { return cmp.Or(cmp.Compare(a.g, b.g), cmp.Compare(a.n, b.n)) })
	ix.list = make([]uint32, len(entries))
	for i, e := range entries {
		if i == 0 || e.g != entries[i-1].g {
			ix.grams = append(ix.grams, e.g)
			ix.start = append(ix.start, uint32(i))
		}
		ix.list[i] = e.n
	}
	ix.start = append(ix.start, uint32(len(entries)))
	return ix
}

// maxSameName bounds the parts taken for one name: more of them could not be told
// apart by it. maxNames bounds the names taken for one line.
const (
	maxSameName = 4
	maxNames    = 10
)

// byGrams votes for parts whose names look like the line.
func (ix *gramIndex) byGrams(line []gram, votes *ballot) {
	if len(line) < 3 {
		return
	}
	common := map[uint32]int{}
	for _, g := range line {
		if i, ok := slices.BinarySearch(ix.grams, g); ok {
			for _, n := range ix.list[ix.start[i]:ix.start[i+1]] {
				common[n]++
			}
		}
	}
	type found struct {
		name uint32
		d    float32
	}
	var best []found
	for n, c := range common {
		if d := 2 * float32(c) / float32(len(line)+int(ix.sizes[n])); d > 0.25 {
			best = append(best, found{n, d})
		}
	}
	slices.SortFunc(best, func(a, b found) int { return cmp.Or(cmp.Compare(b.d, a.d), cmp.Compare(a.name, b.name)) })
	for _, f := range best[:min(len(best), maxNames)] {
		for _, p := range ix.parts[f.name] {
			votes.add(p, 8*f.d)
		}
	}
}

// lineGrams are those of a line's words as written.
func lineGrams(text string, n *kitlist.Line) []gram { return gramsOf(lineTokens(text, n)) }
