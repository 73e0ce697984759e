package catalog

import (
	"flag"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"layshaft/catalog/quantity"
)

var update = flag.Bool("update", false, "write the golden files anew")

// mutation is the base with one fault put in.
type mutation struct {
	name  string
	fault func(*Catalogue)
	code  string // that must be among the problems
	want  int    // problems in all
}

func (c *Catalogue) testPart(id PartID) *Part {
	return c.Parts[slices.IndexFunc(c.Parts, func(p *Part) bool { return p.ID == id })]
}

func (c *Catalogue) testPosition(id PositionID) *Position {
	return c.Positions[slices.IndexFunc(c.Positions, func(p *Position) bool { return p.ID == id })]
}

func setTeeth(wheel string, n int) func(*Catalogue) {
	return func(c *Catalogue) {
		for _, t := range c.Variants[0].Teeth {
			if t.Wheel == wheel {
				t.Teeth = n
			}
		}
		for _, p := range c.Parts { // the parts agree, so that the sum alone is at fault
			for _, a := range p.Attributes {
				if a.Name == KeyTeeth && (string(p.ID) == "p-gear"+wheel[1:] || a.At == map[string]string{"c1": "1st", "c2": "2nd", "c3": "3rd", "cd": "drive"}[wheel] && a.At != "") {
					a.Value = CountValue(n)
				}
			}
		}
	}
}

// mutations of keys, texts, references and counts.
var recordMutations = []mutation{
	{"bad id", func(c *Catalogue) { c.Families[1].Shafts = []*Shaft{{ID: "A/B", Name: "x"}} }, "bad-id", 1},
	{"capital id", func(c *Catalogue) {
		c.Suppliers = append(c.Suppliers, &Supplier{ID: "Sup", Name: "S", Currency: "EUR"})
	}, "bad-id", 1},
	{"duplicate part", func(c *Catalogue) { c.Parts = append(c.Parts, c.testPart("p-gear1")) }, "duplicate-key", 1},
	{"duplicate property", func(c *Catalogue) {
		p := c.testPart("p-gear1")
		p.Attributes = append(p.Attributes, p.Attributes[0])
	}, "duplicate-row", 1},
	{"duplicate wheel count", func(c *Catalogue) { c.Variants[0].Teeth = append(c.Variants[0].Teeth, &ToothCount{"in", 23}) }, "duplicate-row", 1},
	{"no name", func(c *Catalogue) { c.Variants[0].Name = " " }, "empty", 1},
	{"control character", func(c *Catalogue) { c.testPart("p-gear1").Note = "bell\a" }, "bad-text", 1},
	{"broken text inside", func(c *Catalogue) { c.testPart("p-gear1").Attributes[0].Source = "\xff" }, "bad-text", 1},
	{"bar in a list", func(c *Catalogue) { c.testPosition("shim").Places = []string{"front|rear"} }, "bad-text", 1},
	{"unknown life", func(c *Catalogue) { c.testPosition("idler").Life = "eternal" }, "unknown-word", 1},
	{"unknown standing", func(c *Catalogue) { c.Words[0].Standing = "sure" }, "unknown-word", 1},
	{"unknown family", func(c *Catalogue) { c.Bonds[0].Family = "nn" }, "unknown-id", 1},
	{"unknown position in a bond", func(c *Catalogue) { c.Bonds[0].Positions[1] = "nn" }, "unknown-id", 1},
	{"unknown part in a set", func(c *Catalogue) { c.testPart("p-set").Contents[0].Part = "nn" }, "unknown-id", 1},
	{"unknown wheel", func(c *Catalogue) { c.Families[0].Meshes[4].Idler[0] = "nn" }, "unknown-id", 1},
	{"unknown member", func(c *Catalogue) { c.Stacks[0].Members[0] = "nn" }, "unknown-id", 1},
	{"unknown variant of a feature", func(c *Catalogue) { c.Features[0].Values[0].Variant = "nn" }, "unknown-id", 1},
	{"offer for an unknown part", func(c *Catalogue) { c.Offers[0].Part = "nn" }, "unknown-id", 1},
	{"unknown successor", func(c *Catalogue) { c.Supersessions[0].New = "nn" }, "unknown-id", 1},
	{"unknown attribute of a mate", func(c *Catalogue) { c.Mates[0].A.Name = "nn" }, "unknown-id", 2},
	{"unknown shaft", func(c *Catalogue) { c.testPosition("idler").Shaft = "nn" }, "unknown-id", 1},
	{"unknown family of an alias", func(c *Catalogue) { c.Aliases[0].Family = "nn" }, "unknown-id", 1},
	{"no pieces", func(c *Catalogue) { c.testPosition("idler").Quantity = 0 }, "quantity", 1},
	{"minus one in stock", func(c *Catalogue) { n := -1; c.Offers[0].Stock = &n }, "quantity", 1},
	{"set of zero", func(c *Catalogue) { c.testPart("p-set").Contents[0].Count = 0 }, "quantity", 1},
}

