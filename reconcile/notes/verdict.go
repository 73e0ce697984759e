package notes

import (
	"slices"
	"strings"

	"layshaft/catalog/quantity"
)

// verdict is what a run of words says about things.
type verdict struct {
	items []item
	// explicit: it states a choice or a treatment, not only a condition.
	explicit bool
}

func verdictRole(r role) bool {
	switch r {
	case asVerb, asGood, asInSpec, asMeasured, asBad, asTreat, asTreatOut, asInHouse, asCare, asDue, asDate, asNot, asMaybe, asToo, asPron, asNo, asCorrect:
		return true
	}
	return false
}

// only reports whether every item has one of the roles.
func (v *verdict) only(roles ...role) bool {
	return !slices.ContainsFunc(v.items, func(it item) bool { return it.role != asStop && !slices.Contains(roles, it.role) })
}

func (v *verdict) has(r role) bool {
	return slices.ContainsFunc(v.items, func(it item) bool { return it.role == r })
}

// judgement is a verdict settled.
type judgement struct {
	choice    Choice
	explicit  bool
	treatment string
	due       quantity.Date
	count     int    // "replace 2"
	from, to  int    // evidence, as bytes; equal when there is none
	dueAsk    string // the day cannot be read
	ask       string // it cannot be settled
}

// shopWork are treatments done in the shop unless the note says otherwise
// (common practice).
var shopWork = map[string]bool{"stone": true, "chase": true, "ream": true, "polish": true, "hone": true, "crack-test": true, "straighten": true, "insert": true}

// hearing collects what the items of a verdict say before it is settled.
type hearing struct {
	judgement
	choices []Choice
	treats  []string
	shops   []string // treatments told by who does them
	neg     bool     // the next word is denied
	denied  bool     // some word was
	care    bool     // cleaned, wiped
	later   bool     // good, said after "new": it may be new already
	gone    bool     // worn out, or not there
	same    bool     // "for the same"
	before  bool     // good, said before "order"

	good, bad, spec, measured, out, house, maybe bool
}

// judge settles what verdicts say together.
func judge(items []item) judgement {
	var h hearing
	for i := range items {
		h.hear(items, i)
	}
	j := h.judgement
	if (h.later || h.before) && !h.bad {
		j.ask = "it is said to be new, and to be good"
		return j
	}
	if h.maybe || h.gone && !slices.Contains(h.choices, Replace) {
		j.ask = "it is said with a condition or as a question"
		return j
	}
	if len(h.treats) == 0 {
		h.treats = h.shops
	}
	j.settle(h.choices, h.treats, h.out, h.house)
	if h.same && j.choice == SendOut && j.treatment == "" {
		j.ask = "what it is sent out for is not said here"
	}
	if j.choice == "" && j.ask == "" {
		h.judgement = j
		h.weigh()
		j = h.judgement
	}
	if j.choice != SendOut {
		j.due, j.dueAsk = quantity.Date{}, ""
	}
	return j
}

// hear takes one item in.
func (h *hearing) hear(items []item, i int) {
	it := &items[i]
	switch it.role {
	case asNot, asNo:
		h.neg, h.denied = true, true
		return
	case asToo:
		h.same = h.same || strings.HasPrefix(it.arg, "same")
		return
	case asStop, asPron, asCorrect:
		return
	case asVerb:
		h.before = h.before || Choice(it.arg) == obtain && h.good && !h.bad && !h.neg
		h.verb(it)
	case asTreat, asTreatOut:
		h.treat(it)
	case asInHouse:
		h.house = true
	case asCare:
		h.care = true
	case asGood:
		h.later = h.later || !h.neg && slices.Contains(h.choices, Replace)
		h.good, h.bad = h.good || !h.neg, h.bad || h.neg
	case asBad:
		h.good, h.bad = h.good || h.neg, h.bad || !h.neg
	case asInSpec:
		h.spec, h.bad = h.spec || !h.neg, h.bad || h.neg
	case asMeasured:
		h.measured = true
	case asMaybe:
		h.gone = h.gone || it.arg == "gone"
		h.maybe = h.maybe || it.arg != "gone" && !(h.denied && it.arg == "either") // "not there either" is no condition
	case asNumber:
		if it.arg == "of" || i > 0 && items[i-1].role == asVerb {
			h.count = it.number
			return
		}
	case asDate:
		h.due, h.dueAsk = it.date, it.arg
	case asDue:
		if i+1 == len(items) || items[i+1].role != asDate {
			h.dueAsk = "the day cannot be read"
		}
	}
	if evidence(it.role) {
		if h.from == h.to {
			h.from = it.start
		}
		h.to = it.end
	}
	h.neg = false
}

