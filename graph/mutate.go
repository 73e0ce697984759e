package graph

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"time"

	"layshaft/catalog"
	"layshaft/graph/model"
	"layshaft/reconcile"
)

func editPayload(edit *catalog.Edit, problems []catalog.Problem, err error) (*model.EditPayload, error) {
	errs, err := userErrors(err, problems)
	if err != nil {
		return nil, err
	}
	return &model.EditPayload{Edit: edit, UserErrors: errs}, nil
}

// undo takes an edit back where it was made: at its job or in the catalogue.
func (r *Resolver) undo(ctx context.Context, in model.UndoEditInput) (*model.EditPayload, error) {
	e, err := r.Curator.Edit(ctx, in.Edit)
	if err != nil {
		return editPayload(nil, nil, err)
	}
	if e.Job != "" {
		done, err := r.Bench.Undo(ctx, reconcile.JobID(e.Job), e.ID, in.RequestID, who(ctx), deref(in.Why))
		return editPayload(done, nil, err)
	}
	if err := r.allowed(ctx, catalog.ScopeCurate); err != nil {
		return nil, err
	}
	done, problems, err := r.Curator.Undo(ctx, e.ID, in.RequestID, who(ctx), deref(in.Why))
	return editPayload(done, problems, err)
}

// putKitList stores a list; answers given before stay with it.
func (r *Resolver) putKitList(ctx context.Context, edit model.JobEditInput, in model.KitListInput) (*model.JobPayload, error) {
	return again(ctx, in.SeenRev != nil, func() (*model.JobPayload, error) { return r.keepKitList(ctx, edit, in) })
}

func (r *Resolver) keepKitList(ctx context.Context, edit model.JobEditInput, in model.KitListInput) (*model.JobPayload, error) {
	list := kitListOf(edit.Job, in)
	job, err := r.Bench.Job(ctx, list.Job)
	if err != nil {
		return refused(err)
	}
	var stored uint64
	for _, k := range job.KitLists {
		if k.ID == list.ID {
			list.Answers, stored = k.Answers, k.Rev
		}
	}
	ch := jobChange(ctx, edit)
	put(&ch, list, cmp.Or(in.SeenRev, &stored))
	return r.commit(ctx, edit, ch)
}

// againTries is how often a change is made anew to a list that others changed in
// the same moment.
const againTries = 16

// again makes a change until nobody comes in between; a caller who named what was
// seen is told of it instead.
func again(ctx context.Context, named bool, once func() (*model.JobPayload, error)) (*model.JobPayload, error) {
	for try := 1; ; try++ {
		out, err := once()
		if err != nil || named || try == againTries || out.Edit != nil || !conflicts(out.UserErrors) {
			return out, err
		}
		select { // the edit that came first is stored, and not yet what is read
		case <-time.After(time.Duration(try) * 5 * time.Millisecond):
		case <-ctx.Done():
			return nil, context.Cause(ctx)
		}
	}
}

func conflicts(errs []model.UserError) bool {
	return slices.ContainsFunc(errs, func(e model.UserError) bool { _, ok := e.(*model.ConflictError); return ok })
}

// answerLines adds answers to the lists they belong to; answers that came in
// between are kept.
func (r *Resolver) answerLines(ctx context.Context, edit model.JobEditInput, answers []*model.AnswerInput) (*model.JobPayload, error) {
	named := slices.ContainsFunc(answers, func(a *model.AnswerInput) bool { return a.SeenRev != nil })
	return again(ctx, named, func() (*model.JobPayload, error) { return r.addAnswers(ctx, edit, answers) })
}

func (r *Resolver) addAnswers(ctx context.Context, edit model.JobEditInput, answers []*model.AnswerInput) (*model.JobPayload, error) {
	job, err := r.Bench.Job(ctx, reconcile.JobID(edit.Job))
	if err != nil {
		return refused(err)
	}
	lists := map[string]*reconcile.KitList{}
	var lessons []*catalog.Alias
	ch := jobChange(ctx, edit)
	for i, a := range answers {
		place := fmt.Sprintf("answers[%d]", i)
		list, ok := lists[a.List]
		if !ok {
			if list, err = job.KitListCopy(a.List); err != nil {
				return refused(catalog.Invalid(place, "Name a kit list of the job", "no list %q", a.List))
			}
			lists[a.List] = list
			put(&ch, list, cmp.Or(a.SeenRev, &list.Rev))
		}
		answer, err := list.AnswerFor(a.Line, a.Sub)
		if err != nil {
			return refused(catalog.Invalid(place, "Name a line of the list", "%v", err))
		}
		answer.Part, answer.Pieces = catalog.PartID(a.Part), a.Pieces
		if _, ok := r.index().Part(answer.Part); a.Part != "" && !ok {
			return refused(catalog.Invalid(place, "Choose a part of the catalogue", "no part %q", a.Part))
		}
		list.SetAnswer(answer)
		if a.Remember {
			lesson, err := r.Bench.Desk().Lesson(job, list, answer)
			if err != nil {
				return refused(catalog.Invalid(place, "Answer it without remembering", "%v", err))
			}
			lessons = append(lessons, lesson)
		}
	}
	return r.answerAndRemember(ctx, edit, ch, lessons)
}

// secondRequest is the request id of a second edit that a request makes: the same
// for the same request, so that a repetition is one edit.
func secondRequest(what, request string) string {
	sum := sha256.Sum256([]byte(request))
	return what + " " + hex.EncodeToString(sum[:16])
}

// answerAndRemember stores the answers at the job first, for they are what was
// asked for; then what they teach. A request that broke off between the two is
// put right by repeating it.
func (r *Resolver) answerAndRemember(ctx context.Context, edit model.JobEditInput, ch catalog.Change, lessons []*catalog.Alias) (*model.JobPayload, error) {
	answered, err := r.Bench.Change(ctx, reconcile.JobID(edit.Job), ch)
	if err != nil || len(lessons) == 0 {
		return r.jobPayload(ctx, edit.Job, answered, err)
	}
	taught, problems, err := r.Curator.Remember(ctx, secondRequest("remember", edit.RequestID), who(ctx), "answered at job "+edit.Job, lessons)
	errs, err := userErrors(err, problems)
	if err != nil {
		return nil, err
	}
	out, err := r.jobPayload(ctx, edit.Job, answered, nil)
	if out != nil {
		out.Remembered, out.UserErrors = taught, append(out.UserErrors, errs...)
	}
	return out, err
}

func (r *Resolver) observe(ctx context.Context, edit model.JobEditInput, in []*model.KeepObservationInput) (*model.JobPayload, error) {
	job, err := r.Bench.Job(ctx, reconcile.JobID(edit.Job))
	if err != nil {
		return refused(err)
	}
	ch := jobChange(ctx, edit)
	for _, o := range in {
		rec, err := r.observation(job, o)
		if err != nil {
			return refused(err)
		}
		put(&ch, rec, nil)
	}
	return r.commit(ctx, edit, ch)
}
