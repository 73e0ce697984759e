package trial

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"

	"layshaft/catalog"
	"layshaft/catalog/standard"
)

// Truth is what one physical line of a list means.
type Truth struct {
	No int // physical line, from 1
	// Kind: "item", "heading", "note" or "noise".
	Kind   string
	Part   catalog.PartID   // empty: nothing in the catalogue
	Pieces int              // 0: not said what is right
	Also   []catalog.PartID // other parts that answer as well
	// Ambiguous on purpose: the text cannot tell Part from others.
	Ambiguous bool
	// Foreign: a part of another family.
	Foreign bool
	// Number: the line carries the part's number, however misread.
	Number bool
	Text   string
	// What the line says about its own standing; Pieces is 0 then.
	Excluded, Conditional, NotAvailable bool
	Alternative                         int
}

// Kit is a generated list with its truth.
type Kit struct {
	Text    string
	Variant catalog.VariantID
	Family  catalog.FamilyID
	Truth   []Truth
}

// Noise says how bad lists are, each from 0 to 1.
type Noise struct {
	Withheld float64 // share of words written in a way the lexicon lacks
	Typos    float64 // share of words with a typing mistake
	Misread  float64 // share of numbers with a wrong character
	Dropped  float64 // share of telling words and sizes left out
	Numbers  float64 // share of lines that carry a number
	Suffixes float64 // share of bearings whose suffixes are left out, and of bearings written by their sizes
	Headings float64 // share of lists grouped under headings that name the kind
	// Measured asks for the mix of lists that was measured elsewhere: two lines of
	// other families, one or two junk lines and up to two near misses in 22 to 41.
	Measured bool
}

// Usual is the noise that lists are made with by default.
var Usual = Noise{Withheld: 0.12, Typos: 0.07, Misread: 0.2, Dropped: 0.14, Numbers: 0.45}

// Wide is Usual with headings, bearings without their suffixes, and the measured mix.
var Wide = Noise{Withheld: 0.12, Typos: 0.07, Misread: 0.2, Dropped: 0.14, Numbers: 0.45, Suffixes: 0.12, Headings: 0.2, Measured: true}

type scribe struct {
	w     *World
	rng   *rand.Rand
	noise Noise
	words map[string]writing
	style int
	caps  int // 0 as is, 1 upper, 2 lower
	kit   *Kit
	lines []string
	facts []*Fact
	under string // kind named by the heading, "" for none
}

// Styles is the number of list layouts that Kits uses.
const Styles = 8

// Kits writes n lists for variants of the world.
func (w *World) Kits(seed uint64, n int, noise Noise) []*Kit {
	words := writings()
	var out []*Kit
	for i := range n {
		rng := rand.New(rand.NewPCG(seed, uint64(i)))
		v := w.Catalogue.Variants[rng.IntN(len(w.Catalogue.Variants))]
		s := &scribe{w: w, rng: rng, noise: noise, words: words, style: i % Styles, caps: rng.IntN(3),
			kit: &Kit{Variant: v.ID, Family: v.Family}, facts: w.Facts[v.ID]}
		if rng.IntN(5) == 0 {
			s.noise.Numbers = 0
		}
		out = append(out, s.write())
	}
	return out
}

func (s *scribe) chance(p float64) bool { return s.rng.Float64() < p }

func (s *scribe) write() *Kit {
	order := s.rng.Perm(len(s.facts))
	seen := map[catalog.PartID]bool{}
	n := 18 + s.rng.IntN(16)
	if s.noise.Measured {
		n = 19 + s.rng.IntN(17)
	}
	var chosen []*Fact
	for _, i := range order {
		if f := s.facts[i]; len(chosen) < n && !seen[f.Part.ID] {
			seen[f.Part.ID] = true
			chosen = append(chosen, f)
		}
	}
	grouped := s.noise.Headings > 0 && s.chance(s.noise.Headings)
	if grouped {
		s.style = []int{1, 2, 3, 4, 6}[s.rng.IntN(5)]
		slices.SortStableFunc(chosen, func(a, b *Fact) int { return strings.Compare(a.Kind, b.Kind) })
	}
	extras := s.extras(len(chosen))
	for i, f := range chosen {
		if grouped {
			s.heading(chosen, i)
		}
		s.item(f, false)
		if s.noise.Measured {
			for _, e := range extras[i] {
				s.extra(e)
			}
		} else {
			s.extra(s.rng.IntN(24))
		}
	}
	s.kit.Text = strings.Join(s.lines, "\n")
	return s.kit
}

