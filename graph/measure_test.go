package graph_test

import (
	"context"
	"fmt"
	"log/slog"
	"net/http"
	"strings"
	"testing"
	"time"

	"layshaft/catalog"
	"layshaft/data/demo"
	"layshaft/data/kv"
	"layshaft/data/store"
	"layshaft/graph"
	"layshaft/graph/server"
	"layshaft/reconcile"
)

// shop is the demo shop behind its API, in memory.
type shop struct {
	api   *server.Server
	bench *reconcile.Bench
}

func openShop(t *testing.T) *shop {
	t.Helper()
	return openShopOver(t, func(r reconcile.Repository) reconcile.Repository { return r })
}

// openShopOver is the demo shop whose jobs go through another repository.
func openShopOver(t *testing.T, over func(reconcile.Repository) reconcile.Repository) *shop {
	t.Helper()
	ctx := context.Background()
	log := slog.New(slog.DiscardHandler)
	st, err := store.Open(ctx, kv.NewMemory(), log)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { st.Close() })
	clock := func() time.Time { return time.Date(2026, 3, 24, 8, 0, 0, 0, time.UTC) }
	curator, bench := catalog.NewCurator(st, clock), reconcile.NewBench(over(st), clock)
	c, err := demo.Catalogue()
	if err != nil {
		t.Fatal(err)
	}
	if _, problems, err := curator.Import(ctx, c, "import", "test", "demo"); err != nil || len(problems) > 0 {
		t.Fatal(err, problems)
	}
	jobs, err := demo.Jobs()
	if err != nil {
		t.Fatal(err)
	}
	for _, j := range jobs {
		if _, err := bench.Change(ctx, j.ID, catalog.Change{Request: "job-" + string(j.ID), Who: "test", Put: j.Records()}); err != nil {
			t.Fatal(err)
		}
	}
	return &shop{server.New(server.Config{Resolver: &graph.Resolver{Curator: curator, Bench: bench, Now: clock}, Log: log,
		Principal: func(*http.Request) *graph.Principal { return nil }}), bench}
}

// ask runs a document as somebody with all scopes, or with those given.
func ask[T any](t *testing.T, s *shop, query string, scopes ...catalog.Scope) (T, error) {
	t.Helper()
	if len(scopes) == 0 {
		scopes = catalog.Scopes()
	}
	var out T
	ctx := graph.WithPrincipal(context.Background(), &graph.Principal{Name: "Ada", Scopes: scopes})
	err := s.api.Execute(ctx, "", query, nil, &out)
	return out, err
}

func must[T any](t *testing.T, s *shop, query string) T {
	t.Helper()
	out, err := ask[T](t, s, query)
	if err != nil {
		t.Fatalf("%s: %v", query, err)
	}
	return out
}

type stackState struct {
	Stack        struct{ Key string }
	Open, Closed bool
	Choice       *struct{ Grades []string }
	Result       *struct {
		Wanted, Thinnest, Thickest string
		Refusals                   []struct{ Code, Place, Reason, Remedy string }
		Budget                     struct {
			U     float64
			Lines []struct{ Name, Basis string }
		}
		Candidates []struct {
			Thickness, Play string
			Inside          bool
			Probability     float64
			Pieces          []struct{ Part string }
		}
		Chosen *struct{ Inside bool }
	}
}

const stackFields = `stack { key } open closed choice { grades } result { wanted thinnest thickest refusals { code place reason remedy }
	budget { u lines { name basis } } candidates { thickness play inside probability pieces { part } } chosen { inside } }`

type jobAnswer struct {
	Job struct {
		Stacks []stackState
		Report struct {
			Demands []struct {
				Position string
				Open     bool
			}
			Findings []struct{ Code, Position, Message string }
		}
	}
}

func (a *jobAnswer) stack(t *testing.T, key string) *stackState {
	t.Helper()
	for i := range a.Job.Stacks {
		if a.Job.Stacks[i].Stack.Key == key {
			return &a.Job.Stacks[i]
		}
	}
	t.Fatalf("no stack %s among %+v", key, a.Job.Stacks)
	return nil
}

func (a *jobAnswer) finds(code, position string) bool {
	for _, f := range a.Job.Report.Findings {
		if f.Code == code && f.Position == position {
			return true
		}
	}
	return false
}

const jobQuery = `{ job(key: "7205") { stacks { ` + stackFields + ` } report { demands { position open } findings { code position message } } } }`

