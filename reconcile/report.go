package reconcile

import "layshaft/catalog"

// Severity of a finding; wording rules in DEVELOPERS.md, "Cautions".
type Severity string

const (
	Stop  Severity = "stop"  // can lock, seize or injure, or data contradict
	Check Severity = "check" // a person must look; not proved
	Note  Severity = "note"  // good to know
)

// Hop is one step of a cause chain: this position is concerned because of From.
type Hop struct {
	Position catalog.PositionID `json:"position"`
	From     catalog.PositionID `json:"from,omitempty"` // empty at a root
	// Cause code, one of the Cause constants: "decision", "bond", "one-time" ...
	Cause string `json:"cause"`
	// Reason in words: "sold only with its mate".
	Reason string `json:"reason"`
}

// Demand is what the decisions make necessary at one position.
type Demand struct {
	Position catalog.PositionID `json:"position"`
	Quantity int                `json:"quantity"` // pieces
	// Accept lists parts that would do, best first; all satisfy the mates.
	Accept []catalog.PartID `json:"accept,omitempty"`
	// Open: select-fit, the grade is not known before the dry build.
	Open bool `json:"open,omitempty"`
	// Possible demand comes from undecided positions; it is never ordered silently.
	Possible bool `json:"possible,omitempty"`
	Blocking bool `json:"blocking,omitempty"`
	// Chain is the shortest cause chain, root first; Causes are all edges.
	Chain  []*Hop `json:"chain"`
	Causes []*Hop `json:"causes"`
	// Covered pieces and how they were allocated.
	Covered int    `json:"covered"`
	Short   int    `json:"short"`
	Uses    []*Use `json:"uses,omitempty"`
}

// Use is supply allocated to a demand.
type Use struct {
	Line   int            `json:"line"` // index into Report.Lines
	Part   catalog.PartID `json:"part"`
	Pieces int            `json:"pieces"`
	// Why this line went here: "line 7 fits only the front".
	Why string `json:"why,omitempty"`
}

// FittedState says which part will be in the case at a position.
type FittedState string

const (
	FittedNew      FittedState = "new"
	FittedReused   FittedState = "reused"
	FittedStandard FittedState = "standard" // not touched: as the variant left the maker
	FittedUnknown  FittedState = "unknown"
	FittedNone     FittedState = "none" // position not in this variant or left out
)

// Fitted is the part in the case when it closes, at one position.
type Fitted struct {
	Position catalog.PositionID `json:"position"`
	State    FittedState        `json:"state"`
	Part     catalog.PartID     `json:"part,omitempty"`
	// Sizes override the part's attributes (treated or measured).
	Sizes []*catalog.Attribute `json:"sizes,omitempty"`
}

// Finding is one thing a person must know.
type Finding struct {
	// ID is stable for the same fact: code, position, part, place text.
	ID       string             `json:"id"`
	Code     string             `json:"code"`
	Severity Severity           `json:"severity"`
	Blocking bool               `json:"blocking"`
	Position catalog.PositionID `json:"position,omitempty"`
	Part     catalog.PartID     `json:"part,omitempty"`
	Place    *Place             `json:"place,omitempty"`
	// Attribute, Expected and Found name a mismatch in the shop's units.
	Attribute string `json:"attribute,omitempty"`
	Expected  string `json:"expected,omitempty"`
	Found     string `json:"found,omitempty"`
	// Message is a sentence that a mechanic would say.
	Message string  `json:"message"`
	Chain   []*Hop  `json:"chain,omitempty"`  // shortest, root first
	Causes  []*Hop  `json:"causes,omitempty"` // all edges
	Remedy  *Remedy `json:"remedy,omitempty"`
	// Override that a person signed against it; the finding stays.
	Override *Override `json:"override,omitempty"`
}

// Remedy says what to do and which parts would do it.
type Remedy struct {
	Text  string           `json:"text"`
	Parts []catalog.PartID `json:"parts,omitempty"`
}

// ShortageState is what can be done about a shortage now.
type ShortageState string

const (
	OrderNow       ShortageState = "order-now"
	AfterMeasuring ShortageState = "after-measuring"
	AskFirst       ShortageState = "question"
	BlockedBy      ShortageState = "blocked-by-decision"
	// InTreatment: not to be bought; it is awaited from a treatment shop.
	InTreatment ShortageState = "in-treatment"
)

// ShortageStates lists all states of a shortage.
func ShortageStates() []ShortageState {
	return []ShortageState{OrderNow, AfterMeasuring, AskFirst, BlockedBy, InTreatment}
}

// Shortage is demand that nothing supplies.
type Shortage struct {
	// ID is stable: job and position.
	ID       string               `json:"id"`
	Position catalog.PositionID   `json:"position"`
	Quantity int                  `json:"quantity"` // pieces short
	State    ShortageState        `json:"state"`
	Blocking bool                 `json:"blocking"`
	Possible bool                 `json:"possible,omitempty"`
	Accept   []catalog.PartID     `json:"accept,omitempty"`
	Wanted   []*catalog.Attribute `json:"wanted,omitempty"` // sizes that mates ask for
	OnOrder  int                  `json:"onOrder,omitempty"`
	Chain    []*Hop               `json:"chain"`
	// Because says why the state is what it is.
	Because string `json:"because,omitempty"`
}

// Surplus is supply that nothing needs.
type Surplus struct {
	Line int            `json:"line"` // index into Report.Lines
	Part catalog.PartID `json:"part,omitempty"`
	// Set that the part came in; empty when it came alone.
	Set    catalog.PartID `json:"set,omitempty"`
	Pieces int            `json:"pieces"`
	// Reason code: "other-variant", "reused", "duplicate", "by-design",
	// "not-needed", "mismatch", "spread".
	Reason   string `json:"reason"`
	Message  string `json:"message"`
	ReturnBy string `json:"returnBy,omitempty"` // ISO date
}

// Report is what reconcile.Run says about a job.
type Report struct {
	Job        JobID             `json:"job"`
	Family     catalog.FamilyID  `json:"family"`
	Variant    catalog.VariantID `json:"variant,omitempty"`
	CatalogRev uint64            `json:"catalogRev"`
	JobRev     uint64            `json:"jobRev"`
	// Lines as read, lists by id and lines in reading order, then goods by id.
	Lines     []*SupplyLine `json:"lines"`
	Demands   []*Demand     `json:"demands"`
	Build     []*Fitted     `json:"build"`
	Findings  []*Finding    `json:"findings"`
	Shortages []*Shortage   `json:"shortages"`
	Surplus   []*Surplus    `json:"surplus"`
	// Causes is the whole cause graph, every edge once; it has no circle, and
	// every chain in the report is a path of it.
	Causes []*Hop `json:"causes,omitempty"`
	// Blocking counts what keeps the case open: blocking findings that nobody
	// signed against, and blocking shortages; a position counts once.
	Blocking int `json:"blocking"`
	// Faults are broken promises of the engine itself, never of the job. A report
	// with faults must be shown as faulty and not be relied on.
	Faults []string `json:"faults,omitempty"`
}
