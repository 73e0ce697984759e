package reconcile_test

import (
	"fmt"
	"maps"
	"testing"

	"pgregory.net/rapid"

	"layshaft/catalog"
	"layshaft/reconcile"
)

// puller is a client: what it has heard, and where it stands.
type puller struct {
	filter reconcile.ShortageFilter
	cursor *reconcile.FeedCursor
	has    map[string]string
	seen   map[string]uint64
}

func (p *puller) pull(t *rapid.T, f *reconcile.Feed, n int) (more bool) {
	if p.cursor == nil {
		c := f.Begin()
		p.cursor = &c
	}
	page, next, more := f.Pull(*p.cursor, n, p.filter)
	if len(page) > n {
		t.Fatalf("%d rows for %d", len(page), n)
	}
	last := p.cursor.No
	for _, x := range page {
		if x.No <= last {
			t.Fatalf("change %d after %d", x.No, last)
		}
		last = x.No
		if p.seen[x.Row.Key] == x.No {
			t.Fatalf("change %d twice", x.No)
		}
		p.seen[x.Row.Key] = x.No
		if x.Gone {
			delete(p.has, x.Row.Key)
		} else {
			p.has[x.Row.Key] = fmt.Sprint(x.Row.Quantity, x.Row.State)
		}
	}
	p.cursor = &next
	return more
}

func (p *puller) all(t *rapid.T, f *reconcile.Feed) {
	for p.pull(t, f, rapid.IntRange(1, 7).Draw(t, "page")) {
	}
}

// TestPullProperty: clients with filters pull pages of any size at any time
// between changes; each ends with exactly what a fresh pull gives, which is what
// there is, and hears no change twice.
func TestPullProperty(t *testing.T) {
	states := []reconcile.ShortageState{reconcile.OrderNow, reconcile.AskFirst, reconcile.AfterMeasuring}
	rapid.Check(t, func(t *rapid.T) {
		feed := reconcile.NewFeed(nil)
		now := map[string]reconcile.ShortageRow{}
		filters := []reconcile.ShortageFilter{{}, {Job: "a"}, {States: states[:1]}, {Part: "p1", Job: "b"}}
		var clients []*puller
		for i := range rapid.IntRange(1, 5).Draw(t, "clients") {
			clients = append(clients, &puller{filter: filters[i%len(filters)], has: map[string]string{}, seen: map[string]uint64{}})
		}
		for range rapid.IntRange(1, 40).Draw(t, "steps") {
			if rapid.Bool().Draw(t, "change") {
				job := rapid.SampledFrom([]string{"a", "b"}).Draw(t, "job")
				key := job + "." + rapid.SampledFrom([]string{"x", "y", "z"}).Draw(t, "position")
				row := reconcile.ShortageRow{Key: key, Job: reconcile.JobID(job), Quantity: rapid.IntRange(1, 3).Draw(t, "quantity"),
					State:  rapid.SampledFrom(states).Draw(t, "state"),
					Accept: []catalog.PartID{rapid.SampledFrom([]catalog.PartID{"p1", "p2"}).Draw(t, "part")}}
				ch := &reconcile.ShortageChange{No: feed.Last() + 1, Row: row}
				if _, there := now[key]; there && rapid.Bool().Draw(t, "end") {
					ch.Gone, ch.Row = true, reconcile.ShortageRow{Key: key, Job: row.Job}
					delete(now, key)
				} else {
					now[key] = row
				}
				feed = feed.With([]*reconcile.ShortageChange{ch})
				continue
			}
			c := clients[rapid.IntRange(0, len(clients)-1).Draw(t, "client")]
			c.pull(t, feed, rapid.IntRange(1, 4).Draw(t, "size"))
		}
		for _, c := range clients {
			c.all(t, feed)
			fresh := &puller{filter: c.filter, has: map[string]string{}, seen: map[string]uint64{}}
			fresh.all(t, feed)
			want := map[string]string{}
			for key, row := range now {
				if c.filter.Match(&row) {
					want[key] = fmt.Sprint(row.Quantity, row.State)
				}
			}
			if !maps.Equal(fresh.has, want) || !maps.Equal(c.has, want) {
				t.Fatalf("there is %v; a fresh pull has %v, the client %v", want, fresh.has, c.has)
			}
		}
	})
}