// Words of the table that are choices only when affirmed or denied.
const (
	obtain  Choice = "obtain"  // "don't order" says nothing of what is done
	present Choice = "present" // "not in the crate" is absent
)

// verb takes in a word that states a choice, or its denial.
func (h *hearing) verb(it *item) {
	c := Choice(it.arg)
	switch {
	case c == obtain && !h.neg:
		c = Replace
	case c == obtain, c == present && !h.neg:
		return
	case c == present:
		c = Absent
	default:
		ok := true
		if c, ok = negated(c, h.neg); !ok {
			h.ask = "what is not to be done is said, not what is"
		}
	}
	h.denied = h.denied || c == Absent || c == NotFitted
	h.choices = append(h.choices, c)
}

func (h *hearing) treat(it *item) {
	h.out = h.out || it.role == asTreatOut
	if it.role == asTreat {
		h.treats = append(h.treats, it.arg)
	} else if it.arg != "" {
		h.shops = append(h.shops, it.arg)
	}
	if h.neg {
		h.ask = "a treatment is ruled out; what happens instead is not said"
	}
}

// sameDay takes "same date" for the day before it, and gives the day that is the
// last one then.
func (j *judgement) sameDay(before quantity.Date) quantity.Date {
	if j.dueAsk == "same" {
		j.due, j.dueAsk = before, ""
		if before.IsZero() {
			j.dueAsk = "the day is not named before"
		}
	}
	if j.due.IsZero() {
		return before
	}
	return j.due
}

func evidence(r role) bool {
	return r == asGood || r == asBad || r == asInSpec || r == asMeasured || r == asNumber || r == asSpec
}

// negated turns a choice round, where that says what is done.
func negated(c Choice, neg bool) (Choice, bool) {
	if !neg {
		return c, true
	}
	switch c {
	case Replace:
		return Reuse, true
	case Reuse:
		return Replace, true
	}
	return "", false
}

// settle finds the choice that the verbs and treatments state.
func (j *judgement) settle(choices []Choice, treats []string, out, house bool) {
	for _, c := range choices {
		switch {
		case c == "" || c == j.choice:
		case j.choice == "":
			j.choice = c
		case (j.choice == Rework || j.choice == SendOut) && c == Reuse:
			// done first, then put back
		case (c == Rework || c == SendOut) && j.choice == Reuse:
			j.choice = c
		default:
			j.ask = "it is said both " + string(j.choice) + " and " + string(c)
			return
		}
	}
	if len(treats) > 0 {
		j.treated(treats, out, house)
	}
	j.explicit = j.choice != ""
}

func (j *judgement) treated(treats []string, out, house bool) {
	j.treatment = treats[0]
	for _, t := range treats[1:] {
		if t != j.treatment {
			j.treatment += " and " + t
		}
	}
	switch j.choice {
	case "", Reuse, Rework, SendOut:
	default:
		j.ask = "it is said both " + string(j.choice) + " and treated"
		return
	}
	switch {
	case j.choice == SendOut || out:
		j.choice = SendOut
	case j.choice == Rework || house:
		j.choice = Rework
	default:
		j.choice = SendOut
		if !slices.ContainsFunc(treats, func(t string) bool { return !shopWork[t] }) {
			j.choice = Rework
		}
	}
}

// weigh decides on the condition alone. What was bad before it was cleaned is
// what it is said to be since.
func (h *hearing) weigh() {
	j := &h.judgement
	good, bad := h.good, h.bad && !(h.care && h.good)
	switch {
	case h.spec, good && !bad:
		j.choice = Reuse
	case good && bad:
		j.ask = "the condition is said to be both good and bad"
	case bad && !h.care:
		j.choice = Replace
	case h.measured:
		j.ask = "it was measured; what follows from it is not said"
	default:
		j.ask = notSaid
	}
}
