package kitlist

import (
	"os"
	"strconv"
	"strings"
	"testing"
)

// namePairs are names of parts with their plurals.
var namePairs = map[string][][2]string{
	"en": {{"thrust washer", "thrust washers"}, {"baulk ring", "baulk rings"}, {"roll pin", "roll pins"}, {"needle cage", "needle cages"}, {"detent spring", "detent springs"}},
	"de": {{"Anlaufscheibe", "Anlaufscheiben"}, {"Synchronring", "Synchronringe"}, {"Spannstift", "Spannstifte"}, {"Nadelkranz", "Nadelkränze"}, {"Rastfeder", "Rastfedern"}},
	"fr": {{"rondelle de butée", "rondelles de butée"}, {"bague de synchro", "bagues de synchro"}, {"goupille", "goupilles"}, {"cage à aiguilles", "cages à aiguilles"}, {"ressort", "ressorts"}},
	"es": {{"arandela de empuje", "arandelas de empuje"}, {"anillo sincronizador", "anillos sincronizadores"}, {"pasador", "pasadores"}, {"jaula de agujas", "jaulas de agujas"}, {"resorte", "resortes"}},
}

var inWords = map[string][]string{
	"en": {"", "one", "two", "three", "four", "five", "six"}, "de": {"", "ein", "zwei", "drei", "vier", "fünf", "sechs"},
	"fr": {"", "un", "deux", "trois", "quatre", "cinq", "six"}, "es": {"", "un", "dos", "tres", "cuatro", "cinco", "seis"},
}

// TestCountForms reads every way of saying a count, as a list of its own: five lines in one form, with counts that differ.
func TestCountForms(t *testing.T) {
	data, err := os.ReadFile("testdata/shapes/counts.txt")
	if err != nil {
		t.Fatal(err)
	}
	var f figure
	for _, line := range strings.Split(strings.TrimSpace(string(data)), "\n")[1:] {
		lang, rest, _ := strings.Cut(line, " ")
		one, forms, _ := strings.Cut(rest, " ")
		pack, err := strconv.Atoi(one)
		if err != nil {
			t.Fatal(line)
		}
		for _, form := range strings.Split(forms, "|") {
			text, want := counted(lang, form, pack)
			wrong := 0
			got := Read(text, Options{}).Lines
			for _, n := range got {
				ok := n.Kind == Item && n.Sub == 0 && n.Quantity.Pieces == want[n.No]
				f.add(ok)
				if !ok {
					wrong++
				}
			}
			if f.add(len(got) == len(want)); (wrong > 0 || len(got) != len(want)) && *misses {
				t.Logf("%s %q: %d wrong, %d lines", lang, form, wrong, len(got))
				for _, n := range got {
					t.Logf("\t%s\t%s", row(n), n.Text)
				}
			}
		}
	}
	t.Logf("%d of %d readings are right", f.right, f.of)
	if f.right*100 < f.of*99 {
		t.Errorf("only %d of %d readings are right", f.right, f.of)
	}
}

// counted writes a list in one form and the pieces of its lines.
func counted(lang, form string, pack int) (string, map[int]int) {
	var b strings.Builder
	want := map[int]int{}
	for i, p := range namePairs[lang] {
		n := []int{2, 4, 3, 6, 2}[i]
		s := strings.NewReplacer("#", strconv.Itoa(n), "$", inWords[lang][n]).Replace(form)
		if k := strings.LastIndexAny(s, "NP"); k >= 0 {
			for _, c := range []string{"N", "P"} {
				for from := 0; ; {
					k := strings.Index(s[from:], c)
					if k < 0 {
						break
					}
					k += from
					if (k == 0 || s[k-1] == ' ' || s[k-1] == '-') && (k+1 == len(s) || strings.ContainsRune(" ,:;.-=(", rune(s[k+1]))) && !strings.HasPrefix(s[k:], "No.") {
						name := p[map[string]int{"N": 0, "P": 1}[c]]
						s = s[:k] + name + s[k+1:]
						from = k + len(name)
					} else {
						from = k + 1
					}
				}
			}
		}
		want[i+1] = pack
		if strings.ContainsAny(form, "#$") {
			want[i+1] = n * pack
		}
		b.WriteString(s + "\n")
	}
	return b.String(), want
}
