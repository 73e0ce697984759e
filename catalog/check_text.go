package catalog

import (
	"reflect"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// checkTexts reports texts that must say something and don't, and texts that no
// table could hold.
func checkTexts(k *checkup) {
	k.c.Records(func(r Record) {
		for field, text := range required(r) {
			if strings.TrimSpace(text) == "" {
				k.severe(r, fault{"empty", field, "Fill it in"}, "The field is empty.")
			}
		}
		k.cleanTexts(r, reflect.ValueOf(r).Elem(), "")
	})
}

// required gives the texts by field without which a record says nothing to a
// person.
func required(r Record) map[string]string {
	switch r := r.(type) {
	case *Family:
		return map[string]string{"name": r.Name}
	case *Variant:
		return map[string]string{"name": r.Name}
	case *Position:
		return map[string]string{"name": r.Name, "kind": string(r.Kind)}
	case *AttributeDef:
		return map[string]string{"label": r.Label}
	case *Part:
		return map[string]string{"name": r.Name, "kind": string(r.Kind)}
	case *Mate:
		return map[string]string{"reason": r.Reason}
	case *Bond:
		return map[string]string{"reason": r.Reason}
	case *Disturbance:
		return map[string]string{"reason": r.Reason}
	case *Stack:
		return map[string]string{"name": r.Name}
	case *Limit:
		return map[string]string{"what": r.What}
	case *Feature:
		return map[string]string{"label": r.Label}
	case *Supplier:
		return map[string]string{"name": r.Name}
	case *Word:
		return map[string]string{"canonical": r.Canonical, "variant": r.Variant}
	case *Alias:
		return map[string]string{"text": r.Text}
	}
	return nil
}

// cleanTexts walks every text of a record.
func (k *checkup) cleanTexts(r Record, v reflect.Value, field string) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			k.cleanTexts(r, v.Elem(), field)
		}
	case reflect.Slice:
		for i := range v.Len() {
			item := v.Index(i)
			if item.Kind() == reflect.String && (strings.Contains(item.String(), "|") || strings.TrimSpace(item.String()) != item.String() || item.Len() == 0) {
				k.severe(r, fault{"bad-text", field, "Write items without '|' and without spaces around them"}, "%q can't be an item of a list.", item.String())
			}
			k.cleanTexts(r, item, field)
		}
	case reflect.Struct:
		t := v.Type()
		for i := range v.NumField() {
			f := t.Field(i)
			switch {
			case f.Anonymous:
				k.cleanTexts(r, v.Field(i), field)
			case f.IsExported() && field == "":
				name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
				k.cleanTexts(r, v.Field(i), name)
			case f.IsExported():
				k.cleanTexts(r, v.Field(i), field)
			}
		}
	case reflect.String:
		if s := v.String(); !utf8.ValidString(s) || strings.ContainsFunc(s, dirty) {
			k.severe(r, fault{"bad-text", field, "Remove the character"}, "%q holds a control character or broken text.", s)
		}
	}
}

// dirty characters are lost or refused when a catalogue is exported.
func dirty(c rune) bool {
	return unicode.IsControl(c) && c != '\n' && c != '\t' && c < 0x80 || c == 0xfffe || c == 0xffff
}

// checkWords reports values that are not of their closed set.
func checkWords(k *checkup) {
	k.c.Records(func(r Record) {
		switch r := r.(type) {
		case *Family:
			within(k, r, "box", r.Box, Boxes())
		case *Position:
			within(k, r, "assembly", r.Assembly, Assemblies())
			within(k, r, "life", r.Life, Lives())
		case *AttributeDef:
			within(k, r, "kind", r.Kind, ValueKinds())
		case *Part:
			within(k, r, "unit", r.Unit, SaleUnits())
			for _, n := range r.Numbers {
				within(k, r, "numbers", n.Role, NumberRoles())
			}
			for _, a := range r.Attributes {
				standing(k, r, "attributes", a.Standing)
			}
		case *Mate:
			within(k, r, "relation", r.Relation, Relations())
		case *Bond:
			within(k, r, "kind", r.Kind, BondKinds())
		case *Stack:
			within(k, r, "method", r.Method, StackMethods())
			within(k, r, "preferred", r.Preferred, []string{"", "loose", "tight"})
		case *Feature:
			within(k, r, "kind", r.Kind, FeatureKinds())
		case *Supersession:
			within(k, r, "kind", r.Kind, SupersessionKinds())
		case *Offer:
			within(k, r, "quality", r.Quality, Qualities())
		case *Word:
			within(k, r, "kind", r.Kind, WordKinds())
		}
		standing(k, r, "standing", provenanceOf(r).Standing)
	})
}

func within[T ~string](k *checkup, r Record, field string, got T, set []T) {
	if slices.Contains(set, got) {
		return
	}
	words := make([]string, len(set))
	for i, w := range set {
		words[i] = string(w)
	}
	k.severe(r, fault{"unknown-word", field, "Use one of: " + strings.Join(words, ", ")}, "%q is not one of the words allowed here.", got)
}

func standing(k *checkup, r Record, field string, s Standing) {
	if s != "" {
		within(k, r, field, s, Standings())
	}
}

// provenanceOf finds the provenance that every record embeds.
func provenanceOf(r Record) Provenance {
	p, _ := reflect.ValueOf(r).Elem().FieldByName("Provenance").Interface().(Provenance)
	return p
}
