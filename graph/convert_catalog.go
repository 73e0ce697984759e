package graph

import (
	"fmt"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
	"layshaft/graph/model"
)

// change turns the input of changeCatalogue into the domain's change.
func (r *Resolver) change(in model.ChangeCatalogueInput, who string) (catalog.Change, error) {
	ch := catalog.Change{Request: in.RequestID, Who: who, Why: deref(in.Why), Expect: map[catalog.Ref]uint64{}}
	keys := newlyDeclared(in.Put)
	for i, p := range in.Put {
		rec, err := r.record(p, keys, fmt.Sprintf("put[%d]", i))
		if err != nil {
			return ch, err
		}
		ch.Put = append(ch.Put, rec)
	}
	for _, d := range in.Delete {
		ref := catalog.Ref{Table: catalog.Table(d.Table), Key: d.Key}
		ch.Delete = append(ch.Delete, ref)
		if d.SeenRev != nil {
			ch.Expect[ref] = *d.SeenRev
		}
	}
	for _, s := range in.Seen {
		if s.SeenRev != nil {
			ch.Expect[catalog.Ref{Table: catalog.Table(s.Table), Key: s.Key}] = *s.SeenRev
		}
	}
	return ch, nil
}

// declared are attribute kinds that the same change declares.
type declared map[catalog.AttributeKey]catalog.ValueKind

func newlyDeclared(put []*model.RecordInput) declared {
	keys := declared{}
	for _, p := range put {
		if p.Attribute != nil {
			keys[p.Attribute.Name] = p.Attribute.Kind
		}
	}
	return keys
}

// record takes the one record of a RecordInput. The library does not check
// @oneOf when the object comes as a variable, so it is checked here.
func (r *Resolver) record(in *model.RecordInput, keys declared, place string) (catalog.Record, error) {
	var given []catalog.Record
	add := func(set bool, rec func() (catalog.Record, error)) error {
		if !set {
			return nil
		}
		v, err := rec()
		given = append(given, v)
		return err
	}
	for _, err := range []error{
		plain(&given, in.Family), plain(&given, in.Variant), plain(&given, in.Position),
		plain(&given, in.Attribute), plain(&given, in.Fitment), plain(&given, in.Bond),
		plain(&given, in.Disturbance), plain(&given, in.Stack), plain(&given, in.Limit),
		plain(&given, in.Supersession), plain(&given, in.Supplier), plain(&given, in.Word), plain(&given, in.Alias),
		add(in.Part != nil, func() (catalog.Record, error) { return r.part(in.Part, keys, place) }),
		add(in.Mate != nil, func() (catalog.Record, error) { return mate(in.Mate), nil }),
		add(in.Feature != nil, func() (catalog.Record, error) { return feature(in.Feature, place) }),
		add(in.Offer != nil, func() (catalog.Record, error) { return offer(in.Offer), nil }),
	} {
		if err != nil {
			return nil, err
		}
	}
	if len(given) != 1 {
		return nil, catalog.Invalid(place, "Name exactly one record", "%d records in one entry", len(given))
	}
	return given[0], nil
}

// plain adds a record that is bound to its input as it is.
func plain[T any, R interface {
	*T
	catalog.Record
}](to *[]catalog.Record, rec R) error {
	if rec != nil {
		*to = append(*to, rec)
	}
	return nil
}

func (r *Resolver) part(in *model.PartInput, keys declared, place string) (*catalog.Part, error) {
	p := &catalog.Part{
		ID: catalog.PartID(in.ID), Kind: catalog.PartKind(in.Kind), Name: in.Name, Numbers: in.Numbers,
		Designation: in.Designation, Special: in.Special, Unit: catalog.SaleUnit(in.Unit),
		Contents: in.Contents, NotAvailable: in.NotAvailable, Note: in.Note,
		Provenance: catalog.Provenance{Standing: in.Standing, Source: in.Source},
	}
	for _, a := range in.Attributes {
		v, err := r.value(catalog.AttributeKey(a.Key), a.Value, keys, place+" attribute "+a.Key)
		if err != nil {
			return nil, err
		}
		p.Attributes = append(p.Attributes, &catalog.Attribute{Name: catalog.AttributeKey(a.Key), At: a.At, Value: v,
			Provenance: catalog.Provenance{Standing: a.Standing, Source: a.Source}})
	}
	return p, nil
}

// value reads a value of a declared key.
func (r *Resolver) value(key catalog.AttributeKey, text string, keys declared, place string) (catalog.Value, error) {
	kind, ok := keys[key]
	if !ok {
		def, known := r.index().AttributeDef(key)
		if !known {
			return catalog.Value{}, catalog.Invalid(place, "Declare the key first", "no attribute %q", key)
		}
		kind = def.Kind
	}
	v, err := catalog.ParseValue(kind, text)
	if err != nil {
		return v, catalog.Invalid(place, "", "%v", err)
	}
	return v, nil
}

func mate(in *model.MateInput) *catalog.Mate {
	m := &catalog.Mate{ID: in.ID, Family: catalog.FamilyID(in.Family), Relation: in.Relation,
		Min: int64(in.Min), Max: int64(in.Max), Reason: in.Reason,
		Provenance: catalog.Provenance{Standing: in.Standing, Source: in.Source}}
	if in.A != nil {
		m.A = *in.A
	}
	if in.B != nil {
		m.B = *in.B
	}
	return m
}

func feature(in *model.FeatureInput, place string) (*catalog.Feature, error) {
	f := &catalog.Feature{ID: in.ID, Family: catalog.FamilyID(in.Family), Label: in.Label,
		Kind: catalog.FeatureKind(in.Kind), CaseClosed: in.CaseClosed, Effort: in.Effort, Sigma: in.Sigma,
		ErrorRate: in.ErrorRate, Speed: in.Speed, Note: in.Note,
		Provenance: catalog.Provenance{Standing: in.Standing, Source: in.Source}}
	for _, v := range in.Values {
		val, err := catalog.ParseValue(f.Kind.ValueKind(), v.Value)
		if err != nil {
			return nil, catalog.Invalid(place+" value for "+v.Variant, "", "%v", err)
		}
		f.Values = append(f.Values, &catalog.FeatureValue{Variant: catalog.VariantID(v.Variant), Value: val})
	}
	return f, nil
}

func offer(in *model.OfferInput) *catalog.Offer {
	return &catalog.Offer{ID: in.ID, Supplier: catalog.SupplierID(in.Supplier), Part: catalog.PartID(in.Part),
		Breaks: in.Breaks, Pack: in.Pack, Minimum: in.Minimum, Stock: in.Stock, StockDate: deref(in.StockDate),
		Lead:    quantity.LeadTime{Best: in.LeadBest, Likely: in.LeadLikely, Worst: in.LeadWorst},
		Quality: catalog.Quality(in.Quality), ReturnDays: in.ReturnDays, ReturnFee: in.ReturnFee,
		Core: deref(in.Core), Note: in.Note,
		Provenance: catalog.Provenance{Standing: in.Standing, Source: in.Source}}
}

func deref[T any](p *T) T {
	var zero T
	if p == nil {
		return zero
	}
	return *p
}