// extra writes a line that is none of the kit's: 0 junk, 1 foreign, 2 a near miss.
func (s *scribe) extra(kind int) {
	switch kind {
	case 0:
		s.junk()
	case 1:
		s.foreign()
	case 2:
		s.nearMiss()
	}
}

// extras says which extra lines follow which line in the measured mix.
func (s *scribe) extras(n int) map[int][]int {
	out := map[int][]int{}
	if !s.noise.Measured {
		return out
	}
	for kind, count := range []int{1 + s.rng.IntN(2), 2, s.rng.IntN(3)} {
		for range count {
			at := s.rng.IntN(n)
			out[at] = append(out[at], kind)
		}
	}
	return out
}

// heading opens a group of at least two lines of one kind.
func (s *scribe) heading(chosen []*Fact, i int) {
	if i > 0 && chosen[i-1].Kind == chosen[i].Kind {
		return
	}
	s.under = ""
	if i+1 == len(chosen) || chosen[i+1].Kind != chosen[i].Kind {
		return
	}
	s.under = chosen[i].Kind
	if len(s.lines) > 0 && s.rng.IntN(2) == 0 {
		s.lines = append(s.lines, "")
	}
	text := strings.ToUpper(s.under) + "S"
	s.lines = append(s.lines, text)
	s.kit.Truth = append(s.kit.Truth, Truth{No: len(s.lines), Kind: "heading", Text: text})
}

var junk = []string{"assembly grease sachet", "shop towels", "gear oil 75w80 2l", "thread cleaner spray", "gloves nitrile pack",
	"fitting instructions sheet", "cable ties", "clutch alignment tool", "brake cleaner", "degreaser 5l", "wiring harness clip",
	"clutch slave cylinder", "exhaust clamp", "prop shaft uj", "engine mount rubber", "starter motor bush kit", "flywheel dowel tool"}

func (s *scribe) junk() {
	s.add(junk[s.rng.IntN(len(junk))], 1, Truth{})
}

// foreign writes a part of another family.
func (s *scribe) foreign() {
	v := s.w.Catalogue.Variants[s.rng.IntN(len(s.w.Catalogue.Variants))]
	if v.Family == s.kit.Family {
		return
	}
	f := s.w.Facts[v.ID][s.rng.IntN(len(s.w.Facts[v.ID]))]
	if !slices.ContainsFunc(s.facts, func(g *Fact) bool { return g.Part == f.Part }) {
		s.item(f, true)
	}
}

// nearMiss writes an oil seal or a bearing of a size that the variant lacks.
func (s *scribe) nearMiss() {
	bore := 13 + s.rng.IntN(5)
	size := fmt.Sprintf("%dx%dx%d", bore, bore+9, 5)
	s.add(size+" "+s.word("oil seal"), 1, Truth{})
}

