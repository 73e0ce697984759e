package page

import (
	"net/http"
	"strconv"
)

// cookieSeen holds the revision of one job that was seen in this browser. Its path
// is the job's, so that every job has one of its own.
const cookieSeen = "seen"

// sinceView is what changed at a job after a revision that was seen.
type sinceView struct {
	Job  *JobHead
	Seen string
	// Kept is the revision that the browser keeps; another was asked for when it differs.
	Kept string
	// Changes is nothing where the job stands as it was seen.
	Changes *SinceSeenJobSince
	// Catalogue tells that it was changed after the revision as well.
	Catalogue bool
	names     map[string]string
}

// markSeen keeps in the browser up to which revision a job was seen.
func markSeen(w http.ResponseWriter, job, revision string) {
	http.SetCookie(w, &http.Cookie{Name: cookieSeen, Value: revision, Path: jobPath(job, "bench"),
		MaxAge: 365 * 24 * 3600, HttpOnly: true, SameSite: http.SameSiteLaxMode})
}

// seenRevision is what the browser keeps for the job of a request; empty when it
// was never here.
func seenRevision(r *http.Request) string {
	c, err := r.Cookie(cookieSeen)
	if err != nil || revisionNumber(c.Value) == 0 {
		return ""
	}
	return c.Value
}

// revisionNumber is a revision as a number; nought for what is none.
func revisionNumber(s string) uint64 {
	n, err := strconv.ParseUint(s, 10, 64)
	if err != nil {
		return 0
	}
	return n
}

// since says what changed since a person last looked, or since the revision of the
// address. Who looks for the first time, or at a shop started anew, has seen all.
func (p *Pages) since(w http.ResponseWriter, r *http.Request, data *JobSheetResponse) (*sinceView, error) {
	h := data.Head
	v := &sinceView{Job: h, Kept: seenRevision(r), Seen: r.URL.Query().Get("since"), names: labelsOf(h)}
	now := revisionNumber(h.JobRevision)
	if v.Kept == "" || revisionNumber(v.Kept) > now {
		v.Kept = h.JobRevision
		markSeen(w, h.Key, v.Kept)
	}
	if n := revisionNumber(v.Seen); n == 0 || n > now {
		v.Seen = v.Kept
	}
	v.Catalogue = revisionNumber(data.Shop.CatalogueRevision) > revisionNumber(v.Seen)
	if v.Seen == h.JobRevision {
		return v, nil
	}
	changes, err := SinceSeen(r.Context(), p.api, h.Key, v.Seen)
	if err != nil {
		return nil, err
	}
	if changes.Job != nil {
		v.Changes = &changes.Job.Since
	}
	return v, nil
}

// fresh tells whether a finding came, or says something else, since the last look.
func (v *sinceView) fresh(finding string) bool {
	if v == nil || v.Changes == nil {
		return false
	}
	for i := range v.Changes.New {
		if v.Changes.New[i].Key == finding {
			return true
		}
	}
	for i := range v.Changes.Changed {
		if v.Changes.Changed[i].After.Key == finding {
			return true
		}
	}
	return false
}

// seen marks a job as seen up to the revision that the page showed.
func (p *Pages) seen(w http.ResponseWriter, r *http.Request) error {
	revision := field(r, "revision")
	if revisionNumber(revision) == 0 {
		return &refusal{http.StatusBadRequest, say("error.choice"), say("error.choice.remedy")}
	}
	key := r.PathValue("id")
	markSeen(w, key, revision)
	return back(w, r, jobPath(key, "bench"))
}

// ownEdits lets a person's own edits count as seen where all before them was: a
// change made here is no news to whoever made it.
func (p *Pages) ownEdits(h handler) handler {
	return func(w http.ResponseWriter, r *http.Request) error {
		seen := seenRevision(r)
		if seen == "" || p.lastEdits(r)[0] != seen {
			return h(w, r)
		}
		return h(&beforeAnswer{ResponseWriter: w, do: func() {
			if last := p.lastEdits(r); last[1] == seen {
				markSeen(w, r.PathValue("id"), last[0])
			}
		}}, r)
	}
}

// lastEdits are the revisions of the last edit of a job and of the one before.
func (p *Pages) lastEdits(r *http.Request) (out [2]string) {
	data, err := LastEdits(r.Context(), p.api, r.PathValue("id"))
	if err != nil {
		p.log.DebugContext(r.Context(), "last edits", "error", err)
		return out
	}
	for i, e := range data.History.Edges[:min(2, len(data.History.Edges))] {
		out[i] = e.Node.Rev
	}
	return out
}

// beforeAnswer does something once, while headers can still be set.
type beforeAnswer struct {
	http.ResponseWriter
	do func()
}

// WriteHeader implements http.ResponseWriter.
func (w *beforeAnswer) WriteHeader(status int) {
	if w.do != nil && status < http.StatusBadRequest {
		w.do()
	}
	w.do = nil
	w.ResponseWriter.WriteHeader(status)
}

// sinceCounts sums the changes up in one line.
func sinceCounts(c *SinceSeenJobSince) string {
	out := many("since.edits", len(c.Edits))
	for _, n := range []struct {
		key string
		n   int
	}{{"since.new.n", len(c.New)}, {"since.gone.n", len(c.Gone)}, {"since.changed.n", len(c.Changed)}} {
		if n.n > 0 {
			out += " · " + many(n.key, n.n)
		}
	}
	return out
}
