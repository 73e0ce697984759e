package kitlist

import (
	"encoding/csv"
	"flag"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
)

var misses = flag.Bool("misses", false, "print what the tests of shapes read wrong")

// plainNames are names of parts that say nothing of counts, sizes or flags.
var plainNames = map[string][]string{
	"en": {"front cover gasket", "rear oil seal", "thrust washer", "needle bearing", "hub nut", "detent spring", "speedo drive gear", "selector fork"},
	"de": {"Deckeldichtung", "Wellendichtring hinten", "Anlaufscheibe", "Nadellager", "Nutmutter", "Rastfeder", "Tachoantriebsrad", "Schaltgabel"},
	"fr": {"joint de couvercle avant", "joint spi arrière", "rondelle de butée", "roulement à aiguilles", "écrou de moyeu", "ressort de verrouillage", "pignon de compteur", "fourchette de sélection"},
	"es": {"junta de tapa delantera", "retén trasero", "arandela de empuje", "rodamiento de agujas", "tuerca de cubo", "resorte de traba", "piñón de velocímetro", "horquilla selectora"},
}

// shape writes one list around a line that carries a flag; it gives the text and the number of that line.
type shape struct {
	name  string
	place string
	write func(names []string, phrase string) (string, int)
}

// titled gives a text a capital.
func titled(s string) string {
	r := []rune(s)
	return strings.ToUpper(string(r[:1])) + string(r[1:])
}

// behind writes a remark behind a name.
func behind(pre, sep, post string) func(names []string, phrase string) (string, int) {
	return func(n []string, phrase string) (string, int) {
		var b strings.Builder
		for i, w := range n {
			b.WriteString(strings.Replace(pre, "#", fmt.Sprint(1+i%3), 1) + w)
			if i == 4 {
				b.WriteString(sep + phrase + post)
			}
			b.WriteString("\n")
		}
		return b.String(), 5
	}
}

// tabled writes it in a column of its own.
func tabled(head, row string) func(names []string, phrase string) (string, int) {
	return func(n []string, phrase string) (string, int) {
		var b strings.Builder
		b.WriteString(head + "\n")
		for i, w := range n {
			p := ""
			if i == 4 {
				p = phrase
			}
			fmt.Fprintf(&b, row+"\n", w, 1+i%3, p)
		}
		return b.String(), 6
	}
}

// before writes it before the name.
func before(pre, sep string) func(names []string, phrase string) (string, int) {
	return func(n []string, phrase string) (string, int) {
		var b strings.Builder
		for i, w := range n {
			b.WriteString(strings.Replace(pre, "#", fmt.Sprint(1+i%3), 1))
			if i == 4 {
				b.WriteString(phrase + sep)
			}
			b.WriteString(w + "\n")
		}
		return b.String(), 5
	}
}

// headed writes it above the lines it is meant for.
func headed(pre, sep string) func(names []string, phrase string) (string, int) {
	return func(n []string, phrase string) (string, int) {
		var b strings.Builder
		for i, w := range n {
			if i == 4 {
				b.WriteString(titled(phrase) + sep + "\n")
			}
			b.WriteString(strings.Replace(pre, "#", fmt.Sprint(1+i%3), 1) + w + "\n")
		}
		return b.String(), 6
	}
}

var shapes = []shape{
	{"counted, dash", "after", behind("# x ", " - ", "")},
	{"counted, comma", "after", behind("# ", ", ", "")},
	{"bullets, bracket", "after", behind("- #x ", " (", ")")},
	{"bullets, dash", "after", behind("* #x ", " – ", "")},
	{"bullets, colon", "after", behind("- ", ": ", "")},
	{"plain, wide gap", "after", behind("#  ", "      ", "")},
	{"plain, blank", "after", behind("#x ", " ", "")},
	{"tabs", "after", tabled("Description\tQty\tRemarks", "%s\t%d\t%s")},
	{"tabs, no heads", "after", tabled("2 Kit", "%s\t%d\t%s")},
	{"pipes", "after", tabled("| Part | Qty | Note |", "| %s | %d | %s |")},
	{"blanks", "after", tabled("Description                      Qty   Remarks", "%-32s %d     %s")},
	{"semicolons", "after", tabled("Description;Qty;Remarks", "%s;%d;%s")},
	{"bullets", "before", before("- ", ": ")},
	{"plain", "before", before("", " ")},
	{"counted, colon head", "heading", headed("# x ", ":")},
	{"bullets, colon head", "heading", headed("- ", ":")},
	{"counted, blank head", "heading", headed("# ", ":")},
}

// TestFlagPhrases reads every way of saying a flag in every shape.
func TestFlagPhrases(t *testing.T) {
	f, err := os.Open("testdata/shapes/flags.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	total := figure{}
	byShape := map[string]figure{}
	for _, r := range rows[1:] {
		for _, phrase := range strings.Split(r[3], "|") {
			bad := 0
			var why []string
			n := 0
			for _, s := range shapes {
				if s.place != r[2] && !(s.place == "heading" && r[2] == "before" && r[1] != "declined") {
					continue
				}
				names := slices.Clone(plainNames[r[0]])
				text, at := s.write(names, phrase)
				got := readFlag(text, at)
				ok := got == wantFlag(r[1])
				n++
				if !ok {
					bad++
					why = append(why, s.name+"="+got)
				}
				total.add(ok)
				f := byShape[s.name]
				f.add(ok)
				byShape[s.name] = f
			}
			if bad > 0 && *misses {
				t.Logf("%s %s %q: %d of %d wrong: %s", r[0], r[1], phrase, bad, n, strings.Join(why, "; "))
			}
		}
	}
	t.Logf("%d of %d readings are right", total.right, total.of)
	if total.right*100 < total.of*99 {
		t.Errorf("only %d of %d readings are right, %v by shape", total.right, total.of, byShape)
	}
}

// wantFlag is how readFlag writes a line that carries a flag.
func wantFlag(flag string) string {
	if flag == "cond" {
		return "item cond"
	}
	return "item 0 " + map[string]string{"excluded": "excluded", "backorder": "backorder", "unavailable": "nla", "declined": "excluded", "offered": "excluded offered"}[flag]
}

// readFlag reads the text and gives the kind, pieces and flags of a line.
func readFlag(text string, at int) string {
	for _, n := range Read(text, Options{}).Lines {
		if n.No != at {
			continue
		}
		f := strings.Fields(strings.ReplaceAll(row(n), "~", ""))[1:]
		f = slices.DeleteFunc(f, func(s string) bool { return s == "declined" })
		if slices.Contains(f, "cond") && len(f) == 3 {
			f = slices.Delete(f, 1, 2)
		}
		s := strings.Join(f, " ")
		if n.Sub > 0 {
			s = "split " + s
		}
		return s
	}
	return "none"
}
