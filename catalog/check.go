package catalog

import (
	"cmp"
	"fmt"
	"slices"
)

// check is one kind of fault looked for, with the codes of its problems.
type check struct {
	name  string
	codes []string
	run   func(*checkup)
}

// checks lists every check in the order in which problems are reported.
func checks() []check {
	return []check{
		{"keys", []string{"bad-id", "duplicate-key", "duplicate-row"}, checkKeys},
		{"texts", []string{"empty", "bad-text"}, checkTexts},
		{"closed sets", []string{"unknown-word"}, checkWords},
		{"references", []string{"unknown-id"}, checkReferences},
		{"quantities", []string{"quantity"}, checkQuantities},
		{"meshes", []string{"mesh-shape", "centre-distance"}, checkMeshes},
		{"tooth counts", []string{"teeth-missing", "teeth-part"}, checkTeeth},
		{"tooth sums", []string{"tooth-sum", "tooth-sum-spread"}, checkSums},
		{"ratios", []string{"ratio-order", "ratio-step"}, checkRatios},
		{"helix", []string{"helix-mesh", "helix-shaft"}, checkHelix},
		{"fitments", []string{"no-fitment", "no-standard", "two-standards", "fitment-absent"}, checkFitments},
		{"numbers", []string{"no-number", "empty-number", "duplicate-number"}, checkNumbers},
		{"attributes", []string{"attribute-choices", "attribute-undeclared", "attribute-kind", "attribute-choice"}, checkAttributes},
		{"designations", []string{"designation-unknown", "designation-contradicts"}, checkDesignations},
		{"mates", []string{"mate-shape", "mate-violated", "mate-unknown"}, checkMates},
		{"bonds", []string{"bond-size"}, checkBonds},
		{"disturbances", []string{"disturbance-self"}, checkDisturbances},
		{"stacks", []string{"stack-position", "stack-window", "stack-no-grades", "stack-grades"}, checkStacks},
		{"limits", []string{"limit-order", "limit-open", "limit-attribute"}, checkLimits},
		{"features", []string{"feature-variant", "feature-value", "feature-speed"}, checkFeatures},
		{"supersessions", []string{"supersession-loop", "supersession-conflict", "supersession-dead-end"}, checkSupersessions},
		{"contents", []string{"contents-loop", "contents-missing"}, checkContents},
		{"offers", []string{"offer-breaks", "offer-currency", "offer-price", "offer-lead"}, checkOffers},
		{"lexicon", []string{"word-collision"}, checkLexicon},
	}
}

// Check returns every problem of a catalogue: check by check, within one by
// table, key, field and reason. A problem's code, table, key and field say
// which one it is; its reason may change with the records around it.
func Check(c *Catalogue) []Problem {
	k := &checkup{c: c, ix: NewIndex(c, 0)}
	for _, ch := range checks() {
		from := len(k.problems)
		ch.run(k)
		slices.SortStableFunc(k.problems[from:], compareProblems)
	}
	return k.problems
}

func compareProblems(a, b Problem) int {
	return cmp.Or(cmp.Compare(tableRank[a.Table], tableRank[b.Table]), cmp.Compare(a.Key, b.Key),
		cmp.Compare(a.Field, b.Field), cmp.Compare(a.Code, b.Code), cmp.Compare(a.Reason, b.Reason))
}

var tableRank = func() map[Table]int {
	rank := map[Table]int{}
	for i, t := range []Table{TableFamily, TableVariant, TablePosition, TableAttribute, TablePart, TableFitment, TableMate,
		TableBond, TableDisturbance, TableStack, TableLimit, TableFeature, TableSupersession, TableSupplier, TableOffer,
		TableWord, TableAlias} {
		rank[t] = i
	}
	return rank
}()

// checkup is one run of all checks over a catalogue.
type checkup struct {
	c        *Catalogue
	ix       *Index
	problems []Problem
}

// fault is what is wrong with a field and what to do about it; Severe is set by
// severe and not by hint.
type fault struct{ code, field, repair string }

func (k *checkup) severe(r Record, f fault, reason string, args ...any) {
	k.add(true, r, f, reason, args)
}
func (k *checkup) hint(r Record, f fault, reason string, args ...any) {
	k.add(false, r, f, reason, args)
}

func (k *checkup) add(severe bool, r Record, f fault, reason string, args []any) {
	k.problems = append(k.problems, Problem{Code: f.code, Table: r.Table(), Key: r.Key(), Field: f.field,
		Reason: fmt.Sprintf(reason, args...), Repair: f.repair, Severe: severe})
}
