package reconcile

import (
	"context"
	"fmt"

	"layshaft/catalog"
	"layshaft/reconcile/kitlist"
	"layshaft/reconcile/match"
)

// Lesson is the alias that an answered line teaches: this supplier's text, in
// the job's family, means this part. An error says why the line teaches nothing.
func (d *Desk) Lesson(job *Job, k *KitList, a *Answer) (*catalog.Alias, error) {
	list := kitlist.Read(k.Text, kitlist.Options{})
	for i := range list.Lines {
		l := &list.Lines[i]
		if l.No != a.Line || l.Sub != a.Sub || l.Text != a.Text {
			continue
		}
		text := match.AliasText(list, l)
		if len(text) < 3 {
			return nil, fmt.Errorf("line %d of list %s holds too few words to be known again", a.Line, k.ID)
		}
		return &catalog.Alias{Supplier: k.Supplier, Family: job.Family, Text: text, Part: a.Part,
			Provenance: catalog.Provenance{Standing: catalog.Confirmed, Source: "answered at job " + string(job.ID)}}, nil
	}
	return nil, fmt.Errorf("list %s has no line %d part %d", k.ID, a.Line, a.Sub)
}

// WordTaught is a word that answered lines would teach the shop.
type WordTaught struct {
	Word *catalog.Word
	// Lines that teach it, as written.
	Lines []string
}

// WordsTaught proposes words from a job's answered lines. None is taken over
// before a person puts it into the catalogue; words that the answers give two
// meanings are left out.
func (d *Desk) WordsTaught(job *Job) []*WordTaught {
	var out []*WordTaught
	by := map[string]*WordTaught{}
	for _, k := range job.KitLists {
		list := kitlist.Read(k.Text, kitlist.Options{})
		for i := range list.Lines {
			l := &list.Lines[i]
			a := answerFor(k, l)
			if a == nil || a.Part == "" {
				continue
			}
			w, ok := d.matcher.Teach(&list, l, a.Part)
			if !ok {
				continue
			}
			had := by[w.Variant]
			switch {
			case had == nil:
				had = &WordTaught{Word: w}
				by[w.Variant] = had
				out = append(out, had)
			case had.Word.Canonical != w.Canonical:
				had.Word.Ambiguous = true
			}
			had.Lines = append(had.Lines, l.Text)
		}
	}
	kept := out[:0]
	for _, t := range out {
		if !t.Word.Ambiguous {
			kept = append(kept, t)
		}
	}
	return kept
}

// Rows are the training rows of a job's answered lines.
func (d *Desk) Rows(job *Job) []match.Row {
	var out []match.Row
	for _, k := range job.KitLists {
		if len(k.Answers) == 0 {
			continue
		}
		list := kitlist.Read(k.Text, kitlist.Options{})
		answers := map[int]catalog.PartID{}
		for i := range list.Lines {
			if a := answerFor(k, &list.Lines[i]); a != nil {
				answers[i] = a.Part
			}
		}
		in := match.Context{Variant: job.Variant, Family: job.Family, Supplier: k.Supplier}
		out = append(out, d.matcher.Rows(list, in, answers)...)
	}
	return out
}

// Refit fits the weights of matching to the answers of every job. They are
// kept only when they do better on answers that the fit has not seen.
func (b *Bench) Refit(ctx context.Context) (*match.Refitted, error) {
	if err := b.gate.Check(ctx, catalog.ScopeCurate); err != nil {
		return nil, err
	}
	heads, err := b.repo.Jobs(ctx)
	if err != nil {
		return nil, err
	}
	desk := b.Desk()
	var rows []match.Row
	for _, h := range heads {
		job, err := b.repo.Job(ctx, h.ID)
		if err != nil {
			return nil, err
		}
		rows = append(rows, desk.Rows(job)...)
	}
	r := match.Refit(match.Shipped(), rows)
	return &r, nil
}
