// Package fit answers whether a part will go in at a position, and what else must
// change when it does not go in by itself. It sees positions, the parts that may
// go in there, and the mates between them; it knows nothing of kits or demand.
//
// Mates have three values. What is in the box already is taken as it is: only
// mates that touch the new part, or a part changed because of it, are judged.
// Where a value is not stated, two parts that the catalogue states for the
// variant are taken to go together; else the answer says what to measure.
package fit

import (
	"fmt"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// State of a position before the part goes in.
type State uint8

const (
	AsIs  State = iota // the part there may be changed
	Open               // a part is chosen anyway: nothing there counts as a change
	Fixed              // decided or worked on: the part there stays
	Empty              // nothing is fitted there
)

// Place is what is at a position.
type Place struct {
	State State
	// Part there; empty when it is not known, or State is Open or Empty.
	Part catalog.PartID
	// Sizes measured or treated; they come before the part's own.
	Sizes []*catalog.Attribute
}

// Question asks whether Part will go in at Position of Variant.
type Question struct {
	Variant  catalog.VariantID
	Position catalog.PositionID
	Part     catalog.PartID
	// Places tells of the other positions; one that is not named has the
	// variant's standard part.
	Places map[catalog.PositionID]Place
}

// Verdict on a question.
type Verdict string

const (
	Yes     Verdict = "yes"
	YesIf   Verdict = "yes-if" // when Changes are made as well
	No      Verdict = "no"
	Unknown Verdict = "unknown" // until what Measure lists is known
)

// Answer to a question.
type Answer struct {
	Verdict Verdict
	// Standing of a yes: that of the catalogue's own statement, or Derived when it
	// is concluded from sizes.
	Standing catalog.Standing
	// Changes are the fewest other changes; of these the ones that the catalogue
	// states before those concluded from sizes, then the cheapest. With
	// Unknown they go in beside the part without anything being measured; none when
	// there is no such way.
	Changes []*Change
	// Cost of the changes by the least prices offered, as far as they are offered;
	// Unpriced counts changes that nobody offers a part for.
	Cost     quantity.Money
	Unpriced int
	// Cheapest is false when the search was cut short: there may be a cheaper
	// choice of as few changes.
	Cheapest bool
	// Measure lists what would settle Unknown.
	Measure []*Measure
	// Because is the smallest set of facts that makes No so. Smallest is false when
	// the search was cut short and only no fact of it can be left out.
	Because  []*Fact
	Smallest bool
	// Together are the bonds of the position and of the changes: what is renewed
	// with them whatever fits.
	Together []*catalog.Bond
}

// Change is another part at another position.
type Change struct {
	Position catalog.PositionID
	From     catalog.PartID // empty when it is not known what is there
	To       catalog.PartID
	Pieces   int
	// Price of one piece; nil when nobody offers it.
	Price *quantity.Money
	// Standing of the statement that To fits; Derived for a part of another variant.
	Standing catalog.Standing
	// Reasons are the mates that the part there breaks.
	Reasons []*Fact
}

// Measure is one size that is not stated and that something depends on.
type Measure struct {
	Position catalog.PositionID
	Part     catalog.PartID // empty when it is not known what is there
	Seat     catalog.Seat
	Text     string
	HowTo    string // of the attribute; may be empty
}

// Codes of facts.
const (
	FactMate     = "mate"
	FactFixed    = "fixed"       // a position is decided or worked on
	FactKind     = "kind"        // another kind of part
	FactTeeth    = "teeth"       // another tooth count than the variant's
	FactPosition = "no-position" // the variant has no such position
)

// Fact is one thing that speaks against a part.
type Fact struct {
	Code     string
	Position catalog.PositionID
	// Mate behind FactMate and Expected and Found at Position when they are single
	// values.
	Mate            *catalog.Mate
	Expected, Found string
	Text            string
}

// Ask answers a question. An error means that the question names something that
// the catalogue does not have.
func Ask(ix *catalog.Index, q Question) (*Answer, error) {
	v, ok := ix.Variant(q.Variant)
	if !ok {
		return nil, catalog.NotFound(catalog.TableVariant, string(q.Variant))
	}
	pos, ok := ix.Position(v.Family, q.Position)
	if !ok {
		return nil, catalog.NotFound(catalog.TablePosition, string(v.Family)+"/"+string(q.Position))
	}
	part, ok := ix.Part(q.Part)
	if !ok {
		return nil, catalog.NotFound(catalog.TablePart, string(q.Part))
	}
	if !ix.Has(v.ID, pos.ID) {
		return refuse(&Fact{Code: FactPosition, Position: pos.ID,
			Text: fmt.Sprintf("%s has no %s", v.Name, posName(pos))}), nil
	}
	if !kindServes(ix, v.Family, pos, part) {
		return refuse(&Fact{Code: FactKind, Position: pos.ID, Expected: string(pos.Kind), Found: string(part.Kind),
			Text: fmt.Sprintf("%s is a %s, and the %s takes a %s", PartName(part), part.Kind, posName(pos), pos.Kind)}), nil
	}
	if off := wheelOff(ix, v, pos.ID, part); off != nil && !listed(ix, v.ID, pos.ID, part.ID) {
		return refuse(off), nil
	}
	return newProblem(ix, v, pos, part, q.Places).answer()
}

func refuse(f *Fact) *Answer {
	return &Answer{Verdict: No, Because: []*Fact{f}, Smallest: true, Cheapest: true}
}

// kindServes: the position's kind, or one that some variant of the family has
// there.
func kindServes(ix *catalog.Index, family catalog.FamilyID, pos *catalog.Position, part *catalog.Part) bool {
	if part.Kind == pos.Kind {
		return true
	}
	for _, v := range ix.VariantsOf(family) {
		for _, f := range ix.Fits(v.ID, pos.ID) {
			if o, ok := ix.Part(f.Part); ok && (o == part || o.Kind == part.Kind) {
				return true
			}
		}
	}
	return false
}
