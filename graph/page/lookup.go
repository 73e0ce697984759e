package page

import (
	"net/http"
	"strconv"
	"strings"
)

// lookUpView answers what a designation means, what a seat allows and what a
// pair of wheels comes to. Each answer has its own trouble.
type lookUpView struct {
	Text, Seat, Bearing, Driving, Driven, Module string
	Answer                                       *LookUpResponse
	Fit                                          *LookUpFitResponse
	Pair                                         *LookUpPairResponse
	AnswerNo, FitNo, PairNo                      *refusal
}

func (p *Pages) lookUp(w http.ResponseWriter, r *http.Request) error {
	v := &lookUpView{Text: asked(r, "q"), Seat: asked(r, "seat"), Bearing: asked(r, "bearing"), Driving: asked(r, "driving"), Driven: asked(r, "driven"), Module: asked(r, "module")}
	var err error
	if v.Text != "" {
		if v.Answer, err = LookUp(r.Context(), p.api, v.Text); err != nil {
			v.Answer, v.AnswerNo = nil, asRefusal(err)
		}
	}
	if v.Seat != "" {
		if v.Fit, err = LookUpFit(r.Context(), p.api, v.Seat, &v.Bearing); err != nil {
			v.Fit, v.FitNo = nil, asRefusal(err)
		}
	}
	if v.Driving != "" {
		if v.Pair, err = p.pair(r, v); err != nil {
			v.Pair, v.PairNo = nil, asRefusal(err)
		}
	}
	return p.render(w, r, http.StatusOK, p.view(r, say("lookup.title"), "look-up", ""), lookUpSheet(v))
}

func (p *Pages) pair(r *http.Request, v *lookUpView) (*LookUpPairResponse, error) {
	in := GearCheckInput{Idlers: []int{}, NormalModule: "0", PressureAngle: "20", Helix: "0", CentreDistance: "0"}
	for _, z := range []struct {
		text string
		to   *int
	}{{v.Driving, &in.Driving}, {v.Driven, &in.Driven}} {
		n, err := strconv.Atoi(z.text)
		if err != nil {
			return nil, &refusal{http.StatusBadRequest, say("error.number", z.text), say("lookup.teeth")}
		}
		*z.to = n
	}
	if v.Module != "" {
		in.NormalModule = strings.ReplaceAll(v.Module, ",", ".")
	}
	return LookUpPair(r.Context(), p.api, in)
}
