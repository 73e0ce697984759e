package notes

import (
	"slices"
	"strings"

	"layshaft/reconcile/match"
)

// thing is one mention of parts: "both 5th gears", "everything on the main shaft".
type thing struct {
	slots    [][]match.Sense // what its words may mean, one entry a phrase
	features [][]match.Sense // features of a part that can also be parts: "cone"
	gears    uint16
	ordinal  bool
	count    int  // 0 when not said
	one      bool // "a ball"
	all      bool
	both     bool
	plural   bool
	complete bool
	whole    bool // everything on or in what follows
	rest     bool
	ones     bool // "the input ones"
	its      bool // belongs to the thing before it
	apart    bool // taken out of a list, with something said of it
	on       bool // lies on the thing before it
	them     bool // on those before it
	with     bool // follows "with"
	class    string
	unread   bool   // words inside it are not understood
	sibling  bool   // its kind is that of things named before it
	guess    bool   // some word of it is spelt far off
	items    []item // as read
	at       []*place
	fixed    []*place // found among those it is taken from
	start    int
	end      int
}

// kinds reports whether it names a kind of part.
func (t *thing) kinds() bool {
	return t.class != "" || slices.ContainsFunc(t.slots, func(s []match.Sense) bool { return firstKind(s) != "" && !shaftOnly(s) })
}

// plainKinds: a complete set of one kind, such as "bearings complete".
func (t *thing) plainKinds() bool {
	if !t.complete || !t.plural || t.whole || synchro(t) || assemblyOf(t) != "" {
		return false
	}
	t.all = true
	return t.kinds()
}

// used are the features that may be its kind: those of a thing that names none.
func (t *thing) used() [][]match.Sense {
	if t.kinds() {
		return nil
	}
	return t.features
}

// shaftOnly: the phrase can be read as a mere place, "main" or "counter".
func shaftOnly(s []match.Sense) bool {
	return len(s) == 1 && s[0].Kind && s[0].Shaft != "" && shaftKinds[s[0].Name]
}

var shaftKinds = map[string]bool{"input shaft": true, "main shaft": true, "countershaft": true, "output shaft": true}

// shaft that it names, or "".
func (t *thing) shaft() string {
	for _, s := range t.slots {
		if len(s) > 0 && s[0].Shaft != "" {
			return s[0].Shaft
		}
	}
	return ""
}

func (t *thing) empty() bool {
	return len(t.slots) == 0 && len(t.features) == 0 && t.gears == 0 && t.class == "" && !t.whole && !t.rest
}

// plain: it has nothing but a kind.
func (t *thing) plain() bool {
	return t.gears == 0 && t.class == "" && !t.whole && !t.rest && !t.all && !t.both && len(t.slots) == 1
}

// headKind: a kind, perhaps with its shaft, that gears or sides then tell apart.
func (t *thing) headKind() bool {
	return t.kinds() && t.gears == 0 && t.class == "" && !t.whole && !t.rest && !sided(t) && len(t.slots) <= 2
}

// list is several things named in one breath, and those taken out again.
type list struct {
	things, except []*thing
	start, end     int
}

// parseList reads things from item i on; the list is nil when there are none.
func (n *note) parseList(items []item, i int) (*list, int) {
	p := listParser{items: items, out: &list{start: items[i].start}}
	p.fresh()
	last := i
	for ; i < len(items); i++ {
		if !p.step(i) {
			break
		}
		if !skipped(items[i].role) {
			last = i + 1
		}
	}
	p.close()
	if len(p.out.things)+len(p.out.except) == 0 {
		return nil, i
	}
	p.out.end = items[last-1].end
	return p.out, last
}

// featureOnly: "front seat" is a part of what was named before, and so is "2nd
// tooth" when something was named.
func (l *list) featureOnly(named bool) bool {
	if len(l.things) != 1 || len(l.except) > 0 {
		return false
	}
	t := l.things[0]
	return len(t.features) > 0 && (t.gears == 0 || named) && !slices.ContainsFunc(t.slots, func(s []match.Sense) bool { return len(s) == 0 || !s[0].Side })
}

// unreadable: words beside one of its things are not understood.
func (l *list) unreadable() bool {
	return slices.ContainsFunc(l.things, func(t *thing) bool { return t.unread })
}

// its: the first thing belongs to one named before.
func (l *list) its() bool { return len(l.things) > 0 && l.things[0].its || l.lastOn() }

func (l *list) rest() bool { return len(l.things) == 1 && l.things[0].rest && !l.things[0].kinds() }

func (l *list) lastOn() bool { k := len(l.things); return k > 0 && l.things[k-1].on }

// guessed: some word of it is spelt far off.
func (l *list) guessed() bool {
	return slices.ContainsFunc(l.things, func(t *thing) bool { return t.guess })
}

func skipped(r role) bool { return r == asStop || r == asMarker || r == asOf || r == asAnd }

type listParser struct {
	items  []item
	out    *list
	cur    *thing
	except bool
	ofs    bool // what follows "for" tells all things before it apart
}

func (p *listParser) fresh() { p.cur = &thing{start: -1} }

