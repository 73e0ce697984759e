package page

import (
	"encoding/csv"
	"net/http"
	"strings"
)

// writeCSV sends a table as CSV (RFC 4180). A cell that a spreadsheet would take
// for a formula is given a leading apostrophe.
func writeCSV(w http.ResponseWriter, name string, head []string, rows [][]string) error {
	h := w.Header()
	h.Set("Content-Type", "text/csv; charset=utf-8; header=present")
	h.Set("Content-Disposition", `attachment; filename="`+anchor(name)+`.csv"`)
	out := csv.NewWriter(w)
	if err := out.Write(head); err != nil {
		return err
	}
	for _, row := range rows {
		for i, cell := range row {
			if strings.ContainsAny(cell[:min(1, len(cell))], "=+-@\t\r") && !isNumber(cell) {
				row[i] = "'" + cell
			}
		}
		if err := out.Write(row); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// isNumber reports whether a cell is a signed decimal number and nothing else: it
// computes nothing.
func isNumber(cell string) bool {
	digits, point := 0, 0
	for _, c := range strings.TrimPrefix(cell, "-") {
		switch {
		case c >= '0' && c <= '9':
			digits++
		case c == '.':
			point++
		default:
			return false
		}
	}
	return digits > 0 && point <= 1
}

// jobData reads a job.
func (p *Pages) jobData(r *http.Request) (*jobView, error) {
	data, err := JobSheet(r.Context(), p.api, r.PathValue("id"))
	if err != nil {
		return nil, err
	}
	if data.Job == nil {
		return nil, notFound(say("error.job", r.PathValue("id")))
	}
	return &jobView{JobSheetResponse: data, names: labelsOf(data.Head)}, nil
}

func (p *Pages) jobShortagesCSV(w http.ResponseWriter, r *http.Request) error {
	v, err := p.jobData(r)
	if err != nil {
		return err
	}
	var rows [][]string
	for _, s := range v.shortages() {
		part, number := best(s.Options)
		rows = append(rows, []string{v.Job.Key, s.Position, v.label(s.Position), itoa(s.Quantity), shortageMark(s.State),
			yesNo(s.Blocking), yesNo(s.Possible), part, number, itoa(s.OnOrder), s.Because})
	}
	return writeCSV(w, "job-"+v.Job.Key+"-shortages", []string{"job", "position", "place", "pieces", "state", "blocking", "possible",
		"part", "number", "on_order", "because"}, rows)
}

func (p *Pages) surplusCSV(w http.ResponseWriter, r *http.Request) error {
	v, err := p.jobData(r)
	if err != nil {
		return err
	}
	var rows [][]string
	for _, s := range v.Job.Report.Surplus {
		rows = append(rows, []string{v.Job.Key, s.Part, v.surplusPart(s.Line), itoa(s.Pieces), s.Reason, s.Message, s.ReturnBy})
	}
	return writeCSV(w, "job-"+v.Job.Key+"-surplus", []string{"job", "part", "name", "pieces", "reason", "message", "return_by"}, rows)
}

func (p *Pages) decisionsCSV(w http.ResponseWriter, r *http.Request) error {
	v, err := p.readDecisions(r)
	if err != nil {
		return err
	}
	var rows [][]string
	for _, g := range v.Groups {
		for _, pos := range g.Positions {
			part, why := "", ""
			if d := v.decided[pos.Name]; d != nil {
				part, why = d.Part, d.Why
			}
			rows = append(rows, []string{v.Job.Key, g.Name, pos.Name, pos.Label, itoa(pos.Quantity), slug(string(v.choice(pos.Name))), part, why})
		}
	}
	return writeCSV(w, "job-"+v.Job.Key+"-decisions", []string{"job", "assembly", "position", "place", "pieces", "decision", "part", "why"}, rows)
}

// best is the first of the parts that would do, and the number that it is ordered by.
func best(all []PartLabel) (part, number string) {
	if len(all) == 0 {
		return "", ""
	}
	return all[0].Key, orderNumber(&all[0])
}

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}
