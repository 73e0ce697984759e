package exchange

import (
	"slices"
	"strings"

	"layshaft/catalog"
)

// builder is a catalogue in the making, with the parents of nested rows.
type builder struct {
	c     *catalog.Catalogue
	kinds *kinds

	families      map[string]*catalog.Family
	variants      map[string]*catalog.Variant
	parts         map[string]*catalog.Part
	features      map[string]*catalog.Feature
	supersessions map[string]*catalog.Supersession
	offers        map[string]*catalog.Offer
}

func newBuilder() *builder {
	return &builder{
		c: &catalog.Catalogue{}, kinds: newKinds(),
		families: map[string]*catalog.Family{}, variants: map[string]*catalog.Variant{},
		parts: map[string]*catalog.Part{}, features: map[string]*catalog.Feature{},
		supersessions: map[string]*catalog.Supersession{}, offers: map[string]*catalog.Offer{},
	}
}

func (b *builder) addFamily(r *catalog.Family) {
	b.c.Families = append(b.c.Families, r)
	b.families[r.Key()] = r
}

func (b *builder) addVariant(r *catalog.Variant) {
	b.c.Variants = append(b.c.Variants, r)
	b.variants[r.Key()] = r
}

func (b *builder) addAttribute(r *catalog.AttributeDef) {
	b.c.Attributes = append(b.c.Attributes, r)
	b.kinds.attributes[r.Name] = r.Kind
}

func (b *builder) addPart(r *catalog.Part) {
	b.c.Parts = append(b.c.Parts, r)
	b.parts[r.Key()] = r
}

func (b *builder) addFeature(r *catalog.Feature) {
	b.c.Features = append(b.c.Features, r)
	b.features[r.Key()] = r
	b.kinds.features[r.Key()] = r.Kind
}

func (b *builder) addSupersession(r *catalog.Supersession) {
	b.c.Supersessions = append(b.c.Supersessions, r)
	b.supersessions[r.Key()] = r
}

func (b *builder) addOffer(r *catalog.Offer) {
	b.c.Offers = append(b.c.Offers, r)
	b.offers[r.Key()] = r
}

// decode reads every row, good or bad; the builder is thrown away when there
// are faults, but nested rows and value cells still find their parents.
func (t *table[R]) decode(b *builder, g *grid) (faults []Fault) {
	for _, gr := range g.rows {
		row := t.fresh()
		for _, c := range t.cols {
			if _, there := g.at[c.Name]; !there {
				continue
			}
			cell := g.cell(gr, c.Name)
			if bad := c.read(b.kinds, row, cell); bad != nil {
				faults = append(faults, Fault{File: g.file, Row: gr.number, Column: c.Name, Cell: shorten(cell),
					Reason: bad.reason, Repair: bad.repair})
			}
		}
		t.put(b, row)
	}
	return faults
}

// read puts one cell into a row after the checks that all columns share.
func (c *column[R]) read(k *kinds, row *R, cell string) *refusal {
	verbatim := c.Type == TypeText || c.Type == TypeValue
	trimmed := strings.TrimSpace(cell)
	if !verbatim {
		cell = trimmed
	}
	if trimmed == "" && c.Required {
		return refusef("fill it in", "the cell is empty")
	}
	if cell == "" {
		return nil
	}
	if c.Type == TypeWord && !slices.Contains(c.Words, cell) {
		return refusef("write one of: "+strings.Join(c.Words, ", "), "not a word that is allowed here")
	}
	if c.Type == TypeID {
		if bad := checkID(cell); bad != nil {
			return bad
		}
	}
	return c.parse(k, row, cell)
}

func checkID(id string) *refusal {
	if catalog.ValidID(id) {
		return nil
	}
	return refusef(catalog.IDRule, "not an identifier")
}

// lookUp reports references to rows that do not exist, keys used twice, and
// list items of references, over all tables at once.
func lookUp(layouts []TableLayout, grids map[string]*grid) (faults []Fault) {
	known := map[string]map[string]bool{}
	families := keySet(grids["families"], []string{"id"})
	for _, l := range layouts {
		g := grids[l.Name]
		if g == nil {
			continue
		}
		faults = append(faults, duplicates(l, g)...)
		for _, ref := range l.References {
			target := ref.Table + "\x00" + strings.Join(ref.To, "\x00")
			if known[target] == nil {
				known[target] = keySet(grids[ref.Table], ref.To)
			}
			faults = append(faults, dangling(l, g, ref, known[target], families)...)
		}
	}
	return faults
}

func keySet(g *grid, columns []string) map[string]bool {
	set := map[string]bool{}
	if g == nil {
		return set
	}
	for _, r := range g.rows {
		set[joinCells(g, r, columns)] = true
	}
	return set
}

func joinCells(g *grid, r gridRow, columns []string) string {
	cells := make([]string, len(columns))
	for i, c := range columns {
		cells[i] = strings.TrimSpace(g.cell(r, c))
	}
	return strings.Join(cells, "\x00")
}

func duplicates(l TableLayout, g *grid) (faults []Fault) {
	first := map[string]int{}
	for _, r := range g.rows {
		k := joinCells(g, r, l.Key)
		if strings.Trim(k, "\x00") == "" {
			continue // reported as empty already
		}
		if at, twice := first[k]; twice {
			bad := refusef("remove one of the two rows or give it another key", "the same %s as in row %d", strings.Join(l.Key, ", "), at)
			faults = append(faults, Fault{File: g.file, Row: r.number, Column: l.Key[len(l.Key)-1],
				Cell: shorten(strings.ReplaceAll(k, "\x00", " ")), Reason: bad.reason, Repair: bad.repair})
			continue
		}
		first[k] = r.number
	}
	return faults
}

// dangling reports rows whose reference finds nothing. Only the last column of
// a reference is looked into: the family before it has a reference of its own,
// and when that finds nothing, the rest is not looked up.
func dangling(l TableLayout, g *grid, ref Reference, known, families map[string]bool) (faults []Fault) {
	last := len(ref.Columns) - 1
	column, _ := l.Column(ref.Columns[last])
	for _, r := range g.rows {
		prefix := ""
		if last > 0 {
			family := joinCells(g, r, ref.Columns[:last])
			if !families[family] {
				continue
			}
			prefix = family + "\x00"
		}
		cell := strings.TrimSpace(g.cell(r, column.Name))
		items := []string{cell}
		if column.Type == TypeList {
			items = strings.Split(cell, listMark)
		}
		for _, item := range items {
			item = strings.TrimSpace(item)
			if item == "" || known[prefix+item] {
				continue
			}
			faults = append(faults, Fault{File: g.file, Row: r.number, Column: column.Name, Cell: shorten(item),
				Reason: "no such row in table " + ref.Table, Repair: "correct it or add the row to " + ref.Table})
		}
	}
	return faults
}
