package catalog

import (
	"slices"
	"strings"

	"golang.org/x/text/unicode/norm"
)

// checkLexicon reports words with two meanings that are not marked ambiguous:
// one of the meanings would be taken for certain.
func checkLexicon(k *checkup) {
	meanings := map[string][]*Word{}
	for _, w := range k.ix.words {
		written := strings.Join(strings.Fields(strings.ToLower(norm.NFKC.String(w.Variant))), " ")
		meanings[written] = append(meanings[written], w)
	}
	for _, same := range meanings {
		for _, w := range same {
			i := slices.IndexFunc(same, func(o *Word) bool { return !strings.EqualFold(o.Canonical, w.Canonical) })
			if i >= 0 && !w.Ambiguous {
				k.severe(w, fault{"word-collision", "variant", "Mark both as ambiguous, or remove one"},
					"%q also means %q.", w.Variant, same[i].Canonical)
			}
		}
	}
}
