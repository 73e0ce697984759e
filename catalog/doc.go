// Package catalog holds what the shop knows about gearboxes: families,
// variants, positions, parts and the rules between them, as plain records
// with provenance; a check that returns every problem as a value; and an
// immutable index that answers questions without I/O.
//
// The words are those of DEVELOPERS.md, "Vocabulary". Sizes are exact types
// of package quantity; no size is ever a float.
package catalog
