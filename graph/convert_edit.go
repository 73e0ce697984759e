package graph

import (
	"bytes"
	"encoding/json"
	"maps"
	"slices"

	"layshaft/catalog"
	"layshaft/graph/model"
)

// stampFields change with every edit and say nothing about it.
var stampFields = []string{"rev", "by", "at"}

// operations shows what an edit did, field by field.
func operations(e *catalog.Edit) ([]*model.Operation, error) {
	out := make([]*model.Operation, 0, len(e.Ops))
	for _, op := range e.Ops {
		before, err := fieldsOf(op.Before)
		if err != nil {
			return nil, err
		}
		after, err := fieldsOf(op.After)
		if err != nil {
			return nil, err
		}
		o := &model.Operation{Table: string(op.Table), Key: op.Key, Kind: "changed", Changes: []*model.FieldChange{}}
		switch {
		case op.Before == nil:
			o.Kind = "made"
		case op.After == nil:
			o.Kind = "deleted"
		}
		names := maps.Clone(after)
		maps.Copy(names, before)
		for _, f := range slices.Sorted(maps.Keys(names)) {
			if !bytes.Equal(before[f], after[f]) {
				o.Changes = append(o.Changes, &model.FieldChange{Field: f, Before: string(before[f]), After: string(after[f])})
			}
		}
		out = append(out, o)
	}
	return out, nil
}

// fieldsOf a record as JSON texts by name, without its stamp.
func fieldsOf(r catalog.Record) (map[string]json.RawMessage, error) {
	fields := map[string]json.RawMessage{}
	if r == nil {
		return fields, nil
	}
	b, err := json.Marshal(r)
	if err != nil {
		return nil, err
	}
	if err := json.Unmarshal(b, &fields); err != nil {
		return nil, err
	}
	for _, f := range stampFields {
		delete(fields, f)
	}
	return fields, nil
}
