package reconcile

import (
	"fmt"
	"slices"
	"testing"
	"time"
)

// BenchmarkRun measures the engine alone, on random jobs with n positions and
// 0.8 n lines; 116 positions with 80 lines is a large real job. p50-ns is the
// median of single runs, which a busy machine disturbs less than the mean.
//
//	go test -run - -bench Run -benchmem ./reconcile
func BenchmarkRun(b *testing.B) {
	for _, n := range []int{10, 30, 100, 116, 300, 1000} {
		lines := n * 8 / 10
		if n == 116 {
			lines = 80
		}
		in := randomShop(seeded(7), n, lines).input()
		r := Run(in)
		b.Run(fmt.Sprintf("%d-positions-%d-lines", n, lines), func(b *testing.B) {
			b.ReportAllocs()
			var each []time.Duration
			for b.Loop() {
				start := time.Now()
				Run(in)
				each = append(each, time.Since(start))
			}
			slices.Sort(each)
			b.ReportMetric(float64(each[len(each)/2]), "p50-ns")
			b.ReportMetric(float64(len(r.Demands)), "demands")
			b.ReportMetric(float64(len(r.Findings)), "findings")
		})
	}
}
