package reconcile

import (
	"fmt"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// Input is all that a report depends on.
type Input struct {
	Index *catalog.Index
	Job   *Job
	// Supply are the lines of the job's kit lists as read (see Desk.Supply). Goods of the
	// job are added by Run and must not be among them.
	Supply []*SupplyLine
	// Today tells overdue send-outs and passed return dates; zero: not looked at.
	Today quantity.Date
}

// Run compares the job with its supply. It is a pure function of its input and
// never returns nil. Report.Faults is not empty when the engine caught itself
// breaking one of its own rules: such a report must not be relied on.
func Run(in Input) (report *Report) {
	defer func() {
		if r := recover(); r != nil { // a bug must not take the server down, nor pass unseen
			report = failed(in, fmt.Sprintf("the engine stopped: %v", r))
		}
	}()
	if in.Index == nil || in.Job == nil || in.Job.Head == nil {
		return failed(in, "no catalogue index or no job was given")
	}
	w := works.Get().(*work)
	w.lay(in)
	w.settle()
	w.build()
	w.explain()
	report = w.report()
	works.Put(w)
	return report
}

func failed(in Input, why string) *Report {
	r := &Report{Faults: []string{why}}
	if in.Index != nil {
		r.CatalogRev = in.Index.Rev()
	}
	if in.Job != nil && in.Job.Head != nil {
		r.Job, r.Family, r.Variant, r.JobRev = in.Job.ID, in.Job.Family, in.Job.Variant, in.Job.Rev
	}
	return r
}

// settle derives demand and allocates supply until the two agree: a successor
// that is used brings its companions, and two supplied parts that do not go
// together are not both used. Each round adds a companion or bars a part, and a
// part once barred stays so: it ends.
func (w *work) settle() {
	for {
		w.closure()
		w.choose()
		w.allocate()
		if !w.addCompanions() && !w.barClashes() && !w.dropIdle() {
			return
		}
	}
}
