// Package yardstick measures package match against two ready-made text searches
// on the same lines in the same run: SQLite FTS5 with trigrams, and MiniSearch
// under node. It is a module of its own, so that the product needs neither.
//
//	npm install && go test -v .
package yardstick

import (
	"bytes"
	"database/sql"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode"

	"layshaft/catalog"
	"layshaft/reconcile/kitlist"
	"layshaft/reconcile/match"
	"layshaft/reconcile/match/trial"

	_ "modernc.org/sqlite"
)

// question is one answerable line with the parts of its variant. plain is the
// line as this project's reader leaves it: without quantity, price and marks, the
// kinds of part it names written out, headings added.
type question struct {
	text    string
	plain   string
	truth   trial.Truth
	variant catalog.VariantID
}

// corpus gives the shop and the answerable lines: those written by hand, and
// generated ones.
func corpus(t *testing.T) (*trial.World, []*trial.Kit) {
	w := trial.NewWorld(trial.Spec{Seed: 61, Families: 8, Variants: 2, Numbers: "dotted", Names: "plain"})
	kits := w.Kits(61_000, 16, trial.Usual)
	fsys := os.DirFS("../corpus")
	for _, name := range []string{"brack", "orlan", "hesper", "veldra", "nordal"} {
		if err := trial.ReadCatalogue(fsys, name, w.Catalogue); err != nil {
			t.Fatal(err)
		}
	}
	lists, err := trial.ReadLists(fsys)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range lists {
		kits = append(kits, &l.Kit)
	}
	return w, kits
}

func questions(kits []*trial.Kit) []question {
	var out []question
	for _, k := range kits {
		for i, x := range k.Truth {
			alone := (i == 0 || k.Truth[i-1].No != x.No) && (i+1 == len(k.Truth) || k.Truth[i+1].No != x.No)
			if x.Kind == "item" && x.Part != "" && !x.Ambiguous && alone {
				out = append(out, question{text: x.Text, truth: x, variant: k.Variant})
			}
		}
	}
	return out
}

// documents are the parts as the text searches see them.
func documents(c *catalog.Catalogue) (ids, texts []string) {
	for _, p := range c.Parts {
		words := []string{p.Name, string(p.Kind), p.Designation}
		for _, n := range p.Numbers {
			words = append(words, n.Text, catalog.Normal(n.Text))
		}
		for _, a := range p.Attributes {
			switch a.Value.Kind {
			case catalog.KindLength:
				words = append(words, strings.TrimSuffix(a.Value.Length().String(), " mm"))
			case catalog.KindCount:
				words = append(words, fmt.Sprint(a.Value.Number))
			default:
				words = append(words, a.Value.Text)
			}
		}
		ids, texts = append(ids, string(p.ID)), append(texts, strings.Join(words, " "))
	}
	return ids, texts
}

func variantParts(c *catalog.Catalogue) map[catalog.VariantID][]string {
	out := map[catalog.VariantID][]string{}
	for _, f := range c.Fitments {
		out[f.Variant] = append(out[f.Variant], string(f.Part))
	}
	return out
}

func report(t *testing.T, name string, qs []question, top []string, seconds float64) {
	right := 0
	for i := range qs {
		if qs[i].truth.Accepts(catalog.PartID(top[i])) {
			right++
		}
	}
	t.Logf("%-52s top-1 %6.2f %%  (%d of %d)  %8.0f lines/s", name, 100*float64(right)/float64(len(qs)), right, len(qs), float64(len(qs))/seconds)
}

func TestYardstick(t *testing.T) {
	w, kits := corpus(t)
	qs := questions(kits)
	ours(t, w, kits, qs)
	ids, texts := documents(w.Catalogue)
	inside := variantParts(w.Catalogue)
	trigrams(t, "as typed", ids, texts, inside, qs)
	javaScript(t, "as typed", ids, texts, inside, qs)
	normal := normalised(match.NewVocabulary(catalog.NewIndex(w.Catalogue, 1)), kits, qs)
	trigrams(t, "normalised", ids, texts, inside, normal)
	javaScript(t, "normalised", ids, texts, inside, normal)
}

// normalised gives the text searches the lines as this project's reader leaves
// them, so that ranking alone is compared.
func normalised(v *match.Vocabulary, kits []*trial.Kit, qs []question) []question {
	out := slices.Clone(qs)
	at := 0
	for _, k := range kits {
		list := kitlist.Read(k.Text, kitlist.Options{})
		for range questions([]*trial.Kit{k}) {
			for i := range list.Lines {
				if n := &list.Lines[i]; n.No <= out[at].truth.No && out[at].truth.No <= n.Last && n.Kind == kitlist.Item {
					out[at].text = plain(v, list.Text, n)
					break
				}
			}
			at++
		}
	}
	return out
}

