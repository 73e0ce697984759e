package match

import (
	"testing"

	"layshaft/catalog"
	"layshaft/reconcile/kitlist"
)

// TestRefuse holds what is refused, what is asked, and what is sure, with the near miss of each.
func TestRefuse(t *testing.T) {
	m := handShop(t, Options{})
	for _, c := range []struct {
		line    string
		variant catalog.VariantID
		want    Outcome
		part    catalog.PartID // of the first candidate, when it matters
	}{
		// Goods of the counter that are in no gearbox; the words beside them are.
		{"brake cleaner x1", "brack-a", None, ""},
		{"1 kit d'embrayage", "nordal-a", None, ""},
		{"Bremsenreiniger 1 Dose", "veldra-b", None, ""},
		{"clutch shaft x1", "hesper-a", Certain, "he-in"},
		{"clutch housing x1", "orlan-a", Certain, "or-bell"},
		// A bearing after "for" is what the ring goes with, not what is wanted.
		{"outer snap ring 72 for 6207 NR x1", "brack-a", Certain, "bk-ring-in-a"},
		{"snap ring for 6207 x1", "brack-a", Question, ""},
		// Compounds: of a plural, and of two words that run into each other.
		{"Tellerradschrauben 8 Stk", "orlan-a", Certain, "or-bolt-rg"},
		{"Dichtung Verlängerung", "brack-a", Certain, "bk-gsk-ext"},
		{"Antriebswellendichtring links 1 Stk", "orlan-a", Certain, "or-seal-l"},
		{"Antriebswellendichtring 1 Stk", "orlan-a", Question, ""},
		// So many pieces speak for no part that the gears speak against.
		{"Synchronring 3./4. Gang 2 Stk", "orlan-a", Certain, "or-ring-345"},
		{"Synchronring 1./2. Gang 2 Stk", "orlan-a", Certain, "or-ring-12"},
	} {
		l := kitlist.Read(c.line, kitlist.Options{})
		r := m.Match(l, Context{Variant: c.variant})[0]
		if r.Outcome != c.want || c.part != "" && (len(r.Candidates) == 0 || r.Candidates[0].Part != c.part) {
			t.Errorf("%q: %s %s, want %s %s (%s) %+v", c.line, r.Outcome, r.Part, c.want, c.part, r.Why, r.Candidates[:min(2, len(r.Candidates))])
		}
	}
}

// TestFamilyTold: a list of what every gearbox has leaves the family open, one with numbers tells it.
func TestFamilyTold(t *testing.T) {
	m := handShop(t, Options{})
	for text, want := range map[string]bool{
		"synchro ring x1\noil seal x1\ngasket x1\nnut x1":             false,
		"V/1612/20\nV/1782/00\nV-2207-05":                             true,
		"2 roulements de différentiel 32007X\n1 pignon 5ème 41 dents": true,
	} {
		s := m.SuggestFamily(kitlist.Read(text, kitlist.Options{}))
		if len(s) == 0 || s[0].Told != want {
			t.Errorf("%q: %+v", text, s)
		}
	}
}
