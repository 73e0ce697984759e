// Package kv is the storage contract: a small ordered key-value store with
// atomic batches, consistent snapshots and a resumable change feed.
//
// Everything above it (package data/store) is written against [Store] alone.
// Engines live beneath it, each in a package of its own, and every engine
// passes the suite in kvtest. [NewMemory] is the engine that keeps nothing.
//
// The contract leaves room for an engine that several servers share:
// revisions rise but may have gaps, the feed may run ahead of the Commit it
// reports, and a batch stays below the limits of [MaxOps] and [MaxBatch].
package kv

import (
	"context"
	"io"
)

// Rev is a revision of a store. It strictly rises with each batch that
// changes something; there may be gaps. 0 is the store nobody has written to.
type Rev uint64

// Entry is one record as a snapshot sees it. The receiver owns Value, which is
// never nil.
type Entry struct {
	Key   string
	Value []byte
	Rev   Rev // revision of the batch that last wrote the key
}

// Cond is a condition of a batch: Key was last written at Rev. Rev 0 demands
// that the key is absent (never written, or deleted).
type Cond struct {
	Key string
	Rev Rev
}

// Op writes Value under Key, or deletes Key. A delete carries no Value.
type Op struct {
	Key    string
	Value  []byte
	Delete bool
}

// Change is one committed batch, whole, in the order of the batch. The
// receiver owns it.
type Change struct {
	Rev Rev
	Ops []Op
}

// Store is an ordered key-value store. All methods may be called from several
// goroutines at once. Keys are ordered bytewise.
//
// Errors, besides those named at the methods: [ErrUnavailable] once the store
// is closed, [ErrCorrupt] when stored bytes do not check out, and the
// context's own error when it ended first.
type Store interface {
	// Snapshot opens a consistent view. A snapshot opened after a Commit
	// returned, by any server, has at least the revision that Commit returned.
	// The caller closes it.
	Snapshot(ctx context.Context) (Snapshot, error)

	// Commit applies ops if every condition holds: atomically, durably before
	// it returns, and linearizably. It returns the batch's revision.
	//
	// Deleting an absent key does nothing and is left out of the feed; a batch
	// that does nothing returns the current revision. The store keeps no
	// reference to conds and ops.
	//
	// Errors: [ErrConflict] (names the key; nothing applied), [ErrTooLarge],
	// [ErrInvalid], [ErrFull], [ErrUnavailable] (surely not applied),
	// [ErrUnknown] (perhaps applied).
	Commit(ctx context.Context, conds []Cond, ops []Op) (Rev, error)

	// Watch calls fn with every change after revision after: each once, in
	// ascending order, whole. It blocks until ctx ends, fn fails (its error is
	// returned as it is) or the store fails. A change may arrive before the
	// Commit that made it has returned. A slow fn never stalls writers.
	//
	// A snapshot at R followed by Watch after R misses and repeats nothing.
	//
	// Errors: [ErrCompacted] when changes after that revision have been
	// forgotten (take a new snapshot, watch from its revision), [ErrInvalid]
	// when the store has not reached that revision.
	Watch(ctx context.Context, after Rev, fn func(Change) error) error

	// Trim forgets the changes up to and including upto. Entries stay. Trimming
	// what is already forgotten does nothing; [ErrInvalid] when the store has
	// not reached upto.
	Trim(ctx context.Context, upto Rev) error

	// Export writes one consistent revision as JSON lines, closed by count and
	// hash (see [WriteExport]), and returns that revision.
	Export(ctx context.Context, w io.Writer) (Rev, error)

	// Import fills a store to which nothing was ever committed with an export,
	// all or nothing: readers see the whole of it or an untouched store. Its
	// revision is at least the export's. The feed does not carry it: a Watch
	// that began earlier ends with [ErrCompacted].
	//
	// Errors: [ErrInvalid] when the store has been written to, [ErrCorrupt]
	// when the export is damaged; the store is then untouched.
	Import(ctx context.Context, r io.Reader) (Rev, error)

	// Status reports on the store without touching its data.
	Status(ctx context.Context) (Status, error)

	// Close releases the store. Watches end, open snapshots stop answering.
	// Closing again does nothing.
	Close() error
}

// Snapshot is a consistent view of a store at one revision, unchanged by later
// commits. It may be used from several goroutines.
type Snapshot interface {
	// Rev is the revision of the view.
	Rev() Rev

	// Get returns the entry under key, and whether there is one.
	Get(ctx context.Context, key string) (Entry, bool, error)

	// Scan calls fn with every entry whose key has the prefix and is greater
	// than after, in ascending order of keys. An error of fn ends the scan and
	// is returned as it is. fn may use the store.
	Scan(ctx context.Context, prefix, after string, fn func(Entry) error) error

	// Close releases the view. Closing again does nothing.
	Close()
}

// Status is what an engine says about itself.
type Status struct {
	Engine    string // name of the engine: "memory", "badger"
	Rev       Rev    // current revision
	TrimmedTo Rev    // changes up to here are forgotten
	BytesUsed int64  // bytes the data takes where it is kept
	BytesFree int64  // bytes left there, -1 when the engine cannot say
	Healthy   bool   // commits are accepted
	Problem   string // why not, empty when healthy
}

// CheckConds returns a [ConflictError] for the first condition that does not
// hold. revOf tells at which revision a key was last written, 0 when absent.
// Engines call it while they decide a batch.
func CheckConds(conds []Cond, revOf func(key string) (Rev, error)) error {
	for _, c := range conds {
		have, err := revOf(c.Key)
		if err != nil {
			return err
		}
		if have != c.Rev {
			return &ConflictError{Key: c.Key, Want: c.Rev, Have: have}
		}
	}
	return nil
}
