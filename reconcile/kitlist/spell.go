package kitlist

// nearWords finds known words one letter away: one more, one less, another one, or two exchanged.
type nearWords map[string]string

// minNear is how long a word must be: shorter ones have too many neighbours.
const minNear = 6

func newNearWords(things map[string]string) nearWords {
	n := nearWords{}
	for w := range things {
		if len(w) < minNear {
			continue
		}
		n.put(w, w)
		for k := range w {
			n.put(w[:k]+w[k+1:], w)
		}
	}
	return n
}

// put keeps the alphabetically first word of a form, so that the same text always gives the same list.
func (n nearWords) put(form, w string) {
	if old, ok := n[form]; !ok || w < old {
		n[form] = w
	}
}

// find gives the known word that differs from w by one slip and shares its first or last three letters.
func (n nearWords) find(w string) (string, bool) {
	if len(w) < minNear || len(w) > maxSlip {
		return "", false
	}
	if t, ok := n[w]; ok && alikeEnds(w, t) {
		return t, true
	}
	for k := range w {
		if t, ok := n[w[:k]+w[k+1:]]; ok && alikeEnds(w, t) {
			return t, true
		}
	}
	return "", false
}

func alikeEnds(a, b string) bool {
	return a[:3] == b[:3] && !plainEnd(a, b) || a[0] == b[0] && a[len(a)-3:] == b[len(b)-3:]
}

// plainEnd keeps ordinary forms apart from names of parts: "washed" is no washer.
func plainEnd(a, b string) bool {
	return len(a) == len(b) && a[:len(a)-1] == b[:len(b)-1]
}
