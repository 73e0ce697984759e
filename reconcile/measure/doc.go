// Package measure turns readings at the bench into a decision: which shim,
// ring or washer closes a select-fit stack, which grades to have at hand before
// the dry build, and whether a measured part may stay.
//
// Sizes are whole nanometres. A mean is kept as an exact fraction, so whether a
// grade lies in its window never depends on rounding. Statistics use floats:
// the uncertainty budget follows JCGM 100:2008, the probability of lying in a
// window JCGM 106:2012, the guard band ISO 14253-1. End play is positive,
// preload is negative end play.
//
// What cannot be used is refused as a value with code, place, reason and
// remedy; nothing here returns an error or panics on bad input.
package measure
