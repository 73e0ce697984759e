package notes

import (
	"slices"
	"strings"

	"layshaft/catalog"
	"layshaft/reconcile/match"
)

// titles makes the names of the family and variant say nothing.
func (n *note) titles(tokens []token, items []item, variant catalog.VariantID) {
	names := map[string]bool{}
	title := n.family.Name
	if v, ok := n.rd.ix.Variant(variant); ok {
		title += " " + v.Name
	}
	for _, t := range lex(title) {
		names[t.text] = len(t.text) > 3
	}
	for i := range items {
		if it := &items[i]; it.role == asUnknown && it.to == it.from+1 && names[tokens[it.from].text] {
			it.role = asStop
		}
	}
}

// secondary shafts are the main shaft of a box with three shafts and the output
// shaft of one with two.
var secondary = map[string]bool{"secondary shaft": true, "arbre secondaire": true, "eje secundario": true}

// fillers: the words between a verdict and its colon say nothing but when.
func (n *note) fillers(start, end int) bool {
	for _, t := range lex(n.text[start:end]) {
		if e := phrases[t.text]; t.word && e.role != asStop && e.arg != "when" {
			return false
		}
	}
	return true
}

// endsWith: a kind that was named short ends in the word that follows.
func endsWith(senses []match.Sense, word string) bool {
	return slices.ContainsFunc(senses, func(s match.Sense) bool { return s.Kind && strings.HasSuffix(s.Name, " "+word) })
}

// lone makes "sets" and "(pair)" say nothing where no part stands beside them.
func lone(items []item) {
	for i := range items {
		it := &items[i]
		if it.role != asThing || len(it.senses) != 1 || it.senses[0].Name != "set" && it.senses[0].Name != "gear pair" {
			continue
		}
		part := func(k int) bool {
			return k >= 0 && k < len(items) && (items[k].role == asThing || items[k].role == asGears)
		}
		shut := i > 0 && items[i-1].arg == "(" && i+1 < len(items) && items[i+1].arg == ")"
		if shut || it.senses[0].Name == "set" && !part(i-1) && !part(i+1) && !(i+1 < len(items) && items[i+1].role == asOf) {
			it.role, it.senses = asStop, nil
		}
	}
}

// settle reads "mainshaft" by the layout: in a longitudinal box it is the main
// shaft, in a transaxle it may be the input shaft: then nothing answers to it and
// it is asked.
func (n *note) settle(items []item) {
	for i := range items {
		if n.family.Box == catalog.Transaxle && secondary[fold(n.text[items[i].start:items[i].end])] {
			items[i].senses = shaftSlot("output")
		}
		if i > 0 && items[i].role == asThing && items[i-1].role == asThing && endsWith(items[i-1].senses, fold(n.text[items[i].start:items[i].end])) {
			items[i].role, items[i].senses = asStop, nil // "ext housing" is written for the one word
		}
		if word := fold(n.text[items[i].start:items[i].end]); items[i].role == asStop && i > 0 {
			before := &items[i-1]
			switch {
			case word == "one" && i+1 < len(items) && items[i+1].role == asThing && before.role != asThing && before.role != asGears:
				items[i].role, items[i].number = asNumber, 1
			case word == "side" && (before.role == asComma || before.role == asColon) && endsAt(items, i+1):
				items[i].role = asUnknown // "gaskets: front, side"
			case word == "off" && before.role != asNumber:
				items[i].role = asUnknown // "cover off" is no count
			case word == "one" && (before.role == asGears || before.role == asThing && firstKind(before.senses) == "" || before.role == asThing && shaftOnly(before.senses)):
				items[i].role = asOnes
			}
		}
		if i > 0 && i+1 < len(items) && items[i].role == asStop && fold(n.text[items[i].start:items[i].end]) == "an" && items[i-1].role == asThing && items[i+1].role == asThing {
			items[i].role = asAnd
		}
		if i > 1 && items[i].role == asThing && items[i-1].role == asAnd && items[i-2].role == asTreat && fold(n.text[items[i].start:items[i].end]) == "plate" {
			items[i].role, items[i].arg, items[i].senses = asTreat, "plate", nil // "grind and plate"
		}
		if i+1 < len(items) && items[i].role == asThing && items[i+1].role == asPron && shopVerbs[fold(n.text[items[i].start:items[i].end])] != "" {
			items[i].arg = shopVerbs[fold(n.text[items[i].start:items[i].end])]
			items[i].role, items[i].senses = asTreat, nil // "sleeve it"
		}
		n.turned(items, i)
		howMany(n.text, items, i)
		if s := items[i].senses; len(s) == 2 && items[i].means("main shaft") && items[i].means("input shaft") {
			items[i].senses = exactly(s, "main shaft")
		}
	}
}

// qualifiers opens brackets that only tell the thing before them apart: "thrust
// washers (idler)", "bushes (2)".
func qualifiers(items []item) {
	for i := 1; i < len(items); i++ {
		if items[i].arg != "(" || items[i].role != asComma || items[i-1].role != asThing && items[i-1].role != asGears {
			continue
		}
		shut := bracket(items, i, ")")
		if shut < 0 || shut > i+5 || shut == i+1 {
			continue
		}
		if !slices.ContainsFunc(items[i+1:shut], func(it item) bool {
			return it.role != asThing && it.role != asGears && it.role != asNumber && it.role != asStop && it.role != asOf
		}) {
			items[i].role, items[shut].role = asMarker, asMarker
		}
	}
}

