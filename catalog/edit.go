package catalog

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"time"
)

// Op replaces one record: Before nil creates, After nil deletes. Both name the
// same table and key.
type Op struct {
	Table  Table  `json:"table"`
	Key    string `json:"key"`
	Before Record `json:"before,omitempty"`
	After  Record `json:"after,omitempty"`
}

// Edit is one change by one person, stored in the same batch as the records it
// changes. History is the list of edits; undo is a new edit with Before and
// After exchanged.
type Edit struct {
	ID string `json:"id"`
	// Request is the caller's id: repeated, it returns the first outcome.
	Request string    `json:"request"`
	Who     string    `json:"who"`
	At      time.Time `json:"at"`
	Why     string    `json:"why,omitempty"`
	Ops     []Op      `json:"ops"`
	// Undoes is the id of the edit that this one takes back.
	Undoes string `json:"undoes,omitempty"`
	// Job that the edit belongs to; empty for the catalogue.
	Job string `json:"job,omitempty"`
	// Rev numbers edits without gaps; it is the revision of every record that the
	// edit wrote.
	Rev uint64 `json:"rev"`
	// Digest of what was asked for, so that a repeated request is told from
	// another one under the same id.
	Digest string `json:"-"`
	// Bulk edits replace the whole catalogue and list no operations.
	Bulk bool `json:"bulk,omitempty"`
}

// Digest of a change: what is put and deleted, where. Stamps and the state
// before do not count.
func (ch Change) Digest(job string) (string, error) {
	h := sha256.New()
	enc := json.NewEncoder(h)
	write := func(v any) error { return enc.Encode(v) }
	if err := write([]string{job, ch.Who}); err != nil {
		return "", err
	}
	for _, r := range ch.Put {
		stamp := r.StampRef()
		kept := *stamp
		*stamp = Stamp{}
		err := errors.Join(write([]string{string(r.Table()), r.Key()}), write(r))
		*stamp = kept
		if err != nil {
			return "", err
		}
	}
	for _, ref := range ch.Delete {
		if err := write([]string{"delete", string(ref.Table), ref.Key}); err != nil {
			return "", err
		}
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}

// UndoDigest is the digest of a request that takes an edit back.
func UndoDigest(edit string) string { return "undo " + edit }

// Inverse returns the operations that take ops back, last first.
func Inverse(ops []Op) []Op {
	inv := make([]Op, len(ops))
	for i, op := range ops {
		inv[len(ops)-1-i] = Op{Table: op.Table, Key: op.Key, Before: op.After, After: op.Before}
	}
	return inv
}
