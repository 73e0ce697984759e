package page

import (
	"net/http"
	"slices"
	"strings"
)

// Rules of a family that pages edit field by field: mates, bonds, stacks and limits.

// rulePath is the form of a rule; its key is "family/identifier".
func rulePath(table, key string) string {
	family, id, _ := strings.Cut(key, "/")
	return "/catalogue/rules/" + table + "/" + pathEscape(family) + "/" + pathEscape(id) + "/edit"
}

// ruleTables are the tables whose records belong to a family and have a form here.
var ruleTables = []string{"mates", "bonds", "stacks", "limits"}

func (p *Pages) ruleRecord() record {
	return p.catalogued(p.loadRule, func(v *editView) (RecordInput, error) {
		family, id, _ := strings.Cut(v.Key, "/")
		standing, source := Standing(v.field("standing")), v.field("source")
		switch v.Table {
		case "mates":
			return RecordInput{Mate: &MateInput{Id: id, Family: family, A: v.seat("a"), B: v.seat("b"), Relation: Relation(v.field("relation")),
				Min: v.size("min"), Max: v.size("max"), Reason: v.field("reason"), Standing: standing, Source: source}}, nil
		case "bonds":
			return RecordInput{Bond: &BondInput{Id: id, Family: family, Kind: v.field("kind"), Positions: v.lines("positions"),
				Advice: v.field("advice") != "", Reason: v.field("reason"), Standing: standing, Source: source}}, nil
		case "limits":
			return RecordInput{Limit: &LimitInput{Id: id, Family: family, Position: v.field("position"), What: v.field("what"),
				NewMin: v.size("newMin"), NewMax: v.size("newMax"), WearMin: some(v.field("wearMin")), WearMax: some(v.field("wearMax")),
				Instrument: v.field("instrument"), Resolution: v.size("resolution"), Key: v.field("key"), At: v.field("at"),
				Standing: standing, Source: source}}, nil
		}
		return v.stack(family, id)
	})
}

func (v *editView) stack(family, id string) (RecordInput, error) {
	count, err := wholeNumber(say("rule.maxCount"), v.field("maxCount"))
	if err != nil {
		return RecordInput{}, err
	}
	return RecordInput{Stack: &StackInput{Id: id, Family: family, Name: v.field("name"), Position: v.field("position"),
		Members: v.lines("members"), Method: v.field("method"), Min: v.size("min"), Max: v.size("max"), Aim: v.size("aim"),
		ThickerOpens: v.field("thickerOpens") != "", TorqueMin: v.torque("torqueMin"), TorqueMax: v.torque("torqueMax"),
		TorquePerGrade: v.torque("torquePerGrade"), Gasket: v.size("gasket"), GasketSigma: v.size("gasketSigma"), MaxCount: count,
		Thinnest: v.size("thinnest"), Span: v.size("span"), Material: v.field("material"), Preferred: v.field("preferred"),
		Note: v.field("note"), Standing: Standing(v.field("standing")), Source: v.field("source")}}, nil
}

// size of a field; an emptied one is nought.
func (v *editView) size(name string) string {
	if s := v.field(name); s != "" {
		return s
	}
	return "0"
}

func (v *editView) torque(name string) string {
	if s := v.field(name); s != "" {
		return s
	}
	return "0 N.m"
}

func (v *editView) seat(name string) SeatInput {
	return SeatInput{Position: v.field(name + " position"), Key: v.field(name + " key"), At: v.field(name + " at")}
}