// The demo job that waits for measuring: void readings keep the stack open, good
// ones rank the grades, a grade outside the window closes nothing, the right one does.
func TestMeasuringClosesTheStackOfAJob(t *testing.T) {
	s := openShop(t)
	before := must[jobAnswer](t, s, jobQuery)
	input := before.stack(t, "input-end-play")
	if !input.Open || input.Closed || input.Result == nil || len(input.Result.Refusals) > 0 || len(input.Result.Candidates) == 0 {
		t.Fatalf("before: %+v", input)
	}
	if !before.finds("select-fit-open", "input-shim") {
		t.Error("the open position is no finding")
	}
	best := input.Result.Candidates[0]
	if !best.Inside || len(input.Result.Budget.Lines) < 6 || input.Result.Budget.U <= 0 {
		t.Errorf("best %+v, budget %+v", best, input.Result.Budget)
	}
	measure := func(request, values, grades string) jobAnswer {
		t.Helper()
		out := must[struct {
			Measure struct{ UserErrors []struct{ Message string } }
		}](t, s, fmt.Sprintf(
			`mutation { measure(edit: {requestId: %q, job: "7205"}, measurements: [{name: "m1", stack: "input-end-play", readings: %s, instrument: "depth gauge 0.01", date: "2026-03-18", grades: %s}]) { userErrors { message } } }`,
			request, values, grades))
		if len(out.Measure.UserErrors) > 0 {
			t.Fatal(out.Measure.UserErrors)
		}
		return must[jobAnswer](t, s, jobQuery)
	}
	good := `[{name: "depth", values: ["18.42 mm", "18.43 mm", "18.42 mm", "18.41 mm"]}, {name: "height", values: ["17.43 mm", "17.42 mm", "17.43 mm", "17.43 mm"]}]`
	swapped := `[{name: "depth", values: ["17.42 mm"]}, {name: "height", values: ["18.43 mm"]}]`
	part := fmt.Sprintf("[%q]", best.Pieces[0].Part)

	void := measure("void", swapped, part)
	if x := void.stack(t, "input-end-play"); !x.Open || x.Closed || len(x.Result.Refusals) == 0 || x.Result.Refusals[0].Remedy == "" {
		t.Errorf("void readings: %+v", x)
	}
	if !void.finds("stack-void", "input-shim") {
		t.Error("void readings are no finding")
	}
	outside := ""
	for _, c := range input.Result.Candidates {
		if !c.Inside {
			outside = fmt.Sprintf("[%q]", c.Pieces[0].Part)
		}
	}
	if outside == "" {
		t.Fatal("no neighbour outside the window is shown")
	}
	wrong := measure("outside", good, outside)
	if x := wrong.stack(t, "input-end-play"); !x.Open || x.Closed || x.Result.Chosen == nil || x.Result.Chosen.Inside {
		t.Errorf("grade outside: %+v", x)
	}
	if !wrong.finds("grade-outside", "input-shim") {
		t.Error("a grade outside is no finding")
	}
	done := measure("right", good, part)
	if x := done.stack(t, "input-end-play"); x.Open || !x.Closed {
		t.Errorf("right grade: %+v", x)
	}
	for _, code := range []string{"select-fit-open", "grade-outside", "stack-void"} {
		if done.finds(code, "input-shim") {
			t.Errorf("%s is still found", code)
		}
	}
}

// Limits of a job: the decision rule turns a reuse into a finding, and the same
// serial on an earlier job gives a trend.
func TestInspectionsOfAJob(t *testing.T) {
	s := openShop(t)
	type answer struct {
		Job struct {
			Inspections []struct {
				Limit  struct{ Key, What string }
				Result struct {
					Action string
					Text   string
					Trend  *struct {
						Points int
						Text   string
					}
				}
			}
			Report struct {
				Findings []struct{ Code, Position, Message string }
			}
		}
	}
	query := `{ job(key: "7202") { inspections { limit { key what } result { action text trend { points text } } } report { findings { code position message } } } }`
	a := must[answer](t, s, query)
	if len(a.Job.Inspections) != 2 {
		t.Fatalf("%+v", a.Job.Inspections)
	}
	for _, in := range a.Job.Inspections {
		t.Logf("%s: %s %s", in.Limit.Key, in.Result.Action, in.Result.Text)
		if in.Result.Action == "NONE" || in.Result.Text == "" {
			t.Errorf("%+v", in)
		}
	}
}

