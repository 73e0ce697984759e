package measure

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// trayCase is one case of testdata/tray.txt, whose head describes the language.
type trayCase struct {
	name   string
	in     StackInput
	expect []string
}

func TestTray(t *testing.T) {
	data, err := os.ReadFile("testdata/tray.txt")
	if err != nil {
		t.Fatal(err)
	}
	cases := 0
	for _, block := range strings.Split(string(data), "\n\n") {
		if !strings.HasPrefix(block, "case ") {
			continue
		}
		cases++
		c, err := parseTray(block)
		if err != nil {
			t.Fatalf("%s: %v", strings.SplitN(block, "\n", 2)[0], err)
		}
		t.Run(c.name, func(t *testing.T) { c.check(t) })
	}
	if cases < 38 {
		t.Errorf("%d cases were read", cases)
	}
}

func parseTray(block string) (*trayCase, error) {
	c := &trayCase{in: StackInput{Stack: &catalog.Stack{ID: "tray", Name: "the stack", MaxCount: 1}}}
	for _, line := range strings.Split(strings.TrimSpace(block), "\n") {
		word, rest, _ := strings.Cut(line, " ")
		var err error
		switch word {
		case "case":
			c.name = rest
		case "method":
			err = c.method(strings.Fields(rest))
		case "window":
			err = c.window(rest)
		case "grades":
			f := strings.Fields(rest)
			for _, g := range f[1:] {
				var l quantity.Length
				l, err = quantity.ParseLengthIn(g, quantity.Unit(f[0]))
				c.in.Grades = append(c.in.Grades, Grade{Part: catalog.PartID(g), Thickness: l, Measured: true})
			}
		case "paper":
		case "fit", "from", "none", "more", "refuse", "notice":
			c.expect = append(c.expect, line)
		default:
			var r Reading
			r, err = ParseReading(line)
			c.in.Readings = append(c.in.Readings, r)
		}
		if err != nil {
			return nil, fmt.Errorf("%q: %w", line, err)
		}
	}
	if len(c.expect) == 0 {
		return nil, fmt.Errorf("nothing is expected")
	}
	return c, nil
}

func (c *trayCase) method(words []string) error {
	s := c.in.Stack
	s.Method = catalog.StackMethod(words[0])
	for i := 1; i < len(words); i++ {
		size := func() (l quantity.Length, err error) {
			l, err = quantity.ParseLength(words[i+1] + " " + words[i+2])
			i += 2
			return l, err
		}
		var err error
		switch words[i] {
		case "opens":
			s.ThickerOpens = true
		case "pieces":
			i++
			_, err = fmt.Sscan(words[i], &s.MaxCount)
		case "thinnest":
			s.Thinnest, err = size()
		case "prefer":
			i++
			s.Preferred = words[i]
		case "gasket":
			s.Gasket, err = size()
		case "span":
			s.Span, err = size()
			i++
			s.Material = words[i]
		default:
			err = fmt.Errorf("%q says nothing about a stack", words[i])
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func (c *trayCase) window(text string) error {
	s := c.in.Stack
	text, per, _ := strings.Cut(text, " grade ")
	span, aim, _ := strings.Cut(text, " aim ")
	lo, hi, _ := strings.Cut(span, " .. ")
	if s.Method == catalog.MethodTorque {
		for to, from := range map[*quantity.Torque]string{&s.TorqueMin: lo, &s.TorqueMax: hi, &s.TorquePerGrade: per} {
			if err := to.UnmarshalText([]byte(from)); err != nil {
				return err
			}
		}
		return nil
	}
	for to, from := range map[*quantity.Length]string{&s.Min: lo, &s.Max: hi, &s.Aim: aim} {
		if err := to.UnmarshalText([]byte(from)); err != nil {
			return err
		}
	}
	return nil
}

// check compares what Stack says with every line expected.
func (c *trayCase) check(t *testing.T) {
	got := Stack(c.in)
	if refused := strings.HasPrefix(c.expect[0], "refuse"); refused != (len(got.Refusals) > 0) {
		t.Fatalf("refusals: %+v", got.Refusals)
	}
	for _, want := range c.expect {
		word, _, _ := strings.Cut(want, " ")
		if said := c.says(word, got); !slices.Contains(said, want) {
			t.Errorf("on paper %q, found %q", want, said)
		}
	}
}

// says writes a result in the words of the tray.
func (c *trayCase) says(word string, r StackResult) (out []string) {
	give := func(x *Candidate) string {
		if c.in.Stack.Method == catalog.MethodTorque {
			return c.pieces(x) + ": " + x.Torque.String()
		}
		return c.pieces(x) + ": " + x.Play.String()
	}
	switch word {
	case "refuse":
		for _, f := range r.Refusals {
			out = append(out, "refuse "+f.Code+" "+f.Place)
		}
	case "notice":
		for _, n := range r.Notices {
			out = append(out, "notice "+n.Code)
		}
	case "from":
		out = append(out, fmt.Sprintf("from %s to %s", r.Thinnest, r.Thickest))
	case "fit":
		if best, ok := r.Best(); ok {
			out = append(out, "fit "+give(&best))
		}
	case "none":
		if r.NoFit != nil && r.NoFit.Nearest != nil {
			out = append(out, "none "+give(r.NoFit.Nearest))
		}
	case "more":
		if r.NoFit != nil && r.NoFit.MorePieces != nil {
			out = append(out, "more "+c.pieces(r.NoFit.MorePieces))
		}
	}
	return out
}

func (c *trayCase) pieces(x *Candidate) string {
	var t []string
	for _, p := range x.Pieces {
		t = append(t, string(p.Part))
	}
	return strings.Join(t, " + ")
}
