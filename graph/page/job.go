package page

import (
	"net/http"
	"slices"
	"strings"
)

// jobView is the first sheet of a job: what keeps it open, the lists as read,
// shortages and surplus.
type jobView struct {
	*JobSheetResponse
	Lists   []listView
	Problem []told
	Form    pasteForm
	Done    *EditRow // the job's last edit, for undo
	Picture *pictureView
	Since   *sinceView
	names   map[string]string
}

// pasteForm is what was typed to keep a list.
type pasteForm struct{ Title, Supplier, Text string }

// sheetsOfJob are the sheets of every job, in the order of their numbers.
var sheetsOfJob = []string{"bench", "decisions", "measure", "history"}

func jobPath(key, sheet string) string {
	if sheet == "bench" {
		return "/jobs/" + pathEscape(key)
	}
	return "/jobs/" + pathEscape(key) + "/" + sheet
}

// jobFrame is the frame of one of a job's sheets.
func (p *Pages) jobFrame(r *http.Request, h *JobHead, sheet, revision string) *view {
	v := p.view(r, say("job.title", h.Key, h.Title), "jobs", revision)
	v.Block = titleBlock{Subject: h.Title, Number: h.Key, Revision: revision, Date: v.Block.Date,
		Sheet: slices.Index(sheetsOfJob, sheet) + 1, Sheets: len(sheetsOfJob)}
	if h.Variant != nil {
		v.Block.Variant = h.Variant.Name
	}
	return v
}

func (p *Pages) job(w http.ResponseWriter, r *http.Request) error {
	return p.showJob(w, r, http.StatusOK, jobView{})
}

func (p *Pages) showJob(w http.ResponseWriter, r *http.Request, status int, jv jobView) error {
	data, err := p.jobData(r)
	if err != nil {
		return err
	}
	jv.JobSheetResponse, jv.names = data.JobSheetResponse, data.names
	jv.Lists = listViews(data.Job)
	if e := data.History.Edges; len(e) > 0 {
		jv.Done = &e[0].Node
	}
	if jv.Picture, err = p.jobPicture(r, "bench", false); err != nil {
		return err
	}
	jv.Picture.lead(jv.rowOf)
	if jv.Since, err = p.since(w, r, data.JobSheetResponse); err != nil {
		return err
	}
	return p.render(w, r, status, p.jobFrame(r, data.Head, "bench", data.Shop.CatalogueRevision), jobSheet(&jv))
}

// labelsOf maps the positions of a job's family to the shop's words.
func labelsOf(h *JobHead) map[string]string {
	names := map[string]string{}
	if h.Family != nil {
		for i := range h.Family.Positions {
			names[h.Family.Positions[i].Name] = h.Family.Positions[i].Label
		}
	}
	return names
}

// label is the shop's word for a position.
func (v *jobView) label(position string) string { return labelIn(v.names, position) }

func labelIn(names map[string]string, position string) string {
	if n := names[position]; n != "" {
		return n
	}
	return position
}

// shortagesBy groups shortages by state in the order in which people act on them.
func (v *jobView) shortages() []*ShortageRow {
	rows := make([]*ShortageRow, len(v.Job.Report.Shortages))
	for i := range v.Job.Report.Shortages {
		rows[i] = &v.Job.Report.Shortages[i]
	}
	slices.SortStableFunc(rows, func(a, b *ShortageRow) int {
		return slices.Index(actOrder, a.State) - slices.Index(actOrder, b.State)
	})
	return rows
}

var actOrder = []ShortageState{ShortageStateOrderNow, ShortageStateQuestion, ShortageStateBlockedByDecision,
	ShortageStateAfterMeasuring, ShortageStateInTreatment}

// tally counts shortages by state, in the same order, leaving out what is nought.
func (v *jobView) tally() []tallied {
	var out []tallied
	for _, s := range actOrder {
		n := 0
		for i := range v.Job.Report.Shortages {
			if v.Job.Report.Shortages[i].State == s {
				n++
			}
		}
		if n > 0 {
			out = append(out, tallied{shortageMark(s), n})
		}
	}
	return out
}

type tallied struct {
	Mark string
	N    int
}

// shortageMark names the mark and the word of a shortage's state.
func shortageMark(s ShortageState) string {
	if s == ShortageStateBlockedByDecision {
		return "blocked"
	}
	return slug(string(s))
}

// partText is how a part is named to people: its name and the number that it is
// ordered by.
func partText(p *PartLabel) string {
	if p == nil {
		return ""
	}
	if n := orderNumber(p); n != "" {
		return p.Name + " (" + n + ")"
	}
	return p.Name
}

func orderNumber(p *PartLabel) string {
	for _, n := range p.Numbers {
		if n.Role == "current" {
			return n.Text
		}
	}
	return p.Designation
}

// act says which one-click remedies a finding of a code has.
func act(f *FindingRow) string {
	switch {
	case strings.HasPrefix(f.Code, "text-"):
		return "answer"
	case f.Position == "" || f.Remedy == nil:
		return ""
	case slices.Contains(missingCodes, f.Code):
		return "have"
	case slices.Contains(decideCodes, f.Code):
		return "take"
	}
	return ""
}

var (
	// missingCodes are of findings that end when a piece turns up.
	missingCodes = []string{"one-time-missing", "excluded-by-kit", "not-available", "quantity-short", "not-in-kit", "absent-on-arrival"}
	// decideCodes are of findings that end with another decision at the position.
	decideCodes = []string{"size-mismatch", "hand-mismatch", "one-time-reused", "measured-out", "bond-split",
		"hub-sleeve-split", "cup-cone-split", "treatment-unsuitable", "treatment-size"}
)

// anchor is a fragment of an address that is safe in an id.
func anchor(parts ...string) string {
	return strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' || r == '.' {
			return r
		}
		return '_'
	}, strings.Join(parts, "-"))
}

// surplusPlace is the text that the surplus came with, or the goods on hand.
func (v *jobView) surplusPlace(line int) string {
	if line < 0 || line >= len(v.Job.Report.Lines) {
		return ""
	}
	l := &v.Job.Report.Lines[line]
	if l.Place == nil {
		return say("surplus.goods", l.Goods)
	}
	return say("surplus.line", l.Place.Line)
}

func (v *jobView) surplusPart(line int) string {
	if line < 0 || line >= len(v.Job.Report.Lines) {
		return ""
	}
	return partText(v.Job.Report.Lines[line].Part)
}
