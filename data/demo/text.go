package demo

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strconv"

	"layshaft/catalog"
)

// Standing says how a text mentions a part.
type Standing string

// The standings of a truth row.
const (
	Supply       Standing = "supply"        // comes with the kit
	Wanted       Standing = "wanted"        // a bench note asks for it
	Excluded     Standing = "excluded"      // named, not supplied
	Conditional  Standing = "conditional"   // as needed
	NotAvailable Standing = "not-available" // cannot be had now
	Alternative  Standing = "alternative"   // one of several in the kit serves
	Question     Standing = "question"      // a person must decide
	Context      Standing = "context"       // heading, column heads
	Noise        Standing = "noise"         // greeting, total, remark
)

// Truth is what a person says that a line of a text means.
type Truth struct {
	// Line is the first physical line, from 1; a line can have several rows.
	Line int
	// Part meant; empty when the line names none.
	Part catalog.PartID
	// Pieces of it; 0 when Part is empty.
	Pieces   int
	Standing Standing
}

// Text is a kit list or bench note as it arrived, with the truth about it.
type Text struct {
	Name     string
	Supplier catalog.SupplierID // empty when not one of ours
	Family   catalog.FamilyID
	Variant  catalog.VariantID // of the job that it was written for
	// Demand: it says what is wanted, not what is supplied.
	Demand bool
	Style  string // how it is written, for people
	Text   string
	Truth  []Truth
}

// KitTexts reads the messy kit lists, in the order of texts.csv.
func KitTexts() ([]Text, error) { return texts("kits") }

// Notes reads the bench notes, in the order of texts.csv.
func Notes() ([]Text, error) { return texts("notes") }

func texts(folder string) ([]Text, error) {
	rows, err := table("texts.csv", 7)
	if err != nil {
		return nil, err
	}
	var out []Text
	for _, r := range rows {
		if r[0] != folder {
			continue
		}
		t := Text{Name: r[1], Supplier: catalog.SupplierID(r[2]), Family: catalog.FamilyID(r[3]),
			Variant: catalog.VariantID(r[4]), Demand: r[5] == "demand", Style: r[6]}
		text, err := files.ReadFile(folder + "/" + t.Name + ".txt")
		if err != nil {
			return nil, fmt.Errorf("demo text: %w", err)
		}
		t.Text = string(text)
		if t.Truth, err = truth(folder + "/" + t.Name + ".truth.csv"); err != nil {
			return nil, err
		}
		out = append(out, t)
	}
	return out, nil
}

func truth(name string) ([]Truth, error) {
	rows, err := table(name, 4)
	if err != nil {
		return nil, err
	}
	out := make([]Truth, len(rows))
	for i, r := range rows {
		line, err := strconv.Atoi(r[0])
		if err != nil {
			return nil, fmt.Errorf("%s row %d line: %w", name, i+2, err)
		}
		pieces, err := strconv.Atoi(r[2])
		if err != nil {
			return nil, fmt.Errorf("%s row %d pieces: %w", name, i+2, err)
		}
		out[i] = Truth{Line: line, Part: catalog.PartID(r[1]), Pieces: pieces, Standing: Standing(r[3])}
	}
	return out, nil
}

// table reads a CSV file without its heading row.
func table(name string, columns int) ([][]string, error) {
	text, err := files.ReadFile(name)
	if err != nil {
		return nil, fmt.Errorf("demo table: %w", err)
	}
	r := csv.NewReader(bytes.NewReader(text))
	r.FieldsPerRecord = columns
	rows, err := r.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	if len(rows) == 0 {
		return nil, fmt.Errorf("%s: no heading row", name)
	}
	return rows[1:], nil
}
