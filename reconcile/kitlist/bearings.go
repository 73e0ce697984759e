package kitlist

import (
	"slices"
	"sort"
	"strings"

	"layshaft/catalog/standard"
)

// scanBearings finds rolling bearing designations, and where none stands as written, those that one misread character
// hides; a repair counts only when the result is a known designation.
func (e *entry) scanBearings() {
	if e.body >= e.b || !e.digits() {
		return
	}
	text, at := e.oneLine()
	for _, f := range standard.FindBearings(raiseSuffixes(text)) {
		e.addBearing(f, at, false)
	}
	if cut := strings.ReplaceAll(text, "/", "\t"); cut != text { // "K25x30x20/K28x33x17"
		for _, f := range standard.FindBearings(cut) {
			e.addBearing(f, at, false)
		}
	}
	if fixed := e.mendedLine(text, at); fixed != text {
		for _, f := range standard.FindBearings(raiseSuffixes(fixed)) {
			e.addBearing(f, at, fixed[f.Start:f.End] != text[f.Start:f.End])
		}
	}
	if fixed, ok := repairRuns(text); ok {
		for _, f := range standard.FindBearings(fixed) {
			if fixed[f.Start:f.End] != text[f.Start:f.End] {
				e.addBearing(f, at, true)
			}
		}
	}
}

// mendedLine is the text with the digits that were put for misread letters.
func (e *entry) mendedLine(text string, at func(int) int) string {
	k, _ := slices.BinarySearch(e.d.mended, e.start(e.body))
	if k >= len(e.d.mended) || e.d.mended[k] >= e.end(e.b) {
		return text
	}
	out := []byte(text)
	for i := range out {
		if c := e.d.lower[at(i)]; numeric(c) && !numeric(out[i]) && out[i] != '\t' {
			out[i] = c
		}
	}
	return string(out)
}

// bearingsIn are the designations written in the entry.
func (e *entry) bearingsIn() []standard.Found {
	text, _ := e.oneLine()
	return standard.FindBearings(raiseSuffixes(text))
}

// oneLine is the entry's text with joined lines run together, and where its bytes stand in the list's text.
func (e *entry) oneLine() (string, func(int) int) {
	from := e.start(e.body)
	raw := e.raw(e.body, e.b)
	hard := e.hardBlanks()
	if e.first == e.last && !hard {
		return e.tabbed(raw, from), func(i int) int { return from + i }
	}
	var out []byte
	var at []int
	for i := e.body; i < e.b; i++ {
		if e.at[i].class == cSpace || e.at[i].role == rMarker || e.at[i].role == rSpace {
			if n := len(out); n > 0 && out[n-1] == ' ' {
				continue
			}
			blank := byte(' ')
			if hard && e.at[i].width > 1 {
				blank = '\t'
			}
			out, at = append(out, blank), append(at, e.start(i))
			continue
		}
		for k := e.at[i].start; k < e.at[i].end; k++ {
			out, at = append(out, e.d.text[k]), append(at, int(k))
		}
	}
	at = append(at, e.end(e.b))
	return string(out), func(i int) int { return at[i] }
}

// hardBlanks says that blanks stand in the entry that are no plain ones, as copied from web pages.
func (e *entry) hardBlanks() bool {
	for i := e.body; i < e.b; i++ {
		if a := &e.at[i]; a.class == cSpace && a.end-a.start != a.width {
			return true
		}
	}
	return false
}

// tabbed turns leaders and wide gaps into tabs, byte for byte: what stands behind them belongs to another column.
func (e *entry) tabbed(raw string, from int) string {
	var out []byte
	for i := e.body; i < e.b; i++ {
		wide := e.at[i].class == cSpace && e.at[i].width > 1
		if e.at[i].role == rPunct && len(e.cells) > 1 {
			wide = true
		}
		if colon := e.at[i].text == ":" && e.is(i+1, cSpace); !wide && !colon && (e.at[i].class != cPunct || !e.leader(i)) {
			continue
		}
		if out == nil {
			out = []byte(raw)
		}
		for k := e.start(i); k < e.end(i+1); k++ {
			out[k-from] = '\t'
		}
	}
	if out == nil {
		return raw
	}
	return string(out)
}

// suffixes are designation suffixes that people write in small letters.
var suffixes = map[string]bool{"n": true, "nr": true, "z": true, "zz": true, "2z": true, "rs": true, "2rs": true, "c2": true, "c3": true, "c4": true}

