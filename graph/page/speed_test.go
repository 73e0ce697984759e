//go:build unix

package page_test

import (
	"cmp"
	"context"
	"fmt"
	"net/http/httptest"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"layshaft/catalog"
	"layshaft/data/demo"
	"layshaft/reconcile"
)

// largeJob and its size: as many positions as a large gearbox has, and a kit list
// of two suppliers' length.
const (
	largeJob       = "9116"
	largePositions = 116
	largeLines     = 80
)

// large opens the demo shop with a large job.
func large(t testing.TB) *shop {
	t.Helper()
	s := open(t)
	c, err := demo.Catalogue()
	if err != nil {
		t.Fatal(err)
	}
	ix := catalog.NewIndex(c, 1)
	off := func(v *catalog.Variant) int {
		return max(placesOf(ix, v)-largePositions, largePositions-placesOf(ix, v))
	}
	v := slices.MinFunc(ix.Variants(), func(a, b *catalog.Variant) int { return cmp.Compare(off(a), off(b)) })
	job := &reconcile.Job{Head: &reconcile.Head{ID: largeJob, Title: "Large box", Family: v.Family, Variant: v.ID, State: reconcile.StateStripped, FullStrip: true}}
	var text strings.Builder
	lines := 0
	for i, p := range ix.Positions(v.Family) {
		if !ix.Has(v.ID, p.ID) {
			continue
		}
		choice := []reconcile.Choice{reconcile.Replace, reconcile.Replace, reconcile.Reuse}[i%3]
		job.Decisions = append(job.Decisions, &reconcile.Decision{Job: largeJob, Position: p.ID, Choice: choice})
		part, ok := ix.Standard(v.ID, p.ID)
		if !ok || lines >= largeLines {
			continue
		}
		lines++
		switch i % 3 {
		case 0:
			fmt.Fprintf(&text, "%d x %s\n", ix.Quantity(v.ID, p.ID), part.Name)
		case 1:
			fmt.Fprintf(&text, "%s  %s  qty %d\n", part.Name, part.ID, ix.Quantity(v.ID, p.ID))
		default:
			fmt.Fprintf(&text, "%s %s %d\n", numberOf(part), part.Name, ix.Quantity(v.ID, p.ID))
		}
	}
	job.KitLists = []*reconcile.KitList{{Job: largeJob, ID: "kit", Name: "Kit", Text: text.String()}}
	if _, err := s.bench.Change(context.Background(), largeJob, catalog.Change{Request: "large", Who: "test", Put: job.Records()}); err != nil {
		t.Fatal(err)
	}
	if n := placesOf(ix, v); n < largePositions-4 || lines < largeLines-4 {
		t.Fatalf("the job has %d positions and %d lines", n, lines)
	}
	return s
}

func placesOf(ix *catalog.Index, v *catalog.Variant) (n int) {
	for _, p := range ix.Positions(v.Family) {
		if ix.Has(v.ID, p.ID) {
			n++
		}
	}
	return n
}

func numberOf(p *catalog.Part) string {
	if len(p.Numbers) == 0 {
		return p.Designation
	}
	return p.Numbers[0].Text
}

// BenchmarkLargeJob serves a large job's pages whole, in this process: again at
// the same revision (warm), and each time after an edit of the job (edited).
//
//	go test ./graph/page -run - -bench LargeJob
func BenchmarkLargeJob(b *testing.B) {
	s := large(b)
	for _, page := range []string{"", "/decisions"} {
		for _, coding := range []string{"identity", "gzip"} {
			for _, when := range []string{"warm", "edited"} {
				b.Run("page"+strings.ReplaceAll(page, "/", "-")+"/"+coding+"/"+when, func(b *testing.B) {
					s.time(b, "/jobs/"+largeJob+page, coding, when == "edited")
				})
			}
		}
	}
}

func (s *shop) time(b *testing.B, path, coding string, edited bool) {
	ask := func() *httptest.ResponseRecorder {
		r := httptest.NewRequest("GET", path, nil)
		r.Header.Set("Accept-Encoding", coding)
		w := httptest.NewRecorder()
		s.Config.Handler.ServeHTTP(w, r)
		if w.Code != 200 {
			b.Fatal(path, w.Code)
		}
		return w
	}
	size := ask().Body.Len()
	var each []time.Duration
	var used time.Duration
	for n := 0; b.Loop(); n++ {
		if edited {
			s.touch(b, n)
		}
		before, start := processTime(b), time.Now()
		ask()
		each = append(each, time.Since(start))
		used += processTime(b) - before
	}
	slices.Sort(each)
	b.ReportMetric(float64(each[len(each)/2])/1e6, "p50-ms")
	b.ReportMetric(float64(used)/1e6/float64(len(each)), "cpu-ms")
	b.ReportMetric(float64(size), "bytes")
}

// touch changes the goods of the large job: every revision of it is a new one.
func (s *shop) touch(b *testing.B, n int) {
	now, err := s.bench.Job(context.Background(), largeJob)
	if err != nil {
		b.Fatal(err)
	}
	g := &reconcile.Goods{Job: largeJob, ID: "bolt", Part: "bw-brg-6207n", Pieces: n%7 + 1, Note: fmt.Sprint(now.Rev), Source: reconcile.FromShelf}
	if _, err := s.bench.Change(context.Background(), largeJob, catalog.Change{Request: fmt.Sprint("touch-", now.Rev), Who: "test", Put: []catalog.Record{g}}); err != nil {
		b.Fatal(err)
	}
}

// processTime is what this process has used of its processors, for a busy machine.
func processTime(t testing.TB) time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		t.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
