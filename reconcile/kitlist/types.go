package kitlist

import (
	"layshaft/catalog/quantity"
	"layshaft/catalog/standard"
)

// Kind says what one line of a list is.
type Kind string

// The kinds of line.
const (
	Item    Kind = "item"    // names something that is supplied, wanted, or expressly not supplied
	Heading Kind = "heading" // sets position, box, variant or standing of the lines after it
	Note    Kind = "note"    // a sentence that says something about items without being one
	Noise   Kind = "noise"   // greeting, total, page footer, decoration: nothing to reconcile
)

// Role says what one span of the text was read as.
type Role string

// The roles of spans.
const (
	RoleCount       Role = "count"       // how many: "2x", "qty 2", "2 off"
	RolePack        Role = "pack"        // how many in one: "set of 3", "(15)" after rollers, "pr"
	RoleNumber      Role = "number"      // possible part number
	RoleDesignation Role = "designation" // rolling bearing designation
	RoleSize        Role = "size"        // length or group of lengths
	RoleThread      Role = "thread"      // screw thread
	RoleTeeth       Role = "teeth"       // tooth count
	RoleWords       Role = "words"       // anything else that was written in words
	RolePrice       Role = "price"       // money, tax rate
	RoleFlag        Role = "flag"        // words that make a line excluded, conditional, not available, superseded ...
	RolePlace       Role = "place"       // gear ordinals and sides: "1-2", "5th", "left/right"
	RoleMarker      Role = "marker"      // bullet, numbering, quote mark, row number
	RoleSpace       Role = "space"       // blanks and line ends
	RolePunct       Role = "punct"       // punctuation, column separators, dot leaders
	RoleNoise       Role = "noise"       // not understood, invisible or cut off
)

// Span is a byte range of List.Text with what it was read as.
type Span struct {
	Start, End int
	Role       Role
}

// Quantity is how many pieces a line stands for: Pieces = Count x Pack, times two for "per side".
type Quantity struct {
	Count      int
	Pack       int
	Pieces     int
	Assumed    bool   // nothing was written, or the number is one that must be confirmed
	Proven     bool   // assumed, and the list's own total agrees with it
	Unit       string // "set", "pair", "piece" as written, "" when not said
	Multiplier string // "per side", "per hub", "per gear", "per shaft", "per box", "per axle", "per rail", "per fork", "each", "all" or ""; Pieces holds "per side" and "each", the others need the variant
	Groups     int    // "for all 3 hubs": 3; "front and rear, 1 each": 2; 0 when not said
	Reason     string // the rule that gave the count
	Start, End int    // where the count stands; equal when assumed
}

// NumberToken is a possible part number as written. Neighbouring tokens are also offered joined, so ranges can overlap.
type NumberToken struct {
	Text       string
	Start, End int
	Joined     bool // made of several tokens
	Column     bool // stands in a column headed as part number
}

// Designation is a rolling bearing designation as found, with misread characters repaired.
type Designation struct {
	Text       string // canonical and repaired: "HK 1612" for "HK I612"
	Raw        string
	Start, End int
	Repaired   bool
	Bearing    standard.Bearing
}

// Measure is one length as written.
type Measure struct {
	Raw        string
	Length     quantity.Length // 0 when not readable
	Unit       quantity.Unit   // "" when only guessed from the list
	Start, End int
}

// SizeGroup is one length, or several that belong together ("35x50x8"), or grades to choose from (".093/.096/.099").
type SizeGroup struct {
	Raw        string
	Measures   []Measure
	Grades     bool // alternatives or grades, not the sides of one thing
	Start, End int
}

// Thread is a screw thread as written.
type Thread struct {
	Raw        string
	Diameter   Measure
	Pitch      Measure // Length 0 when not said
	Length     Measure // of a screw: M8x60
	TPI        int     // threads an inch, inch threads only
	Left       bool    // left-hand said
	Start, End int
}

// Teeth is a tooth count as written.
type Teeth struct {
	Raw        string
	Count      int
	Start, End int
}

