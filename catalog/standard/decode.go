package standard

import (
	"fmt"
	"strings"

	"layshaft/catalog/quantity"
)

// Subject is what a decoded text was about.
type Subject string

// The subjects [Decode] knows.
const (
	SubjectBearing Subject = "rolling bearing"
	SubjectLimits  Subject = "ISO 286 limits"
	SubjectFit     Subject = "ISO 286 fit"
	SubjectThread  Subject = "metric thread"
	SubjectRing    Subject = "retaining ring"
	SubjectSeal    Subject = "radial shaft seal"
	SubjectORing   Subject = "O-ring"
	SubjectSizes   Subject = "sizes"
)

// Fact is one line of an answer.
type Fact struct {
	Label, Value string
	Source       string // empty when the answer's own source covers it
}

// Answer says what a standard designation means.
type Answer struct {
	Subject Subject
	Title   string // canonical writing
	Facts   []Fact
	Notes   []string // what to mind
	Source  string
}

func (a *Answer) add(label, value string) {
	a.Facts = append(a.Facts, Fact{Label: label, Value: value})
}

func (a *Answer) addLength(label string, l quantity.Length) {
	if l != 0 {
		a.add(label, l.String())
	}
}

const decodeRemedy = "known are bearings (6207-2RS C3), limits and fits (30 k6, 30 H7/k6), threads (M30x1.5), " +
	"circlips (circlip 30 shaft), seals (35x50x8 seal) and O-rings (o-ring 215)"

// Decode answers what a designation fixed by a standard means: "what is a
// 6207-2RS C3 NR", "30 k6", "M30x1.5", "35x50x8 seal", "circlip 30 shaft",
// "o-ring 215", or bare sizes "35x72x17". Errors are [*DesignationError].
func Decode(text string) (Answer, error) {
	if len(text) > maxDesignation {
		return Answer{}, refuse(text, maxDesignation, "the text is too long", "give one designation alone")
	}
	body := bareQuestion(text)
	if body == "" {
		return Answer{}, refuse(text, 0, "nothing to read", decodeRemedy)
	}
	bearing, bearingErr := ParseBearing(body)
	if bearingErr == nil {
		return bearingAnswer(bearing), nil
	}
	for _, try := range []func(string) (Answer, bool, error){decodeRing, decodeORing, decodeSeal, decodeThread, decodeLimits} {
		if a, mine, err := try(body); mine {
			return a, err
		}
	}
	if found := FindBearings(body); len(found) == 1 {
		return bearingAnswer(found[0].Bearing), nil
	}
	if letters := run(body, 0, isLetter); letters > 0 && letters < 4 || isDigit(body[0]) {
		return Answer{}, bearingErr
	}
	return Answer{}, refuse(text, 0, "this is no designation of a known standard", decodeRemedy)
}

// bareQuestion takes question words and marks off.
func bareQuestion(text string) string {
	body := strings.Trim(strings.TrimSpace(text), "?!. ")
	lower := strings.ToLower(body)
	for _, lead := range []string{"what is an ", "what is a ", "what is the ", "what is ", "what's a ", "what's ", "decode "} {
		if strings.HasPrefix(lower, lead) {
			return strings.TrimSpace(body[len(lead):])
		}
	}
	return body
}

func bearingAnswer(b Bearing) Answer {
	a := Answer{Subject: SubjectBearing, Title: b.Canonical(), Source: b.Source}
	a.add("kind", string(b.Family))
	a.addLength("bore d", b.Bore)
	a.addLength("diameter under the rollers Fw", b.Fw)
	a.addLength("diameter over the rollers Ew", b.Ew)
	a.addLength("outside diameter D", b.Outside)
	if b.Family == Tapered {
		a.addLength("width T, cup included", b.Width)
		a.addLength("inner ring width B", b.InnerWidth)
		a.addLength("outer ring width C", b.OuterWidth)
	} else {
		a.addLength("width", b.Width)
	}
	for _, s := range b.Suffixes {
		a.Facts = append(a.Facts, Fact{Label: s.Text, Value: s.Meaning, Source: s.Basis})
	}
	if b.Groove != nil {
		g := b.Groove
		a.Facts = append(a.Facts, Fact{Label: "groove diameter D1", Value: g.DiameterMin.MM() + " to " + g.DiameterMax.String(), Source: g.Source},
			Fact{Label: "groove width b", Value: g.WidthMin.MM() + " to " + g.WidthMax.String(), Source: g.Source})
		if g.OffsetMax != 0 {
			a.Facts = append(a.Facts, Fact{Label: "groove to side face a", Value: g.OffsetMin.MM() + " to " + g.OffsetMax.String(), Source: g.Source})
		}
	}
	if c, err := RadialClearance(b); err == nil {
		a.Facts = append(a.Facts, Fact{Label: "radial clearance " + c.Group,
			Value: fmt.Sprintf("%s to %s", c.Min.MM(), c.Max), Source: c.Source})
	}
	if len(b.Unknown) > 0 {
		a.Notes = append(a.Notes, "not understood: "+strings.Join(b.Unknown, " ")+"; ask the maker what it means")
	}
	if b.HasGroove && b.Groove == nil {
		a.Notes = append(a.Notes, "the table has no groove for this ring; measure it")
	}
	if b.HasGroove && !b.RingIncluded {
		a.Notes = append(a.Notes, "the snap ring is not included")
	}
	return a
}

