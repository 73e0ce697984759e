package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"regexp"
	"strings"

	"layshaft/catalog"
	"layshaft/catalog/exchange"
)

// maxInput is the largest text or job file that is read, in bytes.
const maxInput = 16 << 20

// standardInput is how a file argument names it.
const standardInput = "-"

// placeOf a file argument in messages.
func placeOf(name string) string {
	if name == standardInput || name == "" {
		return "standard input"
	}
	return name
}

// file reads a file, or standard input for "-" or an empty name.
func (a *app) file(name string) ([]byte, error) {
	var r io.Reader
	if name == standardInput || name == "" {
		name, r = placeOf(name), a.stdin
	} else {
		f, err := os.Open(name)
		if err != nil {
			return nil, noFile(name, err)
		}
		defer f.Close() // only read from
		r = f
	}
	data, err := io.ReadAll(io.LimitReader(r, maxInput+1))
	if err != nil {
		return nil, noFile(name, err)
	}
	if len(data) > maxInput {
		return nil, &catalog.Error{Code: catalog.CodeTooLarge, Place: name, Message: fmt.Sprintf("larger than %d MiB", maxInput>>20), Remedy: "Give a smaller file"}
	}
	return data, nil
}

func noFile(name string, err error) error {
	var p *os.PathError
	if errors.As(err, &p) {
		err = p.Err
	}
	return catalog.Invalid(name, "Check the name and that it may be read", "%v", err)
}

// readCatalogue reads a folder or workbook; faults are values.
func (a *app) readCatalogue(path string) (*catalog.Catalogue, []exchange.Fault, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, nil, noFile(path, err)
	}
	if info.IsDir() {
		c, faults := exchange.ReadPackage(os.DirFS(path))
		return c, faults, nil
	}
	if !strings.HasSuffix(strings.ToLower(path), ".xlsx") {
		return nil, nil, catalog.Invalid(path, "Name the folder that holds "+exchange.DescriptorFile+", or a workbook (.xlsx)", "neither a folder nor a workbook")
	}
	data, err := a.file(path)
	if err != nil {
		return nil, nil, err
	}
	c, faults := exchange.ReadXLSX(bytes.NewReader(data))
	return c, faults, nil
}

// packageFlag names the catalogue that a subcommand works with.
type packageFlag struct {
	Package string `required:"" placeholder:"DIR" help:"Catalogue: a folder with datapackage.json, or a workbook (.xlsx)."`
}

// index of the catalogue. Faults are printed; severe problems are not looked
// for, since check does that.
func (p packageFlag) index(a *app) (*catalog.Index, error) {
	c, faults, err := a.readCatalogue(p.Package)
	if err != nil {
		return nil, err
	}
	if len(faults) > 0 {
		a.printFaults(p.Package, faults)
		return nil, errFaults
	}
	return catalog.NewIndex(c, 0), nil
}

// fewFaults are shown by commands that only need a catalogue; check shows all.
const fewFaults = 20

func (a *app) printFaults(path string, faults []exchange.Fault) {
	a.listFaults(path, faults[:min(len(faults), fewFaults)])
	if len(faults) > fewFaults {
		a.errs.linef("layshaft: %s: and %d more; run layshaft check %s to see all", path, len(faults)-fewFaults, path)
	}
	a.errs.linef("layshaft: %s: %s, nothing was read", path, counted(len(faults), "fault"))
}

func (a *app) listFaults(path string, faults []exchange.Fault) {
	for _, f := range faults {
		a.errs.linef("layshaft: %s: %v", path, f)
	}
}

// decodeJSON reads a JSON document into v; fields that v does not have are
// refused, since a misspelt decision must not vanish.
func decodeJSON(name string, data []byte, v any) error {
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(v); errors.Is(err, io.EOF) {
		return catalog.Invalid(name, "Give a JSON document", "the document is empty")
	} else if err != nil {
		place := name
		if at := faultOffset(data, err); at >= 0 {
			place = fmt.Sprintf("%s, line %d", name, lineAt(data, at))
		}
		return catalog.Invalid(place, "Correct it there", "%s", strings.TrimPrefix(err.Error(), "json: "))
	}
	if d.More() {
		return catalog.Invalid(fmt.Sprintf("%s, line %d", name, lineAt(data, d.InputOffset())), "Remove it", "text after the document")
	}
	return nil
}

// faultOffset finds where in the document a decoding error is; -1 when the
// error does not tell.
func faultOffset(data []byte, err error) int64 {
	var syntax *json.SyntaxError
	var typ *json.UnmarshalTypeError
	switch {
	case errors.As(err, &syntax):
		return syntax.Offset
	case errors.As(err, &typ):
		return typ.Offset
	}
	if field, ok := strings.CutPrefix(err.Error(), "json: unknown field "); ok {
		if at := regexp.MustCompile(regexp.QuoteMeta(field) + `\s*:`).FindIndex(data); at != nil {
			return int64(at[0])
		}
	}
	return -1
}

func lineAt(data []byte, offset int64) int {
	return 1 + bytes.Count(data[:min(max(offset, 0), int64(len(data)))], []byte("\n"))
}
