package page

import (
	"net/http"
	"slices"
	"strings"

	"github.com/a-h/templ"

	"layshaft/catalog/quantity"
)

// editView is the form of one record of the catalogue. What was typed stays in it
// until it is stored, whatever refuses it.
type editView struct {
	Title, Action, Back string
	History             string // address of what was changed before
	Done                string // address to go to when it is stored
	Table, Key          string
	Seen                string // revision that the form shows; "0" for a new record
	Fields              []editField
	Grids               []editGrid
	Beside              []hit // records that stand where this one will
	Why                 string
	Revision            string   // of the catalogue
	Job                 *JobHead // of the job whose head it is; nil for a record of the catalogue
	General             []told   // problems that belong to no field
	Stale               bool     // somebody else changed the record; the fields say how
}

// editField is one field with what is stored now and what is wrong with it.
type editField struct {
	Name, Label string
	Kind        string // text, long, area, number, length, torque, date, tick, select or lines
	Value       string
	Options     []sideChoice
	Hint        string
	Now         string // what is stored meanwhile, when it differs and the form is stale
	Told        []told
}

// editGrid is a list inside a record: a row of fields for each entry.
type editGrid struct {
	Name, Label string
	Columns     []editField
	Rows        [][]string
	Told        []told
}

// spareRows are offered below the entries of a grid.
const spareRows = 2

// maxRows bounds the rows read from a form.
const maxRows = 200

func (v *editView) field(name string) string {
	i := slices.IndexFunc(v.Fields, func(f editField) bool { return f.Name == name })
	if i < 0 {
		return ""
	}
	return v.Fields[i].Value
}

// lines of a field that holds one item a line.
func (v *editView) lines(name string) []string {
	out := []string{}
	for l := range strings.Lines(v.field(name)) {
		if l = strings.TrimSpace(l); l != "" {
			out = append(out, l)
		}
	}
	return out
}

// rows of a grid that say something.
func (v *editView) rows(name string) [][]string {
	for _, g := range v.Grids {
		if g.Name == name {
			return slices.DeleteFunc(slices.Clone(g.Rows), g.empty)
		}
	}
	return nil
}

// typed puts what a person typed over what is stored.
func (v *editView) typed(r *http.Request) {
	for i := range v.Fields {
		f := &v.Fields[i]
		stored := f.Value
		f.Value = strings.TrimSpace(strings.ReplaceAll(r.PostFormValue(f.Name), "\r\n", "\n"))
		if f.Value != stored {
			f.Now = stored
		}
	}
	for i := range v.Grids {
		g := &v.Grids[i]
		g.Rows = nil
		for n := 0; n < maxRows; n++ {
			prefix := g.Name + "." + itoa(n) + "."
			if _, ok := r.PostForm[prefix+g.Columns[0].Name]; !ok {
				break
			}
			row := make([]string, len(g.Columns))
			for c := range g.Columns {
				row[c] = field(r, prefix+g.Columns[c].Name)
			}
			g.Rows = append(g.Rows, row)
		}
	}
	v.Why, v.Seen = field(r, "why"), field(r, "seen")
}

// shown rows of a grid: its entries and some empty ones.
func (g *editGrid) shown() [][]string {
	out := slices.Clone(g.Rows)
	empty := 0
	for i := len(out) - 1; i >= 0 && g.empty(out[i]); i-- {
		empty++
	}
	for ; empty < spareRows; empty++ {
		out = append(out, make([]string, len(g.Columns)))
	}
	return out
}

// empty reports whether nobody wrote into a row: a choice that offers no nothing
// does not count.
func (g *editGrid) empty(row []string) bool {
	for i, c := range g.Columns {
		if row[i] != "" && (c.Kind != "select" || c.Options[0].Value == "") {
			return false
		}
	}
	return true
}

// tell puts each problem beside the field that it names.
func (v *editView) tell(place string, t told) {
	for i := range v.Fields {
		if place == v.Fields[i].Name || strings.HasPrefix(place, v.Fields[i].Name+" ") {
			v.Fields[i].Told = append(v.Fields[i].Told, t)
			return
		}
	}
	for i := range v.Grids {
		if word, _, _ := strings.Cut(place, " "); word == v.Grids[i].Name || word+"s" == v.Grids[i].Name {
			v.Grids[i].Told = append(v.Grids[i].Told, t)
			return
		}
	}
	v.General = append(v.General, t)
}

// hints are what the check of the catalogue says of the record now.
func (v *editView) hints(all []ProblemRow) {
	for _, p := range all {
		if p.Table == v.Table && p.Key == v.Key {
			v.tell(p.Field, told{p.Code, p.Reason, "", p.Repair})
		}
	}
}

// record makes a form for a record: what is stored, and how what was typed is kept.
// What refuses it comes back, and is told in the view.
type record struct {
	load func(*http.Request) (*editView, error)
	keep func(*http.Request, *editView) ([]told, error)
}

