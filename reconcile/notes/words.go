package notes

import (
	_ "embed"
	"encoding/csv"
	"strings"

	"layshaft/reconcile/kitlist"
)

//go:embed words.csv
var wordsCSV string

// role is what a phrase of words.csv does in a note.
type role string

const (
	asVerb       role = "verb"      // states a choice
	asGood       role = "good"      // condition that speaks for reuse
	asInSpec     role = "inspec"    // measured and within its limit
	asMeasured   role = "measured"  // a reading
	asBad        role = "bad"       // condition that speaks for replacing
	asTreat      role = "treat"     // a treatment
	asTreatOut   role = "treat-out" // a treatment that is done elsewhere
	asInHouse    role = "inhouse"   // done here
	asCare       role = "care"      // cleaned, wiped: what follows from it is said elsewhere
	asDue        role = "due"       // a day follows
	asNot        role = "not"
	asExcept     role = "except"
	asWith       role = "with"
	asAnd        role = "and"
	asAll        role = "all"
	asBoth       role = "both"
	asEverything role = "everything"
	asComplete   role = "complete"
	asRest       role = "rest"
	asCorrect    role = "correct" // takes back what was said
	asNo         role = "no"
	asMaybe      role = "maybe" // a condition, an alternative, a question
	asToo        role = "too"
	asPron       role = "pron"
	asIts        role = "its"
	asOf         role = "of"
	asBut        role = "but"
	asStop       role = "stop"
	asFeature    role = "feature" // a feature of a part: teeth, journal
	asClass      role = "class"   // a group by life or class
	asPlain      role = "plain"   // an ordinary word that is no part, however it is spelt
	asHand       role = "hand"    // a side, or the hand of a thread
	asKind       role = "kind"    // names a kind of part, beside the lexicon
	asWord       role = "word"    // a word of names, in another language
	asPair       role = "pair"    // the two gears of a mesh
	asClause     role = "clause"  // a subordinate clause follows
	asOnes       role = "ones"    // stands for the kind named before
	asOnly       role = "only"
	asAt         role = "at" // what follows only says where

	// Roles that no phrase of the table has.
	asThing   role = "thing"
	asGears   role = "gears"
	asNumber  role = "number"
	asUnknown role = "unknown"
	asSpec    role = "spec"  // a size, tooth count, designation or number of a part
	asComma   role = "comma" // comma, dash, bracket, cell border
	asColon   role = "colon"
	asBreak   role = "break" // semicolon, full stop
	asLine    role = "line"
	asMarker  role = "marker"
	asDate    role = "date"
)

// entry is a phrase of the table.
type entry struct {
	role role
	arg  string
	lang string
}

// phrases maps folded words, joined by blanks, to entries. Its longest has
// maxWords words.
var phrases, spellable = readWords()

const maxWords = 6

// readWords parses the embedded table; a broken one is a programming error that
// the package's tests find. Spellable lists its longer single words by length.
func readWords() (map[string]entry, map[byte][]string) {
	rows, err := csv.NewReader(strings.NewReader(wordsCSV)).ReadAll()
	if err != nil {
		panic("notes: embedded table: " + err.Error())
	}
	out, spell := map[string]entry{}, map[byte][]string{}
	for _, r := range rows[1:] {
		key := phraseKey(r[0])
		e := entry{role(r[1]), r[2], r[3]}
		if old, twice := out[key]; twice && (old.role != e.role || old.arg != e.arg) {
			panic("notes: embedded table: " + r[0] + " stands twice")
		}
		out[key] = e
		if len(key) >= 5 && !strings.Contains(key, " ") && slips[e.role] {
			spell[key[0]] = append(spell[key[0]], key)
		}
	}
	return out, spell
}

// phraseKey folds a phrase as the lexer does.
func phraseKey(s string) string {
	var words []string
	for _, t := range lex(s) {
		if t.word || t.text == "?" {
			words = append(words, t.text)
		}
	}
	return strings.Join(words, " ")
}

// slips are the roles that a misspelt word may be taken for: those that say what
// happens to a part. A word that joins, denies or takes out is never guessed.
var slips = map[role]bool{asVerb: true, asGood: true, asInSpec: true, asMeasured: true, asBad: true, asTreat: true, asTreatOut: true,
	asClass: true, asKind: true, asPlain: true, asComplete: true, asEverything: true, asCare: true}

// slip finds the one word of the table that a misspelt word stands for: one
// letter wrong, lost, added or swapped with its neighbour.
func slip(word string) (string, bool) {
	if len(word) < 5 {
		return "", false
	}
	found := ""
	for _, w := range spellable[word[0]] {
		if oneSlip(word, w) {
			if found != "" {
				return "", false
			}
			found = w
		}
	}
	return found, found != ""
}

// oneSlip reports whether one slip of the pen turns a into b.
func oneSlip(a, b string) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	if len(b)-len(a) > 1 || a == b {
		return false
	}
	i := 0
	for i < len(a) && a[i] == b[i] {
		i++
	}
	if len(a) < len(b) {
		return a[i:] == b[i+1:]
	}
	return a[i+1:] == b[i+1:] || i+1 < len(a) && a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:]
}

// fold is the comparison form of words.
func fold(s string) string { return kitlist.Fold(s) }
