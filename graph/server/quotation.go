package server

import (
	"context"
	"encoding/xml"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"layshaft/catalog"
	"layshaft/graph"
	"layshaft/reconcile"
)

// A request for quotation as OASIS UBL 2.1 orders its elements
// (UBL-RequestForQuotation-2.1 and the common aggregates RequestForQuotationLine,
// LineItem, Item, Delivery, Party). The order was compared with a draft of the
// schema and with a published binding made from it; no validator was run.
const (
	ublRoot = "urn:oasis:names:specification:ubl:schema:xsd:RequestForQuotation-2"
	ublCAC  = "urn:oasis:names:specification:ubl:schema:xsd:CommonAggregateComponents-2"
	ublCBC  = "urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2"
)

// unitCodes are those of UN/ECE recommendation 20 (from memory).
var unitCodes = map[catalog.SaleUnit]string{catalog.UnitPiece: "H87", catalog.UnitPair: "PR", catalog.UnitSet: "SET"}

type ublQuotation struct {
	XMLName   xml.Name  `xml:"RequestForQuotation"`
	NS        string    `xml:"xmlns,attr"`
	CAC       string    `xml:"xmlns:cac,attr"`
	CBC       string    `xml:"xmlns:cbc,attr"`
	Version   string    `xml:"cbc:UBLVersionID"`
	ID        string    `xml:"cbc:ID"`
	IssueDate string    `xml:"cbc:IssueDate"`
	IssueTime string    `xml:"cbc:IssueTime"`
	Note      string    `xml:"cbc:Note,omitempty"`
	Currency  string    `xml:"cbc:PricingCurrencyCode,omitempty"`
	Count     int       `xml:"cbc:LineCountNumeric"`
	Seller    ublParty  `xml:"cac:SellerSupplierParty>cac:Party"`
	Buyer     ublParty  `xml:"cac:BuyerCustomerParty>cac:Party"`
	Lines     []ublLine `xml:"cac:RequestForQuotationLine"`
}

type ublParty struct {
	ID   *ublID `xml:"cac:PartyIdentification"`
	Name string `xml:"cac:PartyName>cbc:Name"`
}

// ublID is an aggregate around an identifier; left out as a whole when there is none.
type ublID struct {
	ID string `xml:"cbc:ID"`
}

func identified(id string) *ublID {
	if id == "" {
		return nil
	}
	return &ublID{id}
}

type ublLine struct {
	ID   string   `xml:"cbc:ID"`
	Note []string `xml:"cbc:Note"`
	Item ublItem  `xml:"cac:LineItem"`
}

type ublItem struct {
	ID       string       `xml:"cbc:ID"`
	Quantity ublQuantity  `xml:"cbc:Quantity"`
	Delivery *ublDelivery `xml:"cac:Delivery"`
	Item     ublGoods     `xml:"cac:Item"`
}

type ublDelivery struct {
	Until string `xml:"cac:RequestedDeliveryPeriod>cbc:EndDate"`
}

type ublQuantity struct {
	Unit string `xml:"unitCode,attr"`
	N    int    `xml:",chardata"`
}

type ublGoods struct {
	Description string        `xml:"cbc:Description,omitempty"`
	Name        string        `xml:"cbc:Name"`
	Ours        *ublID        `xml:"cac:BuyersItemIdentification"`
	Theirs      *ublID        `xml:"cac:SellersItemIdentification"`
	Properties  []ublProperty `xml:"cac:AdditionalItemProperty"`
}

type ublProperty struct {
	Name  string `xml:"cbc:Name"`
	Value string `xml:"cbc:Value"`
}

