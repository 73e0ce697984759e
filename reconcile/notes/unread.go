package notes

func (p *parser) unknown(runs []run, k int) {
	r := &runs[k]
	if r.unclear && p.last != nil && p.last.sentence == p.sentence {
		p.last.unclear = true
		p.last.end = max(p.last.end, r.end)
		return
	}
	before, after := kindAt(runs, k-1), kindAt(runs, k+1)
	if before == runVerdict && p.last != nil && p.last.sentence == p.sentence {
		if it := runs[k-1].verdict.items; Choice(it[len(it)-1].arg) == obtain {
			p.last.unclear = true // "needs something"
		}
	}
	if r.feature || p.n.aside(runs, k) {
		p.n.remark(r.start, r.end)
		return
	}
	if before == runThings && after == runThings && p.prefix != nil && p.last != nil && p.last.sentence == p.sentence {
		p.last.unclear = true // the words may join the two or part them
	}
	if after == runThings && runs[k+1].joined {
		p.n.question(NotUnderstood, r.start, r.end, nil, "it is not known what this names")
		return
	}
	if before == runColon && kindAt(runs, k-2) == runThings && after != runThings {
		before = runThings // "input shim: by feel"
	}
	switch {
	case (before == runThings || before == runComma && after != runThings) && p.prefix == nil && len(p.pending) > 0 && !settledLater(runs, k):
		markUnread(p.pending[len(p.pending)-1].things)
		if after == runThings {
			markUnread(runs[k+1].list.things)
		}
	case after == runThings:
		markUnread(runs[k+1].list.things[:min(1, len(runs[k+1].list.things))])
	default:
		p.n.remark(r.start, r.end)
		return
	}
	p.n.mark(r.start, r.end, RoleUnread)
}

// aside: a bracket holds nothing but words that are not understood: "(done
// before)".
func (n *note) aside(runs []run, k int) bool {
	from, to := k, k
	for kindAt(runs, from-1) == runUnknown {
		from--
	}
	for kindAt(runs, to+1) == runUnknown {
		to++
	}
	return kindAt(runs, from-1) == runComma && kindAt(runs, to+1) == runComma && n.text[runs[from-1].start] == '(' && n.text[runs[to+1].start] == ')'
}

// settledLater: after a comma or dash a choice is stated, so what is not
// understood is taken for a condition.
func settledLater(runs []run, k int) bool {
	for k++; kindAt(runs, k) == runUnknown; k++ {
	}
	if kindAt(runs, k) != runComma && kindAt(runs, k) != runColon {
		return false
	}
	but := runs[k].but
	for k++; kindAt(runs, k) == runComma; k++ {
	}
	return kindAt(runs, k) == runVerdict && (but || runs[k].verdict.explicit) && kindAt(runs, k+1) != runThings
}

func markUnread(things []*thing) {
	for _, t := range things {
		t.unread = true
	}
}
