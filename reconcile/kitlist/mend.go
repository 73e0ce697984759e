package kitlist

import (
	"slices"
	"strings"
)

// lowered gives text[:limit] in lower ASCII letters, byte for byte, with misread characters put right where the whole
// token then is a size, a thread or a known word: "35x5Ox8", "M2Ox1,5", "GEARB0X", "KlT". The second result says which
// bytes of numbers were changed.
func lowered(text string, limit int) (string, []int) {
	b := make([]byte, limit)
	for i := range limit {
		c := text[i]
		if 'A' <= c && c <= 'Z' {
			c += 'a' - 'A'
		}
		b[i] = c
	}
	leads := countsLead(b)
	var mended []int
	for i := 0; i < limit; {
		if lineStart(b, i) && i+2 < limit && (b[i] == 'l' || b[i] == 'i') && b[i+1] == 'x' && b[i+2] == ' ' {
			b[i] = '1' // "lx bearing"
			mended = append(mended, i)
		}
		if leads && lineStart(b, i) && misreadLead(b, i) {
			mended = append(mended, i)
		}
		if !tokenByte(b[i]) {
			i++
			continue
		}
		if ringZero(b, i, limit) {
			b[i] = 'o'
		}
		j, digits, letters := i, 0, 0
		for j < limit && tokenByte(b[j]) {
			switch c := b[j]; {
			case '0' <= c && c <= '9':
				digits++
			case 'a' <= c && c <= 'z' || c == '|':
				letters++
			}
			j++
		}
		if letters > 0 && j-i <= maxMend {
			if digits > 0 && (mendNumber(b[i:j], digits, beside(b, i, j, limit)) || mendCount(b, i, j, limit)) || j == i+1 && b[i] == 'l' && mendLone(b, i, j, limit) {
				mended = append(mended, i)
			} else {
				mendWord(b[i:j], text[i:j])
			}
		}
		i = j
	}
	return string(b), mended
}

// ringZero says that a nought stands for the letter of "o-ring" and "o/seal" at i.
func ringZero(b []byte, i, limit int) bool {
	if b[i] != '0' || i > 0 && alnum(b[i-1]) || i+6 > limit || b[i+1] != '-' && b[i+1] != '/' {
		return false
	}
	w := string(b[i+2 : i+6])
	return w == "ring" || w == "seal"
}

// mendCount puts digits for "I2" and "1O" at the start of a line when a wide gap or a tab follows.
func mendCount(b []byte, i, j, limit int) bool {
	if j-i > 3 || !(opensLine(b, i, j, limit) || endsLine(b, i, j, limit) || setOff(b, i, j, limit)) || numeric(b[i]) && b[j-1] == 'l' {
		return false
	}
	for k := i; k < j; k++ {
		if !numeric(b[k]) && strings.IndexByte("oil|", b[k]) < 0 || k == i && b[k] == 'o' {
			return false
		}
	}
	for k := i; k < j; k++ {
		if !numeric(b[k]) {
			b[k] = confused[rune(b[k])]
		}
	}
	return true
}

// mendLone puts 1 for a lone "l" between wide gaps or at the end of a line behind one.
func mendLone(b []byte, i, j, limit int) bool {
	if !setOff(b, i, j, limit) && !endsLine(b, i, j, limit) {
		return false
	}
	b[i] = '1'
	return true
}

// opensLine says that a token opens its line and a wide gap or a tab follows.
func opensLine(b []byte, i, j, limit int) bool {
	return (i == 0 || b[i-1] == '\n') && j+2 <= limit && (b[j] == '\t' || b[j] == ' ' && b[j+1] == ' ')
}

// endsLine says that a token ends its line behind a leader, a wide gap or a tab.
func endsLine(b []byte, i, j, limit int) bool {
	return (j >= limit || b[j] == '\n' || b[j] == '\r') && i >= 2 && (b[i-1] == '\t' || b[i-1] == ' ' && (b[i-2] == ' ' || b[i-2] == '.'))
}

// setOff says that a token stands between wide gaps or tabs.
func setOff(b []byte, i, j, limit int) bool {
	before := i >= 1 && b[i-1] == '\t' || i >= 2 && b[i-1] == ' ' && b[i-2] == ' '
	return before && j+1 < limit && (b[j] == '\t' || b[j] == ' ' && b[j+1] == ' ')
}

// maxMend is the longest token looked at.
const maxMend = 24

