package match

import (
	"strings"

	"layshaft/catalog"
	"layshaft/reconcile/kitlist"
)

// Teach proposes the word that an answered line would teach the shop: the only
// word of the line that means nothing here, when nothing else in it names a kind
// of part. It is a proposal for a person, never taken over in silence.
func (m *Matcher) Teach(list *kitlist.List, line *kitlist.Line, part catalog.PartID) (*catalog.Word, bool) {
	p, ok := m.ix.Part(part)
	if !ok || p.Kind == "" {
		return nil, false
	}
	voc := m.Vocabulary()
	unknown := ""
	tokens := lineTokens(list.Text, line)
	words := make([]string, len(tokens))
	for i := range tokens {
		words[i] = tokens[i].text
	}
	for i := 0; i < len(words); {
		senses, n := voc.Phrase(words[i:])
		for _, s := range senses {
			if s.Kind && s.Shaft == "" { // a shaft may be but the place
				return nil, false
			}
		}
		if n == 0 {
			n = 1
			if w := words[i]; lettersOnly(w) && len(w) >= 3 {
				if len(voc.Repair(w)) > 0 || unknown != "" && unknown != w {
					return nil, false
				}
				unknown = w
			}
		}
		i += n
	}
	if unknown == "" {
		return nil, false
	}
	return &catalog.Word{Canonical: string(p.Kind), Variant: unknown, Kind: "synonym",
		Provenance: catalog.Provenance{Standing: catalog.Stated, Source: "answered line: " + strings.TrimSpace(line.Text)}}, true
}
