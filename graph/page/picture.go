package page

import (
	"net/http"
	"slices"
	"strings"

	"layshaft/graph/page/drawing"
)

// pictureView is the gearbox drawn three times, for a desk, for a phone and for
// paper; the style sheet shows one of them.
type pictureView struct {
	Sheet, Narrow, Paper string

	numbers map[string]string   // what the picture writes at a position
	lines   map[string][]string // anchors of the pasted lines that supply a position
	goes    map[string][]string // positions that a pasted line supplies, by its anchor
	Shafts  []shaftPick
	Title   string // over the picture; empty: the usual one
	Aside   bool   // its links are no stops of the tabulator: fields stand between
	Shaft   string // drawn alone; empty for the whole gearbox
	Path    string // of the page that it stands on
	Legend  []drawing.Entry
}

type shaftPick struct{ Key, Name string }

const (
	// positionHref begins the links of a picture; the position's id follows.
	positionHref = `href="#position-`
	// positionName and positionNumber stand before a position's id and its number.
	positionName   = ` data-position="`
	positionNumber = `" data-number="`
)

// show takes the drawings. The one for paper is never zoomed, so it knows every
// number.
func (v *pictureView) show(sheet, narrow, paper string) {
	v.Sheet, v.Narrow, v.Paper = sheet, narrow, paper
	v.numbers = map[string]string{}
	for _, rest := range strings.Split(paper, positionName)[1:] {
		position, rest, _ := strings.Cut(rest, positionNumber)
		v.numbers[position], _, _ = strings.Cut(rest, `"`)
	}
	v.Legend = drawing.Legend(pictureWord)
}

// supplied ties positions to the pasted lines that they take pieces from.
func (v *pictureView) supplied(r *JobPictureJobReport) {
	v.lines, v.goes = map[string][]string{}, map[string][]string{}
	for _, d := range r.Demands {
		for _, u := range d.Uses {
			if u.Line < 0 || u.Line >= len(r.Lines) || r.Lines[u.Line].Place == nil {
				continue
			}
			at := r.Lines[u.Line].Place
			id := anchor("line", at.List, itoa(at.Line), itoa(at.Sub))
			v.lines[d.Position] = append(v.lines[d.Position], id)
			if !slices.Contains(v.goes[id], d.Position) {
				v.goes[id] = append(v.goes[id], d.Position)
			}
		}
	}
}

// lead rewrites where positions lead; ids of a catalogue need no escape.
func (v *pictureView) lead(to func(position string) string) {
	for _, svg := range []*string{&v.Sheet, &v.Narrow, &v.Paper} {
		var b strings.Builder
		b.Grow(len(*svg) + len(*svg)/16)
		parts := strings.Split(*svg, positionHref)
		b.WriteString(parts[0])
		for _, rest := range parts[1:] {
			position, rest, _ := strings.Cut(rest, `"`)
			b.WriteString(`href="` + to(position) + `"` + rest)
		}
		*svg = b.String()
	}
}

// jobPicture draws a job's gearbox; nothing while its family is not known.
func (p *Pages) jobPicture(r *http.Request, sheet string, decisionsOnly bool) (*pictureView, error) {
	key := r.PathValue("id")
	v := &pictureView{Shaft: r.FormValue("shaft"), Path: jobPath(key, sheet)}
	data, err := JobPicture(r.Context(), p.api, key, &v.Shaft, &decisionsOnly, ptr(shaftLink(v.Path)))
	if err != nil || data.Job == nil || data.Job.Family == nil {
		return v, err
	}
	v.show(data.Job.Sheet, data.Job.Narrow, data.Job.Paper)
	v.supplied(&data.Job.Report)
	for _, s := range data.Job.Family.Shafts {
		v.Shafts = append(v.Shafts, shaftPick(s))
	}
	return v, nil
}

// whereToCount draws a family without tooth counts, so that nobody counts what
// stands there already; wheels lead to their field.
func (p *Pages) whereToCount(r *http.Request, f *CounterFamilyFamily) (*pictureView, error) {
	v := &pictureView{Title: say("counter.where"), Aside: true, Path: "/counter?family=" + queryEscape(f.Key)}
	data, err := FamilyPicture(r.Context(), p.api, f.Key)
	if err != nil || data.Family == nil {
		return v, err
	}
	v.show(data.Family.Sheet, data.Family.Narrow, data.Family.Paper)
	v.Legend = nil // there are no states
	v.lead(func(position string) string {
		for _, w := range f.Wheels {
			if w.Position == position {
				return "#" + anchor("o", w.Key)
			}
		}
		return "#picture"
	})
	return v, nil
}

// variantPicture draws a variant without states.
func (p *Pages) variantPicture(r *http.Request, key string) (*pictureView, error) {
	v := &pictureView{Shaft: r.FormValue("shaft"), Path: variantPath(key)}
	data, err := VariantPicture(r.Context(), p.api, key, &v.Shaft, ptr(shaftLink(v.Path)))
	if err != nil || data.Variant == nil {
		return v, err
	}
	v.show(data.Variant.Sheet, data.Variant.Narrow, data.Variant.Paper)
	for _, s := range data.Variant.Family.Shafts {
		v.Shafts = append(v.Shafts, shaftPick(s))
	}
	return v, nil
}

func (v *pictureView) title() string {
	if v.Title != "" {
		return v.Title
	}
	return say("picture.title")
}

// shape is the address of a position's shape; a picture of one shaft that lacks
// it is left for the whole one.
func (v *pictureView) shape(prefix, position string) string {
	if v.Shaft != "" && !strings.Contains(v.Sheet, `id="pic-`+position+`"`) {
		return v.Path + "#" + prefix + position
	}
	return "#" + prefix + position
}

// shaftLink is the pattern of the links that draw one shaft alone.
func shaftLink(path string) string { return path + "?shaft={shaft}#picture" }

// pictureWord gives the page's words for states; the rest is the picture's own.
func pictureWord(key string) string { return words[key] }

// rowOf is where a shape of the picture leads on the first sheet of a job: its
// shortage, else its worst finding, else the pasted line that it takes a piece
// from, else its decision.
func (v *jobView) rowOf(position string) string {
	for i := range v.Job.Report.Shortages {
		if v.Job.Report.Shortages[i].Position == position {
			return "#" + anchor("short", position)
		}
	}
	for i := range v.Job.Report.Groups {
		for j := range v.Job.Report.Groups[i].Items {
			for _, f := range v.Job.Report.Groups[i].Items[j].Findings {
				if f.Position == position {
					return "#" + anchor("finding", f.Key)
				}
			}
		}
	}
	if from := v.Picture.lines[position]; len(from) > 0 {
		return "#" + from[0]
	}
	return jobPath(v.Job.Key, "decisions") + "#" + anchor("p", position)
}
