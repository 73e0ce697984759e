package page

import (
	"net/http"
	"slices"
)

// coverView is what each kit would do for each open job of a family.
type coverView struct {
	*CoverageResponse
	Family string
	Jobs   []coverJob
	Kits   []coverKit
}

type coverJob struct{ Key, Title string }

// coverKit is one row of the matrix.
type coverKit struct {
	Job, Name, Title, Supplier string
	Cells                      []CoverageKitCoverageCellsKitCover // in the order of the jobs; some may be missing
}

// cell of a job; nil where the pair was not worked out.
func (k *coverKit) cell(job string) *CoverageKitCoverageCellsKitCover {
	i := slices.IndexFunc(k.Cells, func(c CoverageKitCoverageCellsKitCover) bool { return c.Job == job })
	if i < 0 {
		return nil
	}
	return &k.Cells[i]
}

func (p *Pages) readCover(r *http.Request) (*coverView, error) {
	v := &coverView{Family: r.URL.Query().Get("family")}
	if v.Family == "" {
		jobs, err := WhatIfJobs(r.Context(), p.api)
		if err != nil {
			return nil, err
		}
		v.Family = busiest(jobs)
	}
	data, err := Coverage(r.Context(), p.api, v.Family)
	if err != nil {
		return nil, err
	}
	v.CoverageResponse = data
	for _, c := range data.KitCoverage.Cells {
		if !slices.ContainsFunc(v.Jobs, func(j coverJob) bool { return j.Key == c.Job }) {
			v.Jobs = append(v.Jobs, coverJob{c.Job, c.JobTitle})
		}
		n := len(v.Kits)
		if n == 0 || v.Kits[n-1].Job != c.KitJob || v.Kits[n-1].Name != c.Kit {
			v.Kits = append(v.Kits, coverKit{Job: c.KitJob, Name: c.Kit, Title: c.KitTitle, Supplier: c.Supplier})
			n++
		}
		v.Kits[n-1].Cells = append(v.Kits[n-1].Cells, c)
	}
	return v, nil
}

// busiest is the family with the most open jobs; empty when there is none.
func busiest(jobs *WhatIfJobsResponse) string {
	count, best := map[string]int{}, ""
	for i := range jobs.Jobs.Edges {
		f := jobs.Jobs.Edges[i].Node.FamilyKey
		count[f]++
		if count[f] > count[best] {
			best = f
		}
	}
	return best
}

func (p *Pages) cover(w http.ResponseWriter, r *http.Request) error {
	cv, err := p.readCover(r)
	if err != nil {
		return err
	}
	return p.render(w, r, http.StatusOK, p.view(r, say("cover.title"), "shortages", cv.Shop.CatalogueRevision), coverSheet(cv))
}

func (p *Pages) coverCSV(w http.ResponseWriter, r *http.Request) error {
	v, err := p.readCover(r)
	if err != nil {
		return err
	}
	var rows [][]string
	for _, c := range v.KitCoverage.Cells {
		rows = append(rows, []string{c.KitJob, c.Kit, c.KitTitle, c.Supplier, c.Job, c.JobTitle, itoa(c.Wanted), itoa(c.Covered),
			itoa(c.Wanted - c.Covered), itoa(c.Spare), itoa(c.Asked), itoa(c.Blocking), coverMark(&c)})
	}
	return writeCSV(w, "cover-"+v.Family, []string{"kit_job", "kit", "kit_title", "supplier", "job", "job_title", "wanted", "covered",
		"not_covered", "left_over", "lines_asked", "keeps_open", "state"}, rows)
}

// coverMark names how much of a job a kit covers.
func coverMark(c *CoverageKitCoverageCellsKitCover) string {
	switch {
	case c == nil:
		return "cover-open"
	case c.Covered == 0:
		return "cover-nothing"
	case c.Covered < c.Wanted:
		return "cover-part"
	}
	return "cover-all"
}

// The matrix picture, in its own units. A kit's name stands above its row of
// cells, so that the picture stays narrow.
const (
	coverCell   = 86
	coverRow    = 86
	coverTop    = 26
	coverMargin = 4
)

func (v *coverView) width() int     { return max(len(v.Jobs), 4)*coverCell + 2*coverMargin }
func (v *coverView) height() int    { return coverTop + len(v.Kits)*coverRow }
func (v *coverView) x(job int) int  { return coverMargin + job*coverCell }
func (v *coverView) y(kit int) int  { return coverTop + kit*coverRow + 22 }
func (v *coverView) box() string    { return "0 0 " + itoa(v.width()) + " " + itoa(v.height()) }
func (k *coverKit) at() string      { return k.Job + "/" + k.Name }
func (k *coverKit) caption() string { return cut(k.Title, 40) + " · " + k.Job }

// bar is the width of the filled part of a cell.
func bar(c *CoverageKitCoverageCellsKitCover, full int) string {
	if c.Wanted == 0 {
		return "0"
	}
	return itoa(full * c.Covered / c.Wanted)
}

// cut shortens a text for the picture; the table below has all of it.
func cut(s string, n int) string {
	if r := []rune(s); len(r) > n {
		return string(r[:n-1]) + "…"
	}
	return s
}
