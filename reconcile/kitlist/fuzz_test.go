package kitlist

import (
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"
)

func FuzzRead(f *testing.F) {
	names, err := filepath.Glob("testdata/lists/*.txtar")
	if err != nil {
		f.Fatal(err)
	}
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(txtar.Parse(data).Files[0].Data))
	}
	for _, s := range []string{"\x00\xff", "\u202e1x\u200b 6207", "2x\r\n(\n)", "1½ x 2", "qty", "|||\n|||", "\t\t\n\t", "> > >", "a,b,c,d,e\n1,2", "99999999999999999999x"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		l := Read(s, Options{})
		if err := l.Check(); err != nil {
			t.Fatal(err)
		}
		if l.Text != s {
			t.Fatal("the text was changed")
		}
		if !reflect.DeepEqual(l, Read(s, Options{})) {
			t.Fatal("two readings differ")
		}
		if err := Read(s, Options{MaxBytes: 40, MaxLines: 3, MaxLineBytes: 20}).Check(); err != nil {
			t.Fatal("limited: ", err)
		}
	})
}

// Texts no one means to send must give a clear answer, not a crash or a long wait.
func TestHostileTexts(t *testing.T) {
	for name, s := range map[string]string{
		"one long line":    strings.Repeat("2x 6207 NR, ", 1<<17),
		"no blanks":        strings.Repeat("x", 2<<20),
		"many lines":       strings.Repeat("1 x bearing 6207 NR 18.40\n", 100_000),
		"empty lines":      strings.Repeat("\n", 1<<20),
		"zero bytes":       strings.Repeat("\x00", 1<<20),
		"broken UTF-8":     strings.Repeat("\xff\xfe2x\xc3 seal\n", 50_000),
		"brackets":         strings.Repeat("(", 1<<16) + strings.Repeat(")", 1<<16),
		"quote marks":      strings.Repeat(">", 1<<20),
		"tabs":             strings.Repeat("\t", 1<<20),
		"slashes":          strings.Repeat("1/2 ", 4000) + "\n" + strings.Repeat("30x", 5000),
		"direction marks":  strings.Repeat("\u202e6207\u202c ", 1000),
		"dots":             strings.Repeat(".", 15<<10),
		"numbers in a row": strings.Repeat("4471 ", 3000),
		"designations":     strings.Repeat("6207 & ", 2000),
	} {
		t.Run(name, func(t *testing.T) {
			l := Read(s, Options{})
			if err := l.Check(); err != nil {
				t.Fatal(err)
			}
			if (len(s) > defaultBytes || strings.Count(s, "\n") > defaultLines) && !asks(l, "text-cut") && !asks(l, "line-too-long") {
				t.Errorf("nothing said of what was cut: %v", l.Questions)
			}
		})
	}
}

func asks(l List, code string) bool {
	for _, q := range l.Questions {
		if q.Code == code {
			return true
		}
	}
	return false
}

func BenchmarkRead(b *testing.B) {
	names, err := filepath.Glob("testdata/lists/*.txtar")
	if err != nil {
		b.Fatal(err)
	}
	var lists []string
	lines := 0
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			b.Fatal(err)
		}
		s := string(txtar.Parse(data).Files[0].Data)
		lists = append(lists, s)
		lines += strings.Count(s, "\n")
	}
	b.ReportAllocs()
	for b.Loop() {
		for _, s := range lists {
			Read(s, Options{})
		}
	}
	b.ReportMetric(float64(lines)*float64(b.N)/b.Elapsed().Seconds(), "lines/s")
}

// BenchmarkReadLimit reads a text as long as the limits allow.
func BenchmarkReadLimit(b *testing.B) {
	s := strings.Repeat("2 x bearing, front 6207 NR (was TB 1001)  18.40\n", defaultLines)
	b.ReportAllocs()
	for b.Loop() {
		Read(s, Options{})
	}
}