// mutations of gears.
var gearMutations = []mutation{
	{"wheel drives itself", func(c *Catalogue) { c.Families[0].Meshes[4].Driven = "cr" }, "mesh-shape", 1},
	{"three idlers", func(c *Catalogue) { c.Families[0].Meshes[4].Idler = []string{"ri", "ri", "ri"} }, "mesh-shape", 1},
	{"no centre distance", func(c *Catalogue) { c.Families[1].CentreDistance = 0 }, "centre-distance", 1},
	{"count missing", func(c *Catalogue) { c.Variants[0].Teeth = c.Variants[0].Teeth[:10] }, "teeth-missing", 1},
	{"count unlike the part", func(c *Catalogue) { c.testPart("p-idler").Attributes[0].Value = CountValue(23) }, "teeth-part", 1},
	{"miscount by four", setTeeth("g2", 36), "tooth-sum", 2},
	{"miscount by one", setTeeth("g2", 33), "", 0},
	{"sums far apart", func(c *Catalogue) {
		for _, m := range c.Families[0].Meshes[:4] {
			m.Helix = 0
		}
		setTeeth("g2", 36)(c)
	}, "tooth-sum-spread", 1},
	{"exchanged pairs", func(c *Catalogue) {
		s := c.Families[0].Speeds
		s[0].Meshes, s[1].Meshes = s[1].Meshes, s[0].Meshes
	}, "ratio-order", 2},
	{"speed left out", func(c *Catalogue) { c.Families[0].Speeds = slices.Delete(c.Families[0].Speeds, 2, 3) }, "ratio-step", 1},
	{"same hand", func(c *Catalogue) { c.testPart("p-gear1").Attributes[1].Value = ChoiceValue("right") }, "helix-mesh", 1},
	{"odd hand on the countershaft", func(c *Catalogue) {
		c.testPart("p-gear1").Attributes[1].Value = ChoiceValue("right")
		c.testPart("p-cluster").Attributes[3].Value = ChoiceValue("left")
	}, "helix-shaft", 1},
}

