package page

import (
	"net/http"
	"slices"
	"strings"
)

// maxTried bounds a text that is tried without keeping it: it travels in the
// address, so that the comparison can be sent to a colleague.
const maxTried = 4000

// whatIfView is two ways of supplying one job, side by side.
type whatIfView struct {
	*WhatIfJobsResponse
	Chosen string
	A, B   sideView
	Job    *WhatIfJobJob
	Result *WhatIfTwoCompareWhatIf
	names  map[string]string
}

// sideView is one way of supplying the job.
type sideView struct {
	// Pick is "none", "all" or "job/list"; "text" takes Text.
	Pick, Text string
	Title      string
}

// sideChoice is one entry of the choice of a side.
type sideChoice struct{ Value, Label string }

// choices of a side: the kits of the job, those of other jobs on the same family,
// singles, or a text.
func (v *whatIfView) choices() []sideChoice {
	out := []sideChoice{{"all", say("whatif.all")}, {"none", say("whatif.none")}}
	var family string
	for i := range v.Jobs.Edges {
		if v.Jobs.Edges[i].Node.Key == v.Chosen {
			family = v.Jobs.Edges[i].Node.FamilyKey
		}
	}
	var others []sideChoice
	for i := range v.Jobs.Edges {
		n := &v.Jobs.Edges[i].Node
		if n.FamilyKey != family {
			continue
		}
		for _, k := range n.KitLists {
			c := sideChoice{n.Key + "/" + k.Name, say("whatif.kit", k.Title, n.Key)}
			if n.Key == v.Chosen {
				out = append(out, c)
			} else {
				others = append(others, c)
			}
		}
	}
	return append(append(out, others...), sideChoice{"text", say("whatif.text")})
}

func (v *whatIfView) titleOf(s sideView) string {
	for _, c := range v.choices() {
		if c.Value == s.Pick {
			return c.Label
		}
	}
	return s.Pick
}

func (p *Pages) readWhatIf(r *http.Request) (*whatIfView, error) {
	q := r.URL.Query()
	jobs, err := WhatIfJobs(r.Context(), p.api)
	if err != nil {
		return nil, err
	}
	v := &whatIfView{WhatIfJobsResponse: jobs, Chosen: q.Get("job"),
		A: sideView{Pick: q.Get("a"), Text: q.Get("atext")}, B: sideView{Pick: q.Get("b"), Text: q.Get("btext")}}
	if v.Chosen == "" {
		return v, nil
	}
	data, err := WhatIfJob(r.Context(), p.api, v.Chosen)
	if err != nil {
		return nil, err
	}
	if data.Job == nil {
		return nil, notFound(say("error.job", v.Chosen))
	}
	v.Job, v.names = data.Job, labelsOf(&data.Job.JobHead)
	if v.A.Pick == "" || v.B.Pick == "" {
		return v, nil
	}
	a, err := p.whatIfSide(r, v.Job, v.A)
	if err != nil {
		return nil, err
	}
	b, err := p.whatIfSide(r, v.Job, v.B)
	if err != nil {
		return nil, err
	}
	done, err := WhatIfTwo(r.Context(), p.api, *a, *b)
	if err != nil {
		return nil, err
	}
	v.Result = &done.CompareWhatIf
	v.A.Title, v.B.Title = v.titleOf(v.A), v.titleOf(v.B)
	return v, nil
}

// whatIfSide is the job with the lists of one side in the place of its own.
func (p *Pages) whatIfSide(r *http.Request, job *WhatIfJobJob, s sideView) (*WhatIfInput, error) {
	in := whatIfOf(job)
	switch s.Pick {
	case "none":
	case "all":
		for i := range job.KitLists {
			if !job.KitLists[i].Ignored {
				in.KitLists = append(in.KitLists, kitText(&job.KitLists[i]))
			}
		}
	case "text":
		if len(s.Text) > maxTried {
			return nil, &refusal{http.StatusRequestEntityTooLarge, say("whatif.long"), say("whatif.long.remedy")}
		}
		in.KitLists = append(in.KitLists, KitTextInput{Name: say("whatif.text"), Text: s.Text, Answers: []LineAnswerInput{}})
	default:
		owner, name, _ := strings.Cut(s.Pick, "/")
		lists := job.KitLists
		if owner != job.Key {
			other, err := WhatIfJob(r.Context(), p.api, owner)
			if err != nil {
				return nil, err
			}
			if other.Job == nil {
				return nil, notFound(say("error.job", owner))
			}
			lists = other.Job.KitLists
		}
		at := slices.IndexFunc(lists, func(k WhatIfList) bool { return k.Name == name })
		if at < 0 {
			return nil, notFound(say("whatif.nolist", name, owner))
		}
		in.KitLists = append(in.KitLists, kitText(&lists[at]))
	}
	return in, nil
}

// whatIfOf is the job without any list.
func whatIfOf(job *WhatIfJobJob) *WhatIfInput {
	in := &WhatIfInput{Family: job.FamilyKey, Variant: job.VariantKey, FullStrip: job.FullStrip, Serial: job.Serial,
		Decisions: []DecisionInput{}, KitLists: []KitTextInput{}, Goods: []GoodsInput{}}
	for _, d := range job.Decisions {
		out := DecisionInput{Position: d.Position, Choice: d.Choice, Part: d.Part, Found: d.Found, Quantity: d.Quantity,
			Treatment: d.Treatment, Returned: d.Returned, Due: d.Due, Measured: d.Measured, Why: d.Why, Sizes: []SizeInput{}}
		for _, s := range d.Sizes {
			out.Sizes = append(out.Sizes, SizeInput{Key: s.Key, At: s.At, Value: s.Text})
		}
		in.Decisions = append(in.Decisions, out)
	}
	for _, g := range job.Goods {
		in.Goods = append(in.Goods, GoodsInput{Name: g.Name, Part: g.Part, Pieces: g.Pieces, Source: g.Source, Supplier: g.Supplier, Due: g.Due, Note: g.Note})
	}
	return in
}