// quotation answers GET /feeds/request-for-quotation.xml?supplier=&shortage=&shortage=.
func (s *Server) quotation(w http.ResponseWriter, r *http.Request) {
	if err := graph.Gate(r.Context(), catalog.ScopePurchase); err != nil {
		s.refuseFeed(w, r, err)
		return
	}
	q := r.URL.Query()
	if err := onlyParameters(q, "shortage", "supplier"); err != nil {
		s.refuseFeed(w, r, err)
		return
	}
	doc, err := s.quotationOf(r.Context(), catalog.SupplierID(q.Get("supplier")), q["shortage"])
	if err != nil {
		s.refuseFeed(w, r, err)
		return
	}
	b, err := xml.MarshalIndent(doc, "", "  ")
	if err != nil {
		s.refuseFeed(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "application/xml; charset=utf-8")
	w.Header().Set("Content-Disposition", `attachment; filename="request-for-quotation.xml"`)
	w.Header().Set("Cache-Control", "no-store")
	_, _ = w.Write(append([]byte(xml.Header), append(b, '\n')...))
}

func (s *Server) quotationOf(ctx context.Context, supplier catalog.SupplierID, keys []string) (*ublQuotation, error) {
	ix := s.guarded.Curator.Index()
	seller, ok := ix.Supplier(supplier)
	if !ok {
		return nil, catalog.Invalid("supplier", "Name a supplier of the catalogue", "no supplier %q", supplier)
	}
	if len(keys) == 0 || len(keys) > 500 {
		return nil, catalog.Invalid("shortage", "Name 1 to 500 shortages by key", "%d shortages", len(keys))
	}
	feed, _, err := s.unguarded.Feed(ctx) // the scope was asked for above
	if err != nil {
		return nil, err
	}
	now := s.cfg.Resolver.Now().UTC()
	doc := &ublQuotation{NS: ublRoot, CAC: ublCAC, CBC: ublCBC, Version: "2.1", ID: quotationID(supplier, keys, now),
		IssueDate: now.Format(time.DateOnly), IssueTime: now.Format(time.TimeOnly) + "Z", Currency: seller.Currency,
		Count: len(keys), Seller: ublParty{ID: identified(string(seller.ID)), Name: seller.Name}, Buyer: ublParty{Name: s.cfg.Shop}}
	for i, key := range keys {
		c := feed.Of(key)
		if c == nil || c.Gone || slices.Contains(keys[:i], key) {
			return nil, catalog.Invalid("shortage "+key, "Take keys of the feed, each once", "no such shortage now, or named twice")
		}
		doc.Lines = append(doc.Lines, quotationLine(ix, i+1, supplier, &c.Row))
	}
	return doc, nil
}

func quotationID(supplier catalog.SupplierID, keys []string, at time.Time) string {
	return string(supplier) + "-" + at.Format("20060102T150405") + "-" + strconv.FormatUint(hashOf(strings.Join(keys, "\n")), 16)
}

func quotationLine(ix *catalog.Index, no int, supplier catalog.SupplierID, row *reconcile.ShortageRow) ublLine {
	l := ublLine{ID: strconv.Itoa(no), Note: quotationNotes(ix, row),
		Item: ublItem{ID: strconv.Itoa(no), Quantity: ublQuantity{Unit: unitCodes[row.Unit], N: row.Quantity}}}
	if row.SetOf > 1 {
		l.Item.Quantity.N = (row.Quantity + row.SetOf - 1) / row.SetOf
	}
	if !row.NeededBy.IsZero() {
		l.Item.Delivery = &ublDelivery{row.NeededBy.String()}
	}
	g := &l.Item.Item
	g.Name = row.Label
	if len(row.Accept) > 0 {
		if p, ok := ix.Part(row.Accept[0]); ok {
			g.Description, g.Name, g.Ours = p.Designation, p.Name, identified(string(p.ID))
			for _, n := range p.Numbers {
				if n.Issuer == string(supplier) && g.Theirs == nil {
					g.Theirs = identified(n.Text)
				}
			}
		}
	}
	for _, a := range row.Wanted {
		name := string(a.Name)
		if a.At != "" {
			name += " at " + a.At
		}
		g.Properties = append(g.Properties, ublProperty{name, a.Value.String()})
	}
	return l
}

// quotationNotes tell the reference, what would do as well, and what keeps the
// shop from ordering yet.
func quotationNotes(ix *catalog.Index, row *reconcile.ShortageRow) []string {
	notes := []string{"our reference " + row.Key}
	var others []string
	for _, id := range row.Accept[min(1, len(row.Accept)):] {
		if p, ok := ix.Part(id); ok {
			others = append(others, p.Name)
		}
	}
	if len(others) > 0 {
		notes = append(notes, "would do as well: "+strings.Join(others, "; "))
	}
	if row.State != reconcile.OrderNow && row.Because != "" {
		notes = append(notes, "asked in advance, not an order: "+row.Because)
	}
	return notes
}
