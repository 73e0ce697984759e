package kitlist

import (
	"strconv"
	"strings"

	"layshaft/catalog/standard"
)

// zeroWords say nought inside a designation that is spoken: "sixty-two oh six".
var zeroWords = wordSet("zeroWords")

// minSpoken is how many words say the shortest designation: "sixty two ten".
const minSpoken = 3

// scanSpoken reads designations in words, "sixty-three oh six", "three oh two oh five": a run of number words that gives
// a known designation; the count before it stays apart. What was heard is asked about.
func (e *entry) scanSpoken() {
	for i := e.body; i < e.b; i++ {
		if e.digitWords(i) == "" || zeroWords[e.text(i)] || e.sticky(i-1, -1) {
			continue
		}
		run, zero := []int{i}, false
		for k := e.nextSpoken(i); k > 0; k = e.nextSpoken(k) {
			run, zero = append(run, k), zero || zeroWords[e.text(k)]
		}
		if len(run) < minSpoken || !zero && len(run) > minSpoken {
			i = run[len(run)-1]
			continue
		}
		for from := range run {
			if e.spoken(run[from:]) {
				break
			}
		}
		i = run[len(run)-1]
	}
}

// nextSpoken is the number word behind atom i, a blank or a dash between, or 0.
func (e *entry) nextSpoken(i int) int {
	k := i + 1
	if e.text(k) != "-" && !e.is(k, cSpace) {
		return 0
	}
	if k++; e.is(k, cLetters) && (e.digitWords(k) != "") {
		return k
	}
	return 0
}

// digitWords is a word for a number in digits, "" for any other.
func (e *entry) digitWords(i int) string {
	if !e.is(i, cLetters) {
		return ""
	}
	if zeroWords[e.text(i)] {
		return "0"
	}
	if n := numberWords[e.text(i)]; n > 0 {
		return strconv.Itoa(n)
	}
	return ""
}

// spoken keeps a run of number words when it says a known designation.
func (e *entry) spoken(run []int) bool {
	var b strings.Builder
	for k := 0; k < len(run); k++ {
		w := e.digitWords(run[k])
		if len(w) == 2 && w[1] == '0' && w != "10" && k+1 < len(run) {
			if u := e.digitWords(run[k+1]); len(u) == 1 && u != "0" {
				w, k = w[:1]+u, k+1 // sixty two
			} else if u == "0" {
				w = w[:2] // thirty oh six
			}
		}
		b.WriteString(w)
	}
	text := b.String()
	if len(text) < 4 || len(text) > 5 {
		return false
	}
	for _, f := range standard.FindBearings(text) {
		if f.Start != 0 || f.End != len(text) {
			continue
		}
		a, z := run[0], run[len(run)-1]+1
		e.designations = append(e.designations, Designation{Text: f.Bearing.Canonical(), Raw: e.raw(a, z), Start: e.start(a), End: e.end(z),
			Repaired: true, Bearing: f.Bearing})
		e.ask("misread", "was "+e.raw(a, z)+" heard rightly as "+f.Bearing.Canonical()+"?", a, z)
		e.claim(a, z, rDesignation)
		return true
	}
	return false
}
