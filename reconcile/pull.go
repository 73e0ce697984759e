package reconcile

import (
	"slices"
	"time"

	"layshaft/catalog"
)

// Ended is the state of a shortage that is gone; it stands in the feed alone.
const Ended ShortageState = "ended"

// FeedCursor is where a client stands in the feed: it has seen the changes up to
// No. Changes up to Start are history to it: of those it wants what exists, not
// what has ended.
type FeedCursor struct{ Start, No uint64 }

// Begin is the cursor of a client that knows nothing.
func (f *Feed) Begin() FeedCursor { return FeedCursor{Start: f.last} }

// ShortageFilter narrows a pull; empty fields narrow nothing.
type ShortageFilter struct {
	Job      JobID
	States   []ShortageState
	Blocking *bool
	// Part that would end the shortage.
	Part catalog.PartID
}

// Match reports whether a row is wanted.
func (f ShortageFilter) Match(r *ShortageRow) bool {
	return (f.Job == "" || r.Job == f.Job) &&
		(len(f.States) == 0 || slices.Contains(f.States, r.State)) &&
		(f.Blocking == nil || r.Blocking == *f.Blocking) &&
		(f.Part == "" || slices.Contains(r.Accept, f.Part))
}

// Pulled is one change as one client sees it: Gone also when the shortage left
// the client's filter.
type Pulled struct {
	Row    *ShortageRow
	No     uint64
	Gone   bool
	At     time.Time // when the change was kept
	Cursor FeedCursor
}

// Pull is one page: at most n changes after a cursor, the cursor to go on from,
// and whether there is more. A client that goes on from each page's Next, at any
// page size and after any pause, ends with what a fresh pull gives.
func (f *Feed) Pull(c FeedCursor, n int, filter ShortageFilter) (page []Pulled, next FeedCursor, more bool) {
	next = c
	for _, ch := range f.After(c.No) {
		wanted := !ch.Gone && filter.Match(&ch.Row)
		ended := !wanted && ch.No > c.Start && (filter.Job == "" || filter.Job == ch.Row.Job)
		if len(page) == n && (wanted || ended) {
			return page, next, true
		}
		next.No = ch.No
		if wanted || ended {
			page = append(page, Pulled{Row: &ch.Row, No: ch.No, Gone: ended, At: ch.At, Cursor: next})
		}
	}
	next.No = max(next.No, f.last)
	return page, next, false
}
