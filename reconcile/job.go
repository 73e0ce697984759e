package reconcile

import (
	"cmp"
	"slices"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// JobID names a job; stable, chosen when the job is opened.
type JobID string

// A job's tables: its head and its components, each a record of its own, so
// that two people at one job do not overwrite each other.
const (
	TableJob         catalog.Table = "jobs"
	TableDecision    catalog.Table = "decisions"
	TableKitList     catalog.Table = "kit-lists"
	TableGoods       catalog.Table = "goods"
	TableObservation catalog.Table = "observations"
	TableMeasurement catalog.Table = "measurements"
	TableOverride    catalog.Table = "overrides"
)

// State is where a job stands.
type State string

const (
	StateReceived State = "received" // on the shelf, not opened
	StateStripped State = "stripped"
	StateWaiting  State = "waiting" // for parts or treatment
	StateBuilding State = "building"
	StateClosed   State = "closed"
)

// Head is the job's own record: one gearbox on a bench.
type Head struct {
	ID    JobID  `json:"id" cbor:"1,keyasint,omitempty"`
	Title string `json:"title" cbor:"2,keyasint,omitempty"`
	// Owner is what the shop calls the customer; no address, no number.
	Owner  string           `json:"owner,omitempty" cbor:"3,keyasint,omitempty"`
	Family catalog.FamilyID `json:"family" cbor:"4,keyasint,omitempty"`
	// Variant, empty while it is not known; then Candidates may narrow it.
	Variant    catalog.VariantID   `json:"variant,omitempty" cbor:"5,keyasint,omitempty"`
	Candidates []catalog.VariantID `json:"candidates,omitempty" cbor:"6,keyasint,omitempty"`
	// Serial of the unit, for supersessions split by serial.
	Serial   string        `json:"serial,omitempty" cbor:"7,keyasint,omitempty"`
	State    State         `json:"state" cbor:"8,keyasint,omitempty"`
	Opened   quantity.Date `json:"opened,omitzero" cbor:"9,keyasint,omitzero"`
	NeededBy quantity.Date `json:"neededBy,omitzero" cbor:"10,keyasint,omitzero"`
	// FullStrip: everything inside was taken out.
	FullStrip bool   `json:"fullStrip,omitempty" cbor:"11,keyasint,omitempty"`
	Note      string `json:"note,omitempty" cbor:"12,keyasint,omitempty"`
	catalog.Stamp
}

// Table and Key implement catalog.Record.
func (h *Head) Table() catalog.Table { return TableJob }
func (h *Head) Key() string          { return string(h.ID) }

// Choice is what is decided for a position.
type Choice string

const (
	Reuse     Choice = "reuse"
	Replace   Choice = "replace"
	Rework    Choice = "rework"   // done in the shop
	SendOut   Choice = "send-out" // to a treatment shop
	NotFitted Choice = "not-fitted"
	Absent    Choice = "absent" // was not there on arrival
	Undecided Choice = "undecided"
)

// Decision is what happens to the part at one position.
type Decision struct {
	Job      JobID              `json:"job" cbor:"1,keyasint,omitempty"`
	Position catalog.PositionID `json:"position" cbor:"2,keyasint,omitempty"`
	Choice   Choice             `json:"choice" cbor:"3,keyasint,omitempty"`
	// Part that goes in, when a certain one was chosen; empty: any that fits.
	Part catalog.PartID `json:"part,omitempty" cbor:"4,keyasint,omitempty"`
	// Found is the part found in the box when it is not the variant's standard.
	Found catalog.PartID `json:"found,omitempty" cbor:"5,keyasint,omitempty"`
	// Quantity of pieces concerned; 0 means all of the position.
	Quantity int `json:"quantity,omitempty" cbor:"6,keyasint,omitempty"`
	// Treatment for Rework and SendOut: "grind", "plate and grind", "shot-peen"; the
	// words that rules know are in rule_treatment.go.
	Treatment string `json:"treatment,omitempty" cbor:"7,keyasint,omitempty"`
	// Sizes after treatment or as measured; they override the part's attributes,
	// except that a size with a limit in the catalogue is judged by the limit and,
	// inside it, leaves the nominal size to the neighbours.
	Sizes []*catalog.Attribute `json:"sizes,omitempty" cbor:"8,keyasint,omitempty"`
	// Returned: a part sent out is back.
	Returned bool          `json:"returned,omitempty" cbor:"9,keyasint,omitempty"`
	Due      quantity.Date `json:"due,omitzero" cbor:"10,keyasint,omitzero"` // expected back
	// Measured backs a Reuse: a recorded reading or inspection note.
	Measured string `json:"measured,omitempty" cbor:"11,keyasint,omitempty"`
	Why      string `json:"why,omitempty" cbor:"12,keyasint,omitempty"`
	catalog.Stamp
}

// Table and Key implement catalog.Record.
func (d *Decision) Table() catalog.Table { return TableDecision }
func (d *Decision) Key() string          { return string(d.Job) + "/" + string(d.Position) }

// KitList is the text of a kit or parts list as it arrived.
type KitList struct {
	Job      JobID              `json:"job" cbor:"1,keyasint,omitempty"`
	ID       string             `json:"id" cbor:"2,keyasint,omitempty"` // unique in the job
	Name     string             `json:"name" cbor:"3,keyasint,omitempty"`
	Supplier catalog.SupplierID `json:"supplier,omitempty" cbor:"4,keyasint,omitempty"`
	Received quantity.Date      `json:"received,omitzero" cbor:"5,keyasint,omitzero"`
	// ReturnBy is the last day on which unused parts go back.
	ReturnBy quantity.Date `json:"returnBy,omitzero" cbor:"6,keyasint,omitzero"`
	Text     string        `json:"text" cbor:"7,keyasint,omitempty"`
	// Answers are a person's words on single lines.
	Answers []*Answer `json:"answers,omitempty" cbor:"8,keyasint,omitempty"`
	// Ignored lists are kept but do not supply.
	Ignored bool `json:"ignored,omitempty" cbor:"9,keyasint,omitempty"`
	catalog.Stamp
}

// Table and Key implement catalog.Record.
func (k *KitList) Table() catalog.Table { return TableKitList }
func (k *KitList) Key() string          { return string(k.Job) + "/" + k.ID }

// Answer settles one line: which part it means and how many pieces. Text ties
// the answer to the line even when the list is edited.
type Answer struct {
	Line   int            `json:"line" cbor:"1,keyasint,omitempty"`
	Sub    int            `json:"sub,omitempty" cbor:"2,keyasint,omitempty"`
	Text   string         `json:"text" cbor:"3,keyasint,omitempty"`
	Part   catalog.PartID `json:"part,omitempty" cbor:"4,keyasint,omitempty"`   // empty: none of ours
	Pieces int            `json:"pieces,omitempty" cbor:"5,keyasint,omitempty"` // 0: as read
}

// GoodsSource says where goods on hand come from.
type GoodsSource string

const (
	FromShelf    GoodsSource = "shelf"
	FromOrder    GoodsSource = "order"    // ordered, not received
	FromReturn   GoodsSource = "returned" // back from a treatment shop
	FromReceived GoodsSource = "received" // single part received for this job
)

// Goods is a quantity of one part available to the job beside the kits.
type Goods struct {
	Job      JobID              `json:"job" cbor:"1,keyasint,omitempty"`
	ID       string             `json:"id" cbor:"2,keyasint,omitempty"`
	Part     catalog.PartID     `json:"part" cbor:"3,keyasint,omitempty"`
	Pieces   int                `json:"pieces" cbor:"4,keyasint,omitempty"`
	Source   GoodsSource        `json:"source" cbor:"5,keyasint,omitempty"`
	Supplier catalog.SupplierID `json:"supplier,omitempty" cbor:"6,keyasint,omitempty"`
	Due      quantity.Date      `json:"due,omitzero" cbor:"7,keyasint,omitzero"`
	Note     string             `json:"note,omitempty" cbor:"8,keyasint,omitempty"`
	catalog.Stamp
}

// Table and Key implement catalog.Record.
func (g *Goods) Table() catalog.Table { return TableGoods }
func (g *Goods) Key() string          { return string(g.Job) + "/" + g.ID }

// Observation is one piece of evidence on which variant it is.
type Observation struct {
	Job JobID  `json:"job" cbor:"1,keyasint,omitempty"`
	ID  string `json:"id" cbor:"2,keyasint,omitempty"`
	// Wheel or Feature that was observed, one of the two.
	Wheel   string        `json:"wheel,omitempty" cbor:"3,keyasint,omitempty"`
	Feature string        `json:"feature,omitempty" cbor:"4,keyasint,omitempty"`
	Value   catalog.Value `json:"value,omitzero" cbor:"5,keyasint,omitzero"`
	// Turns and Output hold a ratio by turning: input turns, output microturns.
	Turns  int           `json:"turns,omitempty" cbor:"6,keyasint,omitempty"`
	Output int64         `json:"output,omitempty" cbor:"7,keyasint,omitempty"`
	Date   quantity.Date `json:"date,omitzero" cbor:"8,keyasint,omitzero"`
	Note   string        `json:"note,omitempty" cbor:"9,keyasint,omitempty"`
	// Care of a count: "marked" when the start tooth was marked, "photo" when it
	// was read from one.
	Care string `json:"care,omitempty" cbor:"10,keyasint,omitempty"`
	catalog.Stamp
}

// Table and Key implement catalog.Record.
func (o *Observation) Table() catalog.Table { return TableObservation }
func (o *Observation) Key() string          { return string(o.Job) + "/" + o.ID }

// Measurement holds raw readings for a stack or a limit, and a chosen grade.
type Measurement struct {
	Job   JobID  `json:"job" cbor:"1,keyasint,omitempty"`
	ID    string `json:"id" cbor:"2,keyasint,omitempty"`
	Stack string `json:"stack,omitempty" cbor:"3,keyasint,omitempty"` // stack id, or
	Limit string `json:"limit,omitempty" cbor:"4,keyasint,omitempty"` // limit id
	// Readings as typed, unit kept: name ("depth", "height", "travel") and texts.
	Readings   []*Reading    `json:"readings,omitempty" cbor:"5,keyasint,omitempty"`
	Instrument string        `json:"instrument,omitempty" cbor:"6,keyasint,omitempty"`
	Date       quantity.Date `json:"date,omitzero" cbor:"7,keyasint,omitzero"`
	// Grades chosen to close a stack, one entry per piece.
	Grades []catalog.PartID `json:"grades,omitempty" cbor:"8,keyasint,omitempty"`
	// Verdict recorded with the readings: "keep", "renew", "measure again".
	Verdict string `json:"verdict,omitempty" cbor:"9,keyasint,omitempty"`
	Note    string `json:"note,omitempty" cbor:"10,keyasint,omitempty"`
	// Resolution of the instrument, Certificate its expanded uncertainty (k = 2)
	// and Pooled the shop's standard deviation of one reading; 0 when not known.
	Resolution  quantity.Length `json:"resolution,omitempty" cbor:"11,keyasint,omitempty"`
	Certificate quantity.Length `json:"certificate,omitempty" cbor:"12,keyasint,omitempty"`
	Pooled      quantity.Length `json:"pooled,omitempty" cbor:"13,keyasint,omitempty"`
	catalog.Stamp
}

// Reading is one named series of raw readings, as typed.
type Reading struct {
	Name   string   `json:"name" cbor:"1,keyasint,omitempty"`
	Values []string `json:"values" cbor:"2,keyasint,omitempty"`
}

// Table and Key implement catalog.Record.
func (m *Measurement) Table() catalog.Table { return TableMeasurement }
func (m *Measurement) Key() string          { return string(m.Job) + "/" + m.ID }

// Override is a signed decision against a finding. The finding stays visible.
type Override struct {
	Job     JobID  `json:"job" cbor:"1,keyasint,omitempty"`
	Finding string `json:"finding" cbor:"2,keyasint,omitempty"` // Finding.ID
	By      string `json:"signedBy" cbor:"3,keyasint,omitempty"`
	Reason  string `json:"reason" cbor:"4,keyasint,omitempty"`
	catalog.Stamp
}

// Table and Key implement catalog.Record.
func (o *Override) Table() catalog.Table { return TableOverride }
func (o *Override) Key() string          { return string(o.Job) + "/" + o.Finding }

// Job is a job put together from its records: an input, never changed in place.
type Job struct {
	*Head
	// Rev is the revision of the job's last edit.
	Rev          uint64         `json:"jobRev,omitempty"`
	Decisions    []*Decision    `json:"decisions,omitempty"`
	KitLists     []*KitList     `json:"kitLists,omitempty"`
	Goods        []*Goods       `json:"goods,omitempty"`
	Observations []*Observation `json:"observations,omitempty"`
	Measurements []*Measurement `json:"measurements,omitempty"`
	Overrides    []*Override    `json:"overrides,omitempty"`
	// Proposals say something of the catalogue; reports do not look at them.
	Proposals []*Proposal `json:"proposals,omitempty"`
}

// JobOf puts a job together from its records, each table by key; false without a
// head. The revision of the last edit is not known here.
func JobOf(records []catalog.Record) (*Job, bool) {
	j := &Job{}
	for _, r := range slices.SortedFunc(slices.Values(records), func(a, b catalog.Record) int { return cmp.Compare(a.Key(), b.Key()) }) {
		switch r := r.(type) {
		case *Head:
			j.Head = r
		case *Decision:
			j.Decisions = append(j.Decisions, r)
		case *KitList:
			j.KitLists = append(j.KitLists, r)
		case *Goods:
			j.Goods = append(j.Goods, r)
		case *Observation:
			j.Observations = append(j.Observations, r)
		case *Measurement:
			j.Measurements = append(j.Measurements, r)
		case *Override:
			j.Overrides = append(j.Overrides, r)
		case *Proposal:
			j.Proposals = append(j.Proposals, r)
		}
	}
	return j, j.Head != nil
}

// Records of the job, the head first.
func (j *Job) Records() []catalog.Record {
	recs := []catalog.Record{j.Head}
	recs = appendRecords(recs, j.Decisions)
	recs = appendRecords(recs, j.KitLists)
	recs = appendRecords(recs, j.Goods)
	recs = appendRecords(recs, j.Observations)
	recs = appendRecords(recs, j.Measurements)
	recs = appendRecords(recs, j.Overrides)
	return appendRecords(recs, j.Proposals)
}

func appendRecords[R catalog.Record](to []catalog.Record, rows []R) []catalog.Record {
	for _, r := range rows {
		to = append(to, r)
	}
	return to
}
