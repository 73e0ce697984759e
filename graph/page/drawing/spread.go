package drawing

// spread moves points on a line as little as possible (least squares) so that
// neighbours keep the pitch and all lie in [lo, hi], order kept. want ascends.
// It pools adjacent violators of the isotonic problem; where the points do not
// fit between lo and hi the pitch shrinks to an even spacing.
func spread(want []float64, pitch, lo, hi float64) []float64 {
	n := len(want)
	if n == 0 {
		return nil
	}
	if n > 1 && pitch*float64(n-1) > hi-lo {
		pitch = max(hi-lo, 0) / float64(n-1)
	}
	type block struct {
		sum float64
		n   int
	}
	var blocks []block
	for i, w := range want {
		blocks = append(blocks, block{w - pitch*float64(i), 1})
		for len(blocks) > 1 {
			a, b := blocks[len(blocks)-2], blocks[len(blocks)-1]
			if a.sum/float64(a.n) <= b.sum/float64(b.n) {
				break
			}
			blocks = append(blocks[:len(blocks)-2], block{a.sum + b.sum, a.n + b.n})
		}
	}
	out := make([]float64, 0, n)
	for _, b := range blocks {
		at := min(max(b.sum/float64(b.n), lo), max(lo, hi-pitch*float64(n-1)))
		for range b.n {
			out = append(out, at+pitch*float64(len(out)))
		}
	}
	return out
}