// step takes one item; false ends the list.
func (p *listParser) step(i int) bool {
	it := &p.items[i]
	c := p.cur
	switch it.role {
	case asThing:
		c.slots = append(append(c.slots, it.senses), it.more...)
		c.plural, c.guess = c.plural || it.plural, c.guess || it.guess
	case asFeature:
		if len(c.slots)+int(c.gears) == 0 {
			if len(it.senses) == 0 || i+1 >= len(p.items) || p.items[i+1].role != asGears {
				return false
			}
			c.slots, c.plural = append(c.slots, it.senses), true // "cones 1st and 2nd"
			break
		}
		c.features = append(c.features, it.senses)
	case asGears:
		c.gears, c.ordinal = c.gears|it.gears, c.ordinal || it.ordinal
	case asClass:
		c.class = it.arg
	case asNumber:
		if i+1 < len(p.items) && p.items[i+1].role == asFeature {
			return false // "idler 2 teeth chipped"
		}
		if !p.counts(i) {
			return !c.empty() && p.inside(i)
		}
		c.count = it.number
	case asSpec:
		return !c.empty() && p.inside(i)
	case asAll:
		c.all = true
	case asBoth:
		c.both = true
	case asEverything:
		c.whole = true
	case asComplete:
		c.complete = true
	case asRest:
		c.rest = true
	case asIts:
		c.its, c.on, c.them = true, strings.HasPrefix(it.arg, "on"), it.arg == "on them"
	case asOnes:
		c.ones = true
	case asOnly:
		return !c.empty() || p.leads(i)
	case asStop, asMarker:
		c.one = c.one || c.empty() && it.arg == "one" && i+1 < len(p.items) && p.items[i+1].role == asThing
		return !c.empty() || p.leads(i)
	case asOf:
		return p.of(i)
	case asAnd, asWith, asExcept:
		return p.joint(i)
	default:
		return false
	}
	p.reach(it)
	return true
}

func (p *listParser) reach(it *item) {
	if p.cur.start < 0 {
		p.cur.start = it.start
	}
	p.cur.end = it.end
	p.cur.items = append(p.cur.items, *it)
}

// counts: a number before or after a thing is how many, unless a thing already
// has its count.
func (p *listParser) counts(i int) bool {
	if p.items[i].number < 1 || p.cur.count > 0 {
		return false
	}
	return !p.cur.empty() && !p.measure(i) || p.leads(i)
}

// measure: a unit or a reading follows the number.
func (p *listParser) measure(i int) bool {
	return i+1 < len(p.items) && p.items[i+1].role == asMeasured
}

// inside: more of the thing follows, or nothing that would make it a reading.
func (p *listParser) inside(i int) bool { return !p.measure(i) }

// leads: a thing follows item i, perhaps after articles and counts.
func (p *listParser) leads(i int) bool {
	for i++; i < len(p.items); i++ {
		switch p.items[i].role {
		case asStop, asMarker, asAll, asBoth, asComplete, asNumber, asIts, asOf, asRest, asSpec, asOnly:
		case asThing, asGears, asEverything, asClass:
			return true
		default:
			return false
		}
	}
	return false
}

// of: "keys for 3-4", "everything on the main shaft".
func (p *listParser) of(i int) bool {
	if !p.leads(i) {
		return false
	}
	if !p.cur.empty() && len(p.out.things) > 0 {
		p.ofs = true
	}
	return true
}

// joint starts the next thing of the list.
func (p *listParser) joint(i int) bool {
	it := &p.items[i]
	if !p.leads(i) {
		return false
	}
	if it.role == asAnd && p.cur.empty() && len(p.out.things) == 0 && !p.except {
		return false
	}
	p.close()
	if it.role == asExcept && (i == 0 || p.items[i-1].role != asAnd) {
		p.except = true
	}
	p.cur.with = it.role == asWith
	return true
}

func (p *listParser) close() {
	c := p.cur
	c.bothSides()
	if c.empty() && (c.all || c.both) && len(p.out.things) > 0 && !p.except {
		last := p.out.things[len(p.out.things)-1]
		last.all, last.both = last.all || c.all, last.both || c.both
	}
	if !c.empty() && c.start >= 0 {
		if p.except {
			p.out.except = append(p.out.except, c)
		} else {
			if k := len(p.out.things); k > 0 && c.plural && !c.with && p.out.things[k-1].all {
				c.all = true // "all roll pins and nuts"
			}
			p.out.things = append(p.out.things, c)
		}
		if p.ofs {
			p.spread(c)
		}
	}
	p.fresh()
}

// bothSides reads "left right" of one thing as both of them.
func (t *thing) bothSides() {
	for _, pair := range [][2]string{{"left", "right"}, {"front", "rear"}} {
		has := func(side string) bool {
			return slices.ContainsFunc(t.slots, func(s []match.Sense) bool { return len(s) == 1 && s[0].Side && s[0].Name == side })
		}
		if has(pair[0]) && has(pair[1]) {
			t.slots, t.both = withoutSides(t.slots), true
		}
	}
}

// spread gives what follows "for" to every thing before it: "keys and springs
// for 3-4".
func (p *listParser) spread(c *thing) {
	for _, t := range p.out.things {
		if t != c && t.gears == 0 {
			t.gears = c.gears
		}
	}
	p.ofs = false
}
