package kv

import (
	"context"
	"sync"
)

// Bell wakes everybody who waits for a store to move on. Ringing never blocks,
// however many wait and however slow they are. The zero value is ready.
type Bell struct {
	mu   sync.Mutex
	rung chan struct{}
}

// Wait returns a channel that closes at the next Ring. Taken before looking at
// the store, it misses nothing.
func (b *Bell) Wait() <-chan struct{} {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.rung == nil {
		b.rung = make(chan struct{})
	}
	return b.rung
}

// Ring wakes all who wait.
func (b *Bell) Ring() {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.rung != nil {
		close(b.rung)
		b.rung = nil
	}
}

// Follow is Watch for an engine that keeps a change log of its own. read
// returns some of the changes after a revision in ascending order, none when
// there are none yet, and holds no lock when it returns; the engine rings bell
// after each commit and when it closes.
func Follow(ctx context.Context, after Rev, bell *Bell, read func(after Rev) ([]Change, error), fn func(Change) error) error {
	for {
		woken := bell.Wait()
		if err := ctx.Err(); err != nil {
			return err
		}
		changes, err := read(after)
		if err != nil {
			return err
		}
		for _, c := range changes {
			if err := ctx.Err(); err != nil {
				return err
			}
			if err := fn(c); err != nil {
				return err
			}
			after = c.Rev
		}
		if len(changes) > 0 {
			continue
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-woken:
		}
	}
}

// CheckAfter is the range check of Watch and Trim: [ErrInvalid] when the store
// has not reached the revision asked for, [ErrCompacted] when changes after it
// are forgotten.
func CheckAfter(asked, trimmedTo, current Rev) error {
	switch {
	case asked > current:
		return notReached(asked, current)
	case asked < trimmedTo:
		return &CompactedError{After: asked, TrimmedTo: trimmedTo}
	}
	return nil
}
