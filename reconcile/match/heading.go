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
