package kitlist

import "fmt"

// Check proves that every byte of the text belongs to exactly one span: the lines ascend without overlap, their spans
// tile them, and Between tiles the rest. It returns the first fault found.
func (l List) Check() error {
	at, gap := 0, 0
	between := func(until int) error {
		for at < until && gap < len(l.Between) {
			s := l.Between[gap]
			if s.Start != at || s.End <= s.Start || s.End > until {
				return fmt.Errorf("between span %d is %d-%d, want start %d and end up to %d", gap, s.Start, s.End, at, until)
			}
			at, gap = s.End, gap+1
		}
		if at != until {
			return fmt.Errorf("bytes %d-%d belong to no span", at, until)
		}
		return nil
	}
	for i, n := range l.Lines {
		if n.Start < at || n.End < n.Start || n.End > len(l.Text) {
			return fmt.Errorf("line %d covers %d-%d after byte %d", i, n.Start, n.End, at)
		}
		if err := between(n.Start); err != nil {
			return fmt.Errorf("before line %d: %w", i, err)
		}
		for k, s := range n.Spans {
			if s.Start != at || s.End <= s.Start || s.Role == "" {
				return fmt.Errorf("line %d span %d is %d-%d %q, want start %d", i, k, s.Start, s.End, s.Role, at)
			}
			at = s.End
		}
		if at != n.End {
			return fmt.Errorf("line %d ends at %d, its spans at %d", i, n.End, at)
		}
		if err := n.check(); err != nil {
			return fmt.Errorf("line %d: %w", i, err)
		}
	}
	if err := between(len(l.Text)); err != nil {
		return fmt.Errorf("after the last line: %w", err)
	}
	if gap != len(l.Between) {
		return fmt.Errorf("between span %d is left over", gap)
	}
	return nil
}

// check looks at what must hold within one line.
func (n Line) check() error {
	if n.No < 1 || n.Last < n.No {
		return fmt.Errorf("physical lines %d-%d", n.No, n.Last)
	}
	if q := n.Quantity; q.Count < 0 || q.Pack < 0 || q.Pieces < 0 || n.Kind == Item && q.Pack == 0 {
		return fmt.Errorf("quantity %d x %d = %d", q.Count, q.Pack, q.Pieces)
	}
	switch n.Kind {
	case Item, Heading, Note, Noise:
		return nil
	}
	return fmt.Errorf("kind %q", n.Kind)
}
