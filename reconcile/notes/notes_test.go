package notes

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

func reader(t testing.TB) *Reader {
	t.Helper()
	rd, err := shop()
	if err != nil {
		t.Fatal(err)
	}
	return rd
}

// FuzzRead holds what every text must keep: spans without gap or overlap,
// ranges inside the text, positions that the variant has, the same answer twice.
func FuzzRead(f *testing.F) {
	rd := reader(f)
	rounds, err := filepath.Glob("testdata/[br]*/*.txt")
	if err != nil || len(rounds) < 10 {
		f.Fatal(rounds, err)
	}
	for _, r := range rounds {
		data, err := os.ReadFile(r)
		if err != nil {
			f.Fatal(err)
		}
		for block := range strings.SplitSeq(string(data), "\n== ") {
			f.Add(block)
		}
	}
	for _, s := range []string{"", "\x00", "all", "1.-4. Gang", "except", "- \u202e new", "\xff\xfe5th", "everything", "5th hub (with", "back in 2", "3/4/5/6", "no,",
		"ring: except its bearings ok both, new", "except its all bearings? & both, seals", "all new except both"} {
		f.Add(s)
	}
	variants := []catalog.VariantID{"bw76-lc2", "vm77-sport", "hk42-a", ""}
	f.Fuzz(func(t *testing.T, text string) {
		v := variants[len(text)%len(variants)]
		r := rd.Read("th92", v, text, day)
		if err := r.Check(); err != nil {
			t.Fatal(err)
		}
		for _, p := range r.Proposals {
			if v != "" && !rd.ix.Has(v, p.Position) {
				t.Fatalf("%s has no position %s", v, p.Position)
			}
			if p.Choice == "" || p.Why == "" {
				t.Fatalf("%s has no choice or reason", p.Position)
			}
		}
		again := rd.Read("th92", v, text, day)
		if len(again.Proposals) != len(r.Proposals) || len(again.Questions) != len(r.Questions) {
			t.Fatal("read differently the second time")
		}
	})
}

// TestGarbage reads what no person writes: it ends, keeps its spans and says
// where it stopped.
func TestGarbage(t *testing.T) {
	rd := reader(t)
	for name, text := range map[string]string{
		"zeros":    strings.Repeat("\x00", 1<<20),
		"rings":    strings.Repeat("ring ", 1<<18),
		"commas":   strings.Repeat("hub, ", 1<<17),
		"lines":    strings.Repeat("5th hub new\n", 1<<16),
		"bidi":     strings.Repeat("\u202e5th\u2066 hub\u2069 ", 1<<15),
		"broken":   strings.Repeat("\xf0\x9f5th hub new; ", 1<<15),
		"brackets": strings.Repeat("(5th hub new ", 1<<15),
		"one word": strings.Repeat("a", 1<<20),
		"except":   strings.Repeat("all rings except ", 1<<15),
	} {
		r := rd.Read("bw76", "bw76-lc2", text, day)
		if err := r.Check(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if q := r.Questions[len(r.Questions)-1]; q.Code != TooLong && len(text) > maxBytes {
			t.Errorf("%s: the last question is %q, not that it is too long", name, q.Code)
		}
	}
}

// TestUnknownGearbox: without a family nothing is proposed.
func TestUnknownGearbox(t *testing.T) {
	r := reader(t).Read("", "nobody", "5th hub new", day)
	if len(r.Proposals) != 0 || len(r.Questions) != 1 {
		t.Errorf("%d proposals and %d questions, want 0 and 1", len(r.Proposals), len(r.Questions))
	}
}

func TestDays(t *testing.T) {
	for text, want := range map[string]string{
		"back Friday": "2026-03-13", "back Tues": "2026-03-17", "back tomorrow": "2026-03-11", "due 14/3": "2026-03-14",
		"back in a week": "2026-03-17", "back the 9th": "2026-04-09", "due 2 Jan": "2027-01-02", "back 31.3.": "2026-03-31",
		"ready by 2026-05-01": "2026-05-01", "back next Friday": "asked", "due 3/4": "2026-04-03", "due 4/5": "asked", "back soon": "asked", "due 31/2": "asked",
	} {
		r := reader(t).Read("bw76", "bw76-lc2", "countershaft out for shot peening, "+text, day)
		got := ""
		if len(r.Proposals) == 1 {
			got = r.Proposals[0].Due.String()
		}
		for _, q := range r.Questions {
			if q.Code == DueDay {
				got = "asked"
			}
		}
		if got != want {
			t.Errorf("%q: %s, want %s", text, got, want)
		}
	}
	r := reader(t).Read("bw76", "bw76-lc2", "countershaft out for shot peening, back Friday", quantity.Date{})
	if len(r.Proposals) != 1 || !r.Proposals[0].Due.IsZero() {
		t.Errorf("without a today a weekday is no date: %+v %+v", r.Proposals, r.Questions)
	}
}

func TestMeasuredText(t *testing.T) {
	r := reader(t).Read("bw76", "bw76-lc2", "rev idler shaft mic'd, fine, keep", day)
	if len(r.Proposals) != 1 || r.Proposals[0].Measured != "mic'd, fine" {
		t.Errorf("%+v", r.Proposals)
	}
}

// BenchmarkRead reads the first round's notes.
func BenchmarkRead(b *testing.B) {
	rd := reader(b)
	text := "all needle cages and lip seals new; 5th hub with its sleeve; main 2nd; rev idler shaft mic'd, fine, keep; front cover not with the box; output nut put back; counter out for shot peening, back Friday"
	b.ReportAllocs()
	for b.Loop() {
		rd.Read("bw76", "bw76-lw4", text, day)
	}
}