// GearRef names gears by ordinal ("1-2", "3rd/4th", "5-R") or sides; reverse is 0.
type GearRef struct {
	Raw        string
	Gears      []int
	Start, End int
}

// Word is one word with its folded form: lower case, no accents. Inherited words stand in another part of the same
// physical line and apply to this part too.
type Word struct {
	Text, Folded string
	Start, End   int
	Inherited    bool
}

// Price is money as written, in hundredths of the unit.
type Price struct {
	Raw        string
	Minor      int64
	Currency   string // ISO 4217, "" when not said
	Unit       int64  // price of one in hundredths, 0 when not said
	Start, End int
}

// Flags are what a line says about its own standing.
type Flags struct {
	Excluded     bool     // named, not supplied
	Conditional  bool     // only if fitted, as required, one drive type only
	NotAvailable bool     // cannot be bought, out of stock
	BackOrder    bool     // ordered, not yet here
	Declined     bool     // the customer does not want it
	Offered      bool     // under a heading such as "also available": an offer, also Excluded
	Alternative  int      // alternative group within the list, 0 none
	Superseded   []string // old numbers of this line's part
	ReplacedBy   []string // newer numbers named by a line whose own number is the old one
	With         []string // things said to be included ("with snap ring", "incl. front seal")
	Without      []string // things said not to be included
	Variant      string   // "early", "late", "type 2", "4wd", "2wd" as folded words
	Correction   bool     // newer statement about an older quoted line
}

// Question is something a person must decide about a line or the list.
type Question struct {
	Code       string
	Text       string
	Start, End int
}

// Line is one entry of the list. Several lines share No when one physical line names several things.
type Line struct {
	No, Last     int // physical lines, from 1
	Sub          int // 0, or 1.. when a physical line was split
	Start, End   int
	Text         string // cleaned: no markers, leaders or invisible characters
	Kind         Kind
	Depth        int // quoting depth, 0 is the newest voice
	Indent       int // blanks before the first character
	Spans        []Span
	Quantity     Quantity
	Numbers      []NumberToken
	Designations []Designation
	Sizes        []SizeGroup
	Threads      []Thread
	Teeth        []Teeth
	Gears        []GearRef
	Words        []Word
	Price        *Price
	Flags        Flags
	Context      []string // texts of the headings above that apply, outermost first
	Heading      *int     // index in List.Lines of the nearest heading
	Questions    []Question
}

// Column is one column of a list that came as a table.
type Column struct {
	Name string // as written, "" when the table has no head
	Role Role   // what its cells are read as, RoleWords when unknown
}

// Totals is the check of stated totals against the prices of the lines.
type Totals struct {
	Stated  int64 // hundredths, 0 when the list states none
	Sum     int64
	Checked bool
	Agrees  bool
	Line    int // index of the line that states the total, -1 none
}

// Voice says who seems to speak; a guess, to be asked.
type Voice string

// The voices.
const (
	Supply  Voice = "supply"
	Demand  Voice = "demand"
	Unknown Voice = "unknown"
)

// List is a text read.
type List struct {
	Text      string
	Lines     []Line
	Between   []Span // bytes that belong to no line: line ends, blank lines, table rules
	Columns   []Column
	Delimiter string // "tab", "pipe", "semicolon", "comma", "blanks", or "" for running text
	Decimal   string // "." or ",", "" when the list shows neither; "both" when mixed
	Unit      string // "mm", "in", "both", "": what the sizes seem to be in
	Voice     Voice
	Totals    Totals
	Questions []Question
}

// Options limit and guide reading; the zero value gives the defaults.
type Options struct {
	MaxBytes     int           // bytes read, default 1 MiB; the rest stays as one noise line and a question
	MaxLines     int           // physical lines read, default 20 000
	MaxLineBytes int           // bytes read of one physical line, default 4 KiB
	Unit         quantity.Unit // for bare sizes; "" guesses from the list
}
