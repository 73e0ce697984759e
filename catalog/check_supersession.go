package catalog

// checkSupersessions reports loops, successors that contradict each other, and
// successors that can't be had any more.
func checkSupersessions(k *checkup) {
	edges := map[PartID][]PartID{}
	replaces := map[PartID][]*Supersession{}
	for _, s := range sorted(k.c.Supersessions) {
		if s.Kind != Equals {
			edges[s.Old] = append(edges[s.Old], s.New)
		}
		if s.Kind == Replaces {
			replaces[s.Old] = append(replaces[s.Old], s)
		}
	}
	loop := inLoop(edges)
	for _, s := range sorted(k.c.Supersessions) {
		switch {
		case s.Old == s.New:
			k.severe(s, fault{"supersession-loop", "new", "Name the successor"}, "%s is superseded by itself.", s.Old)
		case s.Kind != Equals && loop[s.Old] != 0 && loop[s.Old] == loop[s.New]:
			k.severe(s, fault{"supersession-loop", "new", "Find out which part is current and remove the edge back"},
				"%s and %s supersede each other, directly or over others.", s.Old, s.New)
		}
		if same := replaces[s.Old]; s.Kind == Replaces && len(same) > 1 && same[0] != s {
			k.hint(s, fault{"supersession-conflict", "new", "Split by serial number, or keep one"},
				"%s is replaced by %s here and by %s in %s.", s.Old, s.New, same[0].New, same[0].ID)
		}
		p, ok := k.ix.Part(s.New)
		if ok && p.NotAvailable && len(edges[s.New]) == 0 && s.Kind != Equals {
			k.hint(s, fault{"supersession-dead-end", "new", "Add the next successor, or say that none exists"},
				"The successor %s can't be bought any more and has none itself.", s.New)
		}
	}
}

// checkContents reports sets that contain themselves, and sets of nothing.
func checkContents(k *checkup) {
	edges := map[PartID][]PartID{}
	for _, p := range k.ix.parts {
		for _, in := range p.Contents {
			edges[p.ID] = append(edges[p.ID], in.Part)
		}
	}
	loop := inLoop(edges)
	for _, p := range k.ix.parts {
		if loop[p.ID] != 0 {
			k.severe(p, fault{"contents-loop", "contents", "Remove the set from what it contains"}, "The set contains itself, directly or over others.")
		}
		if p.Unit != UnitPiece && len(p.Contents) == 0 {
			k.hint(p, fault{"contents-missing", "contents", "List what is in it"}, "It is sold as a %s, but nothing says what is in it.", p.Unit)
		}
	}
}

// inLoop numbers the loops of a graph: parts of one number reach each other,
// parts outside any loop have none. (Tarjan's strongly connected components,
// without recursion, so that a long chain costs no stack.)
func inLoop(edges map[PartID][]PartID) map[PartID]int {
	type frame struct {
		node PartID
		next int
	}
	order, low := map[PartID]int{}, map[PartID]int{}
	open := map[PartID]bool{}
	var stack []PartID
	loops := map[PartID]int{}
	visit := func(root PartID) {
		frames := []frame{{node: root}}
		for len(frames) > 0 {
			f := &frames[len(frames)-1]
			n := f.node
			if f.next == 0 {
				order[n] = len(order) + 1
				low[n] = order[n]
				stack, open[n] = append(stack, n), true
			}
			if f.next < len(edges[n]) {
				to := edges[n][f.next]
				f.next++
				switch {
				case order[to] == 0:
					frames = append(frames, frame{node: to})
				case open[to]:
					low[n] = min(low[n], order[to])
				}
				if to == n {
					loops[n] = order[n]
				}
				continue
			}
			frames = frames[:len(frames)-1]
			if len(frames) > 0 {
				up := frames[len(frames)-1].node
				low[up] = min(low[up], low[n])
			}
			if low[n] == order[n] {
				stack = closeLoop(stack, n, order[n], open, loops)
			}
		}
	}
	for n := range edges {
		if order[n] == 0 {
			visit(n)
		}
	}
	return loops
}

// closeLoop takes a component off the stack and numbers it when it is a loop.
func closeLoop(stack []PartID, root PartID, number int, open map[PartID]bool, loops map[PartID]int) []PartID {
	size := 1
	for stack[len(stack)-size] != root {
		size++
	}
	for _, n := range stack[len(stack)-size:] {
		delete(open, n)
		if size > 1 {
			loops[n] = number
		}
	}
	return stack[:len(stack)-size]
}
