package page

import (
	"cmp"
	"net/http"
	"slices"
)

// onOrder and received are what the API calls goods that were ordered and goods that came.
const onOrder, received = "order", "received"

// orderedView lists what was ordered for open jobs and has not come yet.
type orderedView struct {
	Revision string
	Rows     []orderedRow
	Problem  []told
}

type orderedRow struct {
	*GoodsRow
	Job, Title, NeededBy, From string // From is the supplier's name
}

func (p *Pages) readOrdered(r *http.Request) (*orderedView, error) {
	data, err := OnOrder(r.Context(), p.api)
	if err != nil {
		return nil, err
	}
	names := map[string]string{}
	for _, s := range data.Suppliers {
		names[s.Key] = s.Name
	}
	v := &orderedView{Revision: data.Shop.CatalogueRevision}
	for i := range data.Jobs.Edges {
		n := &data.Jobs.Edges[i].Node
		for g := range n.Goods {
			if x := &n.Goods[g]; x.Source == onOrder {
				v.Rows = append(v.Rows, orderedRow{x, n.Key, n.Title, deref(n.NeededBy), cmp.Or(names[x.Supplier], x.Supplier)})
			}
		}
	}
	slices.SortStableFunc(v.Rows, func(a, b orderedRow) int { // what has no date comes last
		return cmp.Compare(cmp.Or(deref(a.Due), "9999"), cmp.Or(deref(b.Due), "9999"))
	})
	return v, nil
}

func (p *Pages) ordered(w http.ResponseWriter, r *http.Request) error {
	v, err := p.readOrdered(r)
	if err != nil {
		return err
	}
	return p.showOrdered(w, r, http.StatusOK, v)
}

func (p *Pages) showOrdered(w http.ResponseWriter, r *http.Request, status int, v *orderedView) error {
	return p.render(w, r, status, p.view(r, say("ordered.title"), "shortages", v.Revision), orderedSheet(v))
}

func (p *Pages) orderedCSV(w http.ResponseWriter, r *http.Request) error {
	v, err := p.readOrdered(r)
	if err != nil {
		return err
	}
	var rows [][]string
	for _, x := range v.Rows {
		number := ""
		if x.Item != nil {
			number = orderNumber(x.Item)
		}
		rows = append(rows, []string{x.Job, x.Part, number, itoa(x.Pieces), x.Supplier, deref(x.Due), x.NeededBy, x.Note})
	}
	return writeCSV(w, "ordered", []string{"job", "part", "number", "pieces", "supplier", "due", "needed_by", "note"}, rows)
}

// arrived says that goods on order have come: they stay with their job as received.
func (p *Pages) arrived(w http.ResponseWriter, r *http.Request) error {
	v, err := p.readOrdered(r)
	if err != nil {
		return err
	}
	name := field(r, "name")
	at := slices.IndexFunc(v.Rows, func(x orderedRow) bool { return x.Job == r.PathValue("id") && x.Name == name })
	if at < 0 {
		v.Problem = []told{{Code: conflictCode, Message: say("stale.arrived"), Remedy: say("stale.arrived.remedy")}}
		return p.showOrdered(w, r, http.StatusConflict, v)
	}
	x := v.Rows[at]
	done, err := HaveGoods(r.Context(), p.api, edit(r), []GoodsInput{{Name: x.Name, Part: x.Part, Pieces: x.Pieces, Source: received,
		Supplier: x.Supplier, Due: x.Due, Note: x.Note, SeenRev: ptr(field(r, "seen"))}})
	if err != nil {
		return err
	}
	if v.Problem = toldOf(done.PutGoods.UserErrors); len(v.Problem) > 0 {
		return p.showOrdered(w, r, statusFor(v.Problem), v)
	}
	return back(w, r, orderedPath)
}

const orderedPath = "/shortages/ordered"
