package kitlist

import (
	"fmt"
	"strconv"
)

// wordSet reads the words of one set of words/sets.csv.
func wordSet(name string) map[string]bool {
	out := map[string]bool{}
	for _, row := range wordList("words/sets.csv") {
		if row[0] == name {
			out[row[1]] = true
		}
	}
	return out
}

// wordNumbers reads the words of one set with their numbers.
func wordNumbers(name string) map[string]int {
	out := map[string]int{}
	for _, row := range wordList("words/sets.csv") {
		if row[0] != name {
			continue
		}
		n, err := strconv.Atoi(row[2])
		if err != nil {
			panic(fmt.Errorf("words/sets.csv: %s: %w", row[1], err))
		}
		out[row[1]] = n
	}
	return out
}