// plain keeps numbers, designations, sizes and words, corrected and written out.
func plain(v *match.Vocabulary, text string, n *kitlist.Line) string {
	var out, words []string
	for _, sp := range n.Spans {
		s := text[sp.Start:sp.End]
		switch sp.Role {
		case kitlist.RoleWords, kitlist.RolePlace:
			for _, w := range strings.FieldsFunc(kitlist.Fold(s), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
				words = append(words, v.Correct(w))
			}
		case kitlist.RoleNumber, kitlist.RoleDesignation, kitlist.RoleSize, kitlist.RoleThread:
			out = append(out, s, catalog.Normal(s))
		case kitlist.RoleTeeth:
			out = append(out, s)
		}
	}
	for i := 0; i < len(words); {
		senses, k := v.Phrase(words[i:])
		if k == 0 || len(senses) == 0 {
			out = append(out, words[i])
			i++
			continue
		}
		for _, s := range senses {
			if !s.List {
				out = append(out, s.Name)
			}
		}
		i += k
	}
	for _, c := range n.Context {
		out = append(out, c)
	}
	return strings.Join(out, " ")
}

// ours reads whole lists, since it may use headings, and times reading as well.
func ours(t *testing.T, w *trial.World, kits []*trial.Kit, qs []question) {
	m := match.New(catalog.NewIndex(w.Catalogue, 1), match.Options{})
	var top []string
	lines, start := 0, time.Now()
	for _, k := range kits {
		list := kitlist.Read(k.Text, kitlist.Options{})
		results := m.Match(list, match.Context{Variant: k.Variant})
		lines += len(results)
		for range questions([]*trial.Kit{k}) {
			top = append(top, "")
		}
		at := len(top) - len(questions([]*trial.Kit{k}))
		for q, x := range questions([]*trial.Kit{k}) {
			for i := range results {
				if list.Lines[i].No <= x.truth.No && x.truth.No <= list.Lines[i].Last && len(results[i].Candidates) > 0 {
					top[at+q] = string(results[i].Candidates[0].Part)
					break
				}
			}
		}
	}
	report(t, "this project's matcher", qs, top, time.Since(start).Seconds()*float64(len(qs))/float64(lines))
}

// trigrams ranks with bm25 over trigrams; parts of the variant come first when
// their score, times a factor that favours them, is better.
func trigrams(t *testing.T, form string, ids, texts []string, inside map[catalog.VariantID][]string, qs []question) {
	db, err := sql.Open("sqlite", ":memory:")
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	if _, err := db.Exec(`create virtual table part using fts5(id unindexed, text, tokenize='trigram')`); err != nil {
		t.Fatal(err)
	}
	for i := range ids {
		if _, err := db.Exec(`insert into part values (?, ?)`, ids[i], strings.ToLower(texts[i])); err != nil {
			t.Fatal(err)
		}
	}
	sets := map[catalog.VariantID]map[string]bool{}
	for v, list := range inside {
		sets[v] = map[string]bool{}
		for _, id := range list {
			sets[v][id] = true
		}
	}
	for _, factor := range []float64{1, 3, 10, 100} {
		var top []string
		start := time.Now()
		for _, q := range qs {
			top = append(top, best(t, db, q, sets[q.variant], factor))
		}
		report(t, fmt.Sprintf("SQLite FTS5 trigram, variant x%g, %s", factor, form), qs, top, time.Since(start).Seconds())
	}
}

func best(t *testing.T, db *sql.DB, q question, inside map[string]bool, factor float64) string {
	expr := trigramQuery(q.text)
	if expr == "" {
		return ""
	}
	rows, err := db.Query(`select id, -bm25(part) from part where part match ?`, expr)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	id, top, score := "", "", 0.0
	for rows.Next() {
		var s float64
		if err := rows.Scan(&id, &s); err != nil {
			t.Fatal(err)
		}
		if inside[id] {
			s *= factor
		}
		if s > score {
			top, score = id, s
		}
	}
	return top
}

// trigramQuery joins all trigrams of the line's words with OR.
func trigramQuery(text string) string {
	var parts []string
	for word := range strings.FieldsFuncSeq(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
		r := []rune(word)
		for i := 0; i+3 <= len(r); i++ {
			parts = append(parts, `"`+string(r[i:i+3])+`"`)
		}
	}
	return strings.Join(parts, " OR ")
}

func javaScript(t *testing.T, form string, ids, texts []string, inside map[catalog.VariantID][]string, qs []question) {
	if _, err := os.Stat("node_modules/minisearch"); err != nil {
		if os.Getenv("LAYSHAFT_REQUIRE_TOOLS") == "1" {
			t.Fatal("MiniSearch is not installed: run npm install")
		}
		t.Log("MiniSearch is not installed: run npm install; skipped")
		return
	}
	type doc struct {
		ID   string `json:"id"`
		Text string `json:"text"`
	}
	var in struct {
		Parts    []doc      `json:"parts"`
		Lines    []string   `json:"lines"`
		Variants [][]string `json:"variants"`
	}
	for i := range ids {
		in.Parts = append(in.Parts, doc{ids[i], texts[i]})
	}
	for _, q := range qs {
		in.Lines = append(in.Lines, q.text)
		in.Variants = append(in.Variants, inside[q.variant])
	}
	b, err := json.Marshal(in)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("node", "search.mjs")
	cmd.Stdin, cmd.Stderr = bytes.NewReader(b), os.Stderr
	raw, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	var out struct {
		Top     []string `json:"top"`
		Seconds float64  `json:"seconds"`
	}
	if err := json.Unmarshal(raw, &out); err != nil {
		t.Fatal(err)
	}
	report(t, "MiniSearch, fuzzy and prefix, variant x20, "+form, qs, out.Top, out.Seconds)
}