func (p *Pages) loadRule(r *http.Request) (*editView, error) {
	family, id, table := r.PathValue("family"), r.PathValue("id"), r.PathValue("table")
	data, err := RulesToEdit(r.Context(), p.api, family)
	if err != nil {
		return nil, err
	}
	none := notFound(say("error.rule", id))
	if data.Family == nil || !slices.Contains(ruleTables, table) {
		return nil, none
	}
	v := &editView{Table: table, Key: family + "/" + id, Back: familyPath(family), Revision: data.Shop.CatalogueRevision}
	v.Title, v.Action = say("edit.title", id), rulePath(table, v.Key)
	switch table {
	case "mates":
		v.mate(data, id)
	case "bonds":
		v.bond(data, id)
	case "stacks":
		v.stackFields(data, id)
	default:
		v.limit(data, id)
	}
	if len(v.Fields) == 0 {
		return nil, none
	}
	v.hints(data.CatalogueProblems)
	return v, nil
}

// places of the family to choose from.
func places(data *RulesToEditResponse) []sideChoice {
	out := []sideChoice{{"", say("fit.choose")}}
	for _, x := range data.Family.Positions {
		out = append(out, sideChoice{x.Name, x.Label})
	}
	return out
}

func properties(data *RulesToEditResponse) []sideChoice {
	out := []sideChoice{{"", say("none")}}
	for _, x := range data.AttributeDefs {
		out = append(out, sideChoice{x.Key, x.Label})
	}
	return out
}

func (v *editView) mate(data *RulesToEditResponse, id string) {
	at := slices.IndexFunc(data.Family.Mates, func(m MateToEdit) bool { return m.Key == id })
	if at < 0 {
		return
	}
	x := &data.Family.Mates[at]
	relations := make([]sideChoice, len(AllRelation))
	for i, r := range AllRelation {
		relations[i] = sideChoice{string(r), say("relation." + slug(string(r)))}
	}
	all := places(data)
	v.Seen = x.Rev
	v.Fields = append([]editField{
		{Name: "a position", Label: say("rule.first") + ": " + say("short.where"), Kind: "select", Value: x.A.Position, Options: all},
		{Name: "a key", Label: say("rule.first") + ": " + say("part.attribute"), Kind: "select", Value: x.A.Key, Options: properties(data)},
		{Name: "a at", Label: say("rule.first") + ": " + say("edit.seat"), Kind: "text", Value: x.A.At},
		{Name: "relation", Label: say("rule.relation"), Kind: "select", Value: string(x.Relation), Options: relations},
		{Name: "b position", Label: say("rule.second") + ": " + say("short.where"), Kind: "select", Value: x.B.Position, Options: all},
		{Name: "b key", Label: say("rule.second") + ": " + say("part.attribute"), Kind: "select", Value: x.B.Key, Options: properties(data)},
		{Name: "b at", Label: say("rule.second") + ": " + say("edit.seat"), Kind: "text", Value: x.B.At},
		{Name: "min", Label: say("rule.min"), Kind: "length", Value: x.Min, Hint: say("rule.window.hint")},
		{Name: "max", Label: say("rule.max"), Kind: "length", Value: x.Max},
		{Name: "reason", Label: say("rule.reason"), Kind: "long", Value: x.Reason},
	}, provenance(x.Standing, x.Source, "")[1:]...)
}

func (v *editView) bond(data *RulesToEditResponse, id string) {
	at := slices.IndexFunc(data.Family.Bonds, func(b BondToEdit) bool { return b.Key == id })
	if at < 0 {
		return
	}
	x := &data.Family.Bonds[at]
	kinds := []sideChoice{{"worn-together", say("bond.worn-together")}, {"sold-together", say("bond.sold-together")}}
	v.Seen = x.Rev
	v.Fields = append([]editField{
		{Name: "kind", Label: say("parts.kind"), Kind: "select", Value: x.Kind, Options: kinds},
		{Name: "positions", Label: say("rule.positions"), Kind: "lines", Value: strings.Join(x.Positions, "\n"), Hint: say("edit.lines")},
		{Name: "advice", Label: say("rule.advice"), Kind: "tick", Value: tick(x.Advice)},
		{Name: "reason", Label: say("rule.reason"), Kind: "long", Value: x.Reason},
	}, provenance(x.Standing, x.Source, "")[1:]...)
}