// decodeLimits reads "30 k6" and "30 H7/k6".
func decodeLimits(body string) (Answer, bool, error) {
	_, class, _, err := cutSize(body)
	if err != nil || class == "" || !isLetter(class[0]) {
		return Answer{}, false, nil
	}
	if letters := run(class, 0, isLetter); letters > 2 || letters == len(class) || !isDigit(class[letters]) {
		return Answer{}, false, nil
	}
	if strings.Contains(class, "/") {
		fit, err := ParseFit(body)
		if err != nil {
			return Answer{}, true, err
		}
		a := Answer{Subject: SubjectFit, Title: fit.Hole.Nominal.MM() + " " + fit.Hole.Symbol + "/" + fit.Shaft.Symbol, Source: fit.Hole.Source}
		a.add("character", string(fit.Character()))
		a.add("range", fit.Range())
		a.add("hole", fit.Hole.Min().MM()+" to "+fit.Hole.Max().String())
		a.add("shaft", fit.Shaft.Min().MM()+" to "+fit.Shaft.Max().String())
		return a, true, nil
	}
	l, err := ParseLimits(body)
	if err != nil {
		return Answer{}, true, err
	}
	a := Answer{Subject: SubjectLimits, Title: l.Nominal.MM() + " " + l.Symbol, Source: l.Source}
	a.add("side", string(l.Side))
	a.add("deviations", signed(l.Upper)+" / "+signed(l.Lower)+" mm")
	a.add("largest", l.Max().String())
	a.add("smallest", l.Min().String())
	return a, true, nil
}

func decodeThread(body string) (Answer, bool, error) {
	if body[0]|0x20 != 'm' {
		return Answer{}, false, nil
	}
	if rest := strings.TrimSpace(body[1:]); rest == "" || !isDigit(rest[0]) {
		return Answer{}, false, nil
	}
	t, err := ParseThread(body)
	if err != nil {
		return Answer{}, true, err
	}
	a := Answer{Subject: SubjectThread, Title: t.String(), Source: "ISO 262 selection, open CAD library; d2 and D1 by the ISO 724 formulas"}
	a.addLength("diameter d", t.Diameter)
	a.addLength("pitch P", t.Pitch)
	a.add("pitch diameter d2", roundMicron(t.PitchDiameter).String())
	a.add("minor diameter D1", roundMicron(t.MinorDiameter).String())
	if hex, ok := HexagonFor(t.Diameter); ok {
		value := hex.AcrossFlats.String()
		if hex.OlderAcross != 0 {
			value += ", older parts " + hex.OlderAcross.String()
		}
		a.Facts = append(a.Facts, Fact{Label: "hexagon across flats", Value: value, Source: "ISO 272"})
	}
	if !t.Listed {
		a.Notes = append(a.Notes, "this pitch is not in the ISO 262 selection; the sizes follow from the profile")
	}
	return a, true, nil
}

func roundMicron(l quantity.Length) quantity.Length {
	return (l + quantity.Micron/2) / quantity.Micron * quantity.Micron
}

// decodeRing reads "circlip 30 shaft", "retaining ring 62 bore", "DIN 472 62".
func decodeRing(body string) (Answer, bool, error) {
	lower := strings.ToLower(body)
	named := containsAny(lower, "circlip", "retaining ring", "snap ring")
	side := Side("")
	switch {
	case containsAny(lower, "din 471", "din471"):
		side, lower = Shaft, strings.NewReplacer("din 471", " ", "din471", " ").Replace(lower)
	case containsAny(lower, "din 472", "din472"):
		side, lower = Hole, strings.NewReplacer("din 472", " ", "din472", " ").Replace(lower)
	case !named:
		return Answer{}, false, nil
	case containsAny(lower, "shaft", "external"):
		side = Shaft
	case containsAny(lower, "bore", "hole", "housing", "internal"):
		side = Hole
	}
	at := strings.IndexAny(lower, "0123456789")
	if at < 0 {
		return Answer{}, true, refuse(body, len(body), "no diameter", "write it like circlip 30 shaft")
	}
	end := run(lower, at, func(c byte) bool { return isDigit(c) || c == '.' || c == ',' })
	nominal, err := bareMM(strings.TrimRight(lower[at:end], ".,"))
	if err != nil {
		return Answer{}, true, refuse(body, 0, "no diameter", "write it like circlip 30 shaft")
	}
	if side == "" {
		return Answer{}, true, refuse(body, 0, "shaft or bore is not said", "write circlip "+nominal.MM()+" shaft or circlip "+nominal.MM()+" bore")
	}
	standard := map[Side]string{Shaft: "DIN 471", Hole: "DIN 472"}[side]
	ring, ok := RingFor(side, nominal)
	if !ok {
		return Answer{}, true, refuse(body, 0, standard+" has no ring for "+nominal.String()+" in the table", "check the diameter: it is that of the shaft or bore, not of the groove")
	}
	a := Answer{Subject: SubjectRing, Title: standard + " - " + nominal.MM() + "x" + ring.Thickness.MM(), Source: ring.Source}
	a.addLength("nominal diameter", ring.Nominal)
	a.addLength("thickness s", ring.Thickness)
	a.addLength("groove diameter d2", ring.GrooveDiameter)
	a.addLength("groove width m, at least", ring.GrooveWidth)
	a.Notes = append(a.Notes, "selective rings of a gearbox come in thickness grades that this standard does not have")
	return a, true, nil
}