// mutations of parts, fitments and mates.
var partMutations = []mutation{
	{"nothing fits", func(c *Catalogue) { c.Variants[0].Without = nil }, "no-fitment", 1},
	{"nothing standard", func(c *Catalogue) { c.Fitments[6].Standard = false }, "no-standard", 1},
	{"two standard", func(c *Catalogue) { c.Fitments[8].Standard = true }, "two-standards", 1},
	{"fits where nothing is", func(c *Catalogue) { c.Fitments[6].Position = "adapter" }, "fitment-absent", 2},
	{"no number", func(c *Catalogue) { c.testPart("p-gear1").Numbers = nil }, "no-number", 1},
	{"number of marks", func(c *Catalogue) { c.testPart("p-gear1").Numbers[0].Text = "--" }, "empty-number", 1},
	{"one number on two parts, other writing", func(c *Catalogue) { c.testPart("p-gear1").Numbers[0].Text = "exp.gear2" }, "duplicate-number", 1},
	{"two writings on one part", func(c *Catalogue) {
		p := c.testPart("p-gear1")
		p.Numbers = append(p.Numbers, &Number{Issuer: "maker", Text: "EX P GEAR1", Role: NumberAlternate})
	}, "duplicate-number", 1},
	{"choice without choices", func(c *Catalogue) { c.Attributes[4].Kind = KindText; c.Attributes[4].Choices = nil }, "attribute-kind", 8},
	{"count with choices", func(c *Catalogue) { c.Attributes[0].Choices = []string{"1"} }, "attribute-choices", 1},
	{"undeclared attribute", func(c *Catalogue) { c.testPart("p-idler").Attributes[0].Name = "zeal" }, "attribute-undeclared", 1},
	{"value of the wrong kind", func(c *Catalogue) { c.testPart("p-shim-0.5").Attributes[0].Value = CountValue(1) }, "attribute-kind", 1},
	{"not a choice", func(c *Catalogue) { c.testPart("p-cluster").Attributes[1].Value = ChoiceValue("none") }, "attribute-choice", 1},
	{"designation of nothing", func(c *Catalogue) { c.testPart("p-bearing-old").Designation = "9 3/4 x" }, "designation-unknown", 1},
	{"designation against size", func(c *Catalogue) { c.testPart("p-bearing-old").Designation = "6208" }, "designation-contradicts", 1},
	{"special part", func(c *Catalogue) {
		p := c.testPart("p-bearing-old")
		p.Designation, p.Special = "6208", true
	}, "", 0},
	{"mate with itself", func(c *Catalogue) { c.Mates[0].B = c.Mates[0].A }, "mate-shape", 1},
	{"mate of two kinds", func(c *Catalogue) { c.Mates[0].B.Name = KeyTeeth }, "mate-shape", 1},
	{"mate of texts by size", func(c *Catalogue) {
		c.Mates[0].A.Name, c.Mates[0].B.Name, c.Mates[0].Relation = KeyThread, KeyThread, Less
	}, "mate-shape", 1},
	{"window upside down", func(c *Catalogue) { c.Mates[0].Relation, c.Mates[0].Min = Window, 5 }, "mate-shape", 1},
	{"mate violated", func(c *Catalogue) { c.testPart("p-bearing").Designation = "6206" }, "mate-violated", 1},
	{"mate violated but doubted", func(c *Catalogue) {
		c.testPart("p-bearing").Designation = "6206"
		c.Mates[0].Standing = Doubted
	}, "", 0},
	{"mate unknown", func(c *Catalogue) { c.Mates[0].B.At = "rear" }, "mate-unknown", 1},
}