// raiseSuffixes puts suffixes behind four or five digits into capitals, byte for byte: "6307 n c3".
func raiseSuffixes(text string) string {
	var out []byte
	after := false // behind a designation or another suffix
	for i := 0; i < len(text); {
		if !alnum(text[i]) {
			after = after && text[i] == ' '
			i++
			continue
		}
		j := i
		for j < len(text) && alnum(text[j]) {
			j++
		}
		w := text[i:j]
		if after && suffixes[w] && (j == len(text) || text[j] == ' ' || text[j] == '\t' || text[j] == ',') {
			if out == nil {
				out = []byte(text)
			}
			copy(out[i:j], strings.ToUpper(w))
		} else {
			after = (len(w) == 4 || len(w) == 5) && w[0] <= '9' && w[len(w)-1] <= '9'
		}
		i = j
	}
	if out == nil {
		return text
	}
	return string(out)
}

func (e *entry) digits() bool {
	for i := e.body; i < e.b; i++ {
		if e.at[i].class == cDigits {
			return true
		}
	}
	return false
}

// addBearing keeps a designation whose ends fall on atoms that nothing else has claimed.
func (e *entry) addBearing(f standard.Found, at func(int) int, repaired bool) {
	a, ok := e.atomAt(at(f.Start))
	if !ok {
		return
	}
	b, ok := e.atomEnd(at(f.End-1) + 1)
	if !ok || !e.free(a, b) {
		return
	}
	if f.Bearing.Type == "" && !repaired && e.partNumber(a, b) {
		return
	}
	e.designations = append(e.designations, Designation{Text: f.Bearing.Canonical(), Raw: e.raw(a, b), Start: e.start(a), End: e.end(b),
		Repaired: repaired, Bearing: f.Bearing})
	if repaired {
		e.ask("misread", "was "+e.raw(a, b)+" read rightly as "+f.Bearing.Canonical()+"?", a, b)
	}
	e.claim(a, b, rDesignation)
}

// partNumber says that bare digits are tied to other characters, as in "4471-6207".
func (e *entry) partNumber(a, b int) bool {
	return (e.text(a-1) == "-" || e.text(a-1) == "/") && e.is(a-2, cLetters) && e.at[a-2].word.thing == ""
}

func (l *lexicon) isThing(w string) bool { _, ok := l.thing(w); return ok }

func (e *entry) atomAt(off int) (int, bool) {
	k := sort.Search(e.b-e.body, func(k int) bool { return int(e.at[e.body+k].start) >= off })
	i := e.body + k
	return i, i < e.b && e.start(i) == off
}

func (e *entry) atomEnd(off int) (int, bool) {
	k := sort.Search(e.b-e.body, func(k int) bool { return int(e.at[e.body+k].end) >= off })
	i := e.body + k
	return i + 1, i < e.b && e.end(i+1) == off
}

// repairRuns turns misread letters at the head of runs that hold at least two digits into digits, byte for byte.
func repairRuns(text string) (string, bool) {
	var out []byte
	for i := 0; i < len(text); {
		if !alnum(text[i]) {
			i++
			continue
		}
		i += bearingPrefix(text[i:])
		j, digits, letters := i, 0, 0
		for j < len(text) && alnum(text[j]) {
			if text[j] <= '9' {
				digits++
			} else if strings.IndexByte("oilsbzgOILSBZG", text[j]) >= 0 {
				letters++
			} else {
				break
			}
			j++
		}
		if digits >= 2 && letters > 0 && letters <= digits {
			if out == nil {
				out = []byte(text)
			}
			for k := i; k < j; k++ {
				if d, ok := confused[rune(text[k]|0x20)]; ok && text[k] > '9' {
					out[k] = d
				}
			}
		}
		for j < len(text) && alnum(text[j]) {
			j++
		}
		i = j
	}
	return string(out), out != nil
}

// bearingPrefixes are the letters that designations of needle and roller bearings begin with (ISO 15, ISO 3030, ISO 3245).
var bearingPrefixes = []string{"AXK", "NUP", "RNA", "HK", "BK", "NU", "NJ", "NA", "K"}

// bearingPrefix is the length of such letters when a digit, or a letter read for one, follows.
func bearingPrefix(s string) int {
	for _, p := range bearingPrefixes {
		if len(s) > len(p)+2 && strings.HasPrefix(s, p) && alnum(s[len(p)]) && alnum(s[len(p)+1]) {
			return len(p)
		}
	}
	return 0
}

func alnum(c byte) bool { return '0' <= c && c <= '9' || 'a' <= c|0x20 && c|0x20 <= 'z' }