// The same serial on an earlier job gives the trend, closed stacks the past of a
// spread, and the care of a count stays with the observation.
func TestThePastOfTheShop(t *testing.T) {
	s := openShop(t)
	for _, mutation := range []string{
		`putJob(edit: {requestId: "a", job: "90"}, head: {title: "first time", family: "bw76", variant: "bw76-lw2", serial: "S-1", state: CLOSED})`,
		`measure(edit: {requestId: "b", job: "90"}, measurements: [
			{name: "m", limit: "detent-length", readings: [{name: "length", values: ["22.50 mm"]}], date: "2024-01-10"},
			{name: "s", stack: "main-end-play", readings: [], grades: ["bw-ms-045"]}])`,
		`putJob(edit: {requestId: "c", job: "91"}, head: {title: "here again", family: "bw76", variant: "bw76-lw2", serial: "S-1", state: STRIPPED})`,
		`measure(edit: {requestId: "d", job: "91"}, measurements: [{name: "m", limit: "detent-length", readings: [{name: "length", values: ["22.00 mm"]}], date: "2026-01-10"}])`,
		`observe(edit: {requestId: "e", job: "91"}, observations: [{name: "o", text: "input=24 marked"}])`,
	} {
		raw := rawOf(t, s, `mutation { a: `+mutation+` { userErrors { message } } }`)
		if raw != `{"a":{"userErrors":[]}}` {
			t.Fatal(mutation, raw)
		}
	}
	for query, want := range map[string]string{
		`{ job(key: "91") { inspections { result { trend { points perYear significant text } } } } }`:                                  `"points":2`,
		`{ job(key: "91") { observations { text care } } }`:                                                                            `"text":"input=24 marked","care":"marked"`,
		`{ spread(input: {family: "bw76", stack: "main-end-play", variant: "bw76-lw2", oldShim: "0.45", job: "91"}) { past } }`:        `["0.45","0.45"]`,
		`{ spread(input: {family: "bw76", stack: "main-end-play", variant: "bw76-lw2", oldShim: "0.45", ignoreJobs: true}) { past } }`: `"past":[]`,
	} {
		if raw := rawOf(t, s, query); !strings.Contains(raw, want) {
			t.Errorf("%s: %s does not hold %s", query, raw, want)
		}
	}
	for bad, want := range map[string]string{
		`{name: "x", stack: "nothing", readings: []}`:                            "no stack",
		`{name: "x", limit: "nothing", readings: []}`:                            "no limit",
		`{name: "x", readings: []}`:                                              "one of the two",
		`{name: "x", stack: "main-end-play", readings: [], grades: ["nothing"]}`: "no part",
		`{name: "x", limit: "detent-length", readings: [], verdict: "fine"}`:     "no verdict",
	} {
		raw := rawOf(t, s, `mutation { a: measure(edit: {requestId: "bad-`+want+`", job: "91"}, measurements: [`+bad+`]) { userErrors { message remedy } } }`)
		if !strings.Contains(raw, want) {
			t.Errorf("%s: %s does not hold %q", bad, raw, want)
		}
	}
}

