package trial

import (
	"encoding/csv"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strconv"
	"strings"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// HandList is a list written by hand with its truth. Of one physical line with
// several items there are several truths, in order.
type HandList struct {
	ID        string
	Catalogue string
	Style     string
	File      string // name of the file that it stands in
	// Apart: the list was not looked at while the matcher was made.
	Apart bool
	Kit
}

// ReadCatalogue reads a table of fits, one row for each part at a position, as
// the README of the corpus explains, and adds it to c. The family's id is name.
func ReadCatalogue(fsys fs.FS, name string, c *catalog.Catalogue) error {
	f, err := fsys.Open(name + ".csv")
	if err != nil {
		return err
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return fmt.Errorf("%s.csv: %w", name, err)
	}
	family := catalog.FamilyID(name)
	c.Families = append(c.Families, &catalog.Family{ID: family, Name: strings.ToUpper(name[:1]) + name[1:]})
	variants, positions, parts := map[string]bool{}, map[string]bool{}, map[string]bool{}
	for i, r := range rows[1:] {
		if !positions[r[0]] {
			positions[r[0]] = true
			qty, err := strconv.Atoi(r[2])
			if err != nil {
				return fmt.Errorf("%s.csv row %d: quantity %q", name, i+2, r[2])
			}
			label := r[6]
			if label == "" {
				label = strings.ReplaceAll(r[0][strings.IndexByte(r[0], '-')+1:], "-", " ")
			}
			c.Positions = append(c.Positions, &catalog.Position{ID: catalog.PositionID(r[0]), Family: family, Name: label,
				Assembly: catalog.Assembly(r[1]), Kind: catalog.PartKind(r[5]), Quantity: qty, Order: i})
		}
		if !parts[r[4]] {
			parts[r[4]] = true
			p, err := handPart(r)
			if err != nil {
				return fmt.Errorf("%s.csv row %d: %w", name, i+2, err)
			}
			c.Parts = append(c.Parts, p)
		}
		for _, v := range r[3] {
			id := catalog.VariantID(name + "-" + string(v))
			if !variants[string(id)] {
				variants[string(id)] = true
				c.Variants = append(c.Variants, &catalog.Variant{ID: id, Family: family, Name: strings.ToUpper(string(id))})
			}
			c.Fitments = append(c.Fitments, &catalog.Fitment{Variant: id, Position: catalog.PositionID(r[0]), Part: catalog.PartID(r[4]), Standard: true})
		}
	}
	return nil
}

func handPart(r []string) (*catalog.Part, error) {
	p := &catalog.Part{ID: catalog.PartID(r[4]), Kind: catalog.PartKind(r[5]), Name: r[6], Designation: r[8], Unit: catalog.UnitPiece}
	if strings.HasSuffix(r[5], "set") {
		p.Unit = catalog.UnitSet
	}
	for k, n := range strings.Split(r[7], "|") {
		role := catalog.NumberCurrent
		if k > 0 {
			role = catalog.NumberSuperseded
		}
		p.Numbers = append(p.Numbers, &catalog.Number{Issuer: "maker", Text: n, Role: role})
	}
	for a := range strings.SplitSeq(r[9], ";") {
		key, value, ok := strings.Cut(a, "=")
		if !ok {
			continue
		}
		v := catalog.TextValue(value)
		switch key {
		case "teeth":
			n, err := strconv.Atoi(value)
			if err != nil {
				return nil, err
			}
			v = catalog.CountValue(n)
		case "bore", "outside", "width", "thickness", "length":
			l, err := quantity.ParseLength(value)
			if err != nil {
				return nil, err
			}
			v = catalog.LengthValue(l)
		}
		p.Attributes = append(p.Attributes, &catalog.Attribute{Name: catalog.AttributeKey(key), Value: v})
	}
	return p, nil
}

// ReadLists reads every lists-*.txt of the corpus.
func ReadLists(fsys fs.FS) ([]*HandList, error) {
	names, err := fs.Glob(fsys, "lists-*.txt")
	if err != nil {
		return nil, err
	}
	slices.Sort(names)
	var out []*HandList
	for _, name := range names {
		b, err := fs.ReadFile(fsys, name)
		if err != nil {
			return nil, err
		}
		for i, line := range strings.Split(strings.TrimSuffix(string(b), "\n"), "\n") {
			if rest, ok := strings.CutPrefix(line, "@ "); ok {
				h := strings.SplitN(rest, " ", 4)
				if len(h) != 4 {
					return nil, fmt.Errorf("%s line %d: want \"@ id catalogue variant style\"", path.Base(name), i+1)
				}
				out = append(out, &HandList{File: name, Apart: strings.Contains(name, "apart"), ID: h[0], Catalogue: h[1], Style: h[3], Kit: Kit{
					Family: catalog.FamilyID(h[1]), Variant: catalog.VariantID(h[1] + "-" + h[2])}})
				continue
			}
			truth, text, ok := strings.Cut(line, " | ")
			if !ok || len(out) == 0 {
				return nil, fmt.Errorf("%s line %d: want \"truth | text\"", path.Base(name), i+1)
			}
			if err := out[len(out)-1].add(truth, strings.ReplaceAll(text, `\t`, "\t")); err != nil {
				return nil, fmt.Errorf("%s line %d: %w", path.Base(name), i+1, err)
			}
		}
	}
	return out, nil
}

// add appends a physical line with its truths.
func (h *HandList) add(truth, text string) error {
	if h.Text != "" {
		h.Text += "\n"
	}
	h.Text += text
	no := strings.Count(h.Text, "\n") + 1
	switch truth = strings.TrimSpace(truth); truth {
	case ">":
		return nil
	case "H", "N", "-":
		h.Truth = append(h.Truth, Truth{No: no, Kind: map[string]string{"H": "heading", "N": "note", "-": "noise"}[truth], Text: text})
		return nil
	}
	for s := range strings.SplitSeq(truth, " + ") {
		t := Truth{No: no, Kind: "item", Text: text}
		s, t.Ambiguous = strings.CutPrefix(s, "?")
		part, rest, ok := strings.Cut(s, "*")
		if !ok || rest == "" {
			return fmt.Errorf("truth %q has no quantity", s)
		}
		ids := strings.Split(part, "/")
		t.Part = catalog.PartID(ids[0])
		if part == "none" {
			t.Part = ""
		}
		for _, id := range ids[1:] {
			t.Also = append(t.Also, catalog.PartID(id))
		}
		if err := t.marks(rest); err != nil {
			return err
		}
		h.Truth = append(h.Truth, t)
	}
	return nil
}

// marks reads "2#x": pieces and flags.
func (t *Truth) marks(s string) error {
	for i := 0; i < len(s); i++ {
		switch c := s[i]; {
		case c >= '0' && c <= '9':
			t.Pieces = t.Pieces*10 + int(c-'0')
		case c == '#':
			t.Number = true
		case c == 'x':
			t.Excluded = true
		case c == 'c':
			t.Conditional = true
		case c == 'n':
			t.NotAvailable = true
		case c == 'a' && i+1 < len(s):
			i++
			t.Alternative = int(s[i] - '0')
		default:
			return fmt.Errorf("mark %q is not known", string(c))
		}
	}
	return nil
}
