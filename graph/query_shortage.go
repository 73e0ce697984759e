package graph

import (
	"cmp"
	"context"
	"encoding/base64"
	"fmt"
	"log/slog"
	"slices"

	"layshaft/catalog"
	"layshaft/graph/model"
	"layshaft/reconcile"
)

func (r *Resolver) shortages(ctx context.Context, since *string, first *int, after *string, f *reconcile.ShortageFilter) (*model.ShortageConnection, error) {
	n, err := pageSize(first)
	if err != nil {
		return nil, err
	}
	if since == nil {
		return r.shortagesNow(ctx, first, after, f)
	}
	if after != nil {
		since = after // further along the same way
	}
	return r.shortageChanges(ctx, *since, n, deref(f))
}

// shortagesNow lists what there is, straight from the reports.
func (r *Resolver) shortagesNow(ctx context.Context, first *int, after *string, f *reconcile.ShortageFilter) (*model.ShortageConnection, error) {
	list, err := r.Bench.Shortages(ctx)
	if err != nil {
		return nil, err
	}
	filter, ix := deref(f), r.index()
	list = slices.DeleteFunc(list, func(s *reconcile.ShortageRow) bool { return !filter.Match(s) })
	slices.SortFunc(list, func(a, b *reconcile.ShortageRow) int { return cmp.Compare(a.Key, b.Key) })
	rows, info, err := page(list, func(s *reconcile.ShortageRow) string { return s.Key }, first, after)
	if err != nil {
		return nil, err
	}
	out := &model.ShortageConnection{PageInfo: info, TotalCount: len(list), Edges: make([]*model.ShortageEdge, len(rows)), UpTo: ix.Rev()}
	for i, row := range rows {
		out.Edges[i] = &model.ShortageEdge{Cursor: cursor(row.Key), Node: r.shopShortage(row, false)}
	}
	return out, nil
}

// shortageChanges is one page of the feed. Its end cursor is never null: a client
// with nothing to hear stands somewhere too.
func (r *Resolver) shortageChanges(ctx context.Context, since string, n int, filter reconcile.ShortageFilter) (*model.ShortageConnection, error) {
	feed, upTo, err := r.Feed(ctx)
	if err != nil {
		return nil, err
	}
	from, err := FeedPlace(feed, "changedSince", since)
	if err != nil {
		return nil, err
	}
	out, _ := r.feedPage(feed, upTo, from, n, filter)
	return out, nil
}

// Feed of shortages and the edit up to which it is complete; an error with the
// remedy where none is kept.
func (r *Resolver) Feed(ctx context.Context) (*reconcile.Feed, uint64, error) {
	if r.Keeper == nil {
		return nil, 0, &catalog.Error{Code: catalog.CodeUnavailable, Place: "shortages", Message: "this server keeps no feed",
			Remedy: "Query shortages without changedSince"}
	}
	return r.Keeper.Feed(ctx)
}

// feedPage is n changes after a place, and the place reached.
func (r *Resolver) feedPage(feed *reconcile.Feed, upTo uint64, from reconcile.FeedCursor, n int,
	filter reconcile.ShortageFilter) (*model.ShortageConnection, reconcile.FeedCursor) {
	rows, next, more := feed.Pull(from, n, filter)
	out := &model.ShortageConnection{Edges: make([]*model.ShortageEdge, len(rows)), UpTo: upTo,
		PageInfo: &model.PageInfo{HasNextPage: more, HasPreviousPage: from.No > 0, EndCursor: ptr(FeedText(next))}}
	for i, p := range rows {
		out.Edges[i] = &model.ShortageEdge{Cursor: FeedText(p.Cursor), Node: r.shopShortage(p.Row, p.Gone)}
		out.Edges[i].Node.ComputedAt = &rows[i].At
	}
	if len(rows) > 0 {
		out.PageInfo.StartCursor = &out.Edges[0].Cursor
	}
	for _, c := range feed.After(0) {
		if !c.Gone && filter.Match(&c.Row) {
			out.TotalCount++
		}
	}
	return out, next
}

// FeedText writes a place in the feed as a cursor.
func FeedText(c reconcile.FeedCursor) string {
	return base64.RawURLEncoding.EncodeToString(fmt.Appendf(nil, "f:%d:%d", c.Start, c.No))
}

