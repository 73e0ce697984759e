package reconcile

import "strings"

func (w *work) eachLine(fn func(int, *SupplyLine)) {
	for i, l := range w.lines {
		fn(i, l)
	}
}

func (r *Rule) onLine(l *SupplyLine) *Finding {
	f := r.general()
	f.Place = l.Place
	return f
}

func placeWords(l *SupplyLine) string {
	if l.Place == nil {
		return l.Goods
	}
	return strings.TrimSpace(l.Place.Text)
}
