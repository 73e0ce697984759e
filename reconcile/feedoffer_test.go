package reconcile

import (
	"testing"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

func eur(minor int64) quantity.Money { return quantity.Money{Minor: minor, Currency: "EUR"} }

// TestLanded: packs, least quantity, price breaks, freight and the small-order
// fee, worked by hand beside each row.
func TestLanded(t *testing.T) {
	cat := &catalog.Catalogue{
		Suppliers: []*catalog.Supplier{
			{ID: "near", Currency: "EUR", Freight: eur(690), FreeFrom: eur(10_000), MinimumOrder: eur(2_000), SmallOrderFee: eur(500)},
			{ID: "far", Currency: "EUR", Freight: eur(1_500)},
			{ID: "abroad", Currency: "GBP", Freight: quantity.Money{Minor: 900, Currency: "GBP"}},
		},
		Parts: []*catalog.Part{{ID: "ring", Kind: "ring", Numbers: []*catalog.Number{{Issuer: "near", Text: "N-1"}}}},
		Offers: []*catalog.Offer{
			{ID: "1", Supplier: "near", Part: "ring", Pack: 5, Lead: quantity.LeadTime{Best: 1, Likely: 2, Worst: 3},
				Breaks: []*catalog.PriceBreak{{From: 1, Price: eur(300)}, {From: 10, Price: eur(250)}}},
			{ID: "2", Supplier: "far", Part: "ring", Minimum: 8, Breaks: []*catalog.PriceBreak{{From: 1, Price: eur(100)}}},
			{ID: "3", Supplier: "abroad", Part: "ring", Breaks: []*catalog.PriceBreak{{From: 1, Price: eur(100)}}},
		},
	}
	ix := catalog.NewIndex(cat, 1)
	p, _ := ix.Part("ring")
	want := []RowOffer{
		// 8 x 1.00 + 15.00
		{Supplier: "far", Units: 8, Price: eur(100), Landed: eur(2_300)},
		// 7 are sold as 10, x 2.50 = 25.00, over the minimum order, + 6.90
		{Supplier: "near", Number: "N-1", Units: 10, Price: eur(250), Landed: eur(3_190), Lead: quantity.LeadTime{Best: 1, Likely: 2, Worst: 3}},
		// euros and pounds are not added
		{Supplier: "abroad", Units: 7, Price: eur(100)},
	}
	got := offersFor(ix, p, 7)
	if len(got) != len(want) {
		t.Fatalf("%d offers", len(got))
	}
	for i := range want {
		if *got[i] != want[i] {
			t.Errorf("offer %d is %+v, want %+v", i, *got[i], want[i])
		}
	}
	// 2 are sold as 5, x 3.00 = 15.00, + 5.00 for a small order + 6.90
	if few := offersFor(ix, p, 2); few[1].Landed != eur(2_690) {
		t.Errorf("a small order lands at %v", few[1].Landed)
	}
}

// TestGoverns: the longest lead time of what keeps the case open governs the
// date; what is only possible does not, and what nobody offers can't be told.
func TestGoverns(t *testing.T) {
	offer := func(part catalog.PartID, worst int) *catalog.Offer {
		return &catalog.Offer{ID: string(part), Supplier: "near", Part: part, Lead: quantity.LeadTime{Worst: worst},
			Breaks: []*catalog.PriceBreak{{From: 1, Price: eur(100)}}}
	}
	ix := catalog.NewIndex(&catalog.Catalogue{
		Suppliers: []*catalog.Supplier{{ID: "near", Currency: "EUR"}},
		Parts:     []*catalog.Part{{ID: "quick"}, {ID: "slow"}, {ID: "slowest"}, {ID: "nobody"}},
		Offers:    []*catalog.Offer{offer("quick", 2), offer("slow", 9), offer("slowest", 20)},
	}, 1)
	short := func(id string, blocking, possible bool, accept ...catalog.PartID) *Shortage {
		return &Shortage{ID: id, Quantity: 1, Blocking: blocking, Possible: possible, Accept: accept}
	}
	rows := rowsOf(ix, &Head{ID: "1"}, &Report{Shortages: []*Shortage{
		short("either", true, false, "slow", "quick"), short("slow", true, false, "slow"), short("possible", true, true, "slowest"),
		short("idle", false, false, "slowest"), short("unknown", true, false, "nobody"),
	}})
	for _, r := range rows {
		if r.Governs != (r.Key == "slow") {
			t.Errorf("%s governs: %v", r.Key, r.Governs)
		}
	}
}
