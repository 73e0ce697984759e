package catalog

// checkKeys reports identifiers that can't stand in keys, records with one key
// and nested rows that say the same thing twice.
func checkKeys(k *checkup) {
	seen := map[Table]map[string]bool{}
	k.c.Records(func(r Record) {
		if seen[r.Table()] == nil {
			seen[r.Table()] = map[string]bool{}
		}
		if seen[r.Table()][r.Key()] {
			k.severe(r, fault{"duplicate-key", "", "Remove one of the two or give it another id"}, "Two records have this key.")
		}
		seen[r.Table()][r.Key()] = true
		k.checkIDs(r)
		k.checkRows(r)
	})
}

func (k *checkup) checkIDs(r Record) {
	id := func(field, s string) {
		if !ValidID(s) {
			k.severe(r, fault{"bad-id", field, "In identifiers, " + IDRule}, "%q is not an identifier.", s)
		}
	}
	switch r := r.(type) {
	case *Family:
		id("id", string(r.ID))
		for _, s := range r.Shafts {
			id("shafts", s.ID)
		}
		for _, w := range r.Wheels {
			id("wheels", w.ID)
		}
		for _, m := range r.Meshes {
			id("meshes", m.ID)
		}
	case *Variant:
		id("id", string(r.ID))
	case *Position:
		id("id", string(r.ID))
	case *AttributeDef:
		id("key", string(r.Name))
	case *Part:
		id("id", string(r.ID))
	case *Mate:
		id("id", r.ID)
	case *Bond:
		id("id", r.ID)
	case *Stack:
		id("id", r.ID)
	case *Limit:
		id("id", r.ID)
	case *Feature:
		id("id", r.ID)
	case *Supersession:
		id("id", r.ID)
	case *Supplier:
		id("id", string(r.ID))
	case *Offer:
		id("id", r.ID)
	}
}

// checkRows reports nested rows with one key.
func (k *checkup) checkRows(r Record) {
	seen := map[string]bool{}
	once := func(field string, parts ...string) {
		row := key(parts...)
		if seen[field+"\x00"+row] {
			k.severe(r, fault{"duplicate-row", field, "Remove one of the two"}, "%s is listed twice.", row)
		}
		seen[field+"\x00"+row] = true
	}
	switch r := r.(type) {
	case *Family:
		for _, s := range r.Shafts {
			once("shafts", s.ID)
		}
		for _, w := range r.Wheels {
			once("wheels", w.ID)
		}
		for _, m := range r.Meshes {
			once("meshes", m.ID)
		}
		for _, s := range r.Speeds {
			once("speeds", s.Name)
		}
	case *Variant:
		for _, t := range r.Teeth {
			once("teeth", t.Wheel)
		}
		for _, p := range r.Without {
			once("without", string(p))
		}
	case *Part:
		for _, n := range r.Numbers {
			once("numbers", n.Issuer, n.Text)
		}
		for _, a := range r.Attributes {
			once("attributes", string(a.Name), a.At)
		}
		for _, in := range r.Contents {
			once("contents", string(in.Part), in.Choice)
		}
	case *Stack:
		for _, m := range r.Members {
			once("members", string(m))
		}
	case *Feature:
		for _, v := range r.Values {
			once("values", string(v.Variant))
		}
	case *Supersession:
		for _, in := range r.Companions {
			once("companions", string(in.Part), in.Choice)
		}
	}
}
