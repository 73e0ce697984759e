package catalog

// Word is one entry of the shop's lexicon: how lists write a thing.
type Word struct {
	// Canonical is a part kind, a place word or a list word ("without").
	Canonical string `json:"canonical" cbor:"1,keyasint,omitempty"`
	Variant   string `json:"variant" cbor:"2,keyasint,omitempty"` // as written, any case
	// Kind: synonym, abbreviation, misspelling, ocr, plural, loan.
	Kind     string `json:"kind" cbor:"3,keyasint,omitempty"`
	Language string `json:"language,omitempty" cbor:"4,keyasint,omitempty"` // BCP 47
	// Ambiguous words are never resolved without context.
	Ambiguous bool   `json:"ambiguous,omitempty" cbor:"5,keyasint,omitempty"`
	Note      string `json:"note,omitempty" cbor:"6,keyasint,omitempty"`
	Provenance
	Stamp
}

// Table and Key implement Record.
func (w *Word) Table() Table { return TableWord }
func (w *Word) Key() string  { return key(w.Canonical, w.Language, escapeSlash(w.Variant)) }

// Alias remembers a person's answer: this supplier's text means this part.
type Alias struct {
	Supplier SupplierID `json:"supplier,omitempty" cbor:"1,keyasint,omitempty"` // empty: whoever writes it
	// Text is the folded text of the line without quantity and price.
	Text   string   `json:"text" cbor:"2,keyasint,omitempty"`
	Family FamilyID `json:"family,omitempty" cbor:"3,keyasint,omitempty"` // empty: in every family
	// Part meant; empty when the answer was "none of ours".
	Part PartID `json:"part,omitempty" cbor:"4,keyasint,omitempty"`
	// Count of confirmations.
	Count int `json:"count" cbor:"5,keyasint,omitempty"`
	Provenance
	Stamp
}

// Table and Key implement Record.
func (a *Alias) Table() Table { return TableAlias }
func (a *Alias) Key() string {
	return key(string(a.Supplier), string(a.Family), escapeSlash(a.Text))
}

// escapeSlash keeps free text from breaking compound keys.
func escapeSlash(s string) string {
	b := make([]byte, 0, len(s))
	for i := 0; i < len(s); i++ {
		switch s[i] {
		case '/':
			b = append(b, '~', '1')
		case '~':
			b = append(b, '~', '0')
		default:
			b = append(b, s[i])
		}
	}
	return string(b)
}
