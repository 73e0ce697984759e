package catalog

import "layshaft/catalog/quantity"

// Supplier sells parts or treats them.
type Supplier struct {
	ID       SupplierID `json:"id"`
	Name     string     `json:"name"`
	Currency string     `json:"currency"` // ISO 4217
	// Freight per order; free from FreeFrom upward (0: never free).
	Freight  quantity.Money `json:"freight"`
	FreeFrom quantity.Money `json:"freeFrom"`
	// MinimumOrder value; below it SmallOrderFee is added.
	MinimumOrder  quantity.Money `json:"minimumOrder"`
	SmallOrderFee quantity.Money `json:"smallOrderFee"`
	CutOff        string         `json:"cutOff,omitempty"` // "16:00", local time
	Treats        bool           `json:"treats,omitempty"` // a treatment shop
	Note          string         `json:"note,omitempty"`
	Provenance
	Stamp
}

// Table and Key implement Record.
func (s *Supplier) Table() Table { return TableSupplier }
func (s *Supplier) Key() string  { return string(s.ID) }

// Quality class of an offer.
type Quality string

const (
	Genuine     Quality = "genuine"
	Original    Quality = "original-source"
	Aftermarket Quality = "aftermarket"
	Used        Quality = "used"
)

// Offer is a supplier's price for a part, set or kit.
type Offer struct {
	ID       string     `json:"id"`
	Supplier SupplierID `json:"supplier"`
	Part     PartID     `json:"part"`
	// Breaks by ascending quantity; the first is from 1 unless a minimum is set.
	Breaks  []*PriceBreak `json:"breaks"`
	Pack    int           `json:"pack"`    // sold in multiples of
	Minimum int           `json:"minimum"` // least quantity
	// Stock as told on StockDate; nil when never told.
	Stock      *int              `json:"stock,omitempty"`
	StockDate  quantity.Date     `json:"stockDate,omitzero"`
	Lead       quantity.LeadTime `json:"lead"`
	Quality    Quality           `json:"quality"`
	ReturnDays int               `json:"returnDays,omitempty"` // 0: no returns
	ReturnFee  int               `json:"returnFee,omitempty"`  // per cent
	Core       quantity.Money    `json:"core,omitzero"`        // deposit on an old part
	Note       string            `json:"note,omitempty"`
	Provenance
	Stamp
}

// PriceBreak is a unit price from a quantity upward.
type PriceBreak struct {
	From  int            `json:"from"`
	Price quantity.Money `json:"price"`
}

// Table and Key implement Record.
func (o *Offer) Table() Table { return TableOffer }
func (o *Offer) Key() string  { return o.ID }
