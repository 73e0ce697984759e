package reconcile

import "layshaft/catalog"

// Rule is one thing that the engine looks for.
type Rule struct {
	Code string
	// Severity of its findings; Critical instead at a position where a wrong part
	// can lock the gearbox or hurt somebody.
	Severity Severity
	Critical Severity
	// Blocks: at a position without which the case can't be closed, the finding
	// keeps it open.
	Blocks bool
	// Says in a sentence what a finding of this rule means.
	Says string
	find func(*work, *Rule)
}

// rules is the one table of codes, severity and order. Findings are listed by
// severity, what blocks first, then in this order, then by position.
var rules = []Rule{
	{"catalogue-contradiction", Stop, Stop, true, "Entries of the catalogue, or of the job, contradict each other; nothing is guessed.", ruleContradiction},
	{"size-mismatch", Check, Stop, true, "A part has another size than its neighbour in the finished box asks for.", ruleSizeMismatch},
	{"hand-mismatch", Stop, Stop, true, "A thread or a helix has the wrong hand for its partner.", ruleHand},
	{"one-time-reused", Stop, Stop, true, "A part that is scrap once disturbed is marked for reuse.", ruleOneTimeReused},
	{"measured-out", Stop, Stop, true, "A part is marked for reuse although its readings, by the decision rule, or a person say renew.", ruleMeasuredOut},
	{"stack-void", Check, Stop, true, "Readings of a select-fit stack can't be used; they close nothing.", ruleStackVoid},
	{"grade-outside", Stop, Stop, true, "A grade chosen for a stack gives a play outside its window, or no grade reaches it.", ruleGradeOutside},
	{"bond-split", Check, Stop, true, "Of parts that are renewed together only some are renewed.", ruleBondSplit},
	{"hub-sleeve-split", Check, Check, true, "A synchro hub or sleeve is renewed without its partner.", ruleHubSleeve},
	{"cup-cone-split", Check, Stop, true, "A taper bearing's cup or cone is renewed without the other half.", ruleCupCone},
	{"treatment-unsuitable", Stop, Stop, true, "A treatment is asked for that ruins this kind of part.", ruleTreatmentUnsuitable},
	{"treatment-size", Check, Stop, true, "A treatment changes a size that a neighbour depends on.", ruleTreatmentSize},
	{"one-time-missing", Check, Check, true, "A part that is scrap once disturbed is not supplied.", ruleOneTimeMissing},
	{"excluded-by-kit", Check, Check, true, "The list itself says that a part in demand is not supplied.", ruleExcluded},
	{"not-available", Check, Check, true, "The list says that a part in demand can't be had, or nothing that fits can be bought.", ruleNotAvailable},
	{"quantity-short", Check, Check, true, "Fewer pieces are supplied than are needed.", ruleQuantityShort},
	{"not-in-kit", Check, Check, true, "Nothing in the lists serves a position in demand.", ruleNotInKit},
	{"wrong-variant", Check, Check, true, "A part belongs to another variant or to another gearbox.", ruleWrongVariant},
	{"select-fit-open", Note, Note, true, "A part is chosen by measuring; it can't be ordered before the dry build.", ruleSelectFitOpen},
	{"absent-on-arrival", Check, Check, true, "A part was not in the box on arrival and nothing supplies it yet.", ruleAbsent},
	{"text-not-understood", Check, Check, false, "A line of a list could not be read; it supplies nothing.", ruleNotUnderstood},
	{"text-ambiguous", Check, Check, false, "A line of a list may mean several parts; a person chooses.", ruleAmbiguous},
	{"contents-unknown", Check, Check, false, "A set is supplied whose contents are not entered; it covers nothing.", ruleContents},
	{"text-unconfirmed", Check, Check, false, "A line was read with some doubt and is used; a person confirms.", ruleUnconfirmed},
	{"measure-again", Check, Check, false, "A reading of a part for reuse proves neither that it may stay nor that it must go.", ruleMeasureAgain},
	{"size-unknown", Check, Check, false, "Whether two parts go together is not known; it says what to measure.", ruleSizeUnknown},
	{"weak-standing", Check, Check, false, "A fit at a critical position rests on a weak source.", ruleWeakStanding},
	{"not-back", Check, Check, true, "A part sent out is not back.", ruleNotBack},
	{"disturbed-fastener", Check, Check, false, "A seal or fastener was disturbed and goes back; it needs a look.", ruleDisturbed},
	{"conditional-position", Check, Check, false, "The job names a place that this variant does not have.", ruleConditional},
	{"variant-open", Check, Check, true, "The variant is not known; what differs between the candidates is open.", ruleVariantOpen},
	{"superseded", Note, Note, false, "A number was replaced by another; the path is shown.", ruleSuperseded},
	{"alternatives", Note, Note, false, "A kit brings alternatives; one serves, the others stay over by design.", ruleAlternatives},
	{"duplicate", Note, Note, false, "A part is supplied twice.", ruleDuplicate},
	{"surplus", Note, Note, false, "A part is supplied that nothing needs.", ruleSurplus},
}

// Rules lists the engine's rules in the order of the report.
func Rules() []Rule { return append([]Rule(nil), rules...) }

// severityRank puts what stops first.
func severityRank(s Severity) int {
	switch s {
	case Stop:
		return 0
	case Check:
		return 1
	}
	return 2
}

// at makes a finding of the rule about a position.
func (r *Rule) at(w *work, s *spot) *Finding {
	f := &Finding{Code: r.Code, Severity: r.Severity, Position: s.id, Blocking: r.Blocks && s.pos.Blocking}
	if s.pos.Critical {
		f.Severity = r.Critical
	}
	switch node := w.node(s); {
	case node >= 0:
		f.Chain, f.Causes = w.chain(node), w.causesOf(node)
	case s.back:
		f.Chain = []*Hop{w.sentOutHop(s)}
	case s.choice != "":
		f.Chain = []*Hop{{Position: s.id, Cause: CauseDecision, Reason: decisionWords(s.dec)}}
	default:
		f.Chain = []*Hop{{Position: s.id, Cause: string(s.state), Reason: w.whatIs(s)}}
	}
	return f
}

// general makes a finding of the rule about no position.
func (r *Rule) general() *Finding {
	return &Finding{Code: r.Code, Severity: r.Severity}
}

func (w *work) add(f *Finding) { w.findings = append(w.findings, f) }

// explain applies the rules.
func (w *work) explain() {
	w.findTakers()
	w.findSurplus()
	w.findMistaken()
	w.findNamed()
	for i := range w.spots {
		if s := &w.spots[i]; w.certain(s) && s.cover < s.need {
			s.code = w.shortCode(s)
		}
	}
	for i := range rules {
		rules[i].find(w, &rules[i])
	}
}

// accept lists what would do at a position, best first.
func (s *spot) accept() []catalog.PartID {
	if len(s.cands) == 0 || s.stuck {
		return nil
	}
	ids := make([]catalog.PartID, len(s.cands))
	for i := range s.cands {
		ids[i] = s.cands[i].part.ID
	}
	return ids
}
