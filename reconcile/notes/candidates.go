package notes

import (
	"slices"
	"strings"

	"layshaft/catalog"
	"layshaft/reconcile/match"
)

// generic kinds are named alone only for what they are themselves: "gear" is no
// idler, "ring" no snap ring.
var generic = map[string]bool{"gear": true, "ring": true, "shaft": true, "case": true, "washer": true, "pin": true, "plate": true, "cover": true, "ball": true, "spring": true}

// families are generic kinds of which "all" takes in every narrower kind.
var families = map[string]bool{"spring": true, "washer": true, "pin": true, "plate": true, "cover": true, "ball": true}

// scattered kinds sit in many unlike places: their bare plural is asked about.
var scattered = map[string]bool{"plug": true, "bolt": true, "screw": true, "washer": true, "pin": true, "plate": true, "cover": true,
	"ball": true, "spring": true, "shaft": true, "case": true, "roll pin": true, "bush": true, "loose roller": true, "sealing washer": true}

// parts of a phrase that stand for several kinds of position.
var packs = map[string][]string{
	"hub and sleeve set":   {"synchro hub", "synchro sleeve"},
	"gear pair":            {"gear"},
	"gasket set":           {"gasket"},
	"o-ring set":           {"o-ring"},
	"taper roller bearing": {"taper roller bearing", "bearing cone", "bearing cup"},
}

// mainShafts are what "shafts" means; those of idler and selector are named.
var mainShafts = []match.Sense{{Name: "input shaft", Kind: true}, {Name: "main shaft", Kind: true}, {Name: "countershaft", Kind: true}, {Name: "output shaft", Kind: true}}

// slotsOf a thing with the readings of packs and bare kinds settled.
func slotsOf(t *thing, features [][]match.Sense) (slots [][]match.Sense, pack bool) {
	all := append(slices.Clone(t.slots), slices.DeleteFunc(slices.Clone(features), func(s []match.Sense) bool { return len(s) == 0 })...)
	kinds := 0
	for _, s := range all {
		if firstKind(s) != "" && !shaftOnly(s) {
			kinds++
		}
	}
	for _, s := range all {
		if kinds > 1 && len(s) == 1 && (s[0].Name == "gear" || s[0].Name == "shaft" || s[0].Name == "set") {
			continue // "1st gear needle cage": the gear only says where
		}
		if len(s) == 1 && s[0].Name == "shaft" && t.plural {
			s, pack = mainShafts, true
		}
		if len(s) == 1 && s[0].Name == "ring" && !told(all) {
			s = []match.Sense{{Name: "synchro ring", Kind: true}}
		}
		if t.gears != 0 && len(s) > 0 && s[0].Name == "bearing cup" {
			s = []match.Sense{{Name: "synchro ring", Kind: true}} // "outer rings 1 and 2"
		}
		if t.gears != 0 && len(s) > 0 && s[0].Name == "bearing cone" {
			s = []match.Sense{{Name: "multi-cone ring set", Kind: true}} // "cones 1 and 2"
		}
		if len(s) == 1 && packs[s[0].Name] != nil {
			s, pack = unpack(s), true
		} else if slices.ContainsFunc(s, func(x match.Sense) bool { return x.Name == "taper roller bearing" }) {
			s = unpack(s)
		}
		slots = append(slots, s)
	}
	if kinds == 0 && t.gears != 0 {
		slots = append(slots, []match.Sense{{Name: "gear", Kind: true}})
	}
	return slots, pack
}

// worded are the places whose whole name is said, by words of which none is a
// kind: "speed sensor".
func (n *note) worded(t *thing, slots [][]match.Sense) []*place {
	var out []*place
	for _, p := range n.places {
		all := !slices.ContainsFunc(slots, func(s []match.Sense) bool {
			return !slices.ContainsFunc(s, func(x match.Sense) bool { return p.words[x.Name] })
		})
		if all {
			out = append(out, p)
		}
	}
	if len(t.features) == 0 && len(slots) > 1 && !slices.ContainsFunc(slots, shaftOnly) {
		last := slices.DeleteFunc(slices.Clone(out), func(p *place) bool { return !endsIn(p, slots) })
		if len(last) == 1 {
			return last // "release guide": only the release bearing guide is called so
		}
	}
	return slices.DeleteFunc(out, func(p *place) bool { return unsaid(p, slots, t) > 0 })
}

