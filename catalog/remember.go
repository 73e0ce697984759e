package catalog

import "context"

// Remember keeps people's answers as aliases in one edit: an answer given before
// counts once more, another answer for the same text takes its place. It asks
// for less than other changes do: whoever answers lines at a job may teach, and a
// curator can take it back. The same request twice is one edit, whatever the
// counts have become since.
func (c *Curator) Remember(ctx context.Context, request, who, why string, answers []*Alias) (*Edit, []Problem, error) {
	if err := c.gate.Check(ctx, ScopeJobsWork, ScopeCurate); err != nil {
		return nil, nil, err
	}
	ch := Change{Request: request, Who: who, Why: why}
	seen := map[string]bool{}
	for _, a := range answers {
		if !seen[a.Key()] {
			seen[a.Key()] = true
			taught := *a
			taught.Count, taught.Stamp = 0, Stamp{}
			ch.Put = append(ch.Put, &taught)
		}
	}
	if err := ch.valid(); err != nil {
		return nil, nil, err
	}
	digest, err := ch.Digest("")
	if err != nil {
		return nil, nil, err
	}
	if done, err := c.repo.Done(ctx, request, digest); done != nil || err != nil {
		return done, nil, err
	}
	ops, err := c.ops(ctx, ch)
	if err != nil {
		return nil, nil, err
	}
	for _, op := range ops {
		now, _ := op.After.(*Alias)
		now.Count = 1
		if had, ok := op.Before.(*Alias); ok && had.Part == now.Part {
			now.Count = had.Count + 1
		}
	}
	return c.commit(ctx, &Edit{Request: request, Who: who, Why: why, At: c.now(), Ops: ops, Digest: digest})
}
