package catalog

import "time"

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
	Rev uint64 `json:"rev"`
}

// Inverse returns the operations that take ops back, last first.
func Inverse(ops []Op) []Op {
	inv := make([]Op, len(ops))
	for i, op := range ops {
		inv[len(ops)-1-i] = Op{Table: op.Table, Key: op.Key, Before: op.After, After: op.Before}
	}
	return inv
}