// worded1 is the only place with a word in its name that is no kind: "interlocks".
func (n *note) worded1(t *thing) *place {
	if len(t.slots) != 1 || t.gears != 0 || len(t.features) > 0 || len(t.slots[0]) != 1 || !t.slots[0][0].Own {
		return nil
	}
	var only *place
	for _, p := range n.places {
		if p.speaks(t) {
			if only != nil {
				return nil
			}
			only = p
		}
	}
	if only == nil || !endsIn(only, t.slots) && !slices.Contains(strings.Fields(string(only.pos.Kind)), t.slots[0][0].Name) {
		return nil // the word is neither its head nor of its kind
	}
	return only
}

// spokenOne is the only place that has all of several words that are no kinds:
// "lay thrust front".
func (n *note) spokenOne(t *thing) *place {
	words := slices.DeleteFunc(slices.Clone(t.slots), func(s []match.Sense) bool { return shaftOnly(s) || len(s) > 0 && s[0].Side })
	if len(t.slots) < 2 || len(words) == 0 || t.kinds() || t.gears != 0 || len(t.features) > 0 {
		return nil
	}
	var only *place
	for _, p := range n.places {
		if p.speaks(t) {
			if only != nil {
				return nil
			}
			only = p
		}
	}
	return only
}

// written is the only place whose name has all the words of a thing as they were
// written: "retainer screws" are the retainer plate screws.
func (n *note) written(t *thing) (found, bool) {
	words := n.words(t)
	if len(words) < 2 {
		return found{}, false
	}
	var only *place
	for _, p := range n.places {
		if p.takes(t.gears) && p.wrote(words) {
			if only != nil {
				return found{}, false
			}
			only = p
		}
	}
	if only == nil {
		return found{}, false
	}
	return counted(t, only), true
}

// words of a thing as written, without those that only join.
func (n *note) words(t *thing) []string {
	var out []string
	for i := range t.items {
		if it := &t.items[i]; it.role == asThing || it.role == asFeature {
			for _, w := range lex(n.text[it.start:it.end]) {
				if w.word {
					out = append(out, w.text)
				}
			}
		}
	}
	return out
}

// wrote: the name or kind of the place has every word, in either number.
func (p *place) wrote(words []string) bool {
	for _, w := range words {
		if !p.named[w] && !p.named[w+"s"] && !p.named[strings.TrimSuffix(w, "s")] && !p.named[strings.TrimSuffix(w, "es")] && !slices.Contains(strings.Fields(string(p.pos.Kind)), w) {
			return false
		}
	}
	return len(words) > 0
}

// endsIn: the last word of the place's name is said.
func endsIn(p *place, slots [][]match.Sense) bool {
	return len(p.slots) > 0 && slices.ContainsFunc(slots, func(s []match.Sense) bool {
		return slices.ContainsFunc(s, func(x match.Sense) bool { return slices.Contains(p.slots[len(p.slots)-1], x.Name) })
	})
}

// literal keeps the places in whose names a word stands as it was written, when
// the word is but a synonym: "pinions" are first what is called so here.
func (n *note) literal(t *thing, c []*place) []*place {
	for i := range t.items {
		it := &t.items[i]
		written := fold(n.text[it.start:it.end])
		if it.role != asThing || len(exactly(it.senses, written)) < len(it.senses) || slices.ContainsFunc(it.senses, func(s match.Sense) bool { return s.Name == written || s.Name+"s" == written }) {
			continue
		}
		written = strings.TrimSuffix(written, "s")
		some := slices.DeleteFunc(slices.Clone(c), func(p *place) bool { return !strings.Contains(fold(p.pos.Name), written) })
		counter := func(p *place) bool { return p.shafts["counter"] }
		if slices.ContainsFunc(some, counter) && t.shaft() == "" && slices.ContainsFunc(c, func(p *place) bool { return !counter(p) }) {
			continue // the countershaft's are named as such
		}
		if len(some) > 0 {
			c = some
		}
	}
	return c
}

// unpack writes out the senses that stand for several kinds.
func unpack(s []match.Sense) []match.Sense {
	var out []match.Sense
	for _, x := range s {
		if packs[x.Name] == nil {
			out = append(out, x)
		}
		for _, k := range packs[x.Name] {
			out = append(out, match.Sense{Name: k, Kind: true})
		}
	}
	return out
}

// told: some word besides kinds and places tells the thing apart.
func told(slots [][]match.Sense) bool {
	return slices.ContainsFunc(slots, func(s []match.Sense) bool {
		return len(s) > 0 && !s[0].Kind && !s[0].Side && s[0].Gears == 0
	})
}