func (v *editView) stackFields(data *RulesToEditResponse, id string) {
	at := slices.IndexFunc(data.Family.Stacks, func(s StackToEdit) bool { return s.Key == id })
	if at < 0 {
		return
	}
	x := &data.Family.Stacks[at]
	v.Seen = x.Rev
	v.Fields = []editField{
		{Name: "name", Label: say("edit.name"), Kind: "long", Value: x.Name},
		{Name: "position", Label: say("rule.set"), Kind: "select", Value: x.Position, Options: places(data)},
		{Name: "members", Label: say("rule.members"), Kind: "lines", Value: strings.Join(x.Members, "\n"), Hint: say("edit.lines")},
		{Name: "method", Label: say("rule.method"), Kind: "select", Value: x.Method, Options: newOptions("depth-and-height", "trial-play",
			"trial-preload", "feeler", "crushed-wire", "groove", "turning-torque", "hold-down")},
		{Name: "thickerOpens", Label: say("rule.thicker"), Kind: "tick", Value: tick(x.ThickerOpens)},
		{Name: "maxCount", Label: say("rule.maxCount"), Kind: "number", Value: itoa(x.MaxCount)},
		{Name: "preferred", Label: say("rule.preferred"), Kind: "select", Value: x.Preferred, Options: append([]sideChoice{{"", say("none")}}, newOptions("loose", "tight")...)},
		{Name: "material", Label: say("rule.material"), Kind: "text", Value: x.Material},
	}
	for _, s := range [][2]string{{"min", x.Min}, {"max", x.Max}, {"aim", x.Aim}, {"torqueMin", x.TorqueMin}, {"torqueMax", x.TorqueMax},
		{"torquePerGrade", x.TorquePerGrade}, {"gasket", x.Gasket}, {"gasketSigma", x.GasketSigma}, {"thinnest", x.Thinnest}, {"span", x.Span}} {
		kind := "length"
		if strings.HasPrefix(s[0], "torque") {
			kind = "torque"
		}
		v.Fields = append(v.Fields, editField{Name: s[0], Label: say("rule." + s[0]), Kind: kind, Value: s[1]})
	}
	v.Fields = append(v.Fields, provenance(x.Standing, x.Source, x.Note)...)
}

func (v *editView) limit(data *RulesToEditResponse, id string) {
	for i := range data.Family.Positions {
		limits := data.Family.Positions[i].Limits
		at := slices.IndexFunc(limits, func(l LimitToEdit) bool { return l.Key == id })
		if at < 0 {
			continue
		}
		x := &limits[at]
		v.Seen = x.Rev
		v.Fields = append([]editField{
			{Name: "position", Label: say("short.where"), Kind: "select", Value: x.Position, Options: places(data)},
			{Name: "what", Label: say("rule.what"), Kind: "text", Value: x.What},
			{Name: "newMin", Label: say("rule.newMin"), Kind: "length", Value: x.NewMin},
			{Name: "newMax", Label: say("rule.newMax"), Kind: "length", Value: x.NewMax},
			{Name: "wearMin", Label: say("rule.wearMin"), Kind: "length", Value: deref(x.WearMin), Hint: say("rule.wear.hint")},
			{Name: "wearMax", Label: say("rule.wearMax"), Kind: "length", Value: deref(x.WearMax), Hint: say("rule.wear.hint")},
			{Name: "instrument", Label: say("rule.instrument"), Kind: "text", Value: x.Instrument},
			{Name: "resolution", Label: say("rule.resolution"), Kind: "length", Value: x.Resolution},
			{Name: "key", Label: say("part.attribute"), Kind: "select", Value: x.Attribute, Options: properties(data)},
			{Name: "at", Label: say("edit.seat"), Kind: "text", Value: x.At},
		}, provenance(x.Standing, x.Source, "")[1:]...)
		return
	}
}
