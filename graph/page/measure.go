package page

import (
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
)

// stackView is the sheet of one stack: its readings, what they come to.
type stackView struct {
	*MeasureSheetResponse
	Stack    *StackRow
	Wanted   []ReadingsOfReadingsWantedReadingSpec
	Values   map[string][]string // as typed
	Unit     string
	Gauge    string
	Result   *StackOut
	Problem  []told
	Position string
	names    map[string]string
}

func measurePath(job, stack string) string {
	return "/jobs/" + pathEscape(job) + "/measure/" + pathEscape(stack)
}

func (p *Pages) measureData(r *http.Request) (*MeasureSheetResponse, error) {
	data, err := MeasureSheet(r.Context(), p.api, r.PathValue("id"))
	if err == nil && data.Job == nil {
		err = notFound(say("error.job", r.PathValue("id")))
	}
	return data, err
}

// measureList shows the open and the measured stacks of a job.
func (p *Pages) measureList(w http.ResponseWriter, r *http.Request) error {
	data, err := p.measureData(r)
	if err != nil {
		return err
	}
	frame := p.jobFrame(r, &data.Job.JobHead, "measure", data.Shop.CatalogueRevision)
	return p.render(w, r, http.StatusOK, frame, measureSheet(data))
}

func (p *Pages) measureStack(w http.ResponseWriter, r *http.Request) error {
	return p.showStack(w, r, http.StatusOK, nil)
}

func (p *Pages) showStack(w http.ResponseWriter, r *http.Request, status int, faults []told) error {
	v, err := p.readStack(r)
	if err != nil {
		return err
	}
	v.Problem = faults
	if len(v.inputs()) > 0 {
		if v.Result, err = p.tryStack(r, v); err != nil {
			return err
		}
	}
	frame := p.jobFrame(r, &v.Job.JobHead, "measure", v.Shop.CatalogueRevision)
	return p.render(w, r, status, frame, stackSheet(v))
}

func (p *Pages) tryStack(r *http.Request, v *stackView) (*StackOut, error) {
	out, err := TryStack(r.Context(), p.api, MeasureStackInput{Family: v.Job.FamilyKey, Stack: v.Stack.Stack.Key,
		Variant: v.variant(), Readings: v.inputs(), Unit: v.Unit, TorqueUnit: "N.m", GradeStep: "0", Keep: 24, Chosen: []string{}})
	if err != nil {
		return nil, err
	}
	return &out.MeasureStack, nil
}

// unreadable says why readings are not kept: there are none, or something typed
// is no reading. What is merely missing yet may be kept and completed.
func (p *Pages) unreadable(r *http.Request, v *stackView) ([]told, error) {
	if len(v.inputs()) == 0 {
		return []told{{Message: say("measure.nothing"), Remedy: say("measure.nothing.remedy")}}, nil
	}
	out, err := p.tryStack(r, v)
	if err != nil {
		return nil, err
	}
	var faults []told
	for _, x := range out.Refusals {
		if x.Code != "missing-reading" || r.PostFormValue("grades") != "" {
			faults = append(faults, told{Message: x.Reason, Remedy: x.Remedy})
		}
	}
	return faults, nil
}

// readStack takes readings from the form, else those that the job keeps.
func (p *Pages) readStack(r *http.Request) (*stackView, error) {
	data, err := p.measureData(r)
	if err != nil {
		return nil, err
	}
	v := &stackView{MeasureSheetResponse: data, Values: map[string][]string{}, Unit: "mm", names: labelsOf(&data.Job.JobHead)}
	at := slices.IndexFunc(data.Job.Stacks, func(s StackRow) bool { return s.Stack.Key == r.PathValue("stack") })
	if at < 0 {
		return nil, notFound(say("error.stack", r.PathValue("stack")))
	}
	v.Stack = &data.Job.Stacks[at]
	if r.Form.Get("unit") == "in" {
		v.Unit = "in"
	}
	v.Gauge = strings.TrimSpace(r.Form.Get("gauge"))
	need, err := ReadingsOf(r.Context(), p.api, v.Stack.Stack.Method)
	if err != nil {
		return nil, err
	}
	v.Wanted = need.ReadingsWanted
	v.typed(r.Form)
	return v, nil
}

func (v *stackView) typed(form url.Values) {
	for _, n := range v.Wanted {
		for _, t := range form["r."+n.Name] {
			if t = strings.TrimSpace(t); t != "" {
				v.Values[n.Name] = append(v.Values[n.Name], t)
			}
		}
	}
	if kept := v.Stack.Readings; len(v.Values) == 0 && !form.Has("unit") && kept != nil {
		v.Gauge = kept.Instrument
		for _, s := range kept.Readings {
			v.Values[s.Name] = s.Values
		}
	}
}

// inputs are the readings with their units: a bare number has the form's.
func (v *stackView) inputs() []ReadingInput {
	units := map[ReadingKind]string{ReadingKindLength: v.Unit, ReadingKindTorque: "N.m", ReadingKindTemperature: "°C"}
	var out []ReadingInput
	for _, n := range v.Wanted {
		var values []string
		for _, t := range v.Values[n.Name] {
			if strings.Trim(t, "+-0123456789.,") == "" {
				t += " " + units[n.Kind]
			}
			values = append(values, t)
		}
		if len(values) > 0 {
			out = append(out, ReadingInput{Name: n.Name, Values: values})
		}
	}
	return out
}

