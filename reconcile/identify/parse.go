package identify

import (
	"fmt"
	"strconv"
	"strings"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// maxObservation is the longest text read as one observation, in bytes.
const maxObservation = 200

// ParseError says why a text is not an observation.
type ParseError struct {
	Text    string // as given, shortened when very long
	Place   string // the part of the text at fault
	Problem string
	Remedy  string
}

// Error gives text, place, problem and remedy in one line.
func (e *ParseError) Error() string {
	return fmt.Sprintf("observation %q, at %q: %s; %s", e.Text, e.Place, e.Problem, e.Remedy)
}

// ParseObservation reads one observation as a person types it:
//
//	in-drive=23                  teeth of a wheel, by id or label
//	in-drive=23 marked           counted with the start tooth marked; "photo": from a photo
//	2nd turns 10 = 4.87          10 input turns gave 4.87 output turns, speed or ratio feature
//	2nd turns 10 = 4 + 313°      the same, turns and angle
//	cable-speedo=yes             a yes/no feature
//	input seat=35.02 mm          a size with its unit
//	front bearing=6207 NR        a mark
//
// Places are looked up in the family, or in all families when it is empty;
// case does not matter. Errors are *ParseError.
func ParseObservation(ix *catalog.Index, family catalog.FamilyID, text string) (Evidence, error) {
	refuse := func(place, problem, remedy string) (Evidence, error) {
		if len(text) > maxObservation {
			text = strings.ToValidUTF8(text[:maxObservation], "")
		}
		return Evidence{}, &ParseError{Text: text, Place: place, Problem: problem, Remedy: remedy}
	}
	if len(text) > maxObservation {
		return refuse("", "it is too long", "write one observation, like in-drive=23")
	}
	left, right, ok := strings.Cut(text, "=")
	left, right = strings.TrimSpace(left), strings.TrimSpace(right)
	switch {
	case !ok:
		return refuse(text, "there is no '='", "write place=value, like in-drive=23")
	case left == "":
		return refuse("=", "no place before '='", "name the wheel, feature or speed first")
	case right == "":
		return refuse(left, "no value after '='", "write what was seen, like "+left+"=23")
	}
	turned, turns, isTurns := cutTurns(left)
	if isTurns {
		left = turned
	}
	p, suggestion := findPlace(ix, family, left)
	if p.wheel == "" && p.feature == nil {
		return refuse(left, "no such wheel, feature or speed", suggestion)
	}
	e, problem, remedy := p.read(right, turns, isTurns)
	if problem != "" {
		return refuse(right, problem, remedy)
	}
	return e, nil
}

// cutTurns splits "2nd turns 10".
func cutTurns(s string) (place string, turns int, ok bool) {
	f := strings.Fields(s)
	if len(f) < 3 || !strings.EqualFold(f[len(f)-2], "turns") {
		return s, 0, false
	}
	n, err := strconv.Atoi(f[len(f)-1])
	if err != nil {
		return s, 0, false
	}
	return strings.Join(f[:len(f)-2], " "), n, true
}

// seat is a place found by name.
type seat struct {
	wheel   string
	feature *catalog.Feature
}

// findPlace looks for a wheel, a feature or a speed by id or label; ids win
// over labels. When nothing is found it says what there is.
func findPlace(ix *catalog.Index, family catalog.FamilyID, name string) (seat, string) {
	var byLabel seat
	var known []string
	for _, f := range ix.Families() {
		if family != "" && f.ID != family {
			continue
		}
		for _, w := range f.Wheels {
			if strings.EqualFold(w.ID, name) {
				return seat{wheel: w.ID}, ""
			}
			if strings.EqualFold(w.Label, name) && byLabel == (seat{}) {
				byLabel.wheel = w.ID
			}
			known = append(known, w.ID)
		}
		for _, ft := range ix.Features(f.ID) {
			if strings.EqualFold(ft.ID, name) {
				return seat{feature: ft}, ""
			}
			if strings.EqualFold(ft.Label, name) && byLabel == (seat{}) {
				byLabel.feature = ft
			}
			known = append(known, ft.ID)
		}
		for _, s := range f.Speeds {
			if strings.EqualFold(s.Name, name) && byLabel == (seat{}) {
				byLabel.feature = &catalog.Feature{ID: s.Name, Label: s.Name, Kind: catalog.FeatureRatio, Speed: s.Name}
			}
			known = append(known, s.Name)
		}
	}
	switch {
	case byLabel != (seat{}):
		return byLabel, ""
	case len(known) == 0:
		return seat{}, "choose a family of the catalogue"
	case len(known) > 24:
		known = append(known[:24], "...")
	}
	return seat{}, "use one of " + strings.Join(known, ", ")
}

// read the value; a problem comes with its remedy.
func (p seat) read(text string, turns int, isTurns bool) (e Evidence, problem, remedy string) {
	ratio := p.feature != nil && p.feature.Kind == catalog.FeatureRatio
	switch {
	case ratio && !isTurns:
		return e, "it is found by turning", "write input and output turns, like " + p.feature.ID + " turns 10 = 4.87"
	case isTurns && !ratio:
		return e, "only a speed can be turned", "name a speed before \"turns\", or leave \"turns\" out"
	case ratio:
		e.Feature, e.Turns = p.feature.ID, turns
		if turns < 1 || turns > 1000 {
			return e, fmt.Sprintf("%d input turns", turns), "turn the input a whole number of times, 1 to 1000, usually 10"
		}
		e.Output, problem = readTurns(text)
		return e, problem, "write output turns like 4.87, or turns and angle like 4 + 313°"
	case p.wheel != "":
		e.Wheel = p.wheel
		text, e.Care = cutCare(text)
		e.Value, problem = readCount(text)
		return e, problem, "write the number of teeth, like " + p.wheel + "=23"
	}
	e.Feature = p.feature.ID
	e.Value, problem, remedy = readValue(p.feature.Kind, text)
	return e, problem, remedy
}

// cutCare takes a trailing "marked" or "photo", bare or in brackets, off.
func cutCare(text string) (string, Care) {
	for _, c := range []Care{CareMarked, CarePhoto} {
		for _, form := range []string{"(" + string(c) + ")", " " + string(c)} {
			if n := len(text) - len(form); n > 0 && strings.EqualFold(text[n:], form) {
				return strings.TrimSpace(text[:n]), c
			}
		}
	}
	return text, CareUsual
}

func readCount(text string) (catalog.Value, string) {
	n, err := strconv.Atoi(text)
	if err != nil || n < 0 {
		return catalog.Value{}, "it is not a whole number"
	}
	return catalog.CountValue(n), ""
}

func readValue(kind catalog.FeatureKind, text string) (v catalog.Value, problem, remedy string) {
	switch kind {
	case catalog.FeatureCount:
		v, problem = readCount(text)
		return v, problem, "write how many there are"
	case catalog.FeatureYesNo:
		switch strings.ToLower(text) {
		case "yes", "y", "true":
			return catalog.YesNoValue(true), "", ""
		case "no", "n", "false":
			return catalog.YesNoValue(false), "", ""
		}
		return v, "it is neither yes nor no", "write yes or no"
	case catalog.FeatureSize:
		l, err := quantity.ParseLength(text)
		if err != nil {
			return v, err.Error(), "write a size with its unit, like 35.02 mm"
		}
		return catalog.LengthValue(l), "", ""
	default:
		if catalog.Normal(text) == "" {
			return v, "no letter or digit in it", "write the mark as read"
		}
		return catalog.TextValue(text), "", ""
	}
}

// readTurns reads output turns in millionths: "4.87", or "4 + 313°".
func readTurns(text string) (int64, string) {
	whole, part, angled := strings.Cut(text, "+")
	r, err := quantity.ParseRatio(strings.TrimSpace(whole))
	if err != nil {
		return 0, "it is not a number of turns"
	}
	micro := r.Float64() * 1e6
	if angled {
		a, err := quantity.ParseAngle(strings.TrimSpace(part))
		if err != nil {
			return 0, "the angle cannot be read"
		}
		micro += float64(a) / 360
	}
	if !(micro > 0 && micro < 1e9) {
		return 0, "so many output turns cannot be"
	}
	return int64(micro + 0.5), ""
}
