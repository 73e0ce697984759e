package graph_test

import (
	"context"
	"errors"
	"strings"
	"testing"

	"layshaft/catalog"
	"layshaft/reconcile"
)

// failing is a store that once loses what becomes of a proposal.
type failing struct {
	reconcile.Repository
	lose bool
}

func (f *failing) Commit(ctx context.Context, e *catalog.Edit) (*catalog.Edit, error) {
	if p, ok := e.Ops[0].After.(*reconcile.Proposal); f.lose && ok && p.State != reconcile.ProposalOpen {
		f.lose = false
		return nil, errors.New("the power went")
	}
	return f.Repository.Commit(ctx, e)
}

// TestAcceptBrokenOff: between the edit of the catalogue and that of the proposal the
// power goes. The proposal stays open and the catalogue says what it asks for; the
// same request again, or another one, marks it without a second edit.
func TestAcceptBrokenOff(t *testing.T) {
	for _, again := range []string{"first", "other"} {
		t.Run(again+" request", func(t *testing.T) {
			var repo *failing
			s := openShopOver(t, func(r reconcile.Repository) reconcile.Repository {
				repo = &failing{Repository: r}
				return repo
			})
			type state struct {
				Proposals []struct{ State, Edit, Rev string }
				History   struct {
					Edges []struct{ Node struct{ Key, Why string } }
				}
			}
			read := func() state {
				return must[state](t, s, `{ proposals(job: "7204") { state edit rev } history(first: 10) { edges { node { key why } } } }`)
			}
			must[rawJSON](t, s, `mutation { propose(edit: {requestId: "p", job: "7204"}, proposal: {name: "p-1", asks: NOT_HERE, position: "pilot-rollers", part: "th-roller", text: "wrong there"}) { userErrors { message } } }`)
			settle := func(request string) error {
				_, err := ask[rawJSON](t, s, `mutation { settleProposal(input: {requestId: "`+request+`", job: "7204", name: "p-1", accept: true, seenRev: "`+read().Proposals[0].Rev+`"}) { userErrors { message } } }`)
				return err
			}
			repo.lose = true
			if err := settle("first"); err == nil {
				t.Fatal("the edit of the proposal was lost and nobody says so")
			}
			if got := read(); got.Proposals[0].State != "OPEN" || !strings.Contains(got.History.Edges[0].Node.Why, "wrong there [p-1]") {
				t.Fatalf("after the first try: %+v", got)
			}
			if err := settle(again); err != nil {
				t.Fatal(err)
			}
			got := read()
			edits := 0
			for _, e := range got.History.Edges {
				if strings.Contains(e.Node.Why, "[p-1]") {
					edits++
				}
			}
			if p := got.Proposals[0]; p.State != "ACCEPTED" || edits != 1 || p.Edit != got.History.Edges[0].Node.Key {
				t.Errorf("after the second try: %+v, %d edits", got, edits)
			}
		})
	}
}
