// Package reconcile compares what a job really needs with what its kits, the
// shelf and open orders supply, and says what does not fit, what is missing,
// what cannot be ordered yet, what is surplus, and why.
//
// Run is a pure function of an immutable catalogue index and a job: the same
// input gives byte-identical output, and the order of pasted lines changes
// nothing but line numbers. Rules are listed in rules.go, one file a rule.
package reconcile
