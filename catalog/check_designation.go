package catalog

import "layshaft/catalog/standard"

// checkDesignations reports designations that the tables don't explain, and
// stated sizes that contradict a designation.
func checkDesignations(k *checkup) {
	for _, p := range k.ix.parts {
		if p.Designation == "" || p.Special {
			continue
		}
		if _, err := standard.Decode(p.Designation); err != nil {
			k.hint(p, fault{"designation-unknown", "designation", "State the sizes as attributes, or mark the part as special"},
				"The designation can't be decoded: %v.", err)
			continue
		}
		bare := *p
		bare.Attributes = nil
		for _, d := range derive(&bare) {
			if a, ok := p.Attribute(d.Name, d.At); ok && a.Value != d.Value {
				k.severe(p, fault{"designation-contradicts", "attributes " + string(d.Name), "Correct the designation or the size, or mark the part as special"},
					"%s is stated as %v, but %s has %v.", d.Name, a.Value, p.Designation, d.Value)
			}
		}
	}
}
