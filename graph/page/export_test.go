package page_test

import (
	"encoding/csv"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// listed are sections whose rows are records though they are no table.
var listed = []string{"h-positions", "h-bonds", "h-mates", "h-stacks", "h-limits", "h-offers"}

// TestEveryTableExports: beside every table and list of records there is a link to
// the same as CSV, with a row at least for every row shown. Tables to type into and
// those that only lay out a paper are no records.
func TestEveryTableExports(t *testing.T) {
	s := open(t)
	tables, files := 0, map[string]int{}
	for _, l := range looked {
		if l.name == "missing" {
			continue
		}
		doc, err := html.Parse(strings.NewReader(s.get(t, l.path, 200)))
		if err != nil {
			t.Fatal(err)
		}
		for n := range doc.Descendants() {
			shown, ok := recordsIn(n)
			if !ok {
				continue
			}
			tables++
			to := exportBeside(n)
			if to == "" {
				t.Errorf("%s: no CSV beside <%s class=%q %s>", l.path, n.Data, attr(n, "class"), attr(n, "aria-labelledby"))
				continue
			}
			rows, had := files[to]
			if !had {
				all, err := csv.NewReader(strings.NewReader(s.get(t, to, 200))).ReadAll()
				if err != nil {
					t.Fatalf("%s: %v", to, err)
				}
				rows = len(all) - 1
				files[to] = rows
			}
			if rows < shown {
				t.Errorf("%s: %d rows are shown, %s has %d", l.path, shown, to, rows)
			}
		}
	}
	t.Logf("%d tables, %d files", tables, len(files))
	if tables < 25 {
		t.Errorf("only %d tables were found: the test looks past them", tables)
	}
}

// recordsIn counts the rows of an element that holds records.
func recordsIn(n *html.Node) (int, bool) {
	row := ""
	switch {
	case n.Type != html.ElementNode || attr(n, "role") == "presentation" || hasClass(n, "entry"):
		return 0, false
	case n.Data == "table":
		row = "tr"
	case n.Data == "ul" && hasClass(n, "hits"), n.Data == "section" && slices.Contains(listed, attr(n, "aria-labelledby")):
		row = "li"
	case n.Data == "dl" && hasClass(n, "ratios") && ancestor(n, func(a *html.Node) bool { return attr(a, "aria-labelledby") == "h-ratios" }) != nil:
		row = "dt"
	default:
		return 0, false
	}
	rows := 0
	for c := range n.Descendants() {
		if c.Type == html.ElementNode && c.Data == row && (row != "tr" || c.Parent.Data == "tbody") {
			rows++
		}
	}
	return rows, rows > 0
}

// exportBeside is the address of the CSV in the section of an element, or in what
// heads the page.
func exportBeside(n *html.Node) string {
	for at := n; at != nil; at = ancestor(at, func(a *html.Node) bool { return a.Data == "section" || a.Data == "main" }) {
		for c := range at.Descendants() {
			own := at.Data == "section" || c.Type == html.ElementNode && ancestor(c, func(a *html.Node) bool { return a.Data == "section" }) == nil
			if c.Type == html.ElementNode && hasClass(c, "export") && own && strings.Contains(attr(c, "href"), ".csv") {
				return attr(c, "href")
			}
		}
	}
	return ""
}

func ancestor(n *html.Node, is func(*html.Node) bool) *html.Node {
	for a := range n.Ancestors() {
		if a.Type == html.ElementNode && is(a) {
			return a
		}
	}
	return nil
}

func attr(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

func hasClass(n *html.Node, class string) bool {
	return slices.Contains(strings.Fields(attr(n, "class")), class)
}

// TestExportsOfJob: what a job keeps is in its files.
func TestExportsOfJob(t *testing.T) {
	s := open(t)
	wants(t, s.get(t, "/jobs.csv", 200), "job,title,owner", "7204,", "waiting")
	wants(t, s.get(t, "/jobs.csv?state=closed", 200), "job,title,owner")
	wants(t, s.get(t, "/jobs/7204/history.csv", 200), "edit,when,who,why", "decisions")
	wants(t, s.get(t, "/jobs/7204/lines.csv", 200), "list,line,sub,text,outcome", "certain")
	wants(t, s.get(t, "/jobs/7204/remembered.csv", 200), "supplier,family,text,part,times")
	wants(t, s.get(t, "/catalogue/search.csv?q=6207", 200), "kind,found,detail,address", "part,")
	s.get(t, "/jobs/none/history.csv", 404)
	s.get(t, "/catalogue/parts/none/offers.csv", 404)
	s.get(t, "/catalogue/compare/places.csv?a=th-roller-6125&b=none", 404)
}