// conesWithCups reads "cones" beside "cups" as the other half of the bearings,
// not as a feature of some part.
func conesWithCups(items []item) {
	for i := range items {
		if items[i].role != asFeature || !items[i].means("bearing cone") {
			continue
		}
		for _, step := range []int{-1, 1} {
			k := i + step
			for k >= 0 && k < len(items) && (items[k].role == asAnd || items[k].role == asStop || items[k].role == asWith) {
				k += step
			}
			if k >= 0 && k < len(items) && items[k].role == asThing && items[k].means("bearing cup") {
				items[i].role, items[i].plural = asThing, items[k].plural
			}
		}
	}
}

// turned reads words that are names of parts, or open, by what stands beside
// them: "trough split", "one ball short", "gone blue", "came without the cover,
// without the plug".
func (n *note) turned(items []item, i int) {
	it, word := &items[i], fold(n.text[items[i].start:items[i].end])
	if i == 0 {
		return
	}
	before := &items[i-1]
	switch {
	case it.role == asNumber && it.arg == "" && i > 1 && before.role == asComma && items[i-2].role == asThing && items[i-2].plural && endsAt(items, i+1):
		before.role = asMarker // "cover bolts, 3"
	case word == "split" && before.role == asThing && (endsAt(items, i+1) || verdictRole(items[i+1].role)):
		it.role, it.senses = asBad, nil
	case word == "short" && before.role == asThing && i > 1 && (items[i-2].role == asNumber || items[i-2].arg == "one") && endsAt(items, i+1):
		it.role, it.arg, it.senses = asVerb, string(Absent), nil
	case word == "gone" && i+1 < len(items) && items[i+1].role == asBad:
		it.role, it.arg = asStop, ""
	case it.role == asExcept && before.role == asComma && (word == "without" || word == "w/o" || word == "minus" || word == "no"):
		for k := i - 1; k >= 0 && items[k].role != asBreak && items[k].role != asLine; k-- {
			if items[k].role == asVerb && items[k].arg == string(Absent) {
				it.role = asAnd
			}
		}
	}
}

// endsAt: the sentence, or its part, ends before item i.
func endsAt(items []item, i int) bool {
	return i >= len(items) || items[i].role == asLine || items[i].role == asBreak || items[i].role == asComma || items[i].role == asBut
}

// shopVerbs are names of parts that are also what is done to one.
var shopVerbs = map[string]string{"sleeve": "sleeve", "plate": "plate", "bush": "bush", "pin": "pin"}

// howMany reads "one lost" and "2 short" as how many of what was named before.
func howMany(text string, items []item, i int) {
	it := &items[i]
	if it.role != asNumber && fold(text[it.start:it.end]) != "one" || i == 0 || it.role == asNumber && it.number < 1 {
		return
	}
	switch items[i-1].role {
	case asComma, asColon, asAnd, asBut, asStop, asBreak:
	default:
		return
	}
	k := i + 1
	for k < len(items) && items[k].role == asStop {
		k++
	}
	if k < len(items) && fold(text[items[k].start:items[k].end]) == "short" {
		items[k].role, items[k].arg, items[k].senses = asVerb, string(Absent), nil
	}
	said := false
	for ; k < len(items) && (verdictRole(items[k].role) || items[k].role == asStop); k++ {
		said = said || items[k].role == asVerb || items[k].role == asBad || items[k].role == asGood
	}
	if !said || k < len(items) && (items[k].role == asThing || items[k].role == asGears || items[k].role == asFeature) {
		return
	}
	if it.role != asNumber {
		it.number = 1
	}
	it.role, it.arg = asNumber, "of"
}

// spelt makes "first" and "second" ordinary words where no part and no other
// gear stands beside them: "ask first", "on second look".
func spelt(items []item, text string) {
	beside := func(i, step int) bool {
		for i += step; i >= 0 && i < len(items); i += step {
			switch items[i].role {
			case asAnd, asStop, asOf, asNumber:
			case asThing, asGears, asColon, asFeature, asEverything, asComplete:
				return true
			case asComma:
				if items[i].arg != "," {
					return false
				}
			default:
				return false
			}
		}
		return false
	}
	for i := range items {
		it := &items[i]
		if word := fold(text[it.start:it.end]); it.role == asGears && len(word) > 4 && !strings.ContainsAny(word, "0123456789") && word != "reverse" && !beside(i, 1) && !beside(i, -1) {
			it.role, it.gears = asStop, 0
		}
	}
}

// spared turns "all gaskets but the top cover one" into an exception: nothing is
// said of what follows "but".
func spared(items []item) {
	all := false
	for i := range items {
		switch items[i].role {
		case asAll, asEverything:
			all = true
		case asBreak, asLine:
			all = false
		case asBut:
			end := i + 1
			for end < len(items) && (skipped(items[end].role) || items[end].role == asThing || items[end].role == asGears || items[end].role == asOnes) {
				end++
			}
			said := end < len(items) && verdictRole(items[end].role)
			if all && end > i+1 && !said {
				items[i].role = asExcept
			}
		}
	}
}
