package reconcile

import (
	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// Outcome says how sure the reading of a line is.
type Outcome string

const (
	Certain  Outcome = "certain"  // used without asking; wrong at most 1 in 500
	Likely   Outcome = "likely"   // a person confirms
	Question Outcome = "question" // a person chooses
	NoItem   Outcome = "no-item"  // heading, note or noise: supplies nothing
)

// Place is a spot in a pasted text. Offsets are bytes into the kit list's text.
type Place struct {
	List  string `json:"list"`
	Line  int    `json:"line"` // 1-based physical line
	Sub   int    `json:"sub,omitempty"`
	Start int    `json:"start"`
	End   int    `json:"end"`
	Text  string `json:"text,omitempty"`
}

// Candidate is one part that a line may mean.
type Candidate struct {
	Part catalog.PartID `json:"part"`
	// Permille is the calibrated probability, 0 to 1000.
	Permille int `json:"permille"`
	// Why in words: "number read as Z7F3102K, one character repaired; name agrees".
	Why string `json:"why,omitempty"`
}

// SupplyLine is one line of a kit list, or goods on hand, as supply.
type SupplyLine struct {
	// Place in the text; nil for goods.
	Place *Place `json:"place,omitempty"`
	// Goods id for goods.
	Goods   string      `json:"goods,omitempty"`
	Source  GoodsSource `json:"source"` // FromKit for list lines
	Outcome Outcome     `json:"outcome"`
	// Part read; empty unless Certain or Likely.
	Part       catalog.PartID `json:"part,omitempty"`
	Candidates []*Candidate   `json:"candidates,omitempty"` // best first, at most 5
	Pieces     int            `json:"pieces"`
	// Assumed: no quantity was written, 1 is assumed.
	Assumed bool `json:"assumed,omitempty"`
	// Excluded: named but not supplied.
	Excluded bool `json:"excluded,omitempty"`
	// Conditional: "if fitted", "as required".
	Conditional bool `json:"conditional,omitempty"`
	// NotAvailable: the list itself says it cannot be had.
	NotAvailable bool `json:"notAvailable,omitempty"`
	// Alternative group, 0 for none: of one group only one line serves.
	Alternative int `json:"alternative,omitempty"`
	// Answered: a person settled the line.
	Answered bool          `json:"answered,omitempty"`
	Why      string        `json:"why,omitempty"`
	ReturnBy quantity.Date `json:"returnBy,omitzero"`
}

// FromKit marks supply that a kit list promises.
const FromKit GoodsSource = "kit"
