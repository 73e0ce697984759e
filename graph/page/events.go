package page

import (
	"fmt"
	"net/http"
	"time"
)

// pulse is how often a watched job's revision is asked for.
const pulse = time.Second

// events tells a page when its job moves on, as server-sent events: one at the
// start and one for each new revision. The page fetches itself then.
func (p *Pages) events(w http.ResponseWriter, r *http.Request) error {
	flush := http.NewResponseController(w)
	if err := flush.SetWriteDeadline(time.Time{}); err != nil {
		p.log.DebugContext(r.Context(), "events without a deadline of their own", "error", err)
	}
	h := w.Header()
	h.Set("Content-Type", "text/event-stream; charset=utf-8")
	h.Set("Cache-Control", "no-store")
	tick := time.NewTicker(pulse)
	defer tick.Stop()
	for last := ""; ; {
		data, err := JobPulse(r.Context(), p.api, r.PathValue("id"))
		switch {
		case r.Context().Err() != nil:
			return nil // the reader went away
		case last == "" && err != nil:
			return err
		case last == "" && data.Job == nil:
			return notFound(say("error.job", r.PathValue("id")))
		case err != nil || data.Job == nil:
			return nil // the page connects again and is told why
		case data.Job.JobRevision != last:
			last = data.Job.JobRevision
			if _, err := fmt.Fprintf(w, "event: rev\ndata: %s\n\n", last); err != nil {
				return nil
			}
			if flush.Flush() != nil {
				return nil
			}
		}
		select {
		case <-r.Context().Done():
			return nil
		case <-tick.C:
		}
	}
}