func tokenByte(c byte) bool {
	return alnum(c) || c == '.' || c == ',' || c == '|' || c >= 0x80
}

// beside says that "x" stands beside a token, set off by blanks: "3O x 62".
func beside(b []byte, i, j, limit int) bool {
	return j+2 < limit && b[j] == ' ' && b[j+1] == 'x' && b[j+2] == ' ' || i >= 3 && b[i-1] == ' ' && b[i-2] == 'x' && b[i-3] == ' '
}

// mendNumber puts digits for letters when the token then is a size or a thread; sided accepts a plain number too.
func mendNumber(b []byte, digits int, sided bool) bool {
	var buf [maxMend]byte
	t := buf[:copy(buf[:], b)]
	changed := 0
	for k, c := range t {
		d, ok := confused[rune(c)]
		if !ok || strings.IndexByte("oil|", c) < 0 && !lastSide(t, k) && (k == 0 || !numeric(t[k-1]) && (k+1 == len(t) || !numeric(t[k+1]))) {
			continue
		}
		t[k] = d
		changed++
	}
	t = t[:len(strings.TrimRight(string(t), ".,"))]
	if changed == 0 || changed > digits || !sizeToken(string(t), sided) {
		return false
	}
	copy(b, t)
	return true
}

// lastSide says that the byte at k is all that stands behind the second x of three sides, "40x55xB", or before the decimal
// mark behind an x, "15xZ.5".
func lastSide(t []byte, k int) bool {
	if k > 0 && k+2 < len(t) && t[k-1] == 'x' && (t[k+1] == '.' || t[k+1] == ',') && numeric(t[k+2]) {
		return true
	}
	return k > 0 && k+1 == len(t) && t[k-1] == 'x' && strings.Count(string(t[:k]), "x") == 2
}

func numeric(c byte) bool { return '0' <= c && c <= '9' }

// sizeToken accepts "35x50x8", "m20x1,5", "m20", "40mm", "0.05"; and "30" when sided.
func sizeToken(s string, sided bool) bool {
	if cage, ok := strings.CutPrefix(s, "k"); ok && strings.Count(cage, "x") == 2 {
		s = cage
	}
	rest, metric := strings.CutPrefix(s, "m")
	rest, unit := strings.CutSuffix(rest, "mm")
	sides := strings.Split(rest, "x")
	for _, n := range sides {
		whole, frac, marked := strings.Cut(strings.Replace(n, ",", ".", 1), ".")
		if whole == "" || marked && frac == "" || strings.Trim(whole+frac, "0123456789") != "" || len(whole) > 3 {
			return false
		}
	}
	return len(sides) <= maxSides && (len(sides) > 1 || metric && len(rest) <= 4 || unit || sided || strings.HasPrefix(s, "0.") || strings.HasPrefix(s, "0,"))
}

// mendWord puts letters for digits inside words, and "i" for a small "l" among capitals, when the word is then known.
func mendWord(b []byte, raw string) {
	for i := 0; i < len(b); {
		if !alnum(b[i]) {
			i++
			continue
		}
		j, digits, slip := i, 0, false
		for j < len(b) && alnum(b[j]) {
			if b[j] <= '9' {
				digits++
			}
			slip = slip || raw[j] == 'l' && (j > i && capital(raw[j-1]) || j+1 < len(raw) && capital(raw[j+1]))
			j++
		}
		if string(b[i:j]) == "0ty" {
			b[i] = 'q' // the head of a column
		}
		if n := j - i; (digits > 0 && digits*2 <= n || slip && digits == 0) && (n >= 3 || n == 2 && digits == 1 && shortWord(b[i:j])) && n <= maxMend && !ordinal(b[i:j]) {
			mendLetters(b[i:j], slip)
		}
		i = j
	}
}

// shortWord puts the letter for the nought in "t0", "0f" and "n0".
func shortWord(b []byte) bool {
	for _, w := range []string{"to", "of", "on"} {
		if (b[0] == '0' || b[0] == w[0]) && (b[1] == '0' || b[1] == w[1]) && (w[0] == 'o') == (b[0] == '0') && (w[1] == 'o') == (b[1] == '0') {
			copy(b, w)
		}
	}
	return false
}

// ordinal says that a token is "1st", "2nd" and so on, however known the word is that it resembles.
func ordinal(b []byte) bool {
	return len(b) == 3 && numeric(b[0]) && strings.Contains("st nd rd th", string(b[1:]))
}

func capital(c byte) bool { return 'A' <= c && c <= 'Z' }

