package page

import (
	"cmp"
	"encoding/json"
	"net/http"
	"slices"
	"strings"
)

// historyView is the sheet of a job's edits.
type historyView struct {
	*HistorySheetResponse
	names map[string]string
}

func (p *Pages) readEdits(r *http.Request, after *string) (*historyView, error) {
	first := 50
	data, err := HistorySheet(r.Context(), p.api, r.PathValue("id"), &first, after)
	if err != nil {
		return nil, err
	}
	if data.Job == nil {
		return nil, notFound(say("error.job", r.PathValue("id")))
	}
	return &historyView{data, labelsOf(&data.Job.JobHead)}, nil
}

func (p *Pages) history(w http.ResponseWriter, r *http.Request) error {
	v, err := p.readEdits(r, some(r.URL.Query().Get("after")))
	if err != nil {
		return err
	}
	frame := p.jobFrame(r, &v.Job.JobHead, "history", v.Shop.CatalogueRevision)
	return p.render(w, r, http.StatusOK, frame, historySheet(v))
}

// editText says what an edit did, in one line.
func editText(e *EditRow, names map[string]string) string {
	if e.Undoes != "" {
		return say("edit.undoes", e.Undoes)
	}
	if len(e.Operations) == 0 {
		return say("edit.bulk")
	}
	var out []string
	for i := range e.Operations[:min(2, len(e.Operations))] {
		out = append(out, operationText(&e.Operations[i], names))
	}
	if more := len(e.Operations) - len(out); more > 0 {
		out = append(out, many("edit.more", more))
	}
	return strings.Join(out, "; ")
}

func operationText(o *EditRowOperationsOperation, names map[string]string) string {
	_, name, _ := strings.Cut(o.Key, "/")
	what := say("table." + o.Table)
	if o.Table == "decisions" {
		if o.Kind == "deleted" {
			return say("edit.nodecision", labelIn(names, name))
		}
		if c := after(o, "choice"); c != "" {
			return say("edit.decision", labelIn(names, name), say("choice."+c))
		}
		return say("edit.detail", labelIn(names, name))
	}
	if t := cmp.Or(after(o, "title"), after(o, "name")); t != "" {
		name = t
	}
	return strings.TrimSpace(say("kind."+o.Kind, what, name))
}

// after is a field's new text; empty when it did not change or is no text.
func after(o *EditRowOperationsOperation, field string) string {
	i := slices.IndexFunc(o.Changes, func(c EditRowOperationsOperationChangesFieldChange) bool { return c.Field == field })
	if i < 0 {
		return ""
	}
	var s string
	if json.Unmarshal([]byte(o.Changes[i].After), &s) != nil {
		return ""
	}
	return s
}

// moment shortens an RFC 3339 time to the minute.
func moment(at string) string {
	day, clock, ok := strings.Cut(at, "T")
	if !ok || len(clock) < 5 {
		return at
	}
	return day + " " + clock[:5] + " UTC"
}
