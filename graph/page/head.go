package page

import "net/http"

// headRecord is the form of a job's head: whose it is, which gearbox, how far it is.
func (p *Pages) headRecord() record {
	return record{load: p.loadHead, keep: func(r *http.Request, v *editView) ([]told, error) {
		h := v.Job
		in := JobInput{Title: v.field("title"), Owner: v.field("owner"), Family: h.FamilyKey, Variant: v.field("variant"),
			Candidates: h.Candidates, Serial: v.field("serial"), State: JobState(v.field("state")), Opened: h.Opened,
			NeededBy: some(v.field("neededBy")), FullStrip: v.field("fullStrip") != "", Note: v.field("note"), SeenRev: &v.Seen}
		data, err := PutHead(r.Context(), p.api, edit(r), in)
		if err != nil {
			return nil, err
		}
		v.General = toldOf(data.PutJob.UserErrors)
		return v.General, nil
	}}
}

func (p *Pages) loadHead(r *http.Request) (*editView, error) {
	key := r.PathValue("id")
	data, err := HeadToEdit(r.Context(), p.api, key)
	if err != nil {
		return nil, err
	}
	if data.Job == nil {
		return nil, notFound(say("error.job", key))
	}
	h := &data.Job.JobHead
	variants := []sideChoice{{"", say("open.unknown")}}
	if data.Job.Heads != nil {
		for _, x := range data.Job.Heads.Variants {
			variants = append(variants, sideChoice{x.Key, x.Name})
		}
	}
	stations := make([]sideChoice, len(states))
	for i, s := range states {
		stations[i] = sideChoice{string(s), say("job." + slug(string(s)))}
	}
	variant := ""
	if h.Variant != nil {
		variant = h.Variant.Key
	}
	return &editView{Title: say("edit.title", h.Title), Action: jobPath(key, "edit"), Back: jobPath(key, "bench"), Done: jobPath(key, "bench"),
		History: jobPath(key, "history"), Key: h.Key, Seen: data.Job.HeadRevision, Revision: data.Shop.CatalogueRevision, Job: h, Fields: []editField{
			{Name: "title", Label: say("open.what"), Kind: "long", Value: h.Title},
			{Name: "owner", Label: say("open.owner"), Kind: "text", Value: h.Owner},
			{Name: "variant", Label: say("open.variant"), Kind: "select", Value: variant, Options: variants},
			{Name: "state", Label: say("job.state"), Kind: "select", Value: string(h.State), Options: stations},
			{Name: "serial", Label: say("paper.serial"), Kind: "text", Value: h.Serial},
			{Name: "neededBy", Label: say("open.needed"), Kind: "date", Value: deref(h.NeededBy)},
			{Name: "fullStrip", Label: say("job.stripped.all"), Kind: "tick", Value: tick(h.FullStrip)},
			{Name: "note", Label: say("open.note"), Kind: "area", Value: h.Note},
		}}, nil
}