// readings are the letters that a digit, or a small l among capitals, can stand for.
var readings = map[byte]string{'0': "o", '1': "li", '5': "s", '8': "b", '6': "bg", 'l': "i"}

func mendLetters(b []byte, slip bool) {
	w := words()
	for _, second := range []int{0, 1} {
		var buf [maxMend]byte
		t := buf[:copy(buf[:], b)]
		for k, c := range t {
			if r := readings[c]; r != "" && (c != 'l' || slip) {
				t[k] = r[min(second, len(r)-1)]
			}
		}
		if w.known(string(t)) {
			copy(b, t)
			return
		}
	}
}

// wordInfo is what the word lists say of one word.
type wordInfo struct {
	text    string // the word, or the known word it was mended to
	phrases []phrase
	thing   string // trait, "" when it names no part
	place   bool   // says where: front, rear
	talk    bool   // belongs to sentences
	day     bool   // a day of the week
	plural  bool   // the plural of a part's name
	stance  stance
	remark  remark
}

// known says that a word stands in the word lists.
func (l *lexicon) known(w string) bool {
	return l.inner[w] || l.isThing(w)
}

// look finds a word, as written or mended.
func (l *lexicon) look(w string) *wordInfo {
	if !l.known(w) {
		w = l.mended(w)
	}
	k, _ := l.thing(w)
	phrases := l.first[w]
	if k == "" && phrases == nil {
		phrases = compoundPhrase(w)
	}
	return &wordInfo{text: w, phrases: phrases, thing: k, place: placeWords[w], talk: speech[w], day: weekdays[w],
		plural: l.plural(w), stance: stanceOf(w), remark: remarkOf(w)}
}

// compoundPhrase says what a compound word means by its last part: "Frachtkosten", "Rechnungsbetrag".
func compoundPhrase(w string) []phrase {
	for _, row := range wordSets()["compoundEnds"] {
		if end := row[1]; len(w) > len(end)+2 && strings.HasSuffix(w, end) {
			return []phrase{{atoms: []string{w}, meaning: meaning(row[2])}}
		}
	}
	return nil
}

// slips are letters that text recognition takes for others (common practice), and how umlauts are written without them.
var slips = [][2]string{{"rn", "m"}, {"m", "rn"}, {"nng", "ring"}, {"nn", "rin"}, {"l", "i"}, {"i", "l"}, {"vv", "w"}, {"ii", "n"},
	{"m", "n"}, {"n", "m"}, {"b", "h"}, {"h", "b"}, {"c", "e"}, {"e", "c"}, {"u", "n"}, {"t", "f"}}

// longSlips is the index of the first slip that only long words are tried with.
const longSlips = 8

// maxSlip bounds the words that slips are looked for in.
const maxSlip = 30

// mended gives the known word that one slip hides, or the word itself.
func (l *lexicon) mended(w string) string {
	if len(w) < 4 || len(w) > maxSlip {
		return w
	}
	if strings.Contains(w, "ae") || strings.Contains(w, "oe") || strings.Contains(w, "ue") {
		if t := umlauts.Replace(w); l.known(t) {
			return t
		}
	}
	for k, s := range slips {
		if k >= longSlips && len(w) < minNear {
			break
		}
		for at := 0; ; at++ {
			k := strings.Index(w[at:], s[0])
			if k < 0 {
				break
			}
			at += k
			if t := w[:at] + s[1] + w[at+len(s[0]):]; len(t) >= 4 && l.looked[t] != nil {
				return t
			}
		}
	}
	if t, ok := l.near.find(w); ok {
		return t
	}
	return w
}

// umlauts undoes "ae", "oe", "ue" for the folded letters.
var umlauts = strings.NewReplacer("ae", "a", "oe", "o", "ue", "u")

// askMended asks for every number of the entry that was read otherwise than written.
func (e *entry) askMended() {
	if e.body >= e.b {
		return
	}
	k, _ := slices.BinarySearch(e.d.mended, e.start(e.body))
	for ; k < len(e.d.mended) && e.d.mended[k] < e.end(e.b); k++ {
		a, ok := e.atomAt(e.d.mended[k])
		if !ok {
			continue
		}
		b := a + 1
		for b < e.b && e.at[b].class != cSpace {
			b++
		}
		e.ask("misread", "was "+e.raw(a, b)+" read rightly as "+e.d.lower[e.start(a):e.end(b)]+"?", a, b)
	}
}