func kitText(k *WhatIfList) KitTextInput {
	out := KitTextInput{Name: k.Title, Supplier: k.Supplier, Text: k.Text, Answers: []LineAnswerInput{}}
	for _, a := range k.Answers {
		out.Answers = append(out.Answers, LineAnswerInput(a))
	}
	return out
}

func (p *Pages) whatIf(w http.ResponseWriter, r *http.Request) error {
	wv, err := p.readWhatIf(r)
	if err != nil {
		return err
	}
	return p.render(w, r, http.StatusOK, p.view(r, say("whatif.title"), "shortages", wv.Shop.CatalogueRevision), whatIfSheet(wv))
}

// whatIfFigure is one figure of both sides; the lesser one is marked.
type whatIfFigure struct {
	Label, A, B string
	Less        int // -1 for A, 1 for B, 0 when neither
}

func figure(label string, a, b int) whatIfFigure {
	f := whatIfFigure{Label: say(label), A: itoa(a), B: itoa(b)}
	switch {
	case a < b:
		f.Less = -1
	case b < a:
		f.Less = 1
	}
	return f
}

// figures of both sides, those that decide first. What it costs is text and is
// left to the reader: a sum with unpriced places is no sum.
func (v *whatIfView) figures() []whatIfFigure {
	w := v.Result
	return []whatIfFigure{
		figure("whatif.blocking", w.A.Blocking, w.B.Blocking),
		figure("whatif.findings", len(w.Gone)+len(w.Same), len(w.New)+len(w.Same)),
		figure("whatif.short", len(w.A.Shortages), len(w.B.Shortages)),
		figure("whatif.asked", askedLines(&w.A), askedLines(&w.B)),
		figure("whatif.spare", sparePieces(&w.A), sparePieces(&w.B)),
		{Label: say("whatif.cost"), A: w.CostA.Text, B: w.CostB.Text},
		figure("whatif.unpriced", w.UnpricedA, w.UnpricedB),
	}
}

func askedLines(r *WhatIfReport) int {
	n := 0
	for _, l := range r.Lines {
		if !l.Answered && (l.Outcome == OutcomeQuestion || l.Outcome == OutcomeLikely) {
			n++
		}
	}
	return n
}

func sparePieces(r *WhatIfReport) int {
	n := 0
	for _, s := range r.Surplus {
		n += s.Pieces
	}
	return n
}

// whatIfPath is the comparison of two ways of supplying a job.
func whatIfPath(job, a, b string) string {
	return "/shortages/what-if?job=" + queryEscape(job) + "&a=" + queryEscape(a) + "&b=" + queryEscape(b)
}

// query is the address of the comparison.
func (v *whatIfView) query() string {
	out := "job=" + queryEscape(v.Chosen) + "&a=" + queryEscape(v.A.Pick) + "&b=" + queryEscape(v.B.Pick)
	if v.A.Pick == "text" {
		out += "&atext=" + queryEscape(v.A.Text)
	}
	if v.B.Pick == "text" {
		out += "&btext=" + queryEscape(v.B.Text)
	}
	return out
}

// swapped is the address with the sides changed about.
func (v *whatIfView) swapped() string {
	o := *v
	o.A, o.B = v.B, v.A
	return o.query()
}

// whatIfShort is a shortage in one cell.
func whatIfShort(s *WhatIfShort) string {
	if s == nil {
		return say("whatif.covered")
	}
	return say("whatif.shortcell", s.Quantity, say("state."+shortageMark(s.State)))
}

func (p *Pages) whatIfCSV(w http.ResponseWriter, r *http.Request) error {
	v, err := p.readWhatIf(r)
	if err != nil {
		return err
	}
	if v.Result == nil {
		return &refusal{http.StatusBadRequest, say("whatif.empty"), say("error.choice.remedy")}
	}
	var rows [][]string
	for _, f := range v.figures() {
		rows = append(rows, []string{"figure", "", f.Label, f.A, f.B, ""})
	}
	for i := range v.Result.Gone {
		f := &v.Result.Gone[i]
		rows = append(rows, []string{"finding", f.Code, f.Position, slug(string(f.Severity)), "", f.Message})
	}
	for i := range v.Result.New {
		f := &v.Result.New[i]
		rows = append(rows, []string{"finding", f.Code, f.Position, "", slug(string(f.Severity)), f.Message})
	}
	for _, s := range v.Result.Shortages {
		rows = append(rows, []string{"short", "", s.Position, whatIfShort(s.A), whatIfShort(s.B), labelIn(v.names, s.Position)})
	}
	for _, s := range v.Result.Surplus {
		rows = append(rows, []string{"left over", "", s.PartKey, itoa(s.A), itoa(s.B), partText(s.Part)})
	}
	return writeCSV(w, "what-if-"+v.Chosen, []string{"what", "code", "subject", "a", "b", "words"}, rows)
}
