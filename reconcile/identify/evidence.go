package identify

import (
	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// Care says how a count was made; it sets how far the count is trusted.
type Care string

const (
	CareUsual  Care = ""       // start tooth not marked
	CareMarked Care = "marked" // start tooth marked, or counted twice
	CarePhoto  Care = "photo"  // read from a photo
)

// Evidence is one observation on the gearbox. Exactly one of Wheel and Feature
// names the place. Evidence on one place may be given several times.
type Evidence struct {
	// ID of the caller's record, handed back in contradictions and problems.
	ID string
	// Wheel whose teeth were counted.
	Wheel string
	// Feature observed; the name of a speed ("2nd") when it was turned and the
	// catalogue declares no ratio feature for it.
	Feature string
	// Value observed: a count, a length, yes/no or text. Not for turning.
	Value catalog.Value
	// Turns of the input and Output of the output shaft, in millionths of a turn,
	// when a speed was turned.
	Turns  int
	Output int64
	Care   Care
}

// Input of Run.
type Input struct {
	// Family that the box is known to be; empty for all families at once.
	Family   catalog.FamilyID
	Evidence []Evidence
	// Prior is how many of the shop's own jobs were of each variant.
	Prior map[catalog.VariantID]int
	// CaseOpen: the case is open already, so looking inside costs nothing more.
	CaseOpen bool
}

// Result of Run. It always answers; what could not be used is in Problems.
type Result struct {
	// Ranked holds every variant considered, likeliest first, ties by id. Details
	// are filled for the first Detailed ones.
	Ranked []Variant
	// None is the chance that it is none of these variants.
	None         float64
	NonePermille int
	// Groups of variants that the evidence given cannot tell apart, likeliest
	// first; groups of less than one in a thousand are left out.
	Groups []Group
	// Contradictions of the evidence with the leader, the worst first.
	Contradictions []Contradiction
	// Next observations worth making, the best first.
	Next     []Suggestion
	Problems []Problem
}

// Detailed is how many of the ranked variants carry ratios and contradictions.
const Detailed = 20

// Leader is the likeliest variant; ok is false when there is none at all.
func (r Result) Leader() (v Variant, ok bool) {
	if len(r.Ranked) == 0 {
		return Variant{}, false
	}
	return r.Ranked[0], true
}

// Variant is one ranked variant.
type Variant struct {
	ID             catalog.VariantID
	Family         catalog.FamilyID
	Posterior      float64 // probability
	Permille       int     // the same, rounded
	Speeds         []SpeedRatio
	Contradictions []Contradiction
}

// SpeedRatio is the exact ratio of a speed, input turns per output turn; the
// zero Ratio when a tooth count is not known.
type SpeedRatio struct {
	Speed string
	Ratio quantity.Ratio
}

// Group of variants alike in all evidence given.
type Group struct {
	Variants []catalog.VariantID
	// Posterior of the group as a whole.
	Posterior float64
	Permille  int
	// Inseparable: nothing that the catalogue knows tells them apart.
	Inseparable bool
}

// Cause of a contradiction.
type Cause string

const (
	CauseMiscountOne Cause = "miscount-by-one"
	CauseMiscountTwo Cause = "miscount-by-two"
	CauseNeighbour   Cause = "neighbour-wheel"
	CauseDogTeeth    Cause = "dog-teeth"
	CauseSwapped     Cause = "swapped-pair"
	CauseMiscount    Cause = "miscount"
	CauseFewMore     Cause = "count-off-by-one-or-two" // splines, bolts, lugs
	CauseOtherCount  Cause = "count-far-off"
	CauseDoubled     Cause = "differential-not-halved"
	CauseTurn        Cause = "turn-miscounted"
	CauseSpeed       Cause = "other-speed-engaged"
	CauseReading     Cause = "reading"
	CauseExchanged   Cause = "exchanged-or-misread"
)

// Contradiction is an observation that does not suit a variant.
type Contradiction struct {
	// Evidence is the index into Input.Evidence, ID its id.
	Evidence int
	ID       string
	Place    string // wheel or feature id
	Label    string
	Found    string // as a person reads it: "33", "35.02 mm"
	Should   string
	Cause    Cause
	// Text is one sentence: what was found, what it should be, the likely cause
	// and what to do.
	Text string
	// Chance of this observation if the variant is right; for sizes and ratios a
	// density, so only for comparison within one result.
	Chance float64

	sum string // remark on the tooth sum
}

// Suggestion is an observation worth making.
type Suggestion struct {
	Wheel   string // one of the two
	Feature string
	Label   string
	// Text says what to do: "Count the teeth of 2nd gear".
	Text       string
	Gain       float64 // expected information in bits
	Effort     int     // minutes
	CaseClosed bool
	// Repeat: it was observed already and should be looked at again.
	Repeat bool
	Why    string

	effortAssumed bool
}

// Problem is a fault of the input, as a value.
type Problem struct {
	Code string // stable: "unknown-place", "absurd-count", ...
	// Evidence is the index into Input.Evidence; -1 when it is about the input.
	Evidence int
	ID       string
	Place    string
	Cause    string // a sentence
	Remedy   string
	// Used: the evidence was used all the same.
	Used bool
}
