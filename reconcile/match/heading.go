package match

import (
	"slices"
	"strings"

	"layshaft/reconcile/kitlist"
)

// implied finds lines that were read as items but look like headings: kinds of
// part alone, in the plural or in capitals, without a quantity, above lines that
// have one. What it gives each line is only a reason to doubt and to look for
// another kind: no line becomes certain by it.
func (m *Matcher) implied(list *kitlist.List) []string {
	out := make([]string, len(list.Lines))
	current := ""
	for i := range list.Lines {
		n := &list.Lines[i]
		switch {
		case n.Kind == kitlist.Heading:
			current = ""
		case i+1 < len(list.Lines) && !list.Lines[i+1].Quantity.Assumed && m.bareKinds(list.Text, n):
			current = n.Text
			continue
		}
		out[i] = current
	}
	return out
}

// bareKinds: the line is one or two kinds of part and nothing else.
func (m *Matcher) bareKinds(text string, n *kitlist.Line) bool {
	if n.Kind != kitlist.Item || !n.Quantity.Assumed || n.Price != nil || n.Sub > 0 ||
		len(n.Numbers)+len(n.Designations)+len(n.Sizes)+len(n.Threads)+len(n.Teeth)+len(n.Gears) > 0 {
		return false
	}
	folded := kitlist.Fold(n.Text)
	if n.Text != strings.ToUpper(n.Text) && !strings.HasSuffix(folded, "s") {
		return false
	}
	var v phraseView
	m.read.read(lineTokens(text, n), false, &v)
	return v.unknown == 0 && v.words > 0 && v.words <= 2 && v.gears|v.sides == 0 && len(v.kinds) > 0
}

// under gives the line with the implied heading as its innermost context.
func under(n *kitlist.Line, heading string) *kitlist.Line {
	if heading == "" {
		return n
	}
	c := *n
	c.Context = append(slices.Clip(c.Context), heading)
	return &c
}

// stock finds words that the trade does not know and that stand on most lines of
// a list: "returned: ...", "shelf 3: ...". They say nothing about any one line.
func (m *Matcher) stock(list *kitlist.List) map[string]bool {
	count, items := map[string]int{}, 0
	for i := range list.Lines {
		n := &list.Lines[i]
		if n.Kind != kitlist.Item || items > 400 {
			continue
		}
		items++
		seen := map[string]bool{}
		for _, t := range tokenize(n.Text) {
			if !seen[t.text] && lettersOnly(t.text) {
				seen[t.text] = true
				count[t.text]++
			}
		}
	}
	var out map[string]bool
	for w, k := range count {
		if k < 4 || 5*k < 3*items || m.read.known(w) {
			continue
		}
		if out == nil {
			out = map[string]bool{}
		}
		out[w] = true
	}
	return out
}

// known: a word of the lexicon or of the catalogue's names, alone or in a phrase.
func (r *reader) known(w string) bool {
	_, own := r.words[w]
	s := singular(w)
	return own || r.lx.phrases[w] != nil || r.lx.phrases[s] != nil || r.lx.vocabulary[w] || r.lx.vocabulary[s]
}
