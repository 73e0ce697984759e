package notes

import (
	"slices"
	"strings"

	"layshaft/catalog"
	"layshaft/reconcile/match"
)

// local reads shortened words by the names of this gearbox: "drvg" is "driving"
// where positions are called so. Words that say something here stay.
func (n *note) local(tokens []token, items []item) {
	for i := range items {
		it := &items[i]
		if n.sideword(tokens, items, i) {
			continue
		}
		if it.to != it.from+1 || it.role != asThing && it.role != asUnknown || it.role == asThing && !plainWord(it) {
			continue
		}
		if found, _ := phrases[tokens[it.from].text]; found.role != "" {
			continue
		}
		found := n.called(tokens[it.from].text, it.role == asUnknown)
		if found == "" {
			continue
		}
		if it.role == asUnknown && n.names[found] && len(n.rd.itemize(lex(found), noDay)) == 1 {
			it.role, it.senses = asThing, []match.Sense{{Name: found, Own: true}}
		}
		for _, named := range n.rd.itemize(lex(found), noDay) {
			if named.role == asThing {
				it.role, it.senses, it.plural, it.guess = asThing, named.senses, named.plural, false
			}
		}
	}
}

// sideword reads a word that mostly says nothing where a name here has it before
// the same word: "side gears".
func (n *note) sideword(tokens []token, items []item, i int) bool {
	it := &items[i]
	if it.role != asStop || it.to != it.from+1 || i+1 >= len(items) || items[i+1].role != asThing {
		return false
	}
	word, next := tokens[it.from].text, strings.TrimSuffix(tokens[items[i+1].from].text, "s")
	for _, p := range n.places {
		if p.named[word] && strings.Contains(fold(p.pos.Name), word+" "+next) {
			it.role, it.senses = asThing, []match.Sense{{Name: word, Own: true}}
			return true
		}
	}
	return false
}

// inOut reads "in" and "out" before a side or gears as the two shafts of a
// transaxle: "in 3,4 fine, out rear new".
func (n *note) inOut(tokens []token, items []item) {
	if n.family.Box != catalog.Transaxle {
		return
	}
	for i := range items {
		shaft := map[string]string{"in": "input", "out": "output"}[tokens[items[i].from].text]
		if shaft == "" || items[i].to != items[i].from+1 || i+1 >= len(items) || i > 0 && !apart(items[i-1].role) {
			continue
		}
		k := i + 1
		for ; k < len(items) && items[k].role == asNumber && items[k].number >= 1 && items[k].number <= 6; k += 2 {
			items[k].role, items[k].gears = asGears, gearBit(items[k].number)
			if k+2 >= len(items) || items[k+1].role != asComma && items[k+1].role != asAnd || items[k+2].role != asNumber {
				break
			}
			items[k+1].role = asAnd
		}
		if next := &items[i+1]; next.role == asGears || next.role == asThing && len(next.senses) > 0 && next.senses[0].Side {
			items[i].role, items[i].senses = asThing, shaftSlot(shaft)
		}
	}
}

// apart: what follows begins a new thing.
func apart(r role) bool {
	return r == asComma || r == asColon || r == asAnd || r == asLine || r == asBreak || r == asMarker || verdictRole(r)
}

// called finds the one word of the names that a shortened, or else unknown and
// slightly misspelt, word stands for; "" when none or several would do.
func (n *note) called(word string, unknown bool) string {
	found := ""
	short := shortened(word)
	for full := range n.names {
		same := unknown && len(word) > 4 && !short && (word == full || word == full+"s" || word+"s" == full || oneSlip(word, full) && word[0] == full[0])
		if !same && !(short && abbreviates(word, full)) {
			continue
		}
		if found != "" && strings.TrimSuffix(found, "s") != strings.TrimSuffix(full, "s") {
			return ""
		}
		found = max(found, full)
	}
	return found
}

// plainWord: it may name anything, no kind, side, shaft or gear.
func plainWord(it *item) bool {
	return !slices.ContainsFunc(it.senses, func(s match.Sense) bool { return s.Kind || s.Side || s.Shaft != "" || s.Gears != 0 })
}

// shortened: hardly a vowel is left.
func shortened(word string) bool {
	return len(word) >= 3 && strings.Trim(word, "abcdefghijklmnopqrstuvwxyz") == "" && !strings.ContainsAny(word[1:], "aeou")
}

// abbreviates: the letters of short stand in full in their order, the first and
// the last at its ends.
func abbreviates(short, full string) bool {
	if len(full) <= len(short) || short[0] != full[0] || short[len(short)-1] != full[len(full)-1] {
		return false
	}
	at := 0
	for i := range len(full) {
		if at < len(short) && short[at] == full[i] {
			at++
		}
	}
	return at == len(short)
}
