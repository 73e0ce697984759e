package drawing

import "layshaft/catalog"

// Form is the sheet that a picture is laid out for.
type Form string

const (
	// Sheet lies: axes run from left (engine) to right, at desk width.
	Sheet Form = "sheet"
	// Narrow stands: axes run downward, at the width of a phone.
	Narrow Form = "narrow"
	// Print lies on A4 paper upright; frames are smaller, for the eye alone.
	Print Form = "print"
)

// Options of a picture. The zero value draws the whole gearbox as a Sheet
// without states.
type Options struct {
	Form Form
	// Shaft draws this shaft and what it carries alone, enlarged; unknown, or
	// with nothing on it: everything.
	Shaft string
	// States by position; a missing one is Plain.
	States map[catalog.PositionID]State
	// Current is the position to point out.
	Current catalog.PositionID
	// Href is where a position leads; nil: "#position-" and its id.
	Href func(catalog.PositionID) string
	// ShaftHref is where the name of a shaft leads; nil: it is no link.
	ShaftHref func(shaft string) string
	// Prefix of element ids, so that two pictures can stand on one page; empty:
	// "pic-".
	Prefix string
	// Say gives the words by key ("state.replace", "group.shift", "teeth"); nil
	// or an empty answer: English.
	Say func(key string) string
}

// Point of a picture in px at page scale, y downward.
type Point struct{ X, Y float64 }

// Rect with its corner at X, Y.
type Rect struct{ X, Y, W, H float64 }

// Pen is a line type; its value is the class that the style sheet knows.
type Pen string

const (
	Outline Pen = "ly-o"
	Thin    Pen = "ly-t"
	Chain   Pen = "ly-c"
	Hidden  Pen = "ly-h"
	Full    Pen = "ly-f"
	Hatched Pen = "ly-x"
)

// Shape is a polyline, a polygon when Closed, or a circle about its only point
// when R is not 0.
type Shape struct {
	Pen    Pen
	Points []Point
	Closed bool
	R      float64
}

// Text is a short word of the picture. Box is the room it was given.
type Text struct {
	Class  string
	At     Point
	Anchor string // "start", "middle" or "end"
	Words  string
	Box    Rect
	Href   string // where it leads; empty: nowhere
	shaft  string // that it names; empty: none
}

// Item is one position with all that is drawn of it.
type Item struct {
	Position catalog.PositionID
	// Number in the frame: the position's place in the family's list order, so
	// that it is the same in every variant.
	Number int
	Name   string
	State  State
	// Label is the full name for people who listen: number, name, teeth, state.
	Label string
	// Panel that it is drawn in; -1 in a strip beside the shafts.
	Panel int
	// From and To along the axis in mm as drawn; both 0 for nested and beside.
	From, To float64
	// Nested parts are drawn inside another one, shafts carry others.
	Nested, Shaft bool
	Shapes        []Shape
	Texts         []Text
	// Frame of the number: centre and radius. Leader runs from it to the part.
	Frame  Point
	Radius float64
	Leader []Point
	// Target is the part of the picture that surely answers to a finger.
	Target Rect
	href   string
	spoken string // Label without the state
	inked  string // what never changes of it, once written by an Album
}

// Panel is a group of axes drawn with one scale.
type Panel struct {
	// Scale in px per mm.
	Scale float64
	// Upright panels have their axes running downward.
	Upright bool
	Box     Rect
	Shafts  []string
}

// Touch is a mesh drawn with its wheels touching at the pitch point: radii and
// axis distance in mm as drawn.
type Touch struct {
	Mesh                string
	Driving, Driven     string
	DrivingR, DrivenR   float64
	Distance            float64
	From, To            float64 // common face along the axes
	DrivingZ, DrivenZ   int     // 0 when not known
	DrivingAt, DrivenAt float64 // axes
}

// Picture is a gearbox laid out.
type Picture struct {
	Width, Height float64
	Form          Form
	Title         string
	Panels        []Panel
	Items         []Item
	Meshes        []Touch
	// Scenery belongs to no position: axes, scale bar.
	Scenery []Shape
	Texts   []Text
	prefix  string
	current catalog.PositionID
	// inked are the words of all items, once written by an Album.
	inked string
}

// Item of a position.
func (p Picture) Item(id catalog.PositionID) (Item, bool) {
	for _, it := range p.Items {
		if it.Position == id {
			return it, true
		}
	}
	return Item{}, false
}
