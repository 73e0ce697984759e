package page

import (
	"cmp"
	"net/http"
	"slices"
	"strings"

	"github.com/a-h/templ"
)

// historyPath is the history of one record of the catalogue.
func historyPath(table, key string) string {
	return "/catalogue/history?table=" + queryEscape(table) + "&key=" + queryEscape(key)
}

// catalogueHistoryView is what was changed in the catalogue, newest first.
type catalogueHistoryView struct {
	*CatalogueHistoryResponse
	Table, Key string
	Problem    []told
}

func (p *Pages) readHistory(r *http.Request, table, key string, after *string) (*catalogueHistoryView, error) {
	first := 50
	filter := &HistoryFilter{Table: some(table), Key: some(key)}
	data, err := CatalogueHistory(r.Context(), p.api, &first, after, filter)
	if err != nil {
		return nil, err
	}
	return &catalogueHistoryView{CatalogueHistoryResponse: data, Table: table, Key: key}, nil
}

func (p *Pages) catalogueHistory(w http.ResponseWriter, r *http.Request) error {
	q := r.URL.Query()
	hv, err := p.readHistory(r, q.Get("table"), q.Get("key"), some(q.Get("after")))
	if err != nil {
		return err
	}
	return p.showHistory(w, r, http.StatusOK, hv)
}

func (p *Pages) showHistory(w http.ResponseWriter, r *http.Request, status int, hv *catalogueHistoryView) error {
	return p.render(w, r, status, p.view(r, say("curate.history"), "catalogue", hv.Shop.CatalogueRevision), catalogueHistorySheet(hv))
}

// undoCatalogue takes an edit of the catalogue back with a new one.
func (p *Pages) undoCatalogue(w http.ResponseWriter, r *http.Request) error {
	table, key := field(r, "table"), field(r, "key")
	data, err := TakeBack(r.Context(), p.api, UndoEditInput{RequestId: requestID(r), Edit: field(r, "edit"), Why: some(field(r, "why"))})
	if err != nil {
		return err
	}
	if faults := toldOf(data.UndoEdit.UserErrors); len(faults) > 0 {
		hv, err := p.readHistory(r, table, key, nil)
		if err != nil {
			return err
		}
		hv.Problem = faults
		return p.showHistory(w, r, statusFor(faults), hv)
	}
	return back(w, r, historyPath(table, key))
}

func (p *Pages) catalogueHistoryCSV(w http.ResponseWriter, r *http.Request) error {
	q := r.URL.Query()
	var rows [][]string
	for after := (*string)(nil); ; {
		v, err := p.readHistory(r, q.Get("table"), q.Get("key"), after)
		if err != nil {
			return err
		}
		for i := range v.History.Edges {
			e := &v.History.Edges[i].Node
			rows = append(rows, changeRows(e)...)
		}
		if after = v.History.PageInfo.EndCursor; !v.History.PageInfo.HasNextPage {
			break
		}
	}
	return writeCSV(w, "catalogue-history", historyHead, rows)
}

// historyHead heads every export of edits.
var historyHead = []string{"edit", "when", "who", "why", "takes_back", "table", "key", "kind", "field", "before", "after"}

func changeRows(e *EditRow) [][]string {
	var rows [][]string
	for i := range e.Operations {
		o := &e.Operations[i]
		for _, c := range o.Changes {
			rows = append(rows, []string{e.Key, e.At, e.Who, e.Why, e.Undoes, o.Table, o.Key, o.Kind, c.Field, c.Before, c.After})
		}
	}
	if len(rows) == 0 {
		rows = append(rows, []string{e.Key, e.At, e.Who, e.Why, e.Undoes, "", "", "", "", "", ""})
	}
	return rows
}

// bareText is the text inside a JSON text, or the JSON as it is.
func bareText(json string) string {
	if len(json) > 1 && json[0] == '"' && !strings.Contains(json, `\`) {
		return json[1 : len(json)-1]
	}
	return cmp.Or(json, say("none"))
}

// subjectPath is the page that shows a record; empty for tables without one.
func subjectPath(table, key string) string {
	owner, rest, _ := strings.Cut(key, "/")
	switch table {
	case "parts":
		return partPath(key)
	case "variants":
		return variantPath(key)
	case "families":
		return familyPath(key)
	case "positions":
		return familyPath(owner) + "#" + anchor("p", rest)
	case "fitments":
		return variantPath(owner)
	}
	return ""
}

// editPath is the form of a record; empty for tables without one.
func editPath(table, key string) string {
	switch table {
	case "parts":
		return partPath(key) + "/edit"
	case "variants":
		return variantPath(key) + "/edit"
	case "positions":
		family, name, _ := strings.Cut(key, "/")
		return positionPath(family, name) + "/edit"
	case "mates", "bonds", "stacks", "limits":
		return rulePath(table, key)
	case "offers":
		return offerPath(key)
	case "fitments":
		if at := strings.SplitN(key, "/", 3); len(at) == 3 {
			return fitmentPath(at[0], at[1], at[2])
		}
	}
	return ""
}

// fittingCodes are of a variant that wants another fitment at a position, or another
// mark on one.
var fittingCodes = []string{"no-fitment", "no-standard", "two-standards"}

// repairPath is the form that puts a problem right; empty where there is none.
func repairPath(x *ProblemRow) string {
	if position, ok := strings.CutPrefix(x.Field, "position "); ok && slices.Contains(fittingCodes, x.Code) {
		return newFitmentPath(x.Key, position, "")
	}
	return editPath(x.Table, x.Key)
}

// removable codes are put right by taking their record away; nothing has to be
// thought of.
var removable = []string{"fitment-absent", "disturbance-self", "word-collision"}

// removal tells whether the repair of a problem is to remove its record. A
// reference to nothing says so only where the record is nothing but a reference.
func removal(x *ProblemRow) bool {
	return slices.Contains(removable, x.Code) ||
		x.Code == "unknown-id" && slices.Contains([]string{"fitments", "offers", "aliases", "words", "disturbances"}, x.Table)
}

// repair removes the record of a problem, with an edit that can be taken back.
func (p *Pages) repair(w http.ResponseWriter, r *http.Request) error {
	data, err := Problems(r.Context(), p.api)
	if err != nil {
		return err
	}
	table, key, code := field(r, "table"), field(r, "key"), field(r, "code")
	at := slices.IndexFunc(data.CatalogueProblems, func(x ProblemRow) bool {
		return x.Table == table && x.Key == key && x.Code == code && removal(&x)
	})
	if at < 0 {
		return &refusal{http.StatusConflict, say("repair.gone"), say("repair.gone.remedy")}
	}
	done, err := ChangeRecord(r.Context(), p.api, ChangeCatalogueInput{RequestId: requestID(r), Why: ptr(data.CatalogueProblems[at].Reason),
		Put: []RecordInput{}, Delete: []RecordRef{{Table: table, Key: key}}})
	if err != nil {
		return err
	}
	if faults := toldOf(done.ChangeCatalogue.UserErrors); len(faults) > 0 {
		return &refusal{statusFor(faults), faults[0].Message, faults[0].Remedy}
	}
	return back(w, r, historyPath(table, key))
}

// undoKey lets the key for taking back find the newest edit.
func undoKey(newest bool) templ.Attributes {
	if newest {
		return templ.Attributes{"data-undo": true}
	}
	return nil
}
