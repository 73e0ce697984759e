package reconcile

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"layshaft/catalog"
	"layshaft/catalog/quantity"

	"github.com/rogpeppe/go-internal/txtar"
)

// lineError names the file of the scenario and the line in it.
type lineError struct {
	file string
	line int
	text string
	why  string
}

func (e *lineError) Error() string {
	return fmt.Sprintf("%s, line %d, %q: %s", e.file, e.line, e.text, e.why)
}

func parseScenario(name string, data []byte) (*scenario, error) {
	ar := txtar.Parse(data)
	s := &scenario{name: name}
	for _, l := range strings.Split(string(ar.Comment), "\n") {
		if codes, ok := strings.CutPrefix(l, "fires:"); ok {
			s.fires = append(s.fires, strings.Fields(codes)...)
		}
		if codes, ok := strings.CutPrefix(l, "near miss:"); ok {
			s.near = append(s.near, strings.Fields(codes)...)
		}
	}
	c := &catalogueText{c: &catalog.Catalogue{}, seen: map[catalog.AttributeKey]bool{}}
	j := &jobText{job: &Job{Head: &Head{ID: "job", Title: name, State: StateStripped}}}
	var err error
	texts := map[string]string{}
	for _, f := range ar.Files {
		text := string(f.Data)
		kind, arg, _ := strings.Cut(f.Name, " ")
		switch kind {
		case "catalogue":
			err = eachLine(f.Name, text, c.line)
		case "job":
			err = eachLine(f.Name, text, j.line)
		case "kit":
			err = kitLines(f.Name, "kit"+arg, text, &j.supply)
		case "text":
			texts["kit"+arg] = text
		case "report":
			s.report = strings.TrimSuffix(text, "\n")
		case "says":
			s.says = strings.Split(strings.TrimSpace(text), "\n")
		default:
			err = fmt.Errorf("a file %q is not part of the language", f.Name)
		}
		if err != nil {
			return nil, err
		}
	}
	if len(c.c.Families) > 0 {
		j.job.Family = c.c.Families[0].ID
	}
	s.in = Input{Index: catalog.NewIndex(c.c, 1), Job: j.job, Supply: j.supply, Today: j.today}
	return s, readTexts(s, texts)
}

// eachLine calls fn for every line that says something; a line that begins with
// blanks goes on with the one before.
func eachLine(file, text string, fn func(string) error) error {
	type statement struct {
		no   int
		text string
	}
	var all []statement
	for i, l := range strings.Split(text, "\n") {
		if at := strings.Index(l, "# "); at >= 0 && strings.TrimSpace(l[:at]) == "" {
			continue
		} else if at > 0 {
			l = l[:at]
		}
		body := strings.TrimSpace(l)
		switch {
		case body == "":
		case unicode.IsSpace(rune(l[0])) && len(all) > 0:
			all[len(all)-1].text += " " + body
		default:
			all = append(all, statement{i + 1, body})
		}
	}
	for _, st := range all {
		if err := fn(st.text); err != nil {
			return &lineError{file, st.no, st.text, err.Error()}
		}
	}
	return nil
}

// cutReason splits off "because ...".
func cutReason(text string) (rest, reason string) {
	rest, reason, _ = strings.Cut(text, " because ")
	return strings.TrimSpace(rest), strings.TrimSpace(reason)
}

// facts are the comma-separated parts after the colon.
func facts(text string) []string {
	var out []string
	for _, f := range strings.Split(text, ",") {
		if f = strings.TrimSpace(f); f != "" {
			out = append(out, f)
		}
	}
	return out
}

// parseValue reads a length with a unit, an angle, a count, yes or no, or words.
func parseValue(text string) catalog.Value {
	if n, err := strconv.Atoi(text); err == nil {
		return catalog.CountValue(n)
	}
	if l, err := quantity.ParseLength(text); err == nil {
		return catalog.LengthValue(l)
	}
	if a, err := quantity.ParseAngle(text); err == nil {
		return catalog.AngleValue(a)
	}
	switch text {
	case "yes":
		return catalog.YesNoValue(true)
	case "no":
		return catalog.YesNoValue(false)
	}
	return catalog.TextValue(text)
}

// parseSeat reads KEY or KEY@SEAT.
func parseSeat(pos, text string) catalog.Seat {
	key, at, _ := strings.Cut(text, "@")
	return catalog.Seat{Position: catalog.PositionID(pos), Name: catalog.AttributeKey(key), At: at}
}

// counted reads "2 p25" or "p25".
func counted(text string) (int, string) {
	first, rest, ok := strings.Cut(strings.TrimSpace(text), " ")
	if n, err := strconv.Atoi(first); ok && err == nil {
		return n, strings.TrimSpace(rest)
	}
	return 1, strings.TrimSpace(text)
}

// readTexts reads pasted lists as the job's kit lists.
func readTexts(s *scenario, texts map[string]string) error {
	if len(texts) == 0 {
		return nil
	}
	for _, name := range slices.Sorted(maps.Keys(texts)) {
		s.in.Job.KitLists = append(s.in.Job.KitLists, &KitList{ID: name, Text: texts[name]})
	}
	s.in.Supply = append(s.in.Supply, NewDesk(s.in.Index).Supply(s.in.Job)...)
	return nil
}
