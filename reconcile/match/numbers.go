package match

import (
	"cmp"
	"slices"
	"sort"
	"strings"
)

// foldNumber unifies characters that print and pictures confuse. The text is a
// normal form: upper case letters and digits.
func foldNumber(s string) string {
	at := strings.IndexAny(s, "OQILSBZG")
	if at < 0 {
		return s
	}
	b := []byte(s)
	for i := at; i < len(b); i++ {
		switch b[i] {
		case 'O', 'Q':
			b[i] = '0'
		case 'I', 'L':
			b[i] = '1'
		case 'S':
			b[i] = '5'
		case 'B':
			b[i] = '8'
		case 'Z':
			b[i] = '2'
		case 'G':
			b[i] = '6'
		}
	}
	return string(b)
}

// numberTable holds every folded number and designation of the catalogue in one
// sorted block: 4 + 4 + 4 bytes and the characters for each.
type numberTable struct {
	text  string
	start []uint32 // one more than entries
	part  []uint32
	// back orders the entries by their text read backwards, for repairs of an
	// error near the beginning.
	back []uint32
}

type numberEntry struct {
	text string
	part uint32
}

func buildNumbers(entries []numberEntry) numberTable {
	slices.SortFunc(entries, func(a, b numberEntry) int {
		return cmp.Or(strings.Compare(a.text, b.text), cmp.Compare(a.part, b.part))
	})
	entries = slices.Compact(entries)
	t := numberTable{
		start: make([]uint32, 0, len(entries)+1), part: make([]uint32, len(entries)), back: make([]uint32, len(entries)),
	}
	var b strings.Builder
	for i, e := range entries {
		t.start = append(t.start, uint32(b.Len()))
		b.WriteString(e.text)
		t.part[i], t.back[i] = e.part, uint32(i)
	}
	t.start = append(t.start, uint32(b.Len()))
	t.text = strings.Clone(b.String())
	slices.SortFunc(t.back, func(a, b uint32) int {
		return cmp.Or(compareBack(t.at(int(a)), t.at(int(b))), cmp.Compare(a, b))
	})
	return t
}

func (t *numberTable) len() int        { return len(t.part) }
func (t *numberTable) at(i int) string { return t.text[t.start[i]:t.start[i+1]] }

// compareBack compares two texts from their ends.
func compareBack(a, b string) int {
	for i := 1; i <= len(a) && i <= len(b); i++ {
		if c := cmp.Compare(a[len(a)-i], b[len(b)-i]); c != 0 {
			return c
		}
	}
	return cmp.Compare(len(a), len(b))
}

// exact calls fn with the parts of a folded number.
func (t *numberTable) exact(folded string, fn func(part uint32)) {
	lo := sort.Search(t.len(), func(i int) bool { return t.at(i) >= folded })
	for ; lo < t.len() && t.at(lo) == folded; lo++ {
		fn(t.part[lo])
	}
}

// maxRepairScan bounds the entries looked at for one repair: a common prefix
// ("TB-1...") would otherwise be read to its end, and so many neighbours
// could not be told apart anyway.
const maxRepairScan = 3000

// near calls fn with entries at distance 1 to limit of a folded number whose
// first or last half is intact.
func (t *numberTable) near(folded string, limit int, fn func(part uint32, text string, d int)) {
	half := len(folded) / 2
	if limit > 1 {
		half = (len(folded) + 1) / 2
	}
	head, tail := folded[:half], folded[len(folded)-half:]
	lo := sort.Search(t.len(), func(i int) bool { return t.at(i) >= head })
	for n := 0; lo < t.len() && n < maxRepairScan && strings.HasPrefix(t.at(lo), head); lo, n = lo+1, n+1 {
		if d := distance(folded, t.at(lo), limit); d > 0 && d <= limit {
			fn(t.part[lo], t.at(lo), d)
		}
	}
	lo = sort.Search(t.len(), func(i int) bool { return compareBack(t.at(int(t.back[i])), tail) >= 0 })
	for n := 0; lo < t.len() && n < maxRepairScan && strings.HasSuffix(t.at(int(t.back[lo])), tail); lo, n = lo+1, n+1 {
		s := t.at(int(t.back[lo]))
		if strings.HasPrefix(s, head) {
			continue // seen above
		}
		if d := distance(folded, s, limit); d > 0 && d <= limit {
			fn(t.part[t.back[lo]], s, d)
		}
	}
}

// repairLimit says how many wrong characters a number may have: none in a short
// one, two from nine characters.
func repairLimit(folded string) int {
	digits := 0
	for i := range len(folded) {
		if '0' <= folded[i] && folded[i] <= '9' {
			digits++
		}
	}
	switch {
	case len(folded) >= 9 && digits >= 3:
		return 2
	case len(folded) >= 5 && digits >= 3:
		return 1
	}
	return 0
}

// sameShape: both folded numbers have letters and digits at the same places, so
// that they may come from one issuer. Digits that letters are folded to fit both;
// long numbers may have lost or won a character.
func sameShape(a, b string) bool {
	if d := len(a) - len(b); d != 0 {
		return (d == 1 || d == -1) && len(b) >= 9
	}
	for i := range len(a) {
		if !strings.ContainsRune("015826", rune(a[i])) && !strings.ContainsRune("015826", rune(b[i])) && isDigit(a[i]) != isDigit(b[i]) {
			return false
		}
	}
	return true
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }
