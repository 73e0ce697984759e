package catalog

import (
	"errors"
	"fmt"
)

// Code is one of a closed set of error codes. Whatever is not listed here is
// internal: it is logged with an id and shown as such.
type Code string

const (
	CodeInternal    Code = "internal"
	CodeInvalid     Code = "invalid"        // input that can be put right by the caller
	CodeNotFound    Code = "not-found"      // no such record
	CodeConflict    Code = "conflict"       // somebody else changed it meanwhile
	CodeReused      Code = "request-reused" // request id used before for something else
	CodeForbidden   Code = "forbidden"
	CodeSignIn      Code = "sign-in" // no or unknown credentials
	CodeTooLarge    Code = "too-large"
	CodeFull        Code = "full"        // no room on the disk
	CodeUnavailable Code = "unavailable" // surely not done; try again
	CodeUnknown     Code = "unknown-outcome"
	CodeCorrupt     Code = "corrupt" // damaged data: restore
	CodeBusy        Code = "busy"    // rate limit
)

// Error is a fault that a caller can act upon: what, where and what to do.
type Error struct {
	Code Code
	// Place names the faulty thing: a field, a record, a file and line.
	Place string
	// Message is a sentence without the place.
	Message string
	// Remedy says what to do about it.
	Remedy string
	// Cause for the log; never shown to a caller.
	Cause error
}

// Error gives place, message and remedy in one line.
func (e *Error) Error() string {
	s := e.Message
	if e.Place != "" {
		s = e.Place + ": " + s
	}
	if e.Remedy != "" {
		s += ". " + e.Remedy
	}
	return s
}

// Unwrap gives the cause.
func (e *Error) Unwrap() error { return e.Cause }

// CodeOf an error; CodeInternal when it carries none.
func CodeOf(err error) Code {
	var e *Error
	if errors.As(err, &e) {
		return e.Code
	}
	return CodeInternal
}

// Invalid makes an error about input at a place.
func Invalid(place, remedy, format string, args ...any) *Error {
	return &Error{Code: CodeInvalid, Place: place, Remedy: remedy, Message: fmt.Sprintf(format, args...)}
}

// NotFound makes an error about a record that does not exist.
func NotFound(table Table, key string) *Error {
	return &Error{Code: CodeNotFound, Place: string(table) + " " + key, Message: "no such record",
		Remedy: "Check the id"}
}
