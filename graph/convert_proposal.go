package graph

import (
	"context"
	"fmt"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
	"layshaft/graph/model"
	"layshaft/reconcile"
)

// propose keeps what a bench says against the catalogue with the job.
func (r *Resolver) propose(ctx context.Context, edit model.JobEditInput, in model.ProposalInput) (*model.JobPayload, error) {
	job, err := r.Bench.Job(ctx, reconcile.JobID(edit.Job))
	if err != nil {
		return refused(err)
	}
	p := &reconcile.Proposal{Job: job.ID, ID: in.Name, Asks: in.Asks, Variant: job.Variant,
		Position: catalog.PositionID(in.Position), Part: catalog.PartID(in.Part), Name: catalog.AttributeKey(in.Attribute), At: in.At,
		Text: in.Text, State: reconcile.ProposalOpen, AskedBy: who(ctx), AskedOn: quantity.DateOf(r.Now())}
	if in.Asks == reconcile.AsksSize {
		if p.Value, err = r.value(p.Name, in.Value, nil, "proposal value"); err != nil {
			return refused(err)
		}
	}
	ch := jobChange(ctx, edit)
	var never uint64
	put(&ch, p, &never)
	return r.commit(ctx, edit, ch)
}

// settle accepts or refuses a proposal. An edit belongs to the catalogue or to one
// job, so that accepting makes two. The catalogue is changed first, for that is
// what was asked for, and its edit names the proposal; where the second did not
// follow, the proposal is still open, and accepting it again finds the first.
func (r *Resolver) settle(ctx context.Context, in model.SettleProposalInput) (*model.ProposalPayload, error) {
	p, err := r.Bench.Proposal(ctx, reconcile.JobID(in.Job), in.Name)
	if err != nil {
		return settled(nil, nil, nil, err)
	}
	next := *p
	next.State, next.Reason = reconcile.ProposalRefused, in.Reason
	if in.Accept {
		next.State = reconcile.ProposalAccepted
	}
	switch {
	case p.State == next.State && p.Reason == next.Reason:
		return settled(p, nil, nil, nil) // repeated
	case p.Rev != in.SeenRev || p.State != reconcile.ProposalOpen:
		return settled(nil, nil, nil, catalog.Conflict(catalog.Ref{Table: reconcile.TableProposal, Key: p.Key()}))
	}
	var change *catalog.Edit
	if in.Accept {
		var problems []catalog.Problem
		if change, problems, err = r.accept(ctx, p, in); err != nil || len(problems) > 0 {
			return settled(nil, nil, problems, err)
		}
		if change != nil {
			next.Edit = change.ID
		}
	}
	next.Stamp = catalog.Stamp{}
	if _, err := r.Bench.SettleProposal(ctx, &next, in.SeenRev, in.RequestID, who(ctx)); err != nil {
		return settled(nil, change, nil, err)
	}
	now, err := r.Bench.Proposal(ctx, p.Job, p.ID)
	return settled(now, change, nil, err)
}

// accept makes the catalogue say what the proposal asks for; no edit for words.
func (r *Resolver) accept(ctx context.Context, p *reconcile.Proposal, in model.SettleProposalInput) (*catalog.Edit, []catalog.Problem, error) {
	records, err := p.Records(r.index())
	if err != nil || len(records) == 0 {
		return nil, nil, err
	}
	why := fmt.Sprintf("proposed at job %s: %s [%s]", in.Job, p.Text, p.ID)
	last, err := r.Curator.History(ctx, catalog.EditQuery{Table: records[0].Table(), Key: records[0].Key(), Limit: 1})
	if err != nil {
		return nil, nil, err
	}
	if len(last) > 0 && last[0].Why == why {
		return last[0], nil, nil // accepted before, and not marked so
	}
	return r.Curator.Change(ctx, catalog.Change{Request: secondRequest("accept", in.RequestID), Who: who(ctx), Why: why, Put: records})
}

func settled(p *reconcile.Proposal, edit *catalog.Edit, problems []catalog.Problem, err error) (*model.ProposalPayload, error) {
	errs, err := userErrors(err, problems)
	if err != nil {
		return nil, err
	}
	return &model.ProposalPayload{Proposal: p, Edit: edit, UserErrors: errs}, nil
}

// proposalLabel is the shop's word for the position of a proposal.
func (r *Resolver) proposalLabel(p *reconcile.Proposal) string {
	var family catalog.FamilyID
	if v, ok := r.index().Variant(p.Variant); ok {
		family = v.Family
	}
	return r.positionLabel(family, p.Position)
}

// positionLabel is the shop's word for a position; its key when there is none.
func (r *Resolver) positionLabel(family catalog.FamilyID, id catalog.PositionID) string {
	if pos, ok := r.index().Position(family, id); ok && pos.Name != "" {
		return pos.Name
	}
	return string(id)
}
