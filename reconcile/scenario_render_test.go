package reconcile

import (
	"fmt"
	"strings"

	"layshaft/catalog"
)

// render writes a report in the short lines of a scenario.
func render(r *Report) string {
	var b strings.Builder
	for _, d := range r.Demands {
		fmt.Fprintf(&b, "need %s %d%s%s: %s%s\n", d.Position, d.Quantity, when(d.Open, " open"), when(d.Possible, " possible"),
			chainText(d.Chain), usesText(r, d))
	}
	for _, f := range r.Findings {
		fmt.Fprintf(&b, "%s%s %s%s%s%s%s\n", f.Severity, when(f.Blocking, "!"), f.Code, spaceBefore(string(f.Position)),
			spaceBefore(string(f.Part)), placeName(f.Place), when(f.Override != nil, " signed"))
	}
	for _, s := range r.Shortages {
		fmt.Fprintf(&b, "short %s %d %s%s%s\n", s.Position, s.Quantity, s.State, when(s.Blocking, "!"), listText(s.Accept))
	}
	for _, s := range r.Surplus {
		fmt.Fprintf(&b, "over %d %s %s %s\n", s.Pieces, s.Part, s.Reason, lineText(r, s.Line))
	}
	if b.Len() == 0 {
		return "nothing to say"
	}
	return strings.TrimSuffix(b.String(), "\n")
}

func when(ok bool, text string) string {
	if ok {
		return text
	}
	return ""
}

func spaceBefore(s string) string { return when(s != "", " "+s) }

func placeName(p *Place) string {
	if p == nil {
		return ""
	}
	return fmt.Sprintf(" %s line %d", p.List, p.Line)
}

func chainText(chain []*Hop) string {
	var words []string
	for _, h := range chain {
		words = append(words, string(h.Position)+" "+h.Cause)
	}
	return strings.Join(words, " > ")
}

func usesText(r *Report, d *Demand) string {
	var words []string
	for _, u := range d.Uses {
		words = append(words, fmt.Sprintf("%d %s %s%s", u.Pieces, u.Part, lineText(r, u.Line), when(u.Why != "", " since "+u.Why)))
	}
	if len(words) == 0 {
		return ""
	}
	return "; gets " + strings.Join(words, ", ")
}

func lineText(r *Report, i int) string {
	l := r.Lines[i]
	if l.Place == nil {
		return "from " + string(l.Source)
	}
	return fmt.Sprintf("%s line %d", l.Place.List, l.Place.Line)
}

func listText(ids []catalog.PartID) string {
	var words []string
	for _, id := range ids {
		words = append(words, string(id))
	}
	if len(words) == 0 {
		return ""
	}
	return ": " + strings.Join(words, ", ")
}