func (v *stackView) variant() string {
	if v.Job.Variant == nil {
		return ""
	}
	return v.Job.Variant.Key
}

// fields of a series: what was typed, and room for more.
func (v *stackView) fields(n *ReadingsOfReadingsWantedReadingSpec) []string {
	rows := slices.Clone(v.Values[n.Name])
	for len(rows) < min(n.Advised, 4) || len(rows) <= len(v.Values[n.Name]) {
		rows = append(rows, "")
	}
	return rows
}

// needed tells readings without which there is no result, and those of a group
// of which one will do, from checks.
func (v *stackView) needed(r *ReadingsOfReadingsWantedReadingSpec) bool {
	return r.Required || r.Group != ""
}

func (v *stackView) othersTyped() bool {
	for i := range v.Wanted {
		if !v.needed(&v.Wanted[i]) && len(v.Values[v.Wanted[i].Name]) > 0 {
			return true
		}
	}
	return false
}

// place names the sheet, so that a browser knows what was typed on it.
func (v *stackView) place() string { return "measure/" + v.Job.Key + "/" + v.Stack.Stack.Key }

// base names the readings that the job keeps: what a browser remembers of older
// ones is not mixed in.
func (v *stackView) base() string {
	if v.Stack.Readings == nil {
		return ""
	}
	return v.Stack.Readings.Name
}

// sameKept tells whether the job keeps what was typed.
func (v *stackView) sameKept(grades string) bool {
	kept := v.Stack.Readings
	if kept == nil || grades != "" && (v.Stack.Choice == nil || strings.Join(v.Stack.Choice.Grades, "|") != grades) {
		return false
	}
	in := v.inputs()
	return len(in) == len(kept.Readings) && !slices.ContainsFunc(in, func(x ReadingInput) bool {
		return !slices.ContainsFunc(kept.Readings, func(k StackRowReadingsMeasurementReadingsReading) bool {
			return k.Name == x.Name && slices.Equal(k.Values, x.Values)
		})
	})
}

// kept are the readings that the job keeps, in words.
func (v *stackView) kept() string {
	if v.Stack.Readings == nil {
		return say("none")
	}
	var out []string
	for _, s := range v.Stack.Readings.Readings {
		label := s.Name
		for i := range v.Wanted {
			if v.Wanted[i].Name == s.Name {
				label = v.Wanted[i].Label
			}
		}
		out = append(out, label+" "+strings.Join(s.Values, ", "))
	}
	return strings.Join(out, "; ")
}

// unitOf a bare number that is no length.
func unitOf(k ReadingKind) string {
	if k == ReadingKindTorque {
		return "N·m"
	}
	return "°C"
}

// keepStack keeps readings, and the grades when some were chosen.
func (p *Pages) keepStack(w http.ResponseWriter, r *http.Request) error {
	v, err := p.readStack(r)
	if err != nil {
		return err
	}
	faults, err := p.unreadable(r, v)
	if err != nil {
		return err
	}
	if len(faults) > 0 {
		return p.showStack(w, r, http.StatusBadRequest, faults)
	}
	if seen, ok := r.PostForm["base"]; ok && seen[0] != v.base() {
		if v.sameKept(r.PostFormValue("grades")) {
			return back(w, r, jobPath(r.PathValue("id"), "measure")) // the same form again, after its answer was lost
		}
		return p.showStack(w, r, http.StatusConflict, []told{{Code: conflictCode, Message: say("stale.readings", v.kept()), Remedy: say("stale.readings.remedy")}})
	}
	now := p.now()
	m := MeasurementInput{Name: anchor("measure", v.Stack.Stack.Key, strconv.FormatInt(now.UnixMilli(), 36)), Stack: v.Stack.Stack.Key,
		Readings: v.inputs(), Instrument: v.Gauge, Resolution: "0", Certificate: "0", Pooled: "0",
		Date: ptr(p.today()), Grades: []string{}}
	if g := r.PostFormValue("grades"); g != "" {
		m.Grades = strings.Split(g, "|")
	}
	data, err := KeepReadings(r.Context(), p.api, edit(r), []MeasurementInput{m})
	if err != nil {
		return err
	}
	if faults = toldOf(data.Measure.UserErrors); len(faults) > 0 {
		return p.showStack(w, r, statusFor(faults), faults)
	}
	return back(w, r, jobPath(r.PathValue("id"), "measure"))
}

// parts of a candidate, as the form sends them.
func (c *GradeOut) parts() string {
	var out []string
	for _, x := range c.Pieces {
		out = append(out, x.Part)
	}
	return strings.Join(out, "|")
}

func verdictMark(v Proof) string {
	switch v {
	case ProofProvedInside:
		return "clear"
	case ProofNotProved:
		return "check"
	}
	return "stop"
}
