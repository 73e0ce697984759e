package measure

import (
	"math"

	"layshaft/catalog/quantity"
)

// Rule is a decision rule: the guard band is Factor times the standard
// uncertainty, on the inside of a limit to prove conformity and on its outside
// to prove nonconformity.
type Rule struct {
	Name   string
	Factor float64
}

// The decision rules of ISO 14253-1 (values from memory; see
// testdata/SOURCES.md). RuleConformance is the default: a 95 % conformance
// probability at one limit. RuleExpanded takes the whole expanded uncertainty
// with k = 2.
var (
	RuleConformance = Rule{"ISO 14253-1:2017, 95 % at one limit, g = 1.65 u", 1.65}
	RuleExpanded    = Rule{"ISO 14253-1:1998 and 2013, g = U (k = 2)", 2}
)

func (r Rule) orDefault() Rule {
	if r.Factor <= 0 || math.IsNaN(r.Factor) || r.Factor > 10 {
		return RuleConformance
	}
	return r
}

// guard is the guard band in whole units (nanometres), rounded up, so that
// rounding makes proof harder. It is capped where nothing can be proved anyway.
func (r Rule) guard(u float64, perUnit float64) int64 {
	return int64(math.Ceil(math.Min(r.Factor*u*perUnit, 1e8)))
}

// Verdict is what a value and its uncertainty prove about limits.
type Verdict string

const (
	ProvedInside  Verdict = "proved inside"
	Undecided     Verdict = "not proved" // within a guard band of a limit
	ProvedOutside Verdict = "proved outside"
)

// bounds are limits in whole units; nil means no limit on that side.
type bounds struct{ lo, hi *int64 }

func window(lo, hi int64) bounds { return bounds{&lo, &hi} }

// holds says whether v lies in the bounds, both ends included: exact.
func (b bounds) holds(v exact) bool {
	return (b.lo == nil || v.cmp(*b.lo) >= 0) && (b.hi == nil || v.cmp(*b.hi) <= 0)
}

// judge applies a guard band of g whole units.
func (b bounds) judge(v exact, g int64) Verdict {
	if b.lo != nil && v.cmp(*b.lo-g) < 0 || b.hi != nil && v.cmp(*b.hi+g) > 0 {
		return ProvedOutside
	}
	if (b.lo == nil || v.cmp(*b.lo+g) >= 0) && (b.hi == nil || v.cmp(*b.hi-g) <= 0) {
		return ProvedInside
	}
	return Undecided
}

// chance is the probability of the bounds holding for estimate m with standard
// uncertainty u, both in units of 1/perUnit.
func (b bounds) chance(m, u, perUnit float64) float64 {
	lo, hi := math.Inf(-1), math.Inf(1)
	if b.lo != nil {
		lo = float64(*b.lo) / perUnit
	}
	if b.hi != nil {
		hi = float64(*b.hi) / perUnit
	}
	return normalBetween(lo, hi, m, u)
}

// Level is how much a notice asks of a person.
type Level string

const (
	LevelStop  Level = "stop"  // can lock or seize, or data contradict
	LevelCheck Level = "check" // a person must look; not proved
	LevelNote  Level = "note"
)

// Notice is a sentence with a stable code.
type Notice struct {
	Code  string
	Level Level
	Text  string
}

// Refusal says why a result is not given.
type Refusal struct {
	Code   string // stable: "missing-reading", "outlier", "void", ...
	Place  string // reading or field: "depth", "depth 3", "window"
	Reason string
	Remedy string
}

const perMM = float64(quantity.MM)
