package drawing

// State is what a position's colour, frame and outline say. The names are those
// of decisions, shortages and findings.
type State string

// The states that a picture knows. Any other is drawn as [Plain].
const (
	Plain          State = ""
	Undecided      State = "undecided"
	Reuse          State = "reuse"
	Replace        State = "replace"
	Rework         State = "rework"
	SendOut        State = "send-out"
	NotFitted      State = "not-fitted"
	Absent         State = "absent"
	OrderNow       State = "order-now"
	AfterMeasuring State = "after-measuring"
	Blocked        State = "blocked"
	InTreatment    State = "in-treatment"
	Check          State = "check"
	Stop           State = "stop"
)

// States in the order of the legend.
var States = []State{
	Plain, Undecided, Reuse, Replace, Rework, SendOut, NotFitted, Absent,
	OrderNow, AfterMeasuring, Blocked, InTreatment, Check, Stop,
}

// words are the English words of a picture, by key.
var words = map[string]string{
	"state.":                "Nothing noted",
	"state.undecided":       "Undecided",
	"state.reuse":           "Reuse",
	"state.replace":         "Replace",
	"state.rework":          "Rework",
	"state.send-out":        "Send out",
	"state.not-fitted":      "Not fitted",
	"state.absent":          "Absent on arrival",
	"state.order-now":       "Order now",
	"state.after-measuring": "After measuring",
	"state.blocked":         "Waits for a decision",
	"state.in-treatment":    "Out for treatment",
	"state.check":           "Check",
	"state.stop":            "Stop",

	"teeth":   "teeth",
	"pieces":  "pieces",
	"engine":  "Engine side",
	"beside":  "Beside the shafts",
	"nothing": "No positions to draw.",

	"group.input shaft":         "Input shaft",
	"group.main shaft":          "Main shaft",
	"group.countershaft":        "Countershaft",
	"group.output shaft":        "Output shaft",
	"group.reverse":             "Reverse",
	"group.shift":               "Shift mechanism",
	"group.case":                "Case",
	"group.seals and fasteners": "Seals and fasteners",
	"group.differential":        "Differential",
}

// known folds a state that the picture has no frame for into Plain.
func (s State) known() State {
	if _, ok := frames[s]; ok {
		return s
	}
	return Plain
}

// frame is the outer form of a balloon: a polygon or a circle in units of the
// balloon's radius, and lines inside it. Forms differ so that they can be told
// apart without colour.
type frame struct {
	round  bool
	filled bool
	form   [][2]float64   // polygon when not round
	extra  [][][2]float64 // open lines
	solid  [][2]float64   // filled corner
}

var (
	squareForm  = [][2]float64{{-.85, -.85}, {.85, -.85}, {.85, .85}, {-.85, .85}}
	diamondForm = [][2]float64{{0, -1.12}, {1.12, 0}, {0, 1.12}, {-1.12, 0}}
	arrowForm   = [][2]float64{{-.95, -.75}, {.45, -.75}, {1.1, 0}, {.45, .75}, {-.95, .75}}
	pennantForm = [][2]float64{{-1.02, -.8}, {1.02, -.8}, {.7, .25}, {0, 1.05}, {-.7, .25}}
	cornerForm  = [][2]float64{{.85, -.05}, {.85, .85}, {-.05, .85}}
)

// frames by state. Line styles (dotted, dashed) are the style sheet's part.
var frames = map[State]frame{
	Plain:     {round: true},
	Undecided: {round: true},
	Reuse:     {round: true, extra: [][][2]float64{{{.35, -1.1}, {.98, -.62}, {.35, -.35}}}},
	Replace:   {form: squareForm, filled: true},
	Rework:    {form: squareForm, solid: cornerForm},
	SendOut: {form: squareForm, extra: [][][2]float64{
		{{.45, -.45}, {1.15, -1.15}}, {{.7, -1.15}, {1.15, -1.15}, {1.15, -.7}}}},
	NotFitted:      {form: squareForm, extra: [][][2]float64{{{-.85, -.85}, {.85, .85}}, {{-.85, .85}, {.85, -.85}}}},
	Absent:         {form: squareForm},
	OrderNow:       {form: arrowForm, filled: true},
	AfterMeasuring: {round: true, extra: [][][2]float64{{{-1, -1}, {-1, 1}}, {{1, -1}, {1, 1}}}},
	Blocked: {form: squareForm, extra: [][][2]float64{
		{{-.85, -.4}, {-.4, -.85}}, {{-.85, -.1}, {-.1, -.85}}, {{.85, .4}, {.4, .85}}, {{.85, .1}, {.1, .85}}}},
	InTreatment: {round: true, extra: [][][2]float64{{{-.9, .62}, {-.55, .42}, {-.2, .62}, {.2, .62}, {.55, .42}, {.9, .62}}}},
	Check:       {form: pennantForm},
	Stop:        {form: diamondForm, filled: true},
}
