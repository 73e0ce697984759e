package identify

import (
	"errors"
	"strings"
	"testing"
	"unicode/utf8"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

func TestParseObservation(t *testing.T) {
	ix := exampleIndex()
	for text, want := range map[string]Evidence{
		"in-drive=23":                {Wheel: "in-drive", Value: catalog.CountValue(23)},
		" Wheel M1 = 36 ":            {Wheel: "m1", Value: catalog.CountValue(36)},
		"in-drive=23 marked":         {Wheel: "in-drive", Value: catalog.CountValue(23), Care: CareMarked},
		"in-drive=23 (photo)":        {Wheel: "in-drive", Value: catalog.CountValue(23), Care: CarePhoto},
		"2nd turns 10 = 4.87":        {Feature: "2nd", Turns: 10, Output: 4_870_000},
		"2ND TURNS 10=4,87":          {Feature: "2nd", Turns: 10, Output: 4_870_000},
		"2nd turns 10 = 4 + 313.2°":  {Feature: "2nd", Turns: 10, Output: 4_870_000},
		"2nd turns 10 = 4 + 90 deg":  {Feature: "2nd", Turns: 10, Output: 4_250_000},
		"cable-speedo=yes":           {Feature: "cable-speedo", Value: catalog.YesNoValue(true)},
		"cable-speedo = No":          {Feature: "cable-speedo", Value: catalog.YesNoValue(false)},
		"input seat=35.02 mm":        {Feature: "seat", Value: catalog.LengthValue(35_020 * quantity.Micron)},
		`seat = 1 3/8"`:              {Feature: "seat", Value: catalog.LengthValue(34_925 * quantity.Micron)},
		"splines=10":                 {Feature: "splines", Value: catalog.CountValue(10)},
		"front bearing=6207-2RS C3":  {Feature: "bearing", Value: catalog.TextValue("6207-2RS C3")},
		"bearing=mark = with equals": {Feature: "bearing", Value: catalog.TextValue("mark = with equals")},
	} {
		for _, family := range []catalog.FamilyID{"", "EX"} {
			if got, err := ParseObservation(ix, family, text); err != nil || got != want {
				t.Errorf("%q: %+v %v", text, got, err)
			}
		}
	}
}

func TestParseObservationRefuses(t *testing.T) {
	ix := exampleIndex()
	for text, c := range map[string][2]string{ // place and a word of problem or remedy
		"":                        {"", "like in-drive=23"},
		"in-drive 23":             {"in-drive 23", "no '='"},
		"=23":                     {"=", "name the wheel"},
		"in-drive=":               {"in-drive", "no value"},
		"gear9=23":                {"gear9", "in-drive, cs-drive"},
		"in-drive=23.5":           {"23.5", "not a whole number"},
		"in-drive=-3":             {"-3", "not a whole number"},
		"in-drive=twenty":         {"twenty", "number of teeth"},
		"seat=35.02":              {"35.02", "with its unit"},
		"cable-speedo=maybe":      {"maybe", "yes or no"},
		"2nd=2.05":                {"2.05", "2nd turns 10 = 4.87"},
		"2nd turns 0=4.87":        {"4.87", "0 input turns"},
		"2nd turns 10=fast":       {"fast", "4 + 313°"},
		"2nd turns 10=4+fast":     {"4+fast", "angle"},
		"2nd turns 10=-4":         {"-4", "cannot be"},
		"in-drive turns 10=4":     {"4", "only a speed"},
		"bearing=--":              {"--", "no letter"},
		strings.Repeat("ä", 5000): {"", "too long"},
	} {
		_, err := ParseObservation(ix, "EX", text)
		var pe *ParseError
		if !errors.As(err, &pe) {
			t.Errorf("%q: %v", text, err)
			continue
		}
		if pe.Place != c[0] || !strings.Contains(pe.Problem+" "+pe.Remedy, c[1]) || !utf8.ValidString(pe.Text) {
			t.Errorf("%q: %v", text, err)
		}
	}
	if _, err := ParseObservation(ix, "nope", "in-drive=23"); err == nil || !strings.Contains(err.Error(), "choose a family") {
		t.Errorf("unknown family: %v", err)
	}
}

// Whatever is typed gives evidence that Run accepts or names, or a full error.
func FuzzParseObservation(f *testing.F) {
	for _, s := range []string{"in-drive=23", "in-drive=23 marked", "2nd turns 10 = 4.87", "2nd turns 10 = 4 + 313°", "cable-speedo=yes", `seat=1 3/8"`, "bearing=6207 NR", "=", "seat=\x00", "2nd turns 999999999999999999999=1", "in-drive=310"} {
		f.Add(s)
	}
	ix := exampleIndex()
	m := NewModel(ix)
	f.Fuzz(func(t *testing.T, text string) {
		e, err := ParseObservation(ix, "", text)
		if err != nil {
			var pe *ParseError
			if !errors.As(err, &pe) || pe.Problem == "" || pe.Remedy == "" || len(pe.Text) > maxObservation {
				t.Fatalf("%q: poor error %#v", text, err)
			}
			return
		}
		r := m.Run(Input{Evidence: []Evidence{e}})
		sum := r.None
		for _, v := range r.Ranked {
			sum += v.Posterior
		}
		if !(sum > 1-1e-9 && sum < 1+1e-9) {
			t.Fatalf("%q: probabilities add up to %v", text, sum)
		}
	})
}

func BenchmarkParseObservation(b *testing.B) {
	ix := exampleIndex()
	for b.Loop() {
		if _, err := ParseObservation(ix, "EX", "2nd turns 10 = 4 + 313°"); err != nil {
			b.Fatal(err)
		}
	}
}
