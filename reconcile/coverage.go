package reconcile

import (
	"cmp"
	"context"
	"slices"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// maxCovers bounds how many pairs of a kit list and a job are worked out at once.
const maxCovers = 400

// KitCover is what one kit list would do for one job, alone in the place of all
// lists of that job; its goods on hand stay. Of questions that the list leaves
// open only those to it are counted.
type KitCover struct {
	Kit *KitList // with the job that it lies with
	Job *Head
	// Wanted is what the decisions make necessary and goods on hand do not cover,
	// Covered what the kit gives of it, Spare what the kit has over; in pieces. What
	// only an open decision might ask for is not among them.
	Wanted, Covered, Spare int
	// Asked counts lines that a person must settle first.
	Asked int
	// Blocking is what would keep the case open.
	Blocking int
}

// KitCovers are kit lists against open jobs of one family.
type KitCovers struct {
	// Cells by kit and then by job. A job whose variant is not known has none.
	Cells []*KitCover
	// Left counts pairs that were not worked out, since there are too many.
	Left int
}

// KitCoverage tries every kit list of a family's open jobs on each of these jobs.
func (b *Bench) KitCoverage(ctx context.Context, family catalog.FamilyID) (*KitCovers, error) {
	heads, err := b.Jobs(ctx)
	if err != nil {
		return nil, err
	}
	var jobs []*Job
	var kits []*KitList
	for _, h := range heads {
		if h.Family != family || h.State == StateClosed {
			continue
		}
		job, err := b.repo.Job(ctx, h.ID)
		if err != nil {
			return nil, err
		}
		kits = append(kits, slices.DeleteFunc(slices.Clone(job.KitLists), func(k *KitList) bool { return k.Ignored })...)
		if job.Variant != "" {
			jobs = append(jobs, job)
		}
	}
	slices.SortStableFunc(kits, func(x, y *KitList) int { return cmp.Or(cmp.Compare(x.Job, y.Job), cmp.Compare(x.ID, y.ID)) })
	return b.Desk().kitCovers(kits, jobs, quantity.DateOf(b.now())), nil
}

func (d *Desk) kitCovers(kits []*KitList, jobs []*Job, today quantity.Date) *KitCovers {
	out := &KitCovers{}
	for _, kit := range kits {
		read := map[catalog.VariantID][]*SupplyLine{}
		for _, job := range jobs {
			if len(out.Cells) == maxCovers {
				out.Left++
				continue
			}
			supply, ok := read[job.Variant]
			if !ok {
				supply = d.Read(kit, Context{Family: job.Family, Variant: job.Variant}).Supply
				read[job.Variant] = supply
			}
			out.Cells = append(out.Cells, d.cover(kit, supply, job, today))
		}
	}
	return out
}

func (d *Desk) cover(kit *KitList, supply []*SupplyLine, job *Job, today quantity.Date) *KitCover {
	alone := *job
	alone.KitLists = []*KitList{kit}
	r := Run(Input{Index: d.index, Job: &alone, Supply: supply, Today: today})
	c := &KitCover{Kit: kit, Job: job.Head, Blocking: r.Blocking}
	for _, dem := range r.Demands {
		if dem.Possible {
			continue
		}
		c.Wanted += dem.Short
		for _, u := range dem.Uses {
			if r.Lines[u.Line].Source == FromKit {
				c.Covered += u.Pieces
				c.Wanted += u.Pieces
			}
		}
	}
	for _, s := range r.Surplus {
		if r.Lines[s.Line].Source == FromKit {
			c.Spare += s.Pieces
		}
	}
	for _, l := range r.Lines {
		if l.Source == FromKit && !l.Answered && (l.Outcome == Question || l.Outcome == Likely) {
			c.Asked++
		}
	}
	return c
}
