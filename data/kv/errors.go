package kv

import (
	"errors"
	"fmt"
)

// The kinds of error a store returns, to be asked with [errors.Is]. Each comes
// as the typed error of the same name, which [errors.As] finds.
var (
	ErrConflict    = errors.New("a record has changed meanwhile")
	ErrInvalid     = errors.New("the request makes no sense to a store")
	ErrTooLarge    = errors.New("the batch is beyond the store's limits")
	ErrCompacted   = errors.New("these changes have been forgotten")
	ErrFull        = errors.New("the disk is too full to write")
	ErrCorrupt     = errors.New("stored data is damaged")
	ErrUnavailable = errors.New("the store is not available, nothing was written")
	ErrUnknown     = errors.New("the batch may or may not have been written")
)

// ConflictError is a condition that does not hold.
type ConflictError struct {
	Key  string
	Want Rev // revision the condition named, 0 for absent
	Have Rev // revision found, 0 for absent
}

func (e *ConflictError) Error() string {
	return fmt.Sprintf("key %q: expected revision %d, found %d: read it again and repeat the edit", e.Key, e.Want, e.Have)
}

// Is reports whether target is [ErrConflict].
func (e *ConflictError) Is(target error) bool { return target == ErrConflict }

// InvalidError is a request that no engine accepts.
type InvalidError struct {
	Key    string // the key it is about, empty when about the whole request
	Reason string
}

func (e *InvalidError) Error() string {
	if e.Key != "" {
		return fmt.Sprintf("key %q: %s", e.Key, e.Reason)
	}
	return e.Reason
}

// Is reports whether target is [ErrInvalid].
func (e *InvalidError) Is(target error) bool { return target == ErrInvalid }

// TooLargeError is a part of a batch beyond its limit.
type TooLargeError struct {
	What  string // "operations", "conditions", "key", "value" or "batch"
	Key   string // the key it is about, empty when about the whole batch
	Size  int
	Limit int
}

func (e *TooLargeError) Error() string {
	if e.Key != "" {
		return fmt.Sprintf("%s of %.40q takes %d, the limit is %d", e.What, e.Key, e.Size, e.Limit)
	}
	return fmt.Sprintf("%s: %d in one batch, the limit is %d: write it in several", e.What, e.Size, e.Limit)
}

// Is reports whether target is [ErrTooLarge].
func (e *TooLargeError) Is(target error) bool { return target == ErrTooLarge }

// CompactedError is a Watch from a revision whose followers are forgotten.
type CompactedError struct {
	After     Rev // revision asked for
	TrimmedTo Rev // changes up to here are forgotten
}

func (e *CompactedError) Error() string {
	return fmt.Sprintf("changes up to revision %d are forgotten, asked for those after %d: take a new snapshot", e.TrimmedTo, e.After)
}

// Is reports whether target is [ErrCompacted].
func (e *CompactedError) Is(target error) bool { return target == ErrCompacted }

// FullError is a refusal to write while there is still room to open the store.
type FullError struct {
	Place  string // where the data is kept
	Free   int64  // bytes free there
	Floor  int64  // bytes that must be free to write
	Remedy string
}

func (e *FullError) Error() string {
	return fmt.Sprintf("%s has %d MiB free, writing needs %d MiB: %s", e.Place, e.Free>>20, e.Floor>>20, e.Remedy)
}

// Is reports whether target is [ErrFull].
func (e *FullError) Is(target error) bool { return target == ErrFull }

// CorruptError is damage found in stored data or in an export. It says what is
// damaged and what to do.
type CorruptError struct {
	What   string
	Remedy string
	Err    error // the cause, nil when What says it all
}

func (e *CorruptError) Error() string {
	s := e.What
	if e.Err != nil {
		s += ": " + e.Err.Error()
	}
	return s + ": " + e.Remedy
}

// Is reports whether target is [ErrCorrupt].
func (e *CorruptError) Is(target error) bool { return target == ErrCorrupt }

// Unwrap returns the cause.
func (e *CorruptError) Unwrap() error { return e.Err }

// UnavailableError is a request that was surely not carried out.
type UnavailableError struct {
	Reason string
	Err    error // the cause, nil when Reason says it all
}

func (e *UnavailableError) Error() string { return withCause(e.Reason, e.Err) }

// Is reports whether target is [ErrUnavailable].
func (e *UnavailableError) Is(target error) bool { return target == ErrUnavailable }

// Unwrap returns the cause.
func (e *UnavailableError) Unwrap() error { return e.Err }

// UnknownError is a batch of which the store cannot say whether it was
// written. Repeating it with its request id finds out.
type UnknownError struct {
	Reason string
	Err    error // the cause, nil when Reason says it all
}

func (e *UnknownError) Error() string { return withCause(e.Reason, e.Err) }

// Is reports whether target is [ErrUnknown].
func (e *UnknownError) Is(target error) bool { return target == ErrUnknown }

// Unwrap returns the cause.
func (e *UnknownError) Unwrap() error { return e.Err }

// Closed is the error of every call to a closed store.
func Closed() error { return &UnavailableError{Reason: "the store is closed"} }

func withCause(reason string, cause error) string {
	if cause == nil {
		return reason
	}
	return reason + ": " + cause.Error()
}

// SnapshotClosed is the error of every call to a closed snapshot.
func SnapshotClosed() error { return &UnavailableError{Reason: "the snapshot is closed"} }

// CheckUntouched is the condition of Import on a store at revision current.
func CheckUntouched(current Rev) error {
	if current == 0 {
		return nil
	}
	return &InvalidError{Reason: "an import needs an untouched store, this one has been written to: import into a new data folder"}
}