// FeedPlace reads a cursor of the feed that came as a parameter; the empty text
// is its beginning.
func FeedPlace(feed *reconcile.Feed, parameter, text string) (reconcile.FeedCursor, error) {
	if text == "" {
		return feed.Begin(), nil
	}
	var c reconcile.FeedCursor
	raw, err := base64.RawURLEncoding.DecodeString(text)
	if err == nil {
		_, err = fmt.Sscanf(string(raw), "f:%d:%d", &c.Start, &c.No)
	}
	switch {
	case err != nil || FeedText(c) != text:
		return c, catalog.Invalid(parameter, "Send a cursor that an answer ended with, or an empty text", "not a cursor of the feed")
	case max(c.Start, c.No) > feed.Last():
		return c, catalog.Invalid(parameter, "Drop what you have and begin with an empty text",
			"the cursor is ahead of the feed: the shop was restored from an earlier copy")
	}
	return c, nil
}

// streamPage is how many changes a subscriber gets at once.
const streamPage = 100

// follow sends the feed to one subscriber at the subscriber's own pace: nothing
// is queued for one who is slow.
func (r *Resolver) follow(ctx context.Context, since *string, f *reconcile.ShortageFilter) (<-chan *model.ShortageConnection, error) {
	feed, _, err := r.Feed(ctx)
	if err != nil {
		return nil, err
	}
	from := reconcile.FeedCursor{Start: feed.Last(), No: feed.Last()}
	if since != nil {
		if from, err = FeedPlace(feed, "changedSince", *since); err != nil {
			return nil, err
		}
	}
	out, filter := make(chan *model.ShortageConnection), deref(f)
	go func() {
		defer close(out)
		defer func() { // a panic here would end the process: nothing above catches it
			if p := recover(); p != nil {
				slog.ErrorContext(ctx, "panic in a subscription", "value", p, "stack", stack())
			}
		}()
		for {
			bell := r.Keeper.Changed()
			feed, upTo, err := r.Keeper.Feed(ctx)
			if err != nil {
				return
			}
			var page *model.ShortageConnection
			page, from = r.feedPage(feed, upTo, from, streamPage, filter)
			if len(page.Edges) > 0 {
				select {
				case out <- page:
				case <-ctx.Done():
					return
				}
			}
			if page.PageInfo.HasNextPage {
				continue
			}
			select {
			case <-bell:
			case <-ctx.Done():
				return
			}
		}
	}()
	return out, nil
}

func (r *Resolver) shopShortage(s *reconcile.ShortageRow, gone bool) *model.ShopShortage {
	out := &model.ShopShortage{Key: s.Key, Job: string(s.Job), Position: string(s.Position), PositionLabel: s.Label,
		Accept: []*catalog.Part{}, Wanted: []*catalog.Attribute{}, Chain: []*reconcile.Hop{}, Offers: []*model.ShortageOffer{},
		JobRevision: s.JobRev, CatalogueRevision: s.CatalogRev, Gone: gone, Unit: string(s.Unit), State: reconcile.Ended}
	if gone {
		return out
	}
	out.Quantity, out.State, out.Blocking, out.Possible = s.Quantity, s.State, s.Blocking, s.Possible
	out.Wanted, out.OnOrder, out.Chain, out.Because = orEmpty(s.Wanted), s.OnOrder, orEmpty(s.Chain), s.Because
	out.Governs = s.Governs
	for _, o := range s.Offers {
		out.Offers = append(out.Offers, shortageOffer(o))
	}
	if s.SetOf > 0 {
		out.SetOf = &s.SetOf
	}
	if !s.NeededBy.IsZero() {
		out.NeededBy = &s.NeededBy
	}
	if s.Supplier != "" {
		out.Supplier, out.Price = ptr(string(s.Supplier)), &s.Price
	}
	if s.Number != "" {
		out.SupplierNumber = &s.Number
	}
	for _, id := range s.Accept {
		if p, ok := r.index().Part(id); ok {
			out.Accept = append(out.Accept, p)
		}
	}
	return out
}

func shortageOffer(o *reconcile.RowOffer) *model.ShortageOffer {
	out := &model.ShortageOffer{Supplier: string(o.Supplier), Units: o.Units, Price: &o.Price,
		LeadBest: o.Lead.Best, LeadLikely: o.Lead.Likely, LeadWorst: o.Lead.Worst}
	if o.Number != "" {
		out.Number = &o.Number
	}
	if !o.Landed.IsZero() {
		out.Landed = &o.Landed
	}
	return out
}
