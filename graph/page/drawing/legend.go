package drawing

// Entry of the legend: a state with its word and a small picture of its frame
// and its outline.
type Entry struct {
	State State
	Word  string
	// SVG is a picture of 64 by 28 px, hidden from listeners: the word says it.
	SVG string
}

// Legend of states in their order; say as in [Options], nil for English.
func Legend(say func(key string) string) []Entry {
	l := &layout{o: Options{Say: say}}
	out := make([]Entry, 0, len(States))
	for _, s := range States {
		out = append(out, Entry{State: s, Word: l.say("state." + string(s)), SVG: legendSVG(s)})
	}
	return out
}

func legendSVG(s State) string {
	class := string(s)
	if s == Plain {
		class = "plain"
	}
	w := &writer{}
	w.raw(`<svg xmlns="http://www.w3.org/2000/svg" class="ly ly-legend" viewBox="0 0 64 28" width="64" height="28" `,
		`aria-hidden="true" focusable="false" fill="none" stroke="currentColor" font-size="11" font-family="sans-serif">`,
		`<g class="ly-i ly-st-`, class, `">`)
	w.paths([]Shape{
		box(Outline, 34, 4, 58, 24), line(Chain, 30, 9, 62, 9), line(Chain, 30, 19, 62, 19),
	}, "")
	w.frame(s, Point{14, 14}, 11, "7")
	w.raw(`</g></svg>`)
	return string(w.b)
}
