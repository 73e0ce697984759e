package reconcile

import (
	"cmp"
	"slices"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
	"layshaft/reconcile/identify"
	"layshaft/reconcile/match"
	"layshaft/reconcile/notes"
)

// Desk answers questions over one catalogue revision: it reads lists, reports on
// jobs and names variants. Its answers never change; building one lays the catalogue
// out for matching, so build it once per revision.
type Desk struct {
	texts   texts
	index   *catalog.Index
	matcher *match.Matcher
	model   *identify.Model
	notes   *notes.Reader
}

// NewDesk lays out a catalogue.
func NewDesk(ix *catalog.Index) *Desk {
	return NewDeskWith(ix, nil)
}

// NewDeskWith lays out a catalogue with weights that were refitted; nil for the
// shipped ones.
func NewDeskWith(ix *catalog.Index, w *match.Weights) *Desk {
	m := match.New(ix, match.Options{Weights: w})
	return &Desk{index: ix, matcher: m, model: identify.NewModel(ix), notes: notes.NewReader(ix, m.Vocabulary())}
}

// Index behind the desk.
func (d *Desk) Index() *catalog.Index { return d.index }

// Identify names the variant from evidence.
func (d *Desk) Identify(in identify.Input) identify.Result { return d.model.Run(in) }

// Report reads a job's kit lists and reconciles it. Today bounds what is still
// returnable.
func (d *Desk) Report(job *Job, today quantity.Date) *Report {
	return Run(Input{Index: d.index, Job: job, Supply: d.Supply(job), Today: today})
}

// Supply is what a job's kit lists promise, in the order of their ids. Goods on
// hand are not among it: Run takes them from the job.
func (d *Desk) Supply(job *Job) []*SupplyLine {
	var out []*SupplyLine
	lists := slices.SortedFunc(slices.Values(job.KitLists), func(a, b *KitList) int { return cmp.Compare(a.ID, b.ID) })
	for _, k := range lists {
		if !k.Ignored {
			out = append(out, d.Read(k, Context{Family: job.Family, Variant: job.Variant}).Supply...)
		}
	}
	return out
}
