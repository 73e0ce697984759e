package catalog

import "slices"

// checkBonds reports bonds that bind nothing together.
func checkBonds(k *checkup) {
	for _, b := range sorted(k.c.Bonds) {
		distinct := slices.Clone(b.Positions)
		slices.Sort(distinct)
		distinct = slices.Compact(distinct)
		if len(distinct) < 2 || len(distinct) < len(b.Positions) {
			k.severe(b, fault{"bond-size", "positions", "Name two or more positions, each once"},
				"%d different positions in %d entries.", len(distinct), len(b.Positions))
		}
	}
}

// checkDisturbances reports positions that undo themselves. Longer loops are
// allowed: reaching either of two parts may undo the other.
func checkDisturbances(k *checkup) {
	for _, d := range sorted(k.c.Disturbances) {
		if d.Reach == d.Undoes {
			k.severe(d, fault{"disturbance-self", "undoes", "Name the other position or remove the row"}, "Reaching the position undoes itself.")
		}
	}
}
