package reconcile

import (
	"sync"

	"layshaft/catalog"
	"layshaft/reconcile/kitlist"
	"layshaft/reconcile/match"
)

// maxKeptText bounds the texts whose readings are kept, in bytes.
const maxKeptText = 256 << 10

// textKey is all that the reading of a text depends on, at one catalogue.
type textKey struct {
	text     string
	supplier catalog.SupplierID
	in       Context
}

// readText is a text as read and matched, before anybody's answers. It is shared:
// nobody may change it.
type readText struct {
	list        kitlist.List
	results     []match.Result
	suggestions []match.Suggestion
}

// texts keeps readings: a page asks for the lists and for the report that rests on
// them, and after most edits of a job its lists stand as they were.
type texts struct {
	mu    sync.Mutex // guards what follows
	bytes int
	byKey map[textKey]*readText
}

func (t *texts) get(key textKey) *readText {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.byKey[key]
}

func (t *texts) put(key textKey, r *readText) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.byKey == nil || t.bytes+len(key.text) > maxKeptText {
		t.byKey, t.bytes = map[textKey]*readText{}, 0
	}
	if t.byKey[key] == nil && len(key.text) <= maxKeptText {
		t.byKey[key] = r
		t.bytes += len(key.text)
	}
}

// matched reads a list's text and matches its lines to parts.
func (d *Desk) matched(k *KitList, in Context) *readText {
	key := textKey{k.Text, k.Supplier, in}
	if had := d.texts.get(key); had != nil {
		return had
	}
	r := &readText{list: kitlist.Read(k.Text, kitlist.Options{})}
	r.results = d.matcher.Match(r.list, match.Context{Variant: in.Variant, Family: in.Family, Supplier: k.Supplier})
	if in.Variant == "" { // tries every variant: by far the dearest step
		r.suggestions = d.matcher.SuggestFamily(r.list)
	}
	d.texts.put(key, r)
	return r
}
