package match

import "layshaft/catalog"

// Outcome says how sure a line's reading is. The words are those of the report.
type Outcome string

// The outcomes of a line.
const (
	Certain  Outcome = "certain"  // use without asking
	Likely   Outcome = "likely"   // a person confirms
	Question Outcome = "question" // a person chooses
	None     Outcome = "none"     // no item, or an item that nothing in the catalogue answers to
)

// Context is what is known before the list is read. All fields may be empty.
type Context struct {
	Variant  catalog.VariantID
	Family   catalog.FamilyID // implied by Variant
	Supplier catalog.SupplierID
}

// Options change what New builds; the zero value gives the shipped defaults.
type Options struct {
	// Weights of the logit; nil for the shipped ones.
	Weights *Weights
	// Words are added to the lexicon after the catalogue's own.
	Words []*catalog.Word
	// Candidates kept per line, at most; 0 means 5.
	Candidates int
}

// Candidate is one part that a line may mean.
type Candidate struct {
	Part catalog.PartID
	// Permille is the calibrated probability, 0 to 1000.
	Permille int
	// Why in words: "number read as Z7F3102K, one character repaired; name agrees".
	Why string
	// Features that were not zero, for training and for the curious.
	Features []Feature
	// Positions of the variant or family that the part fills and the line allows.
	Positions []catalog.PositionID
}

// Feature is one named piece of evidence with its value.
type Feature struct {
	Name  string
	Value float64
}

// Result is the reading of one line of a list.
type Result struct {
	Line    int // index in List.Lines
	No, Sub int // physical line and part of it, as kitlist counts
	Outcome Outcome
	// Part read; empty unless Certain or Likely.
	Part catalog.PartID
	// Candidates best first, at most five; also for Certain, so that the
	// runner-up is shown.
	Candidates []Candidate
	// NonePermille is the probability that the catalogue has no such part.
	NonePermille int
	// Telling names the attribute that tells the open candidates apart.
	Telling string
	// Why the outcome is what it is, a sentence.
	Why string
	// Also are other parts that the same line names and that are certain with it:
	// the two gears of "3rd gear pair".
	Also []catalog.PartID
	// Clashes are indexes of other lines that claim the same full position.
	Clashes []int
	// Alias is set when a remembered answer decided the line.
	Alias bool
}

// Suggestion is a variant or family that a list seems to be for.
type Suggestion struct {
	Family  catalog.FamilyID
	Variant catalog.VariantID // the first of several alike when the list can't tell them apart: Why says so
	// Share of the votes, 0 to 1000; the next entry is the runner-up.
	Permille int
	// Told: the list tells the family from all others. When the first suggestion is
	// not told, the family is open and the first ones are the candidates.
	Told bool
	// Lines that vote for it.
	Lines int
	Why   string
}