// item writes one line for a part.
func (s *scribe) item(f *Fact, foreign bool) {
	said := said{kind: true}
	var words []string
	for _, m := range f.Mods {
		if s.chance(s.noise.Dropped) {
			continue
		}
		said.mods = append(said.mods, m)
		words = append(words, s.modifier(m))
	}
	kind := s.word(f.Kind)
	if s.under == f.Kind && !foreign && s.rng.IntN(10) < 7 && len(words) > 0 {
		kind = ""
	}
	if s.rng.IntN(3) == 0 && len(words) > 0 { // noun first
		words = append([]string{kind}, words...)
	} else {
		s.rng.Shuffle(len(words), func(i, j int) { words[i], words[j] = words[j], words[i] })
		words = append(words, kind)
	}
	text := s.typos(strings.Join(words, " "))
	bare := false
	if f.Sizes != "" && !s.chance(0.25) {
		said.sizes = f.Sizes
		if s.noise.Suffixes > 0 && f.Part.Designation != "" {
			var z string
			z, bare = s.bearing(f.Part.Designation)
			text += " " + z
		} else {
			text += " " + s.size(f.Sizes)
		}
	}
	if f.Teeth > 0 && s.chance(0.5) {
		said.teeth = f.Teeth
		text += " " + fmt.Sprintf([]string{"%dT", "%d teeth", "z=%d"}[s.rng.IntN(3)], f.Teeth)
	}
	t := Truth{Part: f.Part.ID, Foreign: foreign}
	number := ""
	if s.chance(s.noise.Numbers) {
		number = s.number(f.Part.Numbers[s.rng.IntN(len(f.Part.Numbers))].Text)
		t.Number = true
	}
	t.Ambiguous = !t.Number && !foreign && (bare || s.ambiguous(f, said))
	if foreign && !t.Number {
		return // nothing could tell it from the variant's own part
	}
	pieces := f.Pieces
	switch s.rng.IntN(10) {
	case 0, 1, 2:
		pieces = 1
	case 3:
		pieces = 1 + s.rng.IntN(4)
	}
	s.addWith(number, text, pieces, t)
}

// bearing writes a designation; bare means that its suffixes are left out.
func (s *scribe) bearing(d string) (text string, bare bool) {
	base, suffix, _ := strings.Cut(d, " ")
	b, err := standard.ParseBearing(d)
	if err == nil && len(b.Suffixes) == 0 {
		base, suffix = d, ""
	}
	if err == nil && b.Bore > 0 && b.Outside > 0 && b.Width > 0 && s.chance(s.noise.Suffixes) {
		base = fmt.Sprintf("%sx%sx%s", mm(b.Bore), mm(b.Outside), mm(b.Width))
		if suffix == "" {
			return base, false
		}
	} else if suffix == "" {
		return s.size(d), false
	}
	if s.chance(s.noise.Suffixes) {
		return base, true
	}
	return base + " " + suffix, false
}

type said struct {
	kind  bool
	mods  []string
	sizes string
	teeth int
}

// ambiguous: another part of the variant has all that is said.
func (s *scribe) ambiguous(f *Fact, said said) bool {
	for _, g := range s.facts {
		if g.Part == f.Part || !sameWord(g.Kind, f.Kind) || said.teeth != 0 && g.Teeth != said.teeth {
			continue
		}
		if said.sizes != "" && !sameSizes(said.sizes, g.Sizes) {
			continue
		}
		if !slices.ContainsFunc(said.mods, func(m string) bool { return !slices.Contains(g.Mods, m) }) &&
			(len(g.Mods) <= len(said.mods) || len(said.mods) < len(f.Mods) || len(f.Mods) == 0 && len(g.Mods) == 0) {
			return true
		}
	}
	return false
}

func sameSizes(a, b string) bool {
	return b == "" || a == b || strings.Contains(a+b, " ") && withoutSuffix(a) == withoutSuffix(b)
}

// withoutSuffix cuts what ball bearings carry behind their number.
func withoutSuffix(d string) string {
	base, _, _ := strings.Cut(d, " ")
	if len(base) < 4 {
		return d // "NU 206" and "K 30x35x17" have their letters in front
	}
	return base
}

// sameWord: lists write both kinds with one word.
func sameWord(a, b string) bool {
	bearing := func(k string) bool {
		return strings.HasSuffix(k, "bearing") && k != "pilot bearing" && k != "needle bearing"
	}
	return a == b || bearing(a) && bearing(b) || a == "bolt" && b == "screw" || a == "screw" && b == "bolt"
}

// Accepts reports whether a part answers the line.
func (t *Truth) Accepts(p catalog.PartID) bool {
	return p != "" && (p == t.Part || slices.Contains(t.Also, p))
}
