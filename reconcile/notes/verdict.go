package notes

import (
	"slices"

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
	case asVerb, asGood, asInSpec, asMeasured, asBad, asTreat, asTreatOut, asInHouse, asDue, asDate, asNot, asMaybe, asToo, asPron, asNo, asCorrect:
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

// sentence is a verdict settled.
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

// judge settles what verdicts say together.
func judge(items []item) judgement {
	var j judgement
	var choices []Choice
	var treats, shops []string // shops: treatments told by who does them
	var good, bad, spec, measured, out, house, maybe bool
	neg := false
	for i := range items {
		it := &items[i]
		switch it.role {
		case asNot, asNo:
			neg = true
			continue
		case asStop, asToo, asPron, asCorrect:
			continue
		case asVerb:
			c, ok := negated(Choice(it.arg), neg)
			if !ok {
				j.ask = "what is not to be done is said, not what is"
			}
			choices = append(choices, c)
		case asTreat, asTreatOut:
			out = out || it.role == asTreatOut
			if it.role == asTreat {
				treats = append(treats, it.arg)
			} else if it.arg != "" {
				shops = append(shops, it.arg)
			}
			if neg {
				j.ask = "a treatment is ruled out; what happens instead is not said"
			}
		case asInHouse:
			house = true
		case asGood:
			good, bad = good || !neg, bad || neg
		case asBad:
			good, bad = good || neg, bad || !neg
		case asInSpec:
			spec, bad = spec || !neg, bad || neg
		case asMeasured:
			measured = true
		case asMaybe:
			maybe = true
		case asNumber:
			if it.arg == "of" || i > 0 && items[i-1].role == asVerb {
				j.count = it.number
				continue
			}
		case asDate:
			j.due, j.dueAsk = it.date, it.arg
		case asDue:
			if i+1 == len(items) || items[i+1].role != asDate {
				j.dueAsk = "the day cannot be read"
			}
		}
		if evidence(it.role) {
			if j.from == j.to {
				j.from = it.start
			}
			j.to = it.end
		}
		neg = false
	}
	if maybe {
		j.ask = "it is said with a condition or as a question"
		return j
	}
	if len(treats) == 0 {
		treats = shops
	}
	j.settle(choices, treats, out, house)
	if j.choice == "" && j.ask == "" {
		j.weigh(good, bad, spec, measured)
	}
	if j.choice != SendOut {
		j.due, j.dueAsk = quantity.Date{}, ""
	}
	return j
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

// weigh decides on the condition alone.
func (j *judgement) weigh(good, bad, spec, measured bool) {
	switch {
	case spec, good && !bad:
		j.choice = Reuse
	case bad && !good:
		j.choice = Replace
	case good && bad:
		j.ask = "the condition is said to be both good and bad"
	case measured:
		j.ask = "it was measured; what follows from it is not said"
	default:
		j.ask = "what happens to it is not said"
	}
}
