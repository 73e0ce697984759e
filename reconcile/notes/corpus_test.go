package notes

import (
	"encoding/csv"
	"fmt"
	"os"
	"path"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"layshaft/catalog"
	"layshaft/catalog/exchange"
	"layshaft/catalog/quantity"
	"layshaft/reconcile/match"
)

// day on which all notes of the corpus were written: a Tuesday.
var day = quantity.Date{Year: 2026, Month: 3, Day: 10}

// shop is the demo shop with the two families of testdata/families.csv.
var shop = sync.OnceValues(func() (*Reader, error) {
	c, faults := exchange.ReadPackage(os.DirFS("../../data/demo/shop"))
	if len(faults) > 0 {
		return nil, fmt.Errorf("demo shop: %v", faults[0])
	}
	f, err := os.Open("testdata/families.csv")
	if err != nil {
		return nil, err
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return nil, err
	}
	addFamily(c, "hk42", catalog.Longitudinal)
	addFamily(c, "tw50", catalog.Transaxle)
	for i, r := range rows[1:] {
		q, err := strconv.Atoi(r[5])
		if err != nil {
			return nil, fmt.Errorf("families.csv row %d: %w", i+2, err)
		}
		p := &catalog.Position{Family: catalog.FamilyID(r[0]), ID: catalog.PositionID(r[1]), Name: r[2], Assembly: catalog.Assembly(r[3]),
			Kind: catalog.PartKind(r[4]), Quantity: q, Life: catalog.Life(r[6]), Shaft: r[7], Order: i}
		if r[8] != "" {
			p.Places = strings.Split(r[8], "|")
		}
		c.Positions = append(c.Positions, p)
	}
	ix := catalog.NewIndex(c, 1)
	return NewReader(ix, match.NewVocabulary(ix)), nil
})

func addFamily(c *catalog.Catalogue, id catalog.FamilyID, box catalog.Box) {
	f := &catalog.Family{ID: id, Name: string(id), Box: box}
	for _, s := range [][2]string{{"input", "Input shaft"}, {"main", "Main shaft"}, {"counter", "Countershaft"}, {"output", "Output shaft"},
		{"idler", "Reverse idler"}, {"diff", "Differential"}} {
		f.Shafts = append(f.Shafts, &catalog.Shaft{ID: s[0], Name: s[1]})
	}
	c.Families = append(c.Families, f)
	c.Variants = append(c.Variants, &catalog.Variant{ID: catalog.VariantID(id + "-a"), Family: id, Name: string(id)})
}

// labelled is a note with what a person reads in it.
type labelled struct {
	name    string
	family  catalog.FamilyID
	variant catalog.VariantID
	text    string
	want    map[catalog.PositionID]string // decision, written by shown
	asks    []string
}

// shown writes a decision as labels do; what backs a reuse is not labelled.
func shown(p *Proposal) string {
	s := string(p.Choice)
	if p.Quantity != 0 {
		s += " q=" + strconv.Itoa(p.Quantity)
	}
	if p.Treatment != "" {
		s += " t=" + p.Treatment
	}
	if !p.Due.IsZero() {
		s += " due=" + p.Due.String()
	}
	return s
}

// readRound reads testdata/rounds/<n>.txt; the format is described in round 1.
func readRound(t *testing.T, rd *Reader, name string) []labelled {
	t.Helper()
	data, err := os.ReadFile(path.Join("testdata/rounds", name))
	if err != nil {
		t.Fatal(err)
	}
	var out []labelled
	for i, block := range strings.Split("\n"+string(data), "\n== ") {
		if i == 0 {
			continue
		}
		head, rest, _ := strings.Cut(block, "\n")
		text, labels, ok := strings.Cut(rest, "\n--\n")
		h := strings.Fields(head)
		if !ok || len(h) != 3 {
			t.Fatalf("%s: bad block %q", name, head)
		}
		l := labelled{name: h[0], family: catalog.FamilyID(h[1]), variant: catalog.VariantID(h[2]), text: text, want: map[catalog.PositionID]string{}}
		if _, ok := rd.ix.Variant(l.variant); !ok {
			t.Fatalf("%s %s: no variant %s", name, l.name, l.variant)
		}
		for line := range strings.Lines(labels) {
			l.label(t, rd, strings.TrimSpace(line))
		}
		out = append(out, l)
	}
	return out
}

