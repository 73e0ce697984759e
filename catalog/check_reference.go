package catalog

import "slices"

// checkReferences reports ids that name nothing.
func checkReferences(k *checkup) {
	k.c.Records(func(r Record) {
		n := named{k: k, r: r}
		switch r := r.(type) {
		case *Family:
			n.family = r.ID
			k.familyReferences(n, r)
		case *Variant:
			n.of(r.Family)
			n.positions("without", r.Without...)
			if f, ok := k.ix.Family(r.Family); ok {
				for _, t := range r.Teeth {
					n.must(f.hasWheel(t.Wheel), "teeth", "wheel", t.Wheel)
				}
			}
		case *Position:
			n.of(r.Family)
			if f, ok := k.ix.Family(r.Family); ok && r.Shaft != "" {
				n.must(slices.ContainsFunc(f.Shafts, func(s *Shaft) bool { return s.ID == r.Shaft }), "shaft", "shaft", r.Shaft)
			}
		case *Part:
			for _, in := range r.Contents {
				n.part("contents", in.Part)
			}
		case *Mate:
			n.of(r.Family)
			n.seat("a", r.A)
			n.seat("b", r.B)
		case *Bond:
			n.of(r.Family)
			n.positions("positions", r.Positions...)
		case *Disturbance:
			n.of(r.Family)
			n.positions("reach", r.Reach)
			n.positions("undoes", r.Undoes)
		case *Stack:
			n.of(r.Family)
			n.positions("position", r.Position)
			n.positions("members", r.Members...)
		case *Limit:
			n.of(r.Family)
			n.positions("position", r.Position)
			if r.Name != "" {
				n.attribute("key", r.Name)
			}
		default:
			k.tradeReferences(n, r)
		}
	})
}

func (k *checkup) tradeReferences(n named, r Record) {
	switch r := r.(type) {
	case *Fitment:
		n.part("part", r.Part)
		v, ok := k.ix.Variant(r.Variant)
		n.must(ok, "variant", "variant", string(r.Variant))
		if ok {
			n.family = v.Family
			n.positions("position", r.Position)
		}
	case *Feature:
		n.of(r.Family)
		for _, v := range r.Values {
			_, ok := k.ix.Variant(v.Variant)
			n.must(ok, "values", "variant", string(v.Variant))
		}
	case *Supersession:
		n.part("old", r.Old)
		n.part("new", r.New)
		for _, in := range r.Companions {
			n.part("companions", in.Part)
		}
	case *Offer:
		n.part("part", r.Part)
		n.supplier(r.Supplier)
	case *Alias:
		if r.Supplier != "" {
			n.supplier(r.Supplier)
		}
		if r.Family != "" {
			n.of(r.Family)
		}
		if r.Part != "" {
			n.part("part", r.Part)
		}
	}
}

func (k *checkup) familyReferences(n named, f *Family) {
	for _, w := range f.Wheels {
		n.positions("wheels", w.Position)
	}
	for _, m := range f.Meshes {
		for _, w := range append([]string{m.Driving, m.Driven}, m.Idler...) {
			n.must(f.hasWheel(w), "meshes", "wheel", w)
		}
	}
	for _, s := range f.Speeds {
		for _, m := range s.Meshes {
			n.must(f.mesh(m) != nil, "speeds", "mesh", m)
		}
	}
}

func (f *Family) hasWheel(id string) bool {
	return slices.ContainsFunc(f.Wheels, func(w *Wheel) bool { return w.ID == id })
}

// named looks up what one record names.
type named struct {
	k      *checkup
	r      Record
	family FamilyID
}

func (n *named) must(ok bool, field, what, id string) {
	if !ok {
		n.k.severe(n.r, fault{"unknown-id", field, "Correct the id or add the " + what}, "There is no %s %q.", what, id)
	}
}

func (n *named) of(id FamilyID) {
	_, ok := n.k.ix.Family(id)
	n.must(ok, "family", "family", string(id))
	n.family = id
}

// positions of the record's family; silent when the family itself is unknown.
func (n *named) positions(field string, ids ...PositionID) {
	if _, ok := n.k.ix.Family(n.family); !ok {
		return
	}
	for _, id := range ids {
		_, ok := n.k.ix.Position(n.family, id)
		n.must(ok, field, "position", string(id))
	}
}

func (n *named) part(field string, id PartID) {
	_, ok := n.k.ix.Part(id)
	n.must(ok, field, "part", string(id))
}

func (n *named) supplier(id SupplierID) {
	_, ok := n.k.ix.Supplier(id)
	n.must(ok, "supplier", "supplier", string(id))
}

func (n *named) attribute(field string, k AttributeKey) {
	_, ok := n.k.ix.AttributeDef(k)
	n.must(ok, field, "attribute", string(k))
}

func (n *named) seat(field string, s Seat) {
	n.positions(field, s.Position)
	n.attribute(field, s.Name)
}
