package page

import (
	"fmt"
	"net/url"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// say is the text of a key in the catalogue of words. A missing key shows as
// itself; a test keeps keys and uses in step.
func say(key string, args ...any) string {
	text, ok := words[key]
	switch {
	case !ok:
		return key
	case len(args) == 0:
		return text
	}
	return fmt.Sprintf(text, args...)
}

// many picks the form for a number from "one form|other form"; both forms name
// the number by %d.
func many(key string, n int) string {
	one, other, _ := strings.Cut(say(key), "|")
	if n == 1 {
		return fmt.Sprintf(one, n)
	}
	return fmt.Sprintf(other, n)
}

// itoa writes a count.
func itoa(n int) string { return strconv.Itoa(n) }

// deref is the value, or nothing where there is none.
func deref[T any](p *T) T {
	var zero T
	if p == nil {
		return zero
	}
	return *p
}

func pathEscape(s string) string  { return url.PathEscape(s) }
func queryEscape(s string) string { return url.QueryEscape(s) }

// partPath is the address of a part's sheet.
func partPath(key string) string { return "/catalogue/parts/" + pathEscape(key) }

// pressed is the value of aria-pressed.
func pressed(on bool) string {
	if on {
		return "true"
	}
	return "false"
}

// capital starts a heading.
func capital(s string) string {
	first, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(first)) + s[n:]
}

// first of some texts, or nothing.
func first(texts []string) string {
	if len(texts) == 0 {
		return ""
	}
	return texts[0]
}
