package kitlist

// someOnly notes that a remark speaks of some of the pieces only, "2 missing", "1 to follow" beside a count, and asks.
func (e *entry) someOnly(h hit, kind Kind) bool {
	if h.meaning != mExcluded && h.meaning != mBackOrder && h.meaning != mUnavailable {
		return false
	}
	n, part := 0, e.shortBefore(h.a)
	if p := e.back(h.a); e.gap(h.a) == 1 {
		if n = max(e.number(p), numberWords[e.text(p)]); partWords[e.text(p)] || partWords[e.text(e.back(p))] {
			part = true
		}
	}
	if p := e.back(h.a); kind == Note && h.meaning == mBackOrder && (e.number(p) > 0 || numberWords[e.text(p)] > 0) {
		return true // "three in stock, one next week"
	}
	best := e.columnCount()
	if n <= 0 && !part || best <= 0 && !e.strongCount() || h.arg == "wait" && !part {
		return false
	}
	e.ask("short-supplied", "does "+e.raw(e.back(h.a), h.b)+" speak of some of the pieces only?", h.a, h.b)
	return true
}

// shortBefore says that the bracket of a remark at atom i tells how many are short: "6 pcs (short 3, next shipment)".
func (e *entry) shortBefore(i int) bool {
	if !e.inBrackets(i) {
		return false
	}
	for k := i - 1; k > e.body && e.text(k) != "("; k-- {
		if partWords[e.text(k)] {
			return true
		}
	}
	for k := i; k < e.b && e.text(k) != ")"; k++ {
		if partWords[e.text(k)] {
			return true
		}
	}
	return false
}

// partWords speak of some of the pieces: "rest to follow", "the other one on order".
var partWords = wordSet("partWords")