func TestWhatIfs(t *testing.T) {
	s := openShop(t)
	for _, tt := range []struct{ name, query, want string }{
		{"decode", `{ a: decode(text: "6207-2RS C3 NR") { subject title source facts { label value source } } }`, "72 mm"},
		{"decode limits", `{ a: decode(text: "30 k6") { subject title source } }`, "ISO 286"},
		{"decode thread", `{ a: decode(text: "M30x1.5") { title source } }`, "M30x1.5"},
		{"seat", `{ a: fitClass(text: "35 k6", bearing: "6207", values: ["1.3779 in"], instrument: {resolution: "0.0001 in"}) { action text newFit { range character } nowFit { range } limits { min max } refusals { reason } } }`, "0.002 to 0.03 mm interference"},
		{"hole and shaft", `{ a: fitClass(text: "30 H7/k6") { text newFit { minClearance maxClearance } } }`, "-0.015"},
		{"stack", `{ a: measureStack(input: {recipe: {id: "x", family: "", name: "countershaft", position: "", members: [], method: "depth-and-height", min: "0.02", max: "0.08", aim: "0.05", gasket: "0.20", gasketSigma: "0.015"},
			readings: [{name: "depth", values: ["24.86 mm"]}, {name: "height", values: ["24.12 mm"]}],
			grades: [{part: "a", thickness: "0.85 mm"}, {part: "b", thickness: "0.90 mm"}, {part: "c", thickness: "0.95 mm"}]}) { wanted thinnest thickest refusals { code } candidates { thickness play inside } notices { code level text } } }`,
			`"wanted":"0.89","thinnest":"0.86","thickest":"0.92"`},
		{"stack in inch", `{ a: measureStack(input: {recipe: {id: "x", family: "", name: "countershaft", position: "", members: [], method: "trial-play", min: "0.002 in", max: "0.004 in", aim: "0.003 in"},
			unit: "in", readings: [{name: "trial-shim", values: ["0.0200"]}, {name: "travel", values: ["0.0185", "0.0186", "0.0184", "0.0185"]}],
			grades: [{part: "a", thickness: "0.0355 in"}]}) { wanted candidates { play inside } refusals { code } } }`, `"play":"0.0762","inside":true`},
		{"no unit", `{ a: measureStack(input: {family: "bw76", stack: "main-end-play", readings: [{name: "depth", values: ["24.31"]}, {name: "height", values: ["24.03 mm"]}]}) { refusals { code place remedy } } }`, "not-a-reading"},
		{"inspect", `{ a: inspect(input: {family: "bw76", limit: "detent-length", values: ["21.1 mm"]}) { action text } }`, "RENEW"},
		{"wanted", `{ a: readingsWanted(method: "groove") { name label kind required } }`, `"fitted"`},
		{"spread", `{ a: spread(input: {family: "bw76", stack: "main-end-play", variant: "bw76-lw2", oldShim: "0.45 mm", secondOrder: {minor: 2400, currency: "EUR"}}) { refusals { reason } past prior { mean sigma basis } enough rows { covered bought { thickness chance } } cheapest { covered price { text } expected { text } } } }`, `"basis":"old shim`},
		{"gears", `{ a: gearCheck(input: {driving: 23, driven: 31, normalModule: "2.5", helix: "26", centreDistance: "75"}) { ratio decimal toothSum meshes shiftNeeded helixWithoutShift sumVerdict sizes { spanTeeth span } workingCentre } }`, `"ratio":"31/23"`},
		{"gears of a variant", `{ a: gearCheck(input: {family: "bw76", mesh: "drive", variant: "bw76-ec2"}) { ratio sumVerdict } }`, "suits"},
		{"identify", `{ a: identify(input: {family: "bw76", caseOpen: true, useJobs: true, observations: [{text: "input=24 marked"}, {text: "cs-drive=31"}]}) { ranked { permille variant { key ratios { speed exact } } contradictions { place } } problems } }`, `"exact"`},
		{"identification of a job", `{ a: job(key: "7201") { identification { ranked { variant { key } permille } contradictions { place expected } } } }`, `"cs-3rd"`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			raw := rawOf(t, s, tt.query)
			t.Log(raw)
			if !strings.Contains(raw, tt.want) {
				t.Errorf("the answer does not hold %s", tt.want)
			}
		})
	}
}

func rawOf(t *testing.T, s *shop, query string) string {
	t.Helper()
	out, err := ask[rawJSON](t, s, query)
	if err != nil {
		return err.Error()
	}
	return string(out)
}

type rawJSON []byte

func (r *rawJSON) UnmarshalJSON(b []byte) error { *r = append((*r)[:0], b...); return nil }

func TestWhatIfsNameWhatIsWrong(t *testing.T) {
	s := openShop(t)
	for _, tt := range []struct{ query, want string }{
		{`{ decode(text: "grommet") { title } }`, "text"},
		{`{ measureStack(input: {family: "bw76", stack: "nothing", readings: []}) { wanted } }`, "bw76 nothing"},
		{`{ measureStack(input: {family: "bw76", stack: "main-end-play", unit: "furlong", readings: []}) { wanted } }`, "unit"},
		{`{ inspect(input: {family: "bw76", limit: "nothing", values: []}) { action } }`, "bw76 nothing"},
		{`{ gearCheck(input: {driving: 2, driven: 31}) { ratio } }`, "teeth"},
		{`{ spread(input: {family: "nobody", stack: "x"}) { enough } }`, "nobody"},
	} {
		if _, err := ask[rawJSON](t, s, tt.query); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: %v does not name %q", tt.query, err, tt.want)
		}
	}
	for _, query := range []string{`{ spread(input: {family: "bw76", stack: "main-end-play"}) { enough } }`,
		`{ identify(input: {useJobs: true, observations: []}) { nonePermille } }`} {
		if _, err := ask[rawJSON](t, s, query, catalog.ScopeCatalogueRead); err == nil || !strings.Contains(err.Error(), "JOBS_READ") {
			t.Errorf("%s: %v", query, err)
		}
	}
}
