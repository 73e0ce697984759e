package page

import (
	"net/http"
	"slices"
	"strconv"
	"strings"
)

// Records of the catalogue that pages edit field by field here and in the files beside,
// parts and fitments also when they are new; whatever else the catalogue holds goes through its tables or the API.

func (p *Pages) partRecord(load func(*http.Request) (*editView, error)) record {
	return p.catalogued(load, func(v *editView) (RecordInput, error) {
		if v.Seen == neverSeen {
			v.Key = v.field("id")
		}
		in := &PartInput{Id: v.Key, Kind: v.field("kind"), Name: v.field("name"), Designation: v.field("designation"),
			Special: v.field("special") != "", Unit: v.field("unit"), NotAvailable: v.field("notAvailable") != "", Note: v.field("note"),
			Standing: Standing(v.field("standing")), Source: v.field("source"),
			Numbers: []NumberInput{}, Attributes: []AttributeInput{}, Contents: []ContentInput{}}
		for _, r := range v.rows("numbers") {
			in.Numbers = append(in.Numbers, NumberInput{Text: r[0], Issuer: r[1], Role: r[2]})
		}
		for _, r := range v.rows("attributes") {
			in.Attributes = append(in.Attributes, AttributeInput{Key: r[0], Value: r[1], At: r[2], Standing: Standing(r[3]), Source: r[4]})
		}
		for _, r := range v.rows("contents") {
			n, err := wholeNumber(say("edit.count"), r[1])
			if err != nil {
				return RecordInput{}, err
			}
			in.Contents = append(in.Contents, ContentInput{Part: r[0], Count: n, Choice: r[2]})
		}
		return RecordInput{Part: in}, nil
	})
}

func (p *Pages) loadPart(r *http.Request) (*editView, error) {
	key := r.PathValue("key")
	data, err := PartToEdit(r.Context(), p.api, key)
	if err != nil {
		return nil, err
	}
	if data.Part == nil {
		return nil, notFound(say("error.part", key))
	}
	return partForm(data), nil
}

// neverSeen is the revision of a record that is not there yet.
const neverSeen = "0"

// loadNewPart is the form of a part that is not there yet.
func (p *Pages) loadNewPart(r *http.Request) (*editView, error) {
	data, err := PartToEdit(r.Context(), p.api, "")
	if err != nil {
		return nil, err
	}
	blank := *data // answers are shared
	blank.Part = &PartToEditPart{Unit: "piece", Standing: StandingStated, Rev: neverSeen}
	v := partForm(&blank)
	v.Title, v.Action, v.Back = say("part.new"), "/catalogue/new/part", "/catalogue/parts"
	v.Fields = slices.Insert(v.Fields, 0, editField{Name: "id", Label: say("edit.key"), Kind: "text", Hint: say("edit.key.hint")})
	return v, nil
}

func partForm(data *PartToEditResponse) *editView {
	x := data.Part
	v := &editView{Title: say("edit.title", x.Name), Action: partPath(x.Key) + "/edit", Back: partPath(x.Key),
		Table: "parts", Key: x.Key, Seen: x.Rev, Revision: data.Shop.CatalogueRevision}
	v.Fields = append([]editField{
		{Name: "name", Label: say("edit.name"), Kind: "long", Value: x.Name},
		{Name: "kind", Label: say("parts.kind"), Kind: "text", Value: x.Kind},
		{Name: "designation", Label: say("edit.designation"), Kind: "text", Value: x.Designation, Hint: say("edit.designation.hint")},
		{Name: "unit", Label: say("edit.unit"), Kind: "select", Value: x.Unit, Options: newOptions("piece", "pair", "set")},
		{Name: "special", Label: say("part.special"), Kind: "tick", Value: tick(x.Special)},
		{Name: "notAvailable", Label: say("part.gone"), Kind: "tick", Value: tick(x.NotAvailable)},
	}, provenance(x.Standing, x.Source, x.Note)...)
	numbers := editGrid{Name: "numbers", Label: say("part.numbers"), Columns: []editField{
		{Name: "text", Label: say("parts.number"), Kind: "text"}, {Name: "issuer", Label: say("edit.issuer"), Kind: "text"},
		{Name: "role", Label: say("edit.role"), Kind: "select", Options: newOptions("current", "superseded", "alternate")}}}
	for _, n := range x.Numbers {
		numbers.Rows = append(numbers.Rows, []string{n.Text, n.Issuer, n.Role})
	}
	contents := editGrid{Name: "contents", Label: say("part.contents"), Columns: []editField{
		{Name: "part", Label: say("propose.part"), Kind: "text"}, {Name: "count", Label: say("edit.count"), Kind: "number"},
		{Name: "choice", Label: say("edit.choice"), Kind: "text"}}}
	for _, c := range x.Contents {
		contents.Rows = append(contents.Rows, []string{c.PartKey, itoa(c.Count), c.Choice})
	}
	v.Grids = []editGrid{attributeGrid(data), numbers, contents}
	v.hints(data.CatalogueProblems)
	return v
}