func containsAny(s string, words ...string) bool {
	for _, w := range words {
		if strings.Contains(s, w) {
			return true
		}
	}
	return false
}

// decodeORing reads "o-ring 215", "AS568-215", "oring -012".
func decodeORing(body string) (Answer, bool, error) {
	lower := strings.ToLower(body)
	rest, ok := cutAnyPrefix(lower, "as568a", "as568", "as 568", "o-ring as568", "o-ring", "o ring", "oring")
	if !ok {
		return Answer{}, false, nil
	}
	ring, ok := ORingOf(strings.Trim(rest, " -"))
	if !ok {
		return Answer{}, true, refuse(body, len(body)-len(rest), "no AS568 size code", "write it like o-ring 215")
	}
	a := Answer{Subject: SubjectORing, Title: "AS568-" + ring.Dash, Source: ring.Source}
	a.add("inside diameter", ring.Inside.Format(quantity.Inch)+" ("+ring.Inside.String()+")")
	a.add("cross section", ring.Section.Format(quantity.Inch)+" ("+ring.Section.String()+")")
	if ring.Boss {
		a.Notes = append(a.Notes, "a 9xx ring for straight thread tube fittings")
	}
	return a, true, nil
}

func cutAnyPrefix(s string, prefixes ...string) (string, bool) {
	for _, p := range prefixes {
		if r, ok := strings.CutPrefix(s, p); ok {
			return r, true
		}
	}
	return s, false
}

// decodeSeal reads three sizes with or without the word seal. Without it the
// sizes may be a bearing's too.
func decodeSeal(body string) (Answer, bool, error) {
	lower := strings.ToLower(body)
	named := strings.Contains(lower, "seal")
	at := strings.IndexAny(lower, "0123456789")
	if at < 0 || !named && at != 0 {
		return Answer{}, false, nil
	}
	end := run(lower, at, func(c byte) bool { return isDigit(c) || strings.IndexByte(".,x* ", c) >= 0 })
	fields := strings.FieldsFunc(strings.ReplaceAll(lower[at:end], " ", ""), func(r rune) bool { return r == 'x' || r == '*' })
	if len(fields) != 3 || !named && strings.TrimSpace(lower[end:]) != "" && strings.TrimSpace(lower[end:]) != "mm" {
		return Answer{}, false, nil
	}
	var size [3]quantity.Length
	for i, field := range fields {
		l, err := bareMM(field)
		if err != nil || l == 0 {
			return Answer{}, named, refuse(body, at, "not three sizes", "write them like 35x50x8")
		}
		size[i] = l
	}
	want := Seal{Shaft: size[0], Bore: size[1], Width: size[2]}
	listed := len(SealsFor(want)) == 1
	if !named {
		return sizesAnswer(want, listed), true, nil
	}
	a := Answer{Subject: SubjectSeal, Title: want.String(), Source: SealSource}
	a.add("shaft d1", want.Shaft.String())
	a.add("bore D", want.Bore.String())
	a.add("width b", want.Width.String())
	if !listed {
		a.Notes = append(a.Notes, "not in the list of standard sizes; it may be a size of its maker")
		for _, s := range SealsFor(Seal{Shaft: want.Shaft, Bore: want.Bore}) {
			a.add("standard for this shaft and bore", s.String())
		}
	}
	a.Notes = append(a.Notes, "lip material, dust lip and direction of rotation are not in the sizes")
	return a, true, nil
}

func sizesAnswer(want Seal, listedSeal bool) Answer {
	a := Answer{Subject: SubjectSizes, Title: want.String(), Source: "tables of rolling bearings (ISO 15, 355, 3245, 1206, 3030, 104) and seals"}
	for _, b := range BearingsBySize(want.Shaft, want.Bore, want.Width) {
		a.add("bearing of this size", b.Base+", "+string(b.Family))
	}
	if listedSeal {
		a.Facts = append(a.Facts, Fact{Label: "radial shaft seal of this size", Value: want.String(), Source: SealSource})
	}
	if len(a.Facts) == 0 {
		a.Notes = append(a.Notes, "no bearing or seal of these sizes is in the tables")
	}
	return a
}
