package exchange

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
)

// MaxFile is the largest CSV file that is read, in bytes.
const MaxFile = 32 << 20

// parseCSV splits a file into rows. It takes commas, semicolons or tabs as
// separators, whatever the header shows, any line ends but a lone CR, and a
// byte order mark of UTF-8.
func parseCSV(file string, data []byte) ([]gridRow, []Fault) {
	whole := func(reason, repair string) ([]gridRow, []Fault) {
		return nil, []Fault{{File: file, Reason: reason, Repair: repair}}
	}
	data = bytes.TrimPrefix(data, []byte("\uFEFF"))
	switch {
	case len(data) > MaxFile:
		return whole(fmt.Sprintf("the file is larger than %d MiB", MaxFile>>20), "split off what does not belong in the catalogue")
	case bytes.HasPrefix(data, []byte("PK\x03\x04")):
		return whole("this is a workbook, not a CSV file", "read it as XLSX or save each sheet as CSV (UTF-8)")
	case bytes.HasPrefix(data, []byte{0xff, 0xfe}), bytes.HasPrefix(data, []byte{0xfe, 0xff}):
		return whole("the file is UTF-16", "save it as CSV (UTF-8)")
	case !bytes.ContainsRune(data, '\n') && bytes.ContainsRune(data, '\r'):
		return whole("the lines end in a lone CR", "save the file with line ends LF or CR LF")
	}
	skipped := 0
	comma, rest := separator(data)
	if len(rest) < len(data) {
		skipped = 1
	}
	r := csv.NewReader(bytes.NewReader(rest))
	r.Comma = comma
	r.FieldsPerRecord = -1
	var rows []gridRow
	for {
		cells, err := r.Read()
		var bad *csv.ParseError
		switch {
		case errors.Is(err, io.EOF):
			return rows, nil
		case errors.As(err, &bad):
			return rows, []Fault{{File: file, Row: bad.StartLine + skipped, Reason: fmt.Sprintf("quotes out of place (line %d)", bad.Line+skipped),
				Repair: `put the whole cell in double quotes and write a quote inside it as ""; rows below were not looked at`}}
		case err != nil:
			return rows, []Fault{{File: file, Reason: err.Error(), Repair: "save the file again"}}
		case len(rows) > MaxRows:
			return rows, []Fault{{File: file, Reason: fmt.Sprintf("more than %d rows", MaxRows), Repair: "import fewer rows"}}
		}
		line, _ := r.FieldPos(0)
		rows = append(rows, gridRow{number: line + skipped, cells: cells})
	}
}

// separator guesses the separator from the first line, which holds column names
// only; a line "sep=;" that some spreadsheets write says it and is taken off.
func separator(data []byte) (rune, []byte) {
	first, rest, _ := bytes.Cut(data, []byte("\n"))
	line := strings.TrimRight(string(first), "\r")
	if s, ok := strings.CutPrefix(line, "sep="); ok && len(s) == 1 && strings.Contains(",;\t", s) {
		return rune(s[0]), rest
	}
	best, most := ',', 0
	for _, c := range ",;\t" {
		if n := strings.Count(line, string(c)); n > most {
			best, most = c, n
		}
	}
	return best, data
}

// writeCSV writes header and rows in the one canonical form: commas, LF, quotes
// only where needed.
func writeCSV(header []string, rows [][]string) ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	if err := w.Write(header); err != nil {
		return nil, err
	}
	if err := w.WriteAll(rows); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
