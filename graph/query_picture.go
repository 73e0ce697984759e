package graph

import (
	"net/url"
	"strings"

	"layshaft/catalog"
	"layshaft/graph/model"
	"layshaft/graph/page/drawing"
	"layshaft/reconcile"
)

// sketch is what the pictures of a job and of a variant have in common.
type sketch struct {
	form                           model.PictureForm
	shaft, prefix, link, shaftLink string
}

func (r *Resolver) draw(s sketch, f catalog.FamilyID, v catalog.VariantID, states map[catalog.PositionID]drawing.State) string {
	o := drawing.Options{Form: drawing.Form(strings.ToLower(string(s.form))), Shaft: s.shaft, Prefix: s.prefix, States: states,
		Href: func(id catalog.PositionID) string {
			return strings.ReplaceAll(s.link, "{position}", url.PathEscape(string(id)))
		}}
	if s.shaftLink != "" {
		o.ShaftHref = func(shaft string) string {
			return strings.ReplaceAll(s.shaftLink, "{shaft}", url.QueryEscape(shaft))
		}
	}
	return r.album.SVG(r.index(), f, v, o)
}

// pictureOf a job; empty while its family is not known.
func (r *Resolver) pictureOf(j *reconcile.Job, decisionsOnly bool, s sketch) string {
	if j.Family == "" {
		return ""
	}
	states := map[catalog.PositionID]drawing.State{}
	for _, d := range j.Decisions {
		states[d.Position] = drawing.State(d.Choice)
	}
	if !decisionsOnly {
		reported(states, r.Bench.ReportOn(j))
	}
	return r.draw(s, j.Family, j.Variant, states)
}

// shortageStates in the picture's words; a question is something to check.
var shortageStates = map[reconcile.ShortageState]drawing.State{
	reconcile.OrderNow: drawing.OrderNow, reconcile.AfterMeasuring: drawing.AfterMeasuring,
	reconcile.AskFirst: drawing.Check, reconcile.BlockedBy: drawing.Blocked, reconcile.InTreatment: drawing.InTreatment,
}

// reported puts what the report says over the decisions: check, then shortages,
// then stop.
func reported(states map[catalog.PositionID]drawing.State, rep *reconcile.Report) {
	found := func(s reconcile.Severity, as drawing.State) {
		for _, f := range rep.Findings {
			if f.Position != "" && f.Severity == s {
				states[f.Position] = as
			}
		}
	}
	found(reconcile.Check, drawing.Check)
	for _, s := range rep.Shortages {
		if as, ok := shortageStates[s.State]; ok {
			states[s.Position] = as
		}
	}
	found(reconcile.Stop, drawing.Stop)
}
