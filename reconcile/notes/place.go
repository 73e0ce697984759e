package notes

import (
	"slices"

	"layshaft/catalog"
	"layshaft/reconcile/match"
)

// place is a position as notes name it.
type place struct {
	pos    *catalog.Position
	heads  map[string]bool // what it is: its kind and what its name ends in
	wide   map[string]bool // the wider kinds of heads
	words  map[string]bool // everything its name, places and kind say
	shafts map[string]bool // shafts it lies on or is named after
	gears  uint16          // of its name
	groups []uint16        // gears of its places, used when the name has none
	named  map[string]bool // the words of its name as they stand
	slots  [][]string      // what its name says, for telling what a note left out
}

// assemblyShaft is the shaft that an assembly is named after.
var assemblyShaft = map[catalog.Assembly]string{
	catalog.AssemblyInput: "input", catalog.AssemblyMain: "main", catalog.AssemblyCounter: "counter",
	catalog.AssemblyOutput: "output", catalog.AssemblyDiff: "differential",
}

// places of a family that the variant has; of all when the variant is not known.
func (rd *Reader) places(family catalog.FamilyID, variant catalog.VariantID) []*place {
	f, ok := rd.ix.Family(family)
	if !ok {
		return nil
	}
	shafts := map[string]string{}
	for _, s := range f.Shafts {
		for _, it := range rd.itemize(lex(s.Name), noDay) {
			for _, x := range it.senses {
				if x.Shaft != "" && shafts[s.ID] == "" {
					shafts[s.ID] = x.Shaft
				}
			}
		}
	}
	var out []*place
	for _, pos := range rd.ix.Positions(family) {
		if variant == "" || rd.ix.Has(variant, pos.ID) {
			out = append(out, rd.place(pos, shafts))
		}
	}
	return out
}

func (rd *Reader) place(pos *catalog.Position, shafts map[string]string) *place {
	p := &place{pos: pos, heads: map[string]bool{string(pos.Kind): true}, wide: map[string]bool{}, words: map[string]bool{}, named: map[string]bool{}, shafts: map[string]bool{}}
	p.shafts[assemblyShaft[pos.Assembly]] = true
	p.shafts[shafts[pos.Shaft]] = true
	for _, t := range lex(pos.Name) {
		if t.word && len(t.text) > 3 {
			p.words[t.text], p.named[t.text] = true, true
		}
	}
	head := ""
	cut := false // what follows a comma or "with" is no part of the head
	for _, it := range rd.itemize(lex(pos.Name), noDay) {
		cut = cut || it.role == asComma || it.role == asWith
		if it.role == asGears {
			p.gears |= it.gears
		}
		if slices.ContainsFunc(it.senses, func(s match.Sense) bool { return s.Name == string(pos.Kind) }) {
			it.senses = exactly(it.senses, string(pos.Kind))
		}
		names := p.take(rd, it.senses)
		if names == nil || it.role == asGears {
			continue
		}
		p.slots = append(p.slots, names)
		if !cut {
			head = firstKind(it.senses) // of the last word: a "bearing guide" is no bearing
		}
	}
	if head != "" {
		p.heads[head] = true
	}
	if pos.Kind == "sealing washer" && p.named["washer"] {
		p.heads["washer"] = true // a "plug washer" is one phrase of the lexicon
	}
	for _, w := range pos.Places {
		g := uint16(0)
		for _, it := range rd.itemize(lex(w), noDay) {
			if it.role == asGears {
				g |= it.gears
			}
			p.take(rd, it.senses)
		}
		if g != 0 {
			p.groups = append(p.groups, g)
		}
	}
	for h := range p.heads {
		p.words[h] = true
		for _, w := range rd.vocabulary.Wider(h) {
			p.wide[w], p.words[w] = true, true
		}
	}
	if pos.Kind == "bush" {
		delete(p.heads, "pilot bearing")
		delete(p.wide, "bearing")
	}
	if pos.Kind != "gear" && p.wide["gear"] {
		delete(p.heads, "gear")
	}
	if pos.Kind.Class() != catalog.ClassGear {
		delete(p.wide, "gear") // the idler's shaft is no gear
	}
	delete(p.shafts, "")
	return p
}

// take adds what senses say and gives their names.
func (p *place) take(rd *Reader, senses []match.Sense) []string {
	var names []string
	for _, s := range senses {
		names = append(names, s.Name)
		p.words[s.Name] = true
		for _, w := range rd.vocabulary.Wider(s.Name) {
			p.words[w] = true
		}
		if s.Shaft != "" {
			p.shafts[s.Shaft] = true
		}
	}
	return names
}

func firstKind(senses []match.Sense) string {
	for _, s := range senses {
		if s.Kind {
			return s.Name
		}
	}
	return ""
}

// takes reports whether gears named in a note fit the position: a ring of one
// of them, or a hub that serves them all.
func (p *place) takes(gears uint16) bool {
	fits := func(g uint16) bool { return g&^gears == 0 || gears&^g == 0 }
	if gears == 0 {
		return true
	}
	if p.gears != 0 {
		return fits(p.gears)
	}
	return slices.ContainsFunc(p.groups, fits)
}
