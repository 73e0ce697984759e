package page

import (
	"net/http"
	"strings"
)

// states of a job in their order.
var states = []JobState{JobStateReceived, JobStateStripped, JobStateWaiting, JobStateBuilding, JobStateClosed}

// jobsView is the list of jobs.
type jobsView struct {
	*JobListResponse
	State   JobState // only these; empty for all that are open
	Problem []told   // what was wrong with the form
	Form    jobForm
	After   string
}

// jobForm is what was typed to open a job.
type jobForm struct{ Key, Title, Owner, Variant, NeededBy, Note string }

// told is one thing that the person can put right.
type told struct{ Code, Message, Place, Remedy string }

func toldOf[F Fault](faults []F) []told {
	out := make([]told, len(faults))
	for i, f := range faults {
		out[i] = told{f.GetCode(), f.GetMessage(), f.GetPlace(), f.GetRemedy()}
	}
	return out
}

func (p *Pages) jobs(w http.ResponseWriter, r *http.Request) error {
	return p.showJobs(w, r, http.StatusOK, jobsView{})
}

func (p *Pages) showJobs(w http.ResponseWriter, r *http.Request, status int, jv jobsView) error {
	if err := p.readJobs(r, &jv, some(r.URL.Query().Get("after"))); err != nil {
		return err
	}
	return p.render(w, r, status, p.view(r, say("jobs.title"), "jobs", jv.Shop.CatalogueRevision), jobList(&jv))
}

// readJobs reads a page of the jobs that the address asks for.
func (p *Pages) readJobs(r *http.Request, jv *jobsView, after *string) (err error) {
	filter := &JobFilter{States: states[:4]}
	for _, s := range states {
		if r.URL.Query().Get("state") == slug(string(s)) {
			jv.State, filter.States = s, []JobState{s}
		}
	}
	first := 50
	jv.JobListResponse, err = JobList(r.Context(), p.api, &first, after, filter)
	return err
}

// openJob opens a job and goes to it.
func (p *Pages) openJob(w http.ResponseWriter, r *http.Request) error {
	f := jobForm{Key: field(r, "key"), Title: field(r, "title"), Owner: field(r, "owner"), Variant: field(r, "variant"),
		NeededBy: field(r, "needed"), Note: field(r, "note")}
	family, variant, _ := strings.Cut(f.Variant, "/")
	head := JobInput{SeenRev: ptr(unseen), Title: f.Title, Owner: f.Owner, Family: family, Variant: variant, Candidates: []string{},
		State: JobStateReceived, Opened: ptr(p.today()), NeededBy: some(f.NeededBy), Note: f.Note}
	done, err := PutHead(r.Context(), p.api, JobEditInput{RequestId: requestID(r), Job: f.Key}, head)
	if err != nil {
		return err
	}
	if faults := toldOf(done.PutJob.UserErrors); len(faults) > 0 {
		if statusFor(faults) == http.StatusConflict {
			faults = []told{{Code: conflictCode, Message: say("open.taken", f.Key), Remedy: say("open.taken.remedy")}}
		}
		return p.showJobs(w, r, statusFor(faults), jobsView{Form: f, Problem: faults})
	}
	return back(w, r, "/jobs/"+pathEscape(f.Key))
}

// field is what a form says, without blanks around it.
func field(r *http.Request, name string) string { return strings.TrimSpace(r.PostFormValue(name)) }

// asked is what an address or a form says, without blanks around it.
func asked(r *http.Request, name string) string { return strings.TrimSpace(r.FormValue(name)) }

func ptr[T any](v T) *T { return &v }

// some is nothing for an empty text.
func some(s string) *string {
	if s == "" {
		return nil
	}
	return &s
}

// slug writes an enum value as the pages' addresses and marks do: ORDER_NOW is
// order-now.
func slug(enum string) string { return strings.ReplaceAll(strings.ToLower(enum), "_", "-") }

// governs is the message that a person should hear first about a job.
func governs(r *JobRow) *Headline {
	for i := range r.Report.Findings {
		if r.Report.Findings[i].Blocking {
			return &r.Report.Findings[i]
		}
	}
	return nil
}

// step is the place of a state on the line from received to closed.
func step(s JobState) int {
	for i, v := range states {
		if v == s {
			return i
		}
	}
	return 0
}
