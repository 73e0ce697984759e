package kitlist

import (
	"fmt"
	"strconv"
	"sync"
)

// wordSets are the rows of words/sets.csv by their set.
var wordSets = sync.OnceValue(func() map[string][][]string {
	out := map[string][][]string{}
	for _, row := range wordList("words/sets.csv") {
		out[row[0]] = append(out[row[0]], row)
	}
	return out
})

// wordSet gives the words of one set.
func wordSet(name string) map[string]bool {
	out := map[string]bool{}
	for _, row := range wordSets()[name] {
		out[row[1]] = true
	}
	return out
}

// wordNumbers gives the words of one set with their numbers.
func wordNumbers(name string) map[string]int {
	out := map[string]int{}
	for _, row := range wordSets()[name] {
		n, err := strconv.Atoi(row[2])
		if err != nil {
			panic(fmt.Errorf("words/sets.csv: %s: %w", row[1], err))
		}
		out[row[1]] = n
	}
	return out
}
