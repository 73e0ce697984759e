package main

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"

	"layshaft/catalog"
)

// exitStatus of the program. Scripts rely on the numbers: they never change.
type exitStatus int

// The exit statuses; exitTable says what they mean.
const (
	exitOK       exitStatus = 0
	exitPerson   exitStatus = 1
	exitUsage    exitStatus = 2
	exitInput    exitStatus = 3
	exitNotFound exitStatus = 4
	exitConflict exitStatus = 5
	exitRetry    exitStatus = 6
	exitDamage   exitStatus = 7
	exitInternal exitStatus = 8
)

// exitTable gives each status its meaning and the error codes that lead to it.
var exitTable = []struct {
	status exitStatus
	means  string
	codes  []catalog.Code
}{
	{exitOK, "done, nothing for a person to settle", nil},
	{exitPerson, "done, and a person must look: severe problems, open questions, blocking findings", nil},
	{exitUsage, "the command line is wrong", nil},
	{exitInput, "a file is missing or has faults", []catalog.Code{catalog.CodeInvalid, catalog.CodeTooLarge}},
	{exitNotFound, "there is no such record", []catalog.Code{catalog.CodeNotFound}},
	{exitConflict, "refused: changed by somebody else, repeated, or not allowed", []catalog.Code{catalog.CodeConflict,
		catalog.CodeReused, catalog.CodeForbidden, catalog.CodeSignIn}},
	{exitRetry, "could not be done now; try again or make room", []catalog.Code{catalog.CodeUnavailable, catalog.CodeUnknown,
		catalog.CodeBusy, catalog.CodeFull}},
	{exitDamage, "stored data are damaged: restore", []catalog.Code{catalog.CodeCorrupt}},
	{exitInternal, "a fault of the program", []catalog.Code{catalog.CodeInternal}},
}

func exitHelp() string {
	var b strings.Builder
	b.WriteString("Exit status:")
	for i, row := range exitTable {
		sep := ";"
		if i == 0 {
			sep = ""
		}
		fmt.Fprintf(&b, "%s %d %s", sep, row.status, row.means)
	}
	b.WriteString(".")
	return b.String()
}

// errPerson ends a command that did its work and found something for a person;
// what it found is printed already.
var errPerson = errors.New("a person must look")

// errFaults ends a command whose input has faults that are printed already.
var errFaults = errors.New("the input has faults")

// wrongUsage marks an error of the command line.
type wrongUsage struct{ err error }

func (u wrongUsage) Error() string { return u.err.Error() }
func (u wrongUsage) Unwrap() error { return u.err }

func usageError(err error) error { return wrongUsage{err} }

// statusOf an error, by the table.
func statusOf(err error) exitStatus {
	var usage wrongUsage
	switch {
	case err == nil:
		return exitOK
	case errors.Is(err, errPerson):
		return exitPerson
	case errors.Is(err, errFaults):
		return exitInput
	case errors.As(err, &usage):
		return exitUsage
	case errors.Is(err, fs.ErrNotExist):
		return exitInput
	}
	code := catalog.CodeOf(err)
	for _, row := range exitTable {
		for _, c := range row.codes {
			if c == code {
				return row.status
			}
		}
	}
	return exitInternal
}

// fail prints an error, unless the command has printed its findings itself, and
// gives the status.
func (a *app) fail(err error) exitStatus {
	status := statusOf(err)
	switch {
	case err == nil || errors.Is(err, errPerson) || errors.Is(err, errFaults):
	case status == exitUsage:
		a.errs.linef("layshaft: %v. Run layshaft --help to see the commands", err)
	default:
		a.errs.linef("layshaft: %v", err)
	}
	return status
}
