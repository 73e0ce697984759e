package demo

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"layshaft/catalog"
)

// atLeast fails when fewer than want things are there.
func atLeast(t *testing.T, what string, got, want int) {
	t.Helper()
	if got < want {
		t.Errorf("%s: %d, want at least %d", what, got, want)
	}
}

func count[T any](rows []T, is func(T) bool) (n int) {
	for _, r := range rows {
		if is(r) {
			n++
		}
	}
	return n
}

func TestShopIsLargeEnough(t *testing.T) {
	c := shop(t)
	atLeast(t, "families", len(c.Families), 3)
	atLeast(t, "variants", len(c.Variants), 9)
	for _, f := range c.Families {
		atLeast(t, "positions of "+string(f.ID), count(c.Positions, func(p *catalog.Position) bool { return p.Family == f.ID }), 70)
		atLeast(t, "mates of "+string(f.ID), count(c.Mates, func(m *catalog.Mate) bool { return m.Family == f.ID }), 40)
		atLeast(t, "stacks of "+string(f.ID), count(c.Stacks, func(s *catalog.Stack) bool { return s.Family == f.ID }), 4)
		atLeast(t, "features of "+string(f.ID), count(c.Features, func(x *catalog.Feature) bool { return x.Family == f.ID }), 5)
		atLeast(t, "outside positions of "+string(f.ID), count(c.Positions, func(p *catalog.Position) bool { return p.Family == f.ID && p.Outside }), 10)
	}
	numbered := func(p *catalog.Part) bool { return len(p.Numbers) > 0 }
	atLeast(t, "parts with numbers", count(c.Parts, numbered), 350)
	if n := count(c.Parts, numbered); n != len(c.Parts) {
		t.Errorf("%d parts carry no number", len(c.Parts)-n)
	}
	atLeast(t, "special bearings", count(c.Parts, func(p *catalog.Part) bool { return p.Special }), 3)
	atLeast(t, "kits", count(c.Parts, func(p *catalog.Part) bool { return p.Kind == "kit" && len(p.Contents) > 5 }), 4)
	atLeast(t, "words", len(c.Words), 700)
}

func TestNumbersComeInSeveralStyles(t *testing.T) {
	styles := map[string]*regexp.Regexp{
		"TB-1001":      regexp.MustCompile(`^TB-\d{4}$`),
		"KW 4471-02":   regexp.MustCompile(`^KW \d{4}-\d{2}$`),
		"VD 22 014-A":  regexp.MustCompile(`^VD \d{2} \d{3}-[A-Z]$`),
		"GW 1.305.22":  regexp.MustCompile(`^GW \d\.\d{3}\.\d{2}$`),
		"MV30217":      regexp.MustCompile(`^MV\d{5}$`),
		"9H2-30211":    regexp.MustCompile(`^9H\d-\d{5}$`),
		"B76-10-1037":  regexp.MustCompile(`^B76-\d{2}-\d{4}$`),
		"V77.100.129":  regexp.MustCompile(`^V77\.\d{3}\.\d{3}$`),
		"maker common": regexp.MustCompile(`^C-\d{5}$`),
	}
	seen := map[string]int{}
	superseded := 0
	for _, p := range shop(t).Parts {
		for _, n := range p.Numbers {
			known := false
			for name, re := range styles {
				if re.MatchString(n.Text) {
					seen[name], known = seen[name]+1, true
				}
			}
			if !known {
				t.Errorf("part %s: number %q is of no style", p.ID, n.Text)
			}
			if n.Role == catalog.NumberSuperseded {
				superseded++
			}
		}
	}
	for name := range styles {
		atLeast(t, "numbers like "+name, seen[name], 10)
	}
	atLeast(t, "superseded numbers", superseded, 3)
}

func TestOffersOfFiveSuppliers(t *testing.T) {
	c := shop(t)
	offers, breaks, packs, returns := map[catalog.SupplierID]int{}, 0, 0, 0
	for _, o := range c.Offers {
		offers[o.Supplier]++
		breaks += len(o.Breaks) - 1
		if o.Pack > 1 {
			packs++
		}
		if o.ReturnDays > 0 {
			returns++
		}
		if !o.Lead.Valid() || o.Lead.Worst <= o.Lead.Best {
			t.Errorf("offer %s: lead %v is no range", o.ID, o.Lead)
		}
		if (o.Stock == nil) != o.StockDate.IsZero() {
			t.Errorf("offer %s: stock and its date go together", o.ID)
		}
	}
	atLeast(t, "suppliers with offers", len(offers), 5)
	for s, n := range offers {
		atLeast(t, "offers of "+string(s), n, 50)
	}
	atLeast(t, "price breaks", breaks, 100)
	atLeast(t, "offers in packs", packs, 20)
	atLeast(t, "offers that may go back", returns, 300)
}

func TestSupersessionsOfEveryKind(t *testing.T) {
	c := shop(t)
	kinds, companions := map[catalog.SupersessionKind]int{}, 0
	next := map[catalog.PartID]catalog.PartID{}
	for _, s := range c.Supersessions {
		kinds[s.Kind]++
		if len(s.Companions) > 0 {
			companions++
		}
		if s.Kind == catalog.Replaces {
			next[s.Old] = s.New
		}
	}
	for _, k := range []catalog.SupersessionKind{catalog.Replaces, catalog.OneWay, catalog.Equals, catalog.SplitBySerial} {
		atLeast(t, "supersessions "+string(k), kinds[k], 1)
	}
	atLeast(t, "supersessions with a companion", companions, 1)
	longest := 0
	for old := range next {
		n := 0
		for at, ok := next[old]; ok && n < 20; at, ok = next[at] {
			n++
		}
		longest = max(longest, n)
	}
	atLeast(t, "longest chain", longest, 5)
}

func TestDemoValuesSayWhatTheyAre(t *testing.T) {
	const caution = "demo value, not for use on a real gearbox"
	c := shop(t)
	for _, l := range c.Limits {
		if l.Source != caution {
			t.Errorf("limit %s: source %q", l.Key(), l.Source)
		}
	}
	for _, s := range c.Stacks {
		if s.Source != caution {
			t.Errorf("stack %s: source %q", s.Key(), s.Source)
		}
	}
	c.Records(func(r catalog.Record) {
		if p, ok := r.(*catalog.Part); ok && !strings.Contains(p.Source, "invented") {
			t.Errorf("part %s: source %q does not say that it is invented", p.ID, p.Source)
		}
	})
}

func TestLexiconLeadsToKinds(t *testing.T) {
	var kinds []catalog.PartKind
	for _, w := range shop(t).Words {
		if k := catalog.PartKind(w.Canonical); k.Known() && !slices.Contains(kinds, k) {
			kinds = append(kinds, k)
		}
	}
	atLeast(t, "kinds with words", len(kinds), 45)
}
