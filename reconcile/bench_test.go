package reconcile

import (
	"fmt"
	"testing"
)

// BenchmarkRun measures the engine alone, on jobs with n positions and 0.8 n
// lines. 100 positions with 80 lines is a large real job.
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
			for b.Loop() {
				Run(in)
			}
			b.ReportMetric(float64(len(r.Demands)), "demands")
			b.ReportMetric(float64(len(r.Findings)), "findings")
		})
	}
}