func (l *labelled) label(t *testing.T, rd *Reader, line string) {
	t.Helper()
	if line == "" {
		return
	}
	choice, rest, _ := strings.Cut(line, " ")
	if choice == "ask" {
		l.asks = append(l.asks, rest)
		return
	}
	var names []string
	extra := map[string]string{}
	for _, w := range strings.Fields(strings.ReplaceAll(rest, " and ", "~and~")) {
		if k, v, ok := strings.Cut(w, "="); ok {
			extra[k] = strings.ReplaceAll(v, "~", " ")
		} else {
			names = append(names, w)
		}
	}
	for _, k := range []string{"q", "t", "due"} {
		if v := extra[k]; v != "" {
			choice += " " + k + "=" + v
		}
	}
	for id := range l.expand(t, rd, names) {
		if old, twice := l.want[id]; twice {
			t.Fatalf("%s: %s is labelled %s and %s", l.name, id, old, choice)
		}
		l.want[id] = choice
	}
}

func (l *labelled) expand(t *testing.T, rd *Reader, names []string) map[catalog.PositionID]bool {
	t.Helper()
	out := map[catalog.PositionID]bool{}
	for _, name := range names {
		pattern, drop := strings.CutPrefix(name, "-")
		hits := 0
		for _, p := range rd.ix.Positions(l.family) {
			ok, _ := path.Match(pattern, string(p.ID))
			if shaft, is := strings.CutPrefix(pattern, "@"); is {
				ok = p.Shaft == shaft || string(p.Assembly) == shaft+" shaft" || shaft == "counter" && p.Assembly == catalog.AssemblyCounter ||
					string(p.Assembly) == shaft
			}
			if ok && rd.ix.Has(l.variant, p.ID) {
				hits++
				if drop {
					delete(out, p.ID)
				} else {
					out[p.ID] = true
				}
			}
		}
		if hits == 0 {
			t.Fatalf("%s: label %q names no position of %s", l.name, name, l.variant)
		}
	}
	return out
}

// tally counts decisions: right are those labelled and proposed alike, invented
// those proposed and not labelled, or labelled otherwise.
type tally struct{ notes, wanted, right, invented, asks, asked, questions int }

func (a tally) plus(b tally) tally {
	return tally{a.notes + b.notes, a.wanted + b.wanted, a.right + b.right, a.invented + b.invented, a.asks + b.asks, a.asked + b.asked, a.questions + b.questions}
}

func (a tally) String() string {
	return fmt.Sprintf("%d notes, %d decisions: %d right (%.1f %%), %d missed, %d invented; asked %d of %d that must be asked, %d questions in all",
		a.notes, a.wanted, a.right, 100*float64(a.right)/float64(max(a.wanted, 1)), a.wanted-a.right, a.invented, a.asked, a.asks, a.questions)
}

// score compares a reading with its labels and says what differs.
func (l *labelled) score(r *Result) (tally, []string) {
	n := tally{notes: 1, wanted: len(l.want), asks: len(l.asks), questions: len(r.Questions)}
	var faults []string
	got := map[catalog.PositionID]string{}
	for i := range r.Proposals {
		p := &r.Proposals[i]
		got[p.Position] = shown(p)
		if w, ok := l.want[p.Position]; !ok || w != shown(p) {
			n.invented++
			faults = append(faults, fmt.Sprintf("%s: invented %s %s, want %q (%s)", l.name, p.Position, shown(p), w, p.Why))
		}
	}
	var ids []catalog.PositionID
	for id := range l.want {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	for _, id := range ids {
		if got[id] == l.want[id] {
			n.right++
		} else if got[id] == "" {
			faults = append(faults, fmt.Sprintf("%s: missed %s %s", l.name, id, l.want[id]))
		}
	}
	for _, a := range l.asks {
		at := strings.Index(l.text, a)
		if at < 0 {
			faults = append(faults, l.name+": the label asks about words that the note has not: "+a)
			continue
		}
		if slices.ContainsFunc(r.Questions, func(q Question) bool { return q.Start < at+len(a) && at < q.End }) {
			n.asked++
		} else {
			faults = append(faults, l.name+": not asked: "+a)
		}
	}
	return n, faults
}