// catalogued is a record of the catalogue.
func (p *Pages) catalogued(load func(*http.Request) (*editView, error), send func(*editView) (RecordInput, error)) record {
	return record{load: func(r *http.Request) (*editView, error) {
		v, err := load(r)
		if err == nil && v.Key != "" {
			v.History = historyPath(v.Table, v.Key)
		}
		return v, err
	}, keep: func(r *http.Request, v *editView) ([]told, error) {
		if faults := v.unreadable(); len(faults) > 0 {
			return faults, nil
		}
		in, err := send(v)
		if err != nil {
			v.General = []told{{Message: asRefusal(err).what, Remedy: asRefusal(err).remedy}}
			return v.General, nil
		}
		data, err := ChangeRecord(r.Context(), p.api, ChangeCatalogueInput{RequestId: requestID(r), Why: some(v.Why),
			Put: []RecordInput{in}, Delete: []RecordRef{}, Seen: []RecordRef{{Table: v.Table, Key: v.Key, SeenRev: &v.Seen}}})
		if err != nil {
			return nil, err
		}
		v.refuse(data.ChangeCatalogue.UserErrors)
		v.Done = historyPath(v.Table, v.Key) // a new record has its key only now
		return toldOf(data.ChangeCatalogue.UserErrors), nil
	}}
}

// unreadable tells at each field of a size what cannot be read there.
func (v *editView) unreadable() []told {
	var out []told
	for i := range v.Fields {
		f := &v.Fields[i]
		var err error
		switch {
		case f.Value == "":
		case f.Kind == "length":
			_, err = quantity.ParseLengthIn(f.Value, quantity.Millimetre)
		case f.Kind == "torque":
			_, err = quantity.ParseTorque(f.Value)
		}
		if err != nil {
			f.Told = append(f.Told, told{Message: err.Error()})
			out = append(out, f.Told...)
		}
	}
	return out
}

// edited shows the form of a record.
func (p *Pages) edited(rec record) handler {
	return func(w http.ResponseWriter, r *http.Request) error {
		v, err := rec.load(r)
		if err != nil {
			return err
		}
		return p.showEdit(w, r, http.StatusOK, v)
	}
}

func (p *Pages) showEdit(w http.ResponseWriter, r *http.Request, status int, v *editView) error {
	if v.Job != nil {
		return p.render(w, r, status, p.jobFrame(r, v.Job, "bench", v.Revision), editSheet(v))
	}
	return p.render(w, r, status, p.view(r, v.Title, "catalogue", v.Revision), editSheet(v))
}

// saved stores a record, or shows the form again with what refused it.
func (p *Pages) saved(rec record) handler {
	return func(w http.ResponseWriter, r *http.Request) error {
		v, err := rec.load(r)
		if err != nil {
			return err
		}
		now := v.Seen
		v.clear()
		v.typed(r)
		if v.Seen != now {
			v.Stale, v.Seen = true, now
			return p.showEdit(w, r, http.StatusConflict, v)
		}
		for i := range v.Fields {
			v.Fields[i].Now = ""
		}
		faults, err := rec.keep(r, v)
		if err != nil {
			return err
		}
		if len(faults) > 0 {
			return p.showEdit(w, r, statusFor(faults), v)
		}
		return back(w, r, v.Done)
	}
}

// clear takes the hints about what is stored away: what is typed is judged anew.
func (v *editView) clear() {
	v.General = nil
	for i := range v.Fields {
		v.Fields[i].Told = nil
	}
	for i := range v.Grids {
		v.Grids[i].Told = nil
	}
}

func (v *editView) refuse(faults []ChangeRecordChangeCatalogueEditPayloadUserErrorsUserError) {
	for _, f := range faults {
		t := told{f.GetCode(), f.GetMessage(), f.GetPlace(), f.GetRemedy()}
		switch f := f.(type) {
		case *ChangeRecordChangeCatalogueEditPayloadUserErrorsCatalogueError:
			if f.Problem.Table == v.Table && f.Problem.Key == v.Key {
				v.tell(f.Problem.Field, t)
				continue
			}
			v.General = append(v.General, t)
		default:
			v.tell(strings.TrimPrefix(t.Place, "put[0] "), t)
		}
	}
}

// newOptions are choices that show what they send.
func newOptions(values ...string) []sideChoice {
	out := make([]sideChoice, len(values))
	for i, s := range values {
		out[i] = sideChoice{s, s}
	}
	return out
}

// standings to choose from; what a new row gets comes first.
func standings() []sideChoice {
	var out []sideChoice
	for _, s := range []Standing{StandingStated, StandingConfirmed, StandingDerived, StandingDoubted} {
		out = append(out, sideChoice{string(s), say("standing." + slug(string(s)))})
	}
	return out
}

// provenance is the end of every form.
func provenance(s Standing, source, note string) []editField {
	return []editField{
		{Name: "note", Label: say("edit.note"), Kind: "area", Value: note},
		{Name: "standing", Label: say("part.standing"), Kind: "select", Value: string(s), Options: standings()},
		{Name: "source", Label: say("edit.source"), Kind: "long", Value: source},
	}
}

// tick is the value of a field that is on or off.
func tick(on bool) string {
	if on {
		return "yes"
	}
	return ""
}

// labelled gives a field of a grid its name for those who do not see the column.
func labelled(name string) templ.Attributes {
	if name == "" {
		return nil
	}
	return templ.Attributes{"aria-label": name}
}
