package catalog

import (
	"slices"
	"strings"
)

// checkAttributes reports declarations that can't be used and properties that
// don't follow theirs.
func checkAttributes(k *checkup) {
	for _, d := range sorted(k.c.Attributes) {
		if (d.Kind == KindChoice) != (len(d.Choices) > 0) {
			k.severe(d, fault{"attribute-choices", "choices", "List the choices of a choice, and of nothing else"},
				"The kind is %s, and %d choices are listed.", d.Kind, len(d.Choices))
		}
	}
	for _, p := range k.ix.parts {
		for _, a := range p.Attributes {
			at := "attributes " + strings.TrimSpace(string(a.Name)+" "+a.At)
			d, ok := k.ix.AttributeDef(a.Name)
			switch {
			case !ok:
				k.severe(p, fault{"attribute-undeclared", at, "Declare the attribute or use a declared one"}, "Attribute %q is not declared.", a.Name)
			case a.Value.Kind != d.Kind:
				k.severe(p, fault{"attribute-kind", at, "Write the value as the declaration wants it"},
					"%s is declared as %s, the value is of kind %q.", a.Name, d.Kind, a.Value.Kind)
			case d.Kind == KindChoice && !slices.Contains(d.Choices, a.Value.Text):
				k.severe(p, fault{"attribute-choice", at, "Use one of: " + strings.Join(d.Choices, ", ")}, "%q is not a choice of %s.", a.Value.Text, a.Name)
			case d.Kind == KindText && strings.TrimSpace(a.Value.Text) == "":
				k.severe(p, fault{"attribute-kind", at, "Write a text or remove the attribute"}, "The value is empty.")
			}
		}
	}
}
