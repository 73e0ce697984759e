package notes

import (
	"slices"
	"strings"

	"layshaft/catalog"
)

// class resolves groups by life or class: "all one-time parts".
func (n *note) class(t *thing) found {
	shaft := t.shaft()
	var out []*place
	for _, p := range n.places {
		if shaft != "" && !p.shafts[shaft] {
			continue
		}
		k := p.pos.Kind.Class()
		hit := false
		switch t.class {
		case "soft":
			hit = k == catalog.ClassElastomer || k == catalog.ClassGasket
		case "rubber":
			hit = k == catalog.ClassElastomer
		case "fastener":
			hit = k == catalog.ClassFastener
		default:
			hit = string(p.pos.Life) == t.class
		}
		if hit {
			out = append(out, p)
		}
	}
	if len(out) == 0 {
		return ask(NoPosition, nil, "this gearbox has no such parts")
	}
	return found{places: out}
}

// group resolves "complete countershaft", "everything on the main shaft",
// "complete 5th synchro".
func (n *note) group(t *thing) found {
	if s := assemblyOf(t); s != "" {
		var out []*place
		for _, p := range n.places {
			on := assemblyShaft[p.pos.Assembly] == s
			if t.whole {
				on = (on || n.lies[p.pos.Shaft] == s) && !isShaft(p, s)
			}
			if on && !(t.rest && n.said(p.pos.ID)) {
				out = append(out, p)
			}
		}
		if len(out) > 0 {
			return found{places: out}
		}
		return ask(NoPosition, nil, "this gearbox has no such assembly")
	}
	if t.gears == 1 && !t.kinds() {
		return n.assembly(catalog.AssemblyReverse)
	}
	if t.gears != 0 && synchro(t) {
		return n.synchroParts(t)
	}
	if t.whole || t.rest {
		return ask(Several, nil, "say which group is meant")
	}
	if c := n.candidates(t, t.used()); len(c) > 0 {
		if headKind(t) == "reverse idler" {
			return n.idler()
		}
		u := *t
		u.all = true
		return n.choose(&u, c)
	}
	return ask(NoPosition, nil, "no position of this gearbox answers to it")
}

// assemblyOf a thing that names nothing but a shaft.
func assemblyOf(t *thing) string {
	if len(t.slots) == 0 || t.gears != 0 {
		return ""
	}
	shaft := ""
	for _, s := range t.slots {
		switch {
		case shaftOnly(s), len(s) == 1 && s[0].Name == "differential":
			shaft = s[0].Shaft
		case len(s) == 1 && (s[0].Name == "shaft" || s[0].Name == "set"):
		default:
			return ""
		}
	}
	return shaft
}

// isShaft: the position is the shaft itself.
func isShaft(p *place, shaft string) bool {
	return p.heads[shaft+" shaft"] || shaft == "counter" && p.heads["countershaft"]
}

func (n *note) assembly(a catalog.Assembly) found {
	var out []*place
	for _, p := range n.places {
		if p.pos.Assembly == a {
			out = append(out, p)
		}
	}
	if len(out) == 0 {
		return ask(NoPosition, nil, "this gearbox has no such assembly")
	}
	return found{places: out}
}

// idler: the reverse idler with all that is named after it.
func (n *note) idler() found {
	var out []*place
	for _, p := range n.places {
		if strings.HasPrefix(fold(p.pos.Name), "reverse idler") {
			out = append(out, p)
		}
	}
	return found{places: out}
}

var synchroKinds = []catalog.PartKind{"synchro hub", "synchro sleeve", "synchro ring", "synchro key", "synchro key spring", "multi-cone ring set"}

// synchro: the words name a synchro as a whole.
func synchro(t *thing) bool {
	for _, s := range t.slots {
		for _, x := range s {
			if x.Name == "hub and sleeve set" {
				return true
			}
		}
	}
	return false
}

func (n *note) synchroParts(t *thing) found {
	var out []*place
	for _, p := range n.places {
		if slices.Contains(synchroKinds, p.pos.Kind) && p.takes(t.gears) {
			out = append(out, p)
		}
	}
	if len(out) == 0 {
		return ask(NoPosition, nil, "this gearbox has no such synchro")
	}
	return found{places: out}
}