func attributeGrid(data *PartToEditResponse) editGrid {
	keys := []sideChoice{{"", say("none")}}
	for _, d := range data.AttributeDefs {
		keys = append(keys, sideChoice{d.Key, d.Label + " (" + d.Kind + ")"})
	}
	g := editGrid{Name: "attributes", Label: say("part.attributes"), Columns: []editField{
		{Name: "key", Label: say("part.attribute"), Kind: "select", Options: keys}, {Name: "value", Label: say("part.value"), Kind: "text"},
		{Name: "at", Label: say("edit.seat"), Kind: "text"}, {Name: "standing", Label: say("part.standing"), Kind: "select", Options: standings()},
		{Name: "source", Label: say("edit.source"), Kind: "long"}}}
	for _, a := range data.Part.Stated {
		g.Rows = append(g.Rows, []string{a.Key, a.Text, a.At, string(a.Standing), a.Source})
	}
	return g
}

func (p *Pages) positionRecord() record {
	return p.catalogued(p.loadPosition, func(v *editView) (RecordInput, error) {
		family, name, _ := strings.Cut(v.Key, "/")
		quantity, err := wholeNumber(say("short.pieces"), v.field("quantity"))
		if err != nil {
			return RecordInput{}, err
		}
		order, err := wholeNumber(say("edit.order"), v.field("order"))
		if err != nil {
			return RecordInput{}, err
		}
		return RecordInput{Position: &PositionInput{Id: name, Family: family, Name: v.field("name"), Assembly: v.field("assembly"),
			Kind: v.field("kind"), Quantity: quantity, Life: Life(v.field("life")), Critical: v.field("critical") != "",
			Blocking: v.field("blocking") != "", Outside: v.field("outside") != "", Shaft: v.field("shaft"), From: v.field("from"),
			Width: v.field("width"), Places: v.lines("places"), Order: order, Note: v.field("note"),
			Standing: Standing(v.field("standing")), Source: v.field("source")}}, nil
	})
}

func (p *Pages) loadPosition(r *http.Request) (*editView, error) {
	family, name := r.PathValue("family"), r.PathValue("name")
	data, err := PositionToEdit(r.Context(), p.api, family, name)
	if err != nil {
		return nil, err
	}
	x := data.Position
	if x == nil || data.Family == nil {
		return nil, notFound(say("error.position", name))
	}
	lives := make([]sideChoice, len(AllLife))
	for i, l := range AllLife {
		lives[i] = sideChoice{string(l), say("life." + slug(string(l)))}
	}
	shafts := []sideChoice{{"", say("none")}}
	for _, s := range data.Family.Shafts {
		shafts = append(shafts, sideChoice{s.Key, s.Name})
	}
	v := &editView{Title: say("edit.title", x.Label), Action: positionPath(family, name) + "/edit", Back: familyPath(family) + "#" + anchor("p", name),
		Table: "positions", Key: x.Key, Seen: x.Rev, Revision: data.Shop.CatalogueRevision}
	v.Fields = append([]editField{
		{Name: "name", Label: say("edit.name"), Kind: "long", Value: x.Label},
		{Name: "assembly", Label: say("edit.assembly"), Kind: "text", Value: x.Assembly},
		{Name: "kind", Label: say("parts.kind"), Kind: "text", Value: x.Kind},
		{Name: "quantity", Label: say("short.pieces"), Kind: "number", Value: itoa(x.Quantity)},
		{Name: "life", Label: say("edit.life"), Kind: "select", Value: string(x.Life), Options: lives},
		{Name: "shaft", Label: say("edit.shaft"), Kind: "select", Value: x.Shaft, Options: shafts},
		{Name: "from", Label: say("edit.from"), Kind: "length", Value: x.From},
		{Name: "width", Label: say("edit.width"), Kind: "length", Value: x.Width},
		{Name: "order", Label: say("edit.order"), Kind: "number", Value: itoa(x.Order)},
		{Name: "critical", Label: say("decide.critical"), Kind: "tick", Value: tick(x.Critical)},
		{Name: "blocking", Label: say("edit.blocking"), Kind: "tick", Value: tick(x.Blocking)},
		{Name: "outside", Label: say("edit.outside"), Kind: "tick", Value: tick(x.Outside)},
		{Name: "places", Label: say("edit.places"), Kind: "lines", Value: strings.Join(x.Places, "\n"), Hint: say("edit.lines")},
	}, provenance(x.Standing, x.Source, x.Note)...)
	v.hints(data.CatalogueProblems)
	return v, nil
}

