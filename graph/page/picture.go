package page

import (
	"net/http"
	"regexp"

	"layshaft/graph/page/drawing"
)

// pictureView is the gearbox drawn twice, for a desk and for a phone; the style
// sheet shows one of them.
type pictureView struct {
	Sheet, Narrow string
	Shafts        []shaftPick
	Shaft         string // drawn alone; empty for the whole gearbox
	Path          string // of the page that it stands on
	Legend        []drawing.Entry
}

type shaftPick struct{ Key, Name string }

// positionHref finds the links of a picture and the ids that go with them.
var positionHref = regexp.MustCompile(`href="#position-([^"]*)"`)

// lead rewrites where positions lead; ids of a catalogue need no escape.
func (v *pictureView) lead(to func(position string) string) {
	for _, svg := range []*string{&v.Sheet, &v.Narrow} {
		*svg = positionHref.ReplaceAllStringFunc(*svg, func(m string) string {
			return `href="` + to(positionHref.FindStringSubmatch(m)[1]) + `"`
		})
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
	v.Sheet, v.Narrow = data.Job.Sheet, data.Job.Narrow
	for _, s := range data.Job.Family.Shafts {
		v.Shafts = append(v.Shafts, shaftPick{s.Key, s.Name})
	}
	v.Legend = drawing.Legend(pictureWord)
	return v, nil
}

// variantPicture draws a variant without states.
func (p *Pages) variantPicture(r *http.Request, key string) (*pictureView, error) {
	v := &pictureView{Shaft: r.FormValue("shaft"), Path: "/catalogue/variants/" + pathEscape(key)}
	data, err := VariantPicture(r.Context(), p.api, key, &v.Shaft, ptr(shaftLink(v.Path)))
	if err != nil || data.Variant == nil {
		return v, err
	}
	v.Sheet, v.Narrow = data.Variant.Sheet, data.Variant.Narrow
	for _, s := range data.Variant.Family.Shafts {
		v.Shafts = append(v.Shafts, shaftPick{s.Key, s.Name})
	}
	return v, nil
}

// shaftLink is the pattern of the links that draw one shaft alone.
func shaftLink(path string) string { return path + "?shaft={shaft}#picture" }

// pictureWord gives the page's words for states; the rest is the picture's own.
func pictureWord(key string) string { return words[key] }

// rowOf is where a shape of the picture leads on the first sheet of a job: its
// shortage, else its worst finding, else its decision.
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
	return jobPath(v.Job.Key, "decisions") + "#" + anchor("p", position)
}
