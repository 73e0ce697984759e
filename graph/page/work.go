package page

import (
	"errors"
	"io"
	"net/http"
	"strconv"
	"strings"
	"time"
)

// edit starts a change to the job of a request.
func edit(r *http.Request) JobEditInput {
	return JobEditInput{RequestId: requestID(r), Job: r.PathValue("id"), Why: some(field(r, "why"))}
}

// done goes on after a change to a job, or shows the job with what was wrong.
func (p *Pages) done(w http.ResponseWriter, r *http.Request, faults []told, err error) error {
	if err != nil {
		return err
	}
	if len(faults) > 0 {
		return p.showJob(w, r, statusFor(faults), jobView{Problem: faults})
	}
	to := local(r.PostFormValue("back"))
	if to == "/" {
		to = jobPath(r.PathValue("id"), "bench")
	}
	return back(w, r, to)
}

func statusFor(faults []told) int {
	for _, f := range faults {
		if f.Code == conflictCode {
			return http.StatusConflict
		}
	}
	return http.StatusUnprocessableEntity
}

// maxList bounds an uploaded list; the API names the exact bound of a text.
const maxList = 512 << 10

// keepList keeps a pasted or uploaded list with the job.
func (p *Pages) keepList(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseMultipartForm(maxForm); err != nil && !errors.Is(err, http.ErrNotMultipart) {
		return err
	}
	f := pasteForm{Title: field(r, "title"), Supplier: field(r, "supplier"), Text: r.PostFormValue("text")}
	if strings.TrimSpace(f.Text) == "" {
		name, text, err := upload(r)
		if err != nil {
			return err
		}
		if isTable(name) {
			return p.showFile(w, r, http.StatusOK, &fileForm{Name: name, Content: []byte(text), Title: f.Title, Supplier: f.Supplier})
		}
		f.Text = text
		if f.Title == "" {
			f.Title = name
		}
	}
	return p.storeList(w, r, f)
}

// storeList keeps a list's text with the job.
func (p *Pages) storeList(w http.ResponseWriter, r *http.Request, f pasteForm) error {
	now := p.now()
	if f.Title == "" {
		f.Title = say("paste.title.default", now.Format("2006-01-02 15:04"))
	}
	e := edit(r)
	list := KitListInput{Name: listName(now, e.RequestId), Title: f.Title, Supplier: f.Supplier,
		Received: ptr(p.today()), Text: f.Text, SeenRev: ptr(unseen)}
	data, err := KeepList(r.Context(), p.api, e, list)
	if err != nil {
		return err
	}
	if faults := toldOf(data.PutKitList.UserErrors); len(faults) > 0 {
		return p.showJob(w, r, statusFor(faults), jobView{Problem: faults, Form: f})
	}
	return back(w, r, jobPath(e.Job, "bench")+"#"+anchor("list", list.Name))
}

// listName sorts lists by when they came; the request tells two of one moment apart.
func listName(at time.Time, request string) string {
	return "list-" + strconv.FormatInt(at.UnixMilli(), 36) + "-" + strings.ToLower(request[max(0, len(request)-4):])
}

// upload reads the file of a form; nothing when there is none.
func upload(r *http.Request) (name, text string, err error) {
	file, head, err := r.FormFile("file")
	if errors.Is(err, http.ErrMissingFile) || errors.Is(err, http.ErrNotMultipart) {
		return "", "", nil
	}
	if err != nil {
		return "", "", err
	}
	defer file.Close()
	b, err := io.ReadAll(io.LimitReader(file, maxList+1))
	if len(b) > maxList {
		return "", "", &refusal{http.StatusRequestEntityTooLarge, say("error.file"), say("error.large.remedy")}
	}
	return head.Filename, string(b), err
}

// answer settles a line. The part comes as "=id"; "=" alone is none of ours.
func (p *Pages) answer(w http.ResponseWriter, r *http.Request) error {
	line, err := number(r, "line")
	if err != nil {
		return err
	}
	sub, err := number(r, "sub")
	if err != nil {
		return err
	}
	pieces, err := number(r, "pieces")
	if err != nil {
		return err
	}
	part, ok := strings.CutPrefix(r.PostFormValue("part"), "=")
	if !ok {
		return &refusal{http.StatusBadRequest, say("error.choice"), say("error.choice.remedy")}
	}
	a := AnswerInput{List: r.PostFormValue("list"), Line: line, Sub: sub, Part: part, Pieces: pieces, Remember: r.PostFormValue("remember") != ""}
	faults, err := p.answerSeen(r, a)
	return p.done(w, r, faults, err)
}

// number reads a whole number of a form; nought when it was left out.
func number(r *http.Request, name string) (int, error) {
	s := field(r, name)
	if s == "" {
		return 0, nil
	}
	n, err := strconv.Atoi(s)
	if err != nil {
		return 0, &refusal{http.StatusBadRequest, say("error.number", name), say("error.choice.remedy")}
	}
	return n, nil
}

// sign keeps a person's word against a finding; a word that is there already is
// not put away by another.
func (p *Pages) sign(w http.ResponseWriter, r *http.Request) error {
	o := OverrideInput{Finding: r.PostFormValue("finding"), SignedBy: field(r, "by"), Reason: field(r, "reason"), SeenRev: ptr(unseen)}
	data, err := SignAgainst(r.Context(), p.api, edit(r), o)
	if err != nil {
		return err
	}
	faults := toldOf(data.OverrideFinding.UserErrors)
	if statusFor(faults) == http.StatusConflict {
		faults, err = p.signedMeanwhile(r, o)
	}
	return p.done(w, r, faults, err)
}

// remove takes a kit list off the job; undo brings it back.
func (p *Pages) remove(w http.ResponseWriter, r *http.Request) error {
	data, err := RemoveRecords(r.Context(), p.api, edit(r), []JobRecordRef{{Table: "kit-lists", Name: r.PostFormValue("list")}})
	if err != nil {
		return err
	}
	return p.done(w, r, toldOf(data.RemoveJobRecords.UserErrors), nil)
}

// undo takes an edit of the job back.
func (p *Pages) undo(w http.ResponseWriter, r *http.Request) error {
	data, err := TakeBack(r.Context(), p.api, UndoEditInput{RequestId: requestID(r), Edit: r.PostFormValue("edit")})
	if err != nil {
		return err
	}
	return p.done(w, r, toldOf(data.UndoEdit.UserErrors), nil)
}
