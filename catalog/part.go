package catalog

import "layshaft/catalog/quantity"

// AttributeKey names a typed property of parts: "bore", "teeth", "thread".
type AttributeKey string

// Keys that the code itself relies on. The set is open: the catalogue's
// attribute table declares every key, these included.
const (
	KeyTeeth     AttributeKey = "teeth"
	KeyThickness AttributeKey = "thickness"
	KeyBore      AttributeKey = "bore"
	KeyOutside   AttributeKey = "outside"
	KeyWidth     AttributeKey = "width"
	KeyThread    AttributeKey = "thread"
	KeyHand      AttributeKey = "hand"  // "left" or "right"
	KeyHelix     AttributeKey = "helix" // helix hand of a gear
	KeyStyle     AttributeKey = "style"
	// KeyGroove and KeyRingIncluded are yes/no properties of a bearing with a
	// snap ring groove in its outer ring (suffixes N and NR).
	KeyGroove       AttributeKey = "groove"
	KeyRingIncluded AttributeKey = "ring-included"
)

// ValueKind is the type of an attribute's value.
type ValueKind string

const (
	KindLength ValueKind = "length"
	KindCount  ValueKind = "count"
	KindAngle  ValueKind = "angle"
	KindText   ValueKind = "text"
	KindChoice ValueKind = "choice"
	KindYesNo  ValueKind = "yes/no"
)

// AttributeDef declares a key.
type AttributeDef struct {
	Name  AttributeKey `json:"key" cbor:"1,keyasint,omitempty"`
	Label string       `json:"label" cbor:"2,keyasint,omitempty"` // for people: "outside diameter"
	Kind  ValueKind    `json:"kind" cbor:"3,keyasint,omitempty"`
	// Choices allowed for KindChoice.
	Choices []string `json:"choices,omitempty" cbor:"4,keyasint,omitempty"`
	// HowTo says how it is measured or looked up, when a person is asked for it.
	HowTo string `json:"howTo,omitempty" cbor:"5,keyasint,omitempty"`
	Provenance
	Stamp
}

// Table and Key implement Record.
func (a *AttributeDef) Table() Table { return TableAttribute }
func (a *AttributeDef) Key() string  { return string(a.Name) }

// Value is a typed value. The zero Value means "not stated".
type Value struct {
	Kind ValueKind `json:"kind,omitempty" cbor:"1,keyasint,omitempty"`
	// Number holds nanometres, a count, microdegrees, or 0/1 for yes/no.
	Number int64 `json:"number,omitempty" cbor:"2,keyasint,omitempty"`
	// Text holds text and choices.
	Text string `json:"text,omitempty" cbor:"3,keyasint,omitempty"`
}

// LengthValue, CountValue, TextValue, ChoiceValue and YesNoValue make values.
func LengthValue(l quantity.Length) Value { return Value{Kind: KindLength, Number: int64(l)} }
func CountValue(n int) Value              { return Value{Kind: KindCount, Number: int64(n)} }
func AngleValue(a quantity.Angle) Value   { return Value{Kind: KindAngle, Number: int64(a)} }
func TextValue(s string) Value            { return Value{Kind: KindText, Text: s} }
func ChoiceValue(s string) Value          { return Value{Kind: KindChoice, Text: s} }
func YesNoValue(b bool) Value {
	v := Value{Kind: KindYesNo}
	if b {
		v.Number = 1
	}
	return v
}

// Stated reports whether the value says anything.
func (v Value) Stated() bool { return v.Kind != "" }

// Length is the value of a length attribute, 0 for any other kind.
func (v Value) Length() quantity.Length {
	if v.Kind != KindLength {
		return 0
	}
	return quantity.Length(v.Number)
}

// Attribute is one property of a part. Several attributes may share a key when
// At tells their seats apart: a case has many bores, a shaft many seats.
type Attribute struct {
	Name  AttributeKey `json:"key" cbor:"1,keyasint,omitempty"`
	At    string       `json:"at,omitempty" cbor:"2,keyasint,omitempty"`
	Value Value        `json:"value" cbor:"3,keyasint,omitempty"`
	Provenance
}

// NumberRole says how a part number stands to its part.
type NumberRole string

const (
	NumberCurrent    NumberRole = "current"
	NumberSuperseded NumberRole = "superseded"
	NumberAlternate  NumberRole = "alternate"
)

// Number is a part number as one issuer writes it; compared after Normal.
type Number struct {
	Issuer string     `json:"issuer" cbor:"1,keyasint,omitempty"` // a supplier id or the maker's role
	Text   string     `json:"text" cbor:"2,keyasint,omitempty"`
	Role   NumberRole `json:"role" cbor:"3,keyasint,omitempty"`
}

// SaleUnit is what one ordered piece of a part contains.
type SaleUnit string

const (
	UnitPiece SaleUnit = "piece"
	UnitPair  SaleUnit = "pair"
	UnitSet   SaleUnit = "set"
)

// Part is something that can be bought or made.
type Part struct {
	ID         PartID       `json:"id" cbor:"1,keyasint,omitempty"`
	Kind       PartKind     `json:"kind" cbor:"2,keyasint,omitempty"`
	Name       string       `json:"name" cbor:"3,keyasint,omitempty"`
	Numbers    []*Number    `json:"numbers,omitempty" cbor:"4,keyasint,omitempty"`
	Attributes []*Attribute `json:"attributes,omitempty" cbor:"5,keyasint,omitempty"`
	// Designation of a standard part, "6207 NR"; its sizes are derived from it.
	Designation string `json:"designation,omitempty" cbor:"6,keyasint,omitempty"`
	// Special: looks standard but is not; never equated by size.
	Special bool     `json:"special,omitempty" cbor:"7,keyasint,omitempty"`
	Unit    SaleUnit `json:"unit" cbor:"8,keyasint,omitempty"`
	// Contents when it is sold as a pair, a set or a kit.
	Contents []*Content `json:"contents,omitempty" cbor:"9,keyasint,omitempty"`
	// NotAvailable: can no longer be bought new.
	NotAvailable bool   `json:"notAvailable,omitempty" cbor:"10,keyasint,omitempty"`
	Note         string `json:"note,omitempty" cbor:"11,keyasint,omitempty"`
	Provenance
	Stamp
}

// Content is one part inside a pair, set or kit.
type Content struct {
	Part  PartID `json:"part" cbor:"1,keyasint,omitempty"`
	Count int    `json:"count" cbor:"2,keyasint,omitempty"`
	// Choice groups alternatives: of all contents with one non-empty choice word
	// exactly one serves, the rest is surplus by design.
	Choice string `json:"choice,omitempty" cbor:"3,keyasint,omitempty"`
}

// Table and Key implement Record.
func (p *Part) Table() Table { return TablePart }
func (p *Part) Key() string  { return string(p.ID) }

// Attribute returns the part's value for a key and seat, and whether it is
// stated there.
func (p *Part) Attribute(k AttributeKey, at string) (*Attribute, bool) {
	for _, a := range p.Attributes {
		if a.Name == k && a.At == at {
			return a, true
		}
	}
	return nil, false
}