// candidates are the positions that agree with everything the thing says; of
// them those that are exactly its kind, when there are any.
func (n *note) candidates(t *thing, features [][]match.Sense) []*place {
	slots, _ := slotsOf(t, features)
	if len(slots) == 0 {
		return nil
	}
	var exact, wide, loose []*place
	for _, p := range n.places {
		if !p.takes(t.gears) {
			continue
		}
		switch agrees(p, slots, t.all, n.narrow) {
		case 3:
			loose = append(loose, p)
		case 2:
			exact = append(exact, p)
		case 1:
			wide = append(wide, p)
		}
	}
	exact = withoutIdler(t, exact)
	for _, s := range slots {
		if slices.ContainsFunc(s, func(x match.Sense) bool { return x.Name == "bearing" || n.narrow && families[x.Name] }) {
			return inOrder(append(exact, wide...))
		}
	}
	switch {
	case len(exact) > 0 && (t.plural || t.all):
		return n.literal(t, n.calledSo(exact))
	case len(exact) > 0:
		return n.literal(t, exact)
	case len(wide) == 0 && (len(loose) == 1 || len(loose) > 0 && t.gears != 0 && !unlike(loose)):
		return loose // the only part, or kind of this gear, of so general a kind
	case len(wide) == 0 && told(slots) && !t.kinds() && t.gears == 0:
		return n.worded(t, slots)
	}
	return wide
}

// calledSo leaves out, of places of one kind, those whose names say nothing of it
// while others are called so: the ball of a thrust washer may be of the kind of
// the dowels, and a reverse lever of that of the forks.
func (n *note) calledSo(c []*place) []*place {
	named := func(p *place, w string) bool { return len(w) <= 3 || p.named[w] || p.named[w+"s"] }
	last := func(p *place) string {
		words := strings.Fields(string(p.pos.Kind))
		return words[len(words)-1]
	}
	so := map[catalog.PartKind]bool{}
	for _, p := range c {
		so[p.pos.Kind] = so[p.pos.Kind] || named(p, last(p))
	}
	return slices.DeleteFunc(slices.Clone(c), func(p *place) bool {
		return so[p.pos.Kind] && !strings.Contains(string(p.pos.Kind), "gear") && !slices.ContainsFunc(strings.Fields(string(p.pos.Kind)), func(w string) bool {
			return named(p, w) && (w == last(p) || n.telling(w))
		})
	})
}

// telling: a single kind of this gearbox has the word.
func (n *note) telling(word string) bool {
	kind := catalog.PartKind("")
	for _, p := range n.places {
		if slices.Contains(strings.Fields(string(p.pos.Kind)), word) {
			if kind != "" && kind != p.pos.Kind {
				return false
			}
			kind = p.pos.Kind
		}
	}
	return true
}

// withoutIdler: reverse alone is the gear, not its idler, where both have the part.
func withoutIdler(t *thing, c []*place) []*place {
	idler := func(p *place) bool { return p.words["reverse idler"] }
	if t.gears&gearBit(0) == 0 || slices.ContainsFunc(t.slots, func(s []match.Sense) bool { return len(s) > 0 && strings.Contains(s[0].Name, "idler") }) {
		return c
	}
	if !slices.ContainsFunc(c, func(p *place) bool { return !idler(p) && p.gears == gearBit(0) }) {
		return c
	}
	return slices.DeleteFunc(slices.Clone(c), idler)
}

func inOrder(places []*place) []*place {
	slices.SortStableFunc(places, func(a, b *place) int { return a.pos.Order - b.pos.Order })
	return places
}

// agrees grades a position: 2 when it is what the words name, 1 when it is of a
// narrower kind, 3 when only a general word such as "pin" says so, 0 when some
// word disagrees.
func agrees(p *place, slots [][]match.Sense, all, narrow bool) int {
	grade, others := 0, 0
	for _, s := range slots {
		hit, head := false, 0
		for _, x := range s {
			switch {
			case x.Kind && p.heads[x.Name]:
				hit, head = true, 2
			case x.Kind && p.wide[x.Name]:
				hit, head = true, max(head, 1)
			case p.words[x.Name], x.Shaft != "" && p.shafts[x.Shaft]:
				hit = true
			}
		}
		if !hit {
			return 0
		}
		if head == 0 && (len(s) == 0 || s[0].Shaft == "" && !s[0].Side) {
			others++
		}
		grade = max(grade, head)
	}
	if grade == 1 && others == 0 {
		for _, s := range slots {
			if len(s) > 0 && generic[s[0].Name] && !(all && families[s[0].Name]) && !narrow && !slices.ContainsFunc(s, func(x match.Sense) bool { return p.heads[x.Name] }) {
				return 3
			}
		}
	}
	return grade
}
