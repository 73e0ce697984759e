package kitlist

// maxPlaceWords is how many words say where: "top", "rear cover".
const maxPlaceWords = 3

// splitColon cuts "gaskets: top, tail, quill": a name in the plural, a colon, and short pieces that only say which.
func (e *entry) splitColon() []part {
	colon := -1
	for i := e.body; i < e.b; i++ {
		if e.text(i) == ":" || e.text(i) == "-" && e.breaksClause(i) {
			colon = i
			break
		}
	}
	if colon < 0 || e.filled() > 1 || len(e.traits) == 0 || !e.at[e.traits[0].at].word.plural || e.traits[0].at > colon || e.namesBehind(colon) || len(e.counts) > 0 || e.digitsIn(colon, e.b) {
		return nil
	}
	starts := []int{e.skip(colon + 1)}
	words, joined := 0, false
	for i := starts[0]; i < e.b; i++ {
		t := e.text(i)
		switch {
		case t == "," || e.joinsAt(i):
			if words == 0 || joined && t == "," {
				return nil
			}
			starts, words = append(starts, e.skip(i+1)), 0
		case e.at[i].class == cLetters:
			if words++; words > maxPlaceWords || e.at[i].word.talk || e.at[i].word.stance != neutral {
				return nil
			}
		case e.at[i].class != cSpace:
			return nil
		}
	}
	if len(starts) < 2 || words == 0 || e.has(colon, e.b, mExcluded, mUnavailable, mBackOrder, mConditional, mVariant, mSelect, mStandard, mDeclinedAft) {
		return nil
	}
	head := [2]int{e.body, colon}
	starts[0] = e.body
	parts := e.cutAt(starts)
	for k := range parts[1:] {
		parts[k+1].heads = [][2]int{head}
	}
	return parts
}

// namesBehind says that a part that can be bought is named behind atom i: covers and housings only say where.
func (e *entry) namesBehind(i int) bool {
	for _, t := range e.traits {
		if t.at > i && t.kind != "case" {
			return true
		}
	}
	return false
}

// digitsIn says that a digit stands in [a,b).
func (e *entry) digitsIn(a, b int) bool {
	for i := a; i < b; i++ {
		if e.at[i].class == cDigits {
			return true
		}
	}
	return false
}

// onlyPlaces says that a name put first goes on with shafts or covers, which only say where: "nut, input & output shaft".
func (e *entry) onlyPlaces(from, i, k int) bool {
	comma := -1
	for j := from; j < i && comma < 0; j++ {
		if e.text(j) == "," {
			comma = j
		}
	}
	if comma < 0 || !e.thing(from, comma) || e.thing(comma, i) && !e.thing(comma, i, "shaft", "case") {
		return false
	}
	for _, t := range e.traits {
		if t.at >= k {
			return t.kind == "shaft" || t.kind == "case"
		}
	}
	return false
}

// lettersIn says that a letter stands in [a,b).
func (e *entry) lettersIn(a, b int) bool {
	for i := a; i < b; i++ {
		if e.at[i].class == cLetters {
			return true
		}
	}
	return false
}
