package catalog

// derive lists attributes that follow from a part's designation.
func derive(*Part) []*Attribute { return nil }
