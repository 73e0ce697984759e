package page

import (
	"encoding/base64"
	"net/http"
	"path"
	"slices"
	"strings"
)

// fileKinds are what a column of a file can hold, as the API names them.
var fileKinds = []string{"number", "words", "qty", "ordered", "supplied", "pack", "unit", "price", "total", "row", "note", "skip"}

// fileForm is an uploaded file and what a person put right about it.
type fileForm struct {
	Name            string
	Content         []byte
	Title, Supplier string
	Sheet           string
	Head            int
	Columns         []FileColumnInput
}

// fileView shows how a file was read before anything is kept.
type fileView struct {
	*ReadFileReadKitFileKitFileReading
	Job  *JobHead
	Form *fileForm
	List listView
}

// isTable: the name says that columns must be told apart before the text is kept.
func isTable(name string) bool {
	return slices.Contains([]string{".xlsx", ".csv", ".tsv"}, strings.ToLower(path.Ext(name)))
}

// encoded is the file as the form carries it from one look to the next.
func (f *fileForm) encoded() string { return base64.StdEncoding.EncodeToString(f.Content) }

// readFile takes a file that was put right: it is shown again, or kept.
func (p *Pages) readFile(w http.ResponseWriter, r *http.Request) error {
	content, err := base64.StdEncoding.DecodeString(r.PostFormValue("content"))
	if err != nil {
		return &refusal{http.StatusBadRequest, say("error.choice"), say("error.choice.remedy")}
	}
	head, err := number(r, "head")
	if err != nil {
		return err
	}
	f := &fileForm{Name: field(r, "name"), Content: content, Title: field(r, "title"), Supplier: field(r, "supplier"),
		Sheet: r.PostFormValue("sheet"), Head: head}
	// Another sheet has other columns: they are guessed anew.
	if f.Sheet == r.PostFormValue("was-sheet") {
		f.Columns = columnsOf(r)
	}
	if r.PostFormValue("keep") == "" {
		return p.showFile(w, r, http.StatusOK, f)
	}
	data, err := ReadFile(r.Context(), p.api, f.input(nil))
	if err != nil {
		return err
	}
	return p.storeList(w, r, pasteForm{Title: f.Title, Supplier: f.Supplier, Text: data.ReadKitFile.Text})
}

// columnsOf reads the choices "col.B" of a form, left out where nothing is chosen.
func columnsOf(r *http.Request) []FileColumnInput {
	out := []FileColumnInput{}
	for name := range r.PostForm {
		letter, ok := strings.CutPrefix(name, "col.")
		if kind := r.PostFormValue(name); ok && kind != "" {
			out = append(out, FileColumnInput{Letter: letter, Kind: kind})
		}
	}
	slices.SortFunc(out, func(a, b FileColumnInput) int { return strings.Compare(a.Letter, b.Letter) })
	return out
}

// input for the API; the job says which gearbox the lines are for.
func (f *fileForm) input(h *JobHead) ReadKitFileInput {
	in := ReadKitFileInput{Name: f.Name, ContentBase64: f.encoded(), Sheet: f.Sheet, Head: f.Head, Columns: f.Columns, Supplier: f.Supplier}
	if in.Columns == nil {
		in.Columns = []FileColumnInput{}
	}
	if h != nil {
		in.Family = h.FamilyKey
		if h.Variant != nil {
			in.Variant = h.Variant.Key
		}
	}
	return in
}

// showFile shows a file's guessed sheet, head and columns, and the lines that
// they give.
func (p *Pages) showFile(w http.ResponseWriter, r *http.Request, status int, f *fileForm) error {
	job, err := JobFrame(r.Context(), p.api, r.PathValue("id"))
	if err != nil {
		return err
	}
	if job.Job == nil {
		return notFound(say("error.job", r.PathValue("id")))
	}
	head := &job.Job.JobHead
	data, err := ReadFile(r.Context(), p.api, f.input(head))
	if err != nil {
		return err
	}
	if f.Title == "" {
		f.Title = f.Name
	}
	v := &fileView{ReadFileReadKitFileKitFileReading: &data.ReadKitFile, Job: head, Form: f,
		List: listView{ListRow: &ListRow{Name: "input", Text: data.ReadKitFile.Text}}}
	v.List.read(v.Reading.Questions, v.Reading.Lines)
	return p.render(w, r, status, p.jobFrame(r, head, "bench", job.Shop.CatalogueRevision), fileSheet(v))
}
