package catalog

import "layshaft/catalog/quantity"

// Supplier sells parts or treats them.
type Supplier struct {
	ID       SupplierID `json:"id" cbor:"1,keyasint,omitempty"`
	Name     string     `json:"name" cbor:"2,keyasint,omitempty"`
	Currency string     `json:"currency" cbor:"3,keyasint,omitempty"` // ISO 4217
	// Freight per order; free from FreeFrom upward (0: never free).
	Freight  quantity.Money `json:"freight" cbor:"4,keyasint,omitempty"`
	FreeFrom quantity.Money `json:"freeFrom" cbor:"5,keyasint,omitempty"`
	// MinimumOrder value; below it SmallOrderFee is added.
	MinimumOrder  quantity.Money `json:"minimumOrder" cbor:"6,keyasint,omitempty"`
	SmallOrderFee quantity.Money `json:"smallOrderFee" cbor:"7,keyasint,omitempty"`
	CutOff        string         `json:"cutOff,omitempty" cbor:"8,keyasint,omitempty"` // "16:00", local time
	Treats        bool           `json:"treats,omitempty" cbor:"9,keyasint,omitempty"` // a treatment shop
	Note          string         `json:"note,omitempty" cbor:"10,keyasint,omitempty"`
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
	ID       string     `json:"id" cbor:"1,keyasint,omitempty"`
	Supplier SupplierID `json:"supplier" cbor:"2,keyasint,omitempty"`
	Part     PartID     `json:"part" cbor:"3,keyasint,omitempty"`
	// Breaks by ascending quantity; the first is from 1 unless a minimum is set.
	Breaks  []*PriceBreak `json:"breaks" cbor:"4,keyasint,omitempty"`
	Pack    int           `json:"pack" cbor:"5,keyasint,omitempty"`    // sold in multiples of
	Minimum int           `json:"minimum" cbor:"6,keyasint,omitempty"` // least quantity
	// Stock as told on StockDate; nil when never told.
	Stock      *int              `json:"stock,omitempty" cbor:"7,keyasint,omitempty"`
	StockDate  quantity.Date     `json:"stockDate,omitzero" cbor:"8,keyasint,omitzero"`
	Lead       quantity.LeadTime `json:"lead" cbor:"9,keyasint,omitempty"`
	Quality    Quality           `json:"quality" cbor:"10,keyasint,omitempty"`
	ReturnDays int               `json:"returnDays,omitempty" cbor:"11,keyasint,omitempty"` // 0: no returns
	ReturnFee  int               `json:"returnFee,omitempty" cbor:"12,keyasint,omitempty"`  // per cent
	Core       quantity.Money    `json:"core,omitzero" cbor:"13,keyasint,omitzero"`         // deposit on an old part
	Note       string            `json:"note,omitempty" cbor:"14,keyasint,omitempty"`
	Provenance
	Stamp
}

// PriceBreak is a unit price from a quantity upward.
type PriceBreak struct {
	From  int            `json:"from" cbor:"1,keyasint,omitempty"`
	Price quantity.Money `json:"price" cbor:"2,keyasint,omitempty"`
}

// Table and Key implement Record.
func (o *Offer) Table() Table { return TableOffer }
func (o *Offer) Key() string  { return o.ID }
