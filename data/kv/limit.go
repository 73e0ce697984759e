package kv

import (
	"context"
	"fmt"
)

// Limits of one batch, the same on every engine. They lie below those of a
// clustered engine at its default settings (128 operations, 1.5 MiB).
const (
	MaxKey   = 512       // bytes of a key, at least 1
	MaxValue = 512 << 10 // bytes of a value
	MaxOps   = 100       // operations of a batch, at least 1
	MaxConds = 100       // conditions of a batch
	MaxBatch = 1 << 20   // bytes of all keys and values of a batch, conditions included
)

// Limit wraps an engine so that requests beyond the limits, or that make no
// sense, are refused before they reach it. Every engine's constructor returns
// its store wrapped, so no engine has limits of its own.
func Limit(engine Store) Store { return limited{engine} }

type limited struct{ Store }

func (l limited) Commit(ctx context.Context, conds []Cond, ops []Op) (Rev, error) {
	if err := checkBatch(conds, ops); err != nil {
		return 0, err
	}
	if err := ctx.Err(); err != nil {
		return 0, &UnavailableError{Reason: "the batch was given up before it was written", Err: err}
	}
	return l.Store.Commit(ctx, conds, ops)
}

func (l limited) Snapshot(ctx context.Context) (Snapshot, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	snap, err := l.Store.Snapshot(ctx)
	if err != nil {
		return nil, err
	}
	return limitedSnapshot{snap}, nil
}

type limitedSnapshot struct{ Snapshot }

func (l limitedSnapshot) Get(ctx context.Context, key string) (Entry, bool, error) {
	if err := checkKey(key); err != nil {
		return Entry{}, false, err
	}
	if err := ctx.Err(); err != nil {
		return Entry{}, false, err
	}
	return l.Snapshot.Get(ctx, key)
}

func checkKey(key string) error {
	switch {
	case key == "":
		return &InvalidError{Reason: "a key has at least one byte"}
	case len(key) > MaxKey:
		return &TooLargeError{What: "key", Key: key, Size: len(key), Limit: MaxKey}
	}
	return nil
}

func checkBatch(conds []Cond, ops []Op) error {
	switch {
	case len(ops) == 0:
		return &InvalidError{Reason: "a batch has at least one operation"}
	case len(ops) > MaxOps:
		return &TooLargeError{What: "operations", Size: len(ops), Limit: MaxOps}
	case len(conds) > MaxConds:
		return &TooLargeError{What: "conditions", Size: len(conds), Limit: MaxConds}
	}
	condBytes, err := checkConds(conds)
	if err != nil {
		return err
	}
	opBytes, err := checkOps(ops)
	if err != nil {
		return err
	}
	if size := condBytes + opBytes; size > MaxBatch {
		return &TooLargeError{What: "batch", Size: size, Limit: MaxBatch}
	}
	return nil
}

func checkConds(conds []Cond) (bytes int, err error) {
	seen := make(map[string]bool, len(conds))
	for _, c := range conds {
		if err := checkKey(c.Key); err != nil {
			return 0, err
		}
		if seen[c.Key] {
			return 0, &InvalidError{Key: c.Key, Reason: "two conditions on one key"}
		}
		seen[c.Key] = true
		bytes += len(c.Key)
	}
	return bytes, nil
}

func checkOps(ops []Op) (bytes int, err error) {
	seen := make(map[string]bool, len(ops))
	for _, op := range ops {
		if err := checkOp(op); err != nil {
			return 0, err
		}
		if seen[op.Key] {
			return 0, &InvalidError{Key: op.Key, Reason: "two operations on one key"}
		}
		seen[op.Key] = true
		bytes += len(op.Key) + len(op.Value)
	}
	return bytes, nil
}

func checkOp(op Op) error {
	if err := checkKey(op.Key); err != nil {
		return err
	}
	switch {
	case op.Delete && len(op.Value) > 0:
		return &InvalidError{Key: op.Key, Reason: fmt.Sprintf("a delete carries no value, this one has %d bytes", len(op.Value))}
	case len(op.Value) > MaxValue:
		return &TooLargeError{What: "value", Key: op.Key, Size: len(op.Value), Limit: MaxValue}
	}
	return nil
}

func notReached(asked, current Rev) error {
	return &InvalidError{Reason: fmt.Sprintf("revision %d asked for, the store is at %d: it is another store, or an older copy of it", asked, current)}
}
