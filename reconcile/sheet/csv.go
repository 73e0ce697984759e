package sheet

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"

	"layshaft/catalog"
)

// grid is the visible cells of one sheet.
type grid struct {
	name   string
	rows   []row
	widest int
}

type row struct {
	number int // in the file, from 1
	cells  []string
}

// decodeCSV reads a CSV file whatever its separator. Where quotes are out of
// place the lines are cut at the separator alone, with a notice.
func decodeCSV(name string, data []byte) (*grid, []string, error) {
	text, notices, err := decodeText(name, data)
	if err != nil {
		return nil, nil, err
	}
	text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
	sep, text, skipped := separator(text)
	g := &grid{}
	if sep == 0 {
		for i, line := range strings.Split(text, "\n") {
			g.add(row{i + 1 + skipped, []string{line}})
		}
		return g, notices, g.limit(name)
	}
	r := csv.NewReader(strings.NewReader(text))
	r.Comma, r.FieldsPerRecord, r.LazyQuotes = sep, -1, true
	for {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			return g, notices, g.limit(name)
		}
		if err != nil {
			return nil, nil, catalog.Invalid(name, "Save it as CSV again", "it can't be read: %v", err)
		}
		line, _ := r.FieldPos(0)
		g.add(row{line + skipped, cells})
		if len(g.rows) > maxRows {
			return nil, nil, g.limit(name)
		}
	}
}

func (g *grid) add(r row) {
	g.rows = append(g.rows, r)
	g.widest = max(g.widest, len(r.cells))
}

func (g *grid) limit(name string) error {
	if len(g.rows) > maxRows {
		return tooLarge(name, fmt.Sprintf("more than %d rows", maxRows), "Keep the rows of one kit and read it again")
	}
	return nil
}

// decodeText reads UTF-8 and UTF-16 with a byte order mark; what is not UTF-8 is
// taken for Windows-1252, in which spreadsheets of western Europe write.
func decodeText(name string, data []byte) (string, []string, error) {
	switch {
	case bytes.HasPrefix(data, []byte{0xff, 0xfe}), bytes.HasPrefix(data, []byte{0xfe, 0xff}):
		out, err := unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewDecoder().Bytes(data)
		if err != nil {
			return "", nil, catalog.Invalid(name, "Save it as CSV (UTF-8)", "it can't be read as text: %v", err)
		}
		data = out
	case bytes.HasPrefix(data, []byte("\uFEFF")):
		data = data[3:]
	}
	if bytes.IndexByte(data, 0) >= 0 {
		return "", nil, catalog.Invalid(name, "Give a CSV file or a workbook (.xlsx)", "it is not text")
	}
	if utf8.Valid(data) {
		return string(data), nil, nil
	}
	out, err := charmap.Windows1252.NewDecoder().Bytes(data)
	if err != nil {
		return "", nil, catalog.Invalid(name, "Save it as CSV (UTF-8)", "it can't be read as text: %v", err)
	}
	return string(out), []string{"the file is not UTF-8; it was read as Windows-1252, so look at letters with accents"}, nil
}

// separator finds what sets the cells off: the mark that most lines hold
// equally often. A first line "sep=;" says it. Commas count only where no
// semicolon or tab does, for they may be decimal; 0 means running text.
func separator(text string) (rune, string, int) {
	if first, rest, ok := strings.Cut(text, "\n"); ok {
		if s, is := strings.CutPrefix(strings.TrimSpace(first), "sep="); is && len(s) == 1 {
			return rune(s[0]), rest, 1
		}
	}
	lines := strings.Split(text, "\n")
	lines = lines[:min(len(lines), 200)]
	for _, sep := range "\t;|," {
		with, filled, counts := 0, 0, map[int]int{}
		for _, l := range lines {
			if strings.TrimSpace(l) == "" {
				continue
			}
			filled++
			if n := strings.Count(l, string(sep)); n > 0 {
				with++
				counts[n]++
			}
		}
		most := 0
		for _, n := range counts {
			most = max(most, n)
		}
		if with*2 > filled && with > 0 && (sep != ',' || most*2 >= with) {
			return sep, text, 0
		}
	}
	return 0, text, 0
}
