package match

import (
	"fmt"
	"runtime"
	"syscall"
	"testing"
	"time"

	"layshaft/catalog"
	"layshaft/reconcile/kitlist"
	"layshaft/reconcile/match/trial"
)

// bigWorld has about parts parts.
func bigWorld(parts int) *trial.World {
	return trial.NewWorld(trial.Spec{Seed: 51, Families: max(parts/130, 1), Variants: 2, Numbers: "letters", Names: "plain"})
}

// cpu is the processor time used so far: other work on the machine does not count.
func cpu() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// BenchmarkMatch reads lists with and without a known variant.
func BenchmarkMatch(b *testing.B) {
	for _, parts := range []int{1_000, 100_000} {
		w := bigWorld(parts)
		m := New(catalog.NewIndex(w.Catalogue, 1), Options{})
		var lists []kitlist.List
		kits := w.Kits(9, 12, trial.Usual)
		for _, k := range kits {
			lists = append(lists, kitlist.Read(k.Text, kitlist.Options{}))
		}
		for _, known := range []bool{true, false} {
			b.Run(fmt.Sprintf("parts=%d/known=%v", len(m.parts), known), func(b *testing.B) {
				lines, start := 0, cpu()
				for i := 0; b.Loop(); i++ {
					in := Context{}
					if known {
						in.Variant = kits[i%len(kits)].Variant
					}
					lines += len(m.Match(lists[i%len(lists)], in))
				}
				used := (cpu() - start).Seconds()
				b.ReportMetric(float64(lines)/used, "lines/cpu-s")
				b.ReportMetric(1000*used*40/float64(lines), "cpu-ms/40lines")
			})
		}
	}
}

// BenchmarkIndex builds the index and reports its heap for each part, beyond
// that of the catalogue's own index.
func BenchmarkIndex(b *testing.B) {
	w := bigWorld(100_000)
	ix := catalog.NewIndex(w.Catalogue, 1)
	var bytes uint64
	for b.Loop() {
		var before, after runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&before)
		m := New(ix, Options{})
		runtime.GC()
		runtime.ReadMemStats(&after)
		bytes = after.HeapAlloc - before.HeapAlloc
		runtime.KeepAlive(m)
	}
	b.ReportMetric(float64(bytes)/float64(len(ix.Parts())), "B/part")
}