// mutations of rules, measuring and trade.
var ruleMutations = []mutation{
	{"bond of one", func(c *Catalogue) { c.Bonds[0].Positions = c.Bonds[0].Positions[:1] }, "bond-size", 1},
	{"bond of one twice", func(c *Catalogue) { c.Bonds[0].Positions[1] = "input" }, "bond-size", 1},
	{"undoes itself", func(c *Catalogue) { c.Disturbances[0].Undoes = "bearing" }, "disturbance-self", 1},
	{"stack of a wear part", func(c *Catalogue) { c.testPosition("shim").Life = Wear }, "stack-position", 1},
	{"stack position is a member", func(c *Catalogue) { c.Stacks[0].Members[0] = "shim" }, "stack-position", 1},
	{"stack window upside down", func(c *Catalogue) { c.Stacks[0].Min = quantity.MM }, "stack-window", 1},
	{"aim outside", func(c *Catalogue) { c.Stacks[0].Aim = 0 }, "stack-window", 1},
	{"torque window missing", func(c *Catalogue) { c.Stacks[0].Method = MethodTorque }, "stack-window", 1},
	{"no thickness", func(c *Catalogue) {
		for _, p := range c.Parts {
			if p.Kind == "shim" {
				p.Attributes = nil
			}
		}
	}, "stack-no-grades", 1},
	{"grades too coarse", func(c *Catalogue) { c.testPart("p-shim-0.54").Attributes[0].Value = LengthValue(570 * quantity.Micron) }, "stack-grades", 1},
	{"coarse grades, two at once", func(c *Catalogue) {
		c.testPart("p-shim-0.5").Attributes[0].Value = LengthValue(50 * quantity.Micron)
		c.testPart("p-shim-0.54").Attributes[0].Value = LengthValue(100 * quantity.Micron)
		c.testPart("p-shim-0.58").Attributes[0].Value = LengthValue(200 * quantity.Micron)
		c.Stacks[0].MaxCount = 2
	}, "", 0},
	{"torque grades too coarse", func(c *Catalogue) {
		s := c.Stacks[0]
		s.Method, s.TorqueMin, s.TorqueMax, s.TorquePerGrade = MethodTorque, 500, 900, 500
	}, "stack-grades", 1},
	{"limit upside down", func(c *Catalogue) { c.Limits[0].NewMax = 0 }, "limit-order", 1},
	{"new part is worn", func(c *Catalogue) { l := 36 * quantity.MM; c.Limits[0].WearMin = &l }, "limit-order", 1},
	{"no wear limit", func(c *Catalogue) { c.Limits[0].WearMin = nil }, "limit-open", 1},
	{"limit of a count", func(c *Catalogue) { c.Limits[0].Name = KeyTeeth }, "limit-attribute", 1},
	{"variant of another family", func(c *Catalogue) { c.Features[0].Values[0].Variant = "fx-a" }, "feature-variant", 1},
	{"feature value of the wrong kind", func(c *Catalogue) { c.Features[0].Values[0].Value = CountValue(1) }, "feature-value", 1},
	{"not a ratio", func(c *Catalogue) { c.Features[1].Values[0].Value = TextValue("two") }, "feature-value", 1},
	{"ratio of no speed", func(c *Catalogue) { c.Features[1].Speed = "" }, "feature-speed", 1},
	{"superseded by itself", func(c *Catalogue) { c.Supersessions[0].New = "p-bearing-old" }, "supersession-loop", 1},
	{"supersession loop", func(c *Catalogue) {
		c.Supersessions = append(c.Supersessions, &Supersession{ID: "s2", Old: "p-bearing", New: "p-set", Kind: OneWay},
			&Supersession{ID: "s3", Old: "p-set", New: "p-bearing-old", Kind: Replaces}, &Supersession{ID: "s4", Old: "p-set", New: "p-idler", Kind: OneWay})
	}, "supersession-loop", 3},
	{"equal both ways", func(c *Catalogue) {
		c.Supersessions = append(c.Supersessions, &Supersession{ID: "s2", Old: "p-bearing", New: "p-bearing-old", Kind: Equals})
	}, "", 0},
	{"two successors", func(c *Catalogue) {
		c.Supersessions = append(c.Supersessions, &Supersession{ID: "z", Old: "p-bearing-old", New: "p-set", Kind: Replaces})
	}, "supersession-conflict", 1},
	{"dead end", func(c *Catalogue) { c.testPart("p-bearing").NotAvailable = true }, "supersession-dead-end", 1},
	{"set in itself", func(c *Catalogue) { c.testPart("p-set").Contents[0].Part = "p-set" }, "contents-loop", 1},
	{"sets in each other", func(c *Catalogue) {
		p := c.testPart("p-bearing")
		p.Unit, p.Contents = UnitSet, []*Content{{Part: "p-set", Count: 1}}
	}, "contents-loop", 2},
	{"set of nothing", func(c *Catalogue) { c.testPart("p-set").Contents = nil }, "contents-missing", 1},
	{"no price", func(c *Catalogue) { c.Offers[0].Breaks = nil }, "offer-breaks", 1},
	{"prices out of order", func(c *Catalogue) { c.Offers[0].Breaks[1].From = 1 }, "offer-breaks", 1},
	{"no price for one", func(c *Catalogue) { c.Offers[0].Breaks = c.Offers[0].Breaks[1:] }, "offer-breaks", 1},
	{"foreign price", func(c *Catalogue) { c.Offers[0].Breaks[1].Price.Currency = "USD" }, "offer-currency", 1},
	{"no currency", func(c *Catalogue) { c.Suppliers[0].Currency = "EUX" }, "offer-currency", 2},
	{"freight in other money", func(c *Catalogue) { c.Suppliers[0].Freight.Currency = "USD" }, "offer-currency", 1},
	{"price rises", func(c *Catalogue) { c.Offers[0].Breaks[1].Price.Minor = 2000 }, "offer-price", 1},
	{"lead time falls", func(c *Catalogue) { c.Offers[0].Lead.Worst = 0 }, "offer-lead", 1},
	{"cut-off of no clock", func(c *Catalogue) { c.Suppliers[0].CutOff = "noon" }, "offer-lead", 1},
	{"word of two meanings", func(c *Catalogue) { c.Words[0].Variant = "Washer" }, "word-collision", 1},
}

func mutations() []mutation {
	return slices.Concat(recordMutations, gearMutations, partMutations, ruleMutations)
}

