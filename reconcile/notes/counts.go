package notes

import (
	"strings"
)

// unknownItem tells sizes and numbers of parts from words.
func unknownItem(word string, i int) item {
	if strings.ContainsAny(word, "0123456789") {
		return item{role: asSpec, to: i + 1}
	}
	return item{role: asUnknown, to: i + 1}
}

// numberItem reads a small whole number as a possible count, any other as a
// size or number of a part.
func numberItem(tokens []token, i int) item {
	t := &tokens[i]
	it := item{role: asSpec, to: i + 1, number: -1}
	if i+1 < len(tokens) && tokens[i+1].text == "%" {
		return item{role: asMeasured, to: i + 2}
	}
	if to := ofHowMany(tokens, i); to > 0 {
		return item{role: asNumber, arg: "of", to: to, number: atoi(t.text)}
	}
	partOfSize := i+2 < len(tokens) && tokens[i+1].text == "/" && tokens[i+2].digits || i > 1 && tokens[i-1].text == "/" && tokens[i-2].digits
	if len(t.text) <= 2 && !partOfSize {
		it.role, it.number = asNumber, atoi(t.text)
	}
	return it
}

// ofHowMany reads the rest of "2 of the 3"; 0 when it does not follow.
func ofHowMany(tokens []token, i int) int {
	at := i + 1
	if at >= len(tokens) || tokens[at].text != "of" || len(tokens[i].text) > 2 {
		return 0
	}
	for at++; at < len(tokens) && (tokens[at].text == "the" || tokens[at].text == "those"); at++ {
	}
	if at < len(tokens) && tokens[at].digits && len(tokens[at].text) <= 2 {
		return at + 1
	}
	return 0
}

// oneOfThem reads "one of the"; 0 when it does not stand there.
func oneOfThem(tokens []token, i int) int {
	if tokens[i].text != "one" || i+2 >= len(tokens) || tokens[i+1].text != "of" {
		return 0
	}
	switch tokens[i+2].text {
	case "the", "those", "its", "these":
		return i + 3
	}
	return 0
}

// multiplier reads "x2" and "2x" as a count.
func multiplier(tokens []token, i int) (item, bool) {
	t := tokens[i].text
	n := strings.TrimPrefix(t, "x")
	if n == t {
		n = strings.TrimSuffix(t, "x")
	}
	if n == t || n == "" || len(n) > 2 || strings.Trim(n, "0123456789") != "" {
		return item{}, false
	}
	return item{role: asNumber, number: atoi(n), to: i + 1}, true
}

func atoi(s string) int {
	n := 0
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return -1
		}
		n = n*10 + int(s[i]-'0')
	}
	return n
}
