package reconcile

import (
	"fmt"
	"slices"

	"layshaft/catalog"
	"layshaft/reconcile/kitlist"
)

// KitListCopy returns a copy of one of the job's kit lists, to be changed and
// stored; CodeNotFound when the job has no such list.
func (j *Job) KitListCopy(id string) (*KitList, error) {
	for _, k := range j.KitLists {
		if k.ID == id {
			c := *k
			c.Answers = slices.Clone(k.Answers)
			return &c, nil
		}
	}
	return nil, catalog.NotFound(TableKitList, string(j.ID)+"/"+id)
}

// SetAnswer puts an answer in place of an earlier one for the same line.
func (k *KitList) SetAnswer(a *Answer) {
	k.Answers = slices.DeleteFunc(k.Answers, func(o *Answer) bool {
		return o.Line == a.Line && o.Sub == a.Sub && o.Text == a.Text
	})
	k.Answers = append(k.Answers, a)
}

// AnswerFor starts an answer for one line: it carries the line's text, so
// that it stays with the line.
func (k *KitList) AnswerFor(line, sub int) (*Answer, error) {
	list := kitlist.Read(k.Text, kitlist.Options{})
	for i := range list.Lines {
		if l := &list.Lines[i]; l.No == line && l.Sub == sub {
			return &Answer{Line: line, Sub: sub, Text: l.Text}, nil
		}
	}
	return nil, fmt.Errorf("list %s has no line %d part %d", k.ID, line, sub)
}