func line(p Problem) string {
	weight := "hint"
	if p.Severe {
		weight = "severe"
	}
	return strings.TrimSpace(fmt.Sprintf("%s %s: %s %s, %s: %s [%s]", weight, p.Code, p.Table, p.Key, p.Field, p.Reason, p.Repair))
}

func TestBaseHasNoProblem(t *testing.T) {
	for _, p := range Check(base()) {
		t.Error(line(p))
	}
	if got := Check(&Catalogue{}); len(got) > 0 {
		t.Error("an empty catalogue has problems", got)
	}
}

func TestCheckFindsEachFault(t *testing.T) {
	declared, found := map[string]bool{}, map[string]bool{}
	for _, ch := range checks() {
		for _, code := range ch.codes {
			if declared[code] {
				t.Errorf("code %s is declared twice", code)
			}
			declared[code] = true
		}
	}
	var golden strings.Builder
	for _, m := range mutations() {
		t.Run(m.name, func(t *testing.T) {
			c := base()
			m.fault(c)
			problems := Check(c)
			fmt.Fprintf(&golden, "== %s\n", m.name)
			has := m.code == ""
			for _, p := range problems {
				fmt.Fprintln(&golden, line(p))
				has = has || p.Code == m.code
				found[p.Code] = true
				if !declared[p.Code] {
					t.Errorf("code %s is not declared", p.Code)
				}
				if p.Reason == "" || p.Repair == "" || p.Key == "" {
					t.Errorf("incomplete problem %+v", p)
				}
			}
			if len(problems) != m.want || !has {
				t.Errorf("%d problems, want %d with %q", len(problems), m.want, m.code)
				for _, p := range problems {
					t.Log(line(p))
				}
			}
		})
	}
	for code := range declared {
		if !found[code] {
			t.Errorf("no mutation brings out %s", code)
		}
	}
	const file = "testdata/check.golden"
	if *update {
		if err := os.WriteFile(file, []byte(golden.String()), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), golden.String()); diff != "" {
		t.Error(diff)
	}
}

// TestCheckIgnoresOrder holds that problems do not depend on the order of rows.
func TestCheckIgnoresOrder(t *testing.T) {
	all := mutations()
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.SampledFrom(all).Draw(t, "mutation")
		c, d := base(), base()
		m.fault(c)
		m.fault(d)
		d.Parts = rapid.Permutation(d.Parts).Draw(t, "parts")
		d.Fitments = rapid.Permutation(d.Fitments).Draw(t, "fitments")
		d.Positions = rapid.Permutation(d.Positions).Draw(t, "positions")
		d.Words = rapid.Permutation(d.Words).Draw(t, "words")
		d.Supersessions = rapid.Permutation(d.Supersessions).Draw(t, "supersessions")
		if diff := cmp.Diff(Check(c), Check(d)); diff != "" {
			t.Fatal(diff)
		}
	})
}

// TestInLoopAgainstReachability compares with the plain definition: two parts
// are in one loop when each reaches the other.
func TestInLoopAgainstReachability(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 8).Draw(t, "n")
		edges := map[PartID][]PartID{}
		reach := map[[2]PartID]bool{}
		name := func(i int) PartID { return PartID(rune('a' + i)) }
		for range rapid.IntRange(0, 14).Draw(t, "edges") {
			a, b := name(rapid.IntRange(0, n-1).Draw(t, "a")), name(rapid.IntRange(0, n-1).Draw(t, "b"))
			edges[a] = append(edges[a], b)
			reach[[2]PartID{a, b}] = true
		}
		for k := range n {
			for i := range n {
				for j := range n {
					if reach[[2]PartID{name(i), name(k)}] && reach[[2]PartID{name(k), name(j)}] {
						reach[[2]PartID{name(i), name(j)}] = true
					}
				}
			}
		}
		got := inLoop(edges)
		for i := range n {
			for j := range n {
				a, b := name(i), name(j)
				want := reach[[2]PartID{a, b}] && reach[[2]PartID{b, a}]
				if same := got[a] != 0 && got[a] == got[b]; same != want {
					t.Fatalf("%s and %s in one loop: %v, want %v; edges %v", a, b, same, want, edges)
				}
			}
		}
	})
}

func BenchmarkCheck(b *testing.B) {
	c := base()
	for b.Loop() {
		Check(c)
	}
}
