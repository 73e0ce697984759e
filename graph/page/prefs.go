package page

import (
	"net/http"

	"layshaft/graph"
)

// Looks that a person may choose; the first is the default.
var (
	inks      = []string{"auto", "paper", "blueprint"}
	densities = []string{"roomy", "tight"}
)

const cookieLook = "look"

// look is a person's choice of colours and density.
type look struct{ Ink, Density string }

func lookOf(r *http.Request) look {
	l := look{inks[0], densities[0]}
	c, err := r.Cookie(cookieLook)
	if err != nil {
		return l
	}
	for _, ink := range inks {
		for _, d := range densities {
			if c.Value == ink+"."+d {
				return look{ink, d}
			}
		}
	}
	return l
}

// setPrefs keeps the look in a cookie and goes back where it was chosen.
func (p *Pages) setPrefs(w http.ResponseWriter, r *http.Request) error {
	l := lookOf(r)
	if v := r.PostFormValue("ink"); v != "" {
		l.Ink = v
	}
	if v := r.PostFormValue("density"); v != "" {
		l.Density = v
	}
	http.SetCookie(w, &http.Cookie{Name: cookieLook, Value: l.Ink + "." + l.Density, Path: "/",
		MaxAge: 365 * 24 * 3600, HttpOnly: true, SameSite: http.SameSiteLaxMode})
	return back(w, r, local(r.PostFormValue("back")))
}

// next is the choice after one, for a switch without script.
func next(all []string, now string) string {
	for i, v := range all {
		if v == now {
			return all[(i+1)%len(all)]
		}
	}
	return all[0]
}

// view is what the frame around every page shows.
type view struct {
	Title   string
	Section string // which of the sheets in the strip at the top
	Path    string // address of this page, for the way back
	Look    look
	Who     string
	Account string // where one signs out; empty for whoever never signed in
	Style   string
	Script  string
	Block   titleBlock
}

// titleBlock carries what ISO 7200 puts into the corner of a drawing: whose it
// is, what it shows, its identification, revision and sheet.
type titleBlock struct {
	Subject  string // what the sheet shows
	Number   string // identification: the job, the part
	Variant  string
	Revision string // of the catalogue
	Sheet    int
	Sheets   int
	Date     string
}

// view is the frame of a sheet; revision of the catalogue is empty where the sheet
// shows nothing of it.
func (p *Pages) view(r *http.Request, title, section, revision string) *view {
	v := &view{Title: title, Section: section, Path: r.URL.RequestURI(), Look: lookOf(r),
		Style: p.assets.style, Script: p.assets.script,
		Block: titleBlock{Subject: title, Revision: revision, Sheet: 1, Sheets: 1, Date: p.today()}}
	if r.Method != http.MethodGet {
		v.Path = "/"
	}
	if who := graph.PrincipalOf(r.Context()); who != nil {
		v.Who = who.Name
		if who.Grant != "" {
			v.Account = graph.SignInPath
		}
	}
	return v
}
