package catalog

import "layshaft/catalog/standard"

// derive decodes a designation into attributes that the part does not state.
// A special part looks standard but is not: nothing is derived for it.
func derive(p *Part) []*Attribute {
	if p.Designation == "" || p.Special {
		return nil
	}
	b, err := standard.ParseBearing(p.Designation)
	if err != nil {
		return nil
	}
	var out []*Attribute
	add := func(k AttributeKey, v Value) {
		if _, stated := p.Attribute(k, ""); !stated {
			out = append(out, &Attribute{Name: k, Value: v,
				Provenance: Provenance{Standing: Derived, Source: b.Source}})
		}
	}
	bore := b.Bore
	if bore == 0 {
		bore = b.Fw
	}
	outside := b.Outside
	if outside == 0 {
		outside = b.Ew
	}
	if bore != 0 {
		add(KeyBore, LengthValue(bore))
	}
	if outside != 0 {
		add(KeyOutside, LengthValue(outside))
	}
	if b.Width != 0 {
		add(KeyWidth, LengthValue(b.Width))
	}
	if b.HasGroove {
		add(KeyGroove, YesNoValue(true))
		add(KeyRingIncluded, YesNoValue(b.RingIncluded))
	}
	return out
}
