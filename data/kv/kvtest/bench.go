package kvtest

import (
	"context"
	"fmt"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"layshaft/data/kv"
)

// Writer commits one batch, numbered so that keys can differ.
type Writer func(batch int) error

// StoreWriter writes batches of n entries of about 330 bytes to a store, as an
// edit of a job does.
func StoreWriter(s kv.Store, n int) Writer {
	return func(batch int) error {
		_, err := s.Commit(context.Background(), nil, BenchBatch(batch, n))
		return err
	}
}

// BenchBatch is the batch that all benchmarks write.
func BenchBatch(batch, n int) []kv.Op {
	ops := make([]kv.Op, n)
	for i := range ops {
		ops[i] = kv.Op{Key: fmt.Sprintf("j/shop/%08d/l/%04d", batch%10_000, i), Value: slices.Repeat([]byte{byte(batch), byte(i), 7}, 111)}
	}
	return ops
}

// Bench times a writer alone and with eight at once. It reports the median
// time of a batch and, for eight, batches a second.
func Bench(b *testing.B, write Writer) {
	b.Run("one writer", func(b *testing.B) {
		times := make([]time.Duration, 0, b.N)
		for i := range b.N {
			began := time.Now()
			if err := write(i); err != nil {
				b.Fatal(err)
			}
			times = append(times, time.Since(began))
		}
		slices.Sort(times)
		b.ReportMetric(float64(times[len(times)/2].Nanoseconds()), "p50-ns")
		b.ReportMetric(float64(times[len(times)*99/100].Nanoseconds()), "p99-ns")
	})
	b.Run("eight writers", func(b *testing.B) {
		var next atomic.Int64
		var wg sync.WaitGroup
		for range 8 {
			wg.Go(func() {
				for i := next.Add(1); i <= int64(b.N); i = next.Add(1) {
					if err := write(int(i)); err != nil {
						b.Error(err)
						return
					}
				}
			})
		}
		wg.Wait()
		b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "batches/s")
	})
}
