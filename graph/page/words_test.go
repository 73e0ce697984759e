package page

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// TestWordsOnce: no key stands twice, where the later text would win unseen.
func TestWordsOnce(t *testing.T) {
	seen := map[string]bool{}
	for _, m := range regexp.MustCompile(`(?m)^  "([^"]+)": `).FindAllSubmatch(wordsFile, -1) {
		key := string(m[1])
		if seen[key] {
			t.Errorf("%q stands twice", key)
		}
		seen[key] = true
	}
	if len(seen) != len(words) {
		t.Errorf("%d lines hold %d keys: one key a line", len(seen), len(words))
	}
}

// TestWords keeps the catalogue of words and its uses in step: every key that
// is written out exists, and every key is used, written out or under a prefix
// that is completed at run time.
func TestWords(t *testing.T) {
	var src strings.Builder
	files, err := filepath.Glob("*.templ")
	if err != nil {
		t.Fatal(err)
	}
	gofiles, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range append(files, gofiles...) {
		if strings.HasSuffix(f, "_templ.go") || strings.HasSuffix(f, "_test.go") {
			continue
		}
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		src.Write(b)
	}
	text := src.String()
	var prefixes []string
	for _, m := range regexp.MustCompile(`say\("([^"]+\.)"\s*\+`).FindAllStringSubmatch(text, -1) {
		prefixes = append(prefixes, m[1])
	}
	for _, m := range regexp.MustCompile(`(?:say|many)\("([^"]+)"[,)]`).FindAllStringSubmatch(text, -1) {
		if _, ok := words[m[1]]; !ok {
			t.Errorf("no words for %q", m[1])
		}
	}
	for key := range words {
		under := slices.ContainsFunc(prefixes, func(p string) bool { return strings.HasPrefix(key, p) })
		if !under && !strings.Contains(text, `"`+key+`"`) {
			t.Errorf("nothing uses the words of %q", key)
		}
	}
}

// TestEnumWords: every value that the API can send has its words.
func TestEnumWords(t *testing.T) {
	check := func(prefix string, slugs ...string) {
		for _, s := range slugs {
			if _, ok := words[prefix+s]; !ok {
				t.Errorf("no words for %s%s", prefix, s)
			}
		}
	}
	for _, s := range AllSeverity {
		check("state.", slug(string(s)))
	}
	for _, s := range AllShortageState {
		check("state.", shortageMark(s))
	}
	for _, s := range AllJobState {
		check("job.", slug(string(s)))
	}
	for _, s := range AllChoice {
		check("choice.", slug(string(s)))
	}
	for _, s := range AllLife {
		check("life.", slug(string(s)))
	}
	for _, s := range AllStanding {
		check("standing.", slug(string(s)))
	}
	for _, s := range AllBox {
		check("box.", slug(string(s)))
	}
	for _, s := range AllRelation {
		check("relation.", slug(string(s)))
	}
	check("role.", roles...)
}
