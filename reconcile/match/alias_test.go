package match

import (
	"testing"

	"layshaft/catalog"
	"layshaft/reconcile/kitlist"
)

func TestAliasOutranksAndIsScoped(t *testing.T) {
	c := smallShop()
	list := kitlist.Read("2x wobble plate kit deluxe 4.50\nsynchro ring 1-2", kitlist.Options{})
	text := AliasText(list, &list.Lines[0])
	if text == "" {
		t.Fatal("no alias text")
	}
	c.Aliases = []*catalog.Alias{
		{Supplier: "tarn", Family: "f5", Text: text, Part: "p5", Count: 1},
		{Supplier: "other", Family: "f5", Text: text, Part: "p1", Count: 1},
	}
	m := New(catalog.NewIndex(c, 1), Options{})
	for _, x := range []struct {
		supplier catalog.SupplierID
		outcome  Outcome
		part     catalog.PartID
	}{{"tarn", Certain, "p5"}, {"other", Certain, "p1"}, {"third", "", ""}} {
		r := m.Match(list, Context{Variant: "f5-a", Supplier: x.supplier})
		if x.part == "" {
			if r[0].Alias || r[0].Outcome == Certain {
				t.Errorf("an alias of another supplier was used: %+v", r[0])
			}
			continue
		}
		if r[0].Outcome != x.outcome || r[0].Part != x.part || !r[0].Alias {
			t.Errorf("%s: %+v", x.supplier, r[0])
		}
		if r[1].Alias || len(r[1].Candidates) == 0 || r[1].Candidates[0].Part != "p4" {
			t.Errorf("the next line was touched: %+v", r[1])
		}
	}
}

func TestAliasOfNothing(t *testing.T) {
	c := smallShop()
	list := kitlist.Read("Z7F3110 synchro ring 1-2", kitlist.Options{})
	c.Aliases = []*catalog.Alias{{Text: AliasText(list, &list.Lines[0]), Count: 1}}
	m := New(catalog.NewIndex(c, 1), Options{})
	if r := m.Match(list, Context{Variant: "f5-a"}); r[0].Outcome != None || !r[0].Alias {
		t.Errorf("none of ours was answered, got %+v", r[0])
	}
}

func TestShopWordIsUsed(t *testing.T) {
	c := smallShop()
	c.Words = []*catalog.Word{{Canonical: "oil seal", Variant: "blorp"}}
	m := New(catalog.NewIndex(c, 1), Options{})
	r := m.Match(kitlist.Read("blorp 40x60x10", kitlist.Options{}), Context{Variant: "f5-a"})
	if r[0].Part != "p7" {
		t.Errorf("%+v", r[0])
	}
}
