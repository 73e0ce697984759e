package main

// Rules for what is printed:
//
//   - Results go to standard output, errors to standard error; with --json
//     standard output holds one JSON document and nothing else.
//   - An error names the file, then line or row, then what is wrong, then what to
//     do about it.
//   - A finding states the fact first, then the act; the position is named in the
//     shop's word, with its id where the id is needed to answer.
//   - No please, no exclamation marks, no capitals. Never "safe", "approved" or
//     "guaranteed". What is not known is said to be not known.
//   - Sizes carry their unit. A probability says what it covers.
//   - Text that came from outside is printed without its control characters.

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"unicode"
)

// printer writes lines and remembers the first error.
type printer struct {
	w   io.Writer
	err error
}

func newPrinter(w io.Writer) *printer { return &printer{w: w} }

// linef prints one line; line breaks inside it are kept.
func (p *printer) linef(format string, args ...any) {
	p.write(strings.TrimRight(plain(fmt.Sprintf(format, args...)), " ") + "\n")
}

// section prints a heading after an empty line.
func (p *printer) section(format string, args ...any) {
	p.linef("")
	p.linef(format, args...)
}

// json prints a value as one indented document.
func (p *printer) json(v any) error {
	data, err := json.MarshalIndent(v, "", "  ")
	if err != nil {
		return err
	}
	p.write(string(data) + "\n")
	return nil
}

func (p *printer) write(s string) {
	if p.err != nil {
		return
	}
	_, p.err = io.WriteString(p.w, s)
}

// plain replaces control and direction characters, which could repaint or
// reorder a terminal line.
func plain(s string) string {
	return strings.Map(func(r rune) rune {
		if r == '\n' || r == '\t' {
			return r
		}
		if unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) {
			return '\uFFFD'
		}
		return r
	}, s)
}

// counted writes "1 line", "2 lines".
func counted(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