func (p *Pages) variantRecord() record {
	return p.catalogued(p.loadVariant, func(v *editView) (RecordInput, error) {
		in := &VariantInput{Id: v.Key, Family: v.field("family"), Name: v.field("name"), Without: v.lines("without"), Note: v.field("note"),
			Standing: Standing(v.field("standing")), Source: v.field("source"), Teeth: []ToothCountInput{}}
		for _, f := range v.Fields {
			wheel, ok := strings.CutPrefix(f.Name, "teeth ")
			if !ok || f.Value == "" {
				continue
			}
			n, err := wholeNumber(f.Label, f.Value)
			if err != nil {
				return RecordInput{}, err
			}
			in.Teeth = append(in.Teeth, ToothCountInput{Wheel: wheel, Teeth: n})
		}
		return RecordInput{Variant: in}, nil
	})
}

func (p *Pages) loadVariant(r *http.Request) (*editView, error) {
	key := r.PathValue("key")
	data, err := VariantToEdit(r.Context(), p.api, key)
	if err != nil {
		return nil, err
	}
	x := data.Variant
	if x == nil {
		return nil, notFound(say("error.variant", key))
	}
	v := &editView{Title: say("edit.title", x.Name), Action: variantPath(key) + "/edit", Back: variantPath(key),
		Table: "variants", Key: key, Seen: x.Rev, Revision: data.Shop.CatalogueRevision}
	v.Fields = []editField{
		{Name: "name", Label: say("edit.name"), Kind: "long", Value: x.Name},
		{Name: "family", Label: say("edit.family"), Kind: "select", Value: x.Family.Key, Options: []sideChoice{{x.Family.Key, x.Family.Name}}},
	}
	v.Fields = append(v.Fields, toothFields(x)...)
	v.Fields = append(v.Fields, editField{Name: "without", Label: say("edit.without"), Kind: "lines", Value: strings.Join(x.Without, "\n"), Hint: say("edit.lines")})
	v.Fields = append(v.Fields, provenance(x.Standing, x.Source, x.Note)...)
	v.hints(data.CatalogueProblems)
	return v, nil
}

// toothFields are the counts in the order in which they are stored, so that saving
// does not shuffle them, and then the wheels that nobody counted.
func toothFields(x *VariantToEditVariant) []editField {
	var counted, open []editField
	for _, t := range x.Teeth {
		counted = append(counted, editField{Name: "teeth " + t.Wheel, Label: say("edit.teeth", t.Wheel), Kind: "number", Value: itoa(t.Teeth)})
	}
	for _, w := range x.Family.Wheels {
		name := "teeth " + w.Key
		if i := slices.IndexFunc(counted, func(f editField) bool { return f.Name == name }); i >= 0 {
			counted[i].Label = say("edit.teeth", w.Label)
			continue
		}
		open = append(open, editField{Name: name, Label: say("edit.teeth", w.Label), Kind: "number"})
	}
	return append(counted, open...)
}

func positionPath(family, name string) string {
	return "/catalogue/positions/" + pathEscape(family) + "/" + pathEscape(name)
}

// wholeNumber reads a count that was typed; what was meant by an empty field is
// not guessed.
func wholeNumber(what, text string) (int, error) {
	n, err := strconv.Atoi(text)
	if err != nil {
		return 0, &refusal{http.StatusUnprocessableEntity, say("error.number", what), say("edit.number.remedy")}
	}
	return n, nil
}
