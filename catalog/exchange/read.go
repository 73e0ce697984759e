package exchange

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"

	"layshaft/catalog"
)

// DescriptorFile is the name of the package descriptor.
const DescriptorFile = "datapackage.json"

const csvSuffix = ".csv"

// ReadPackage reads a folder of CSV tables. It is all or nothing: with any
// fault the catalogue is nil, and every bad cell is named. Tables that the
// descriptor does not list are empty; a table that it lists must be there.
func ReadPackage(fsys fs.FS) (*catalog.Catalogue, []Fault) {
	layouts := Layout()
	listed, faults := readDescriptor(fsys, layouts)
	faults = append(faults, strayTables(fsys, listed)...)
	grids := map[string]*grid{}
	for _, l := range layouts {
		file, ok := listed[l.Name]
		if !ok {
			continue
		}
		data, err := readLimited(fsys, file)
		if err != nil {
			faults = append(faults, Fault{File: file, Reason: unreadableFile(err), Repair: "put the file there or take it out of " + DescriptorFile})
			continue
		}
		rows, bad := parseCSV(file, data)
		faults = append(faults, bad...)
		if len(bad) > 0 && len(rows) == 0 {
			continue
		}
		grids[l.Name], bad = newGrid(file, l, rows)
		faults = append(faults, bad...)
	}
	return build(layouts, grids, faults, csvSuffix)
}

// build makes the catalogue out of the tables found.
func build(layouts []TableLayout, grids map[string]*grid, faults []Fault, suffix string) (*catalog.Catalogue, []Fault) {
	b := newBuilder()
	for _, t := range tables() {
		if g := grids[t.layout().Name]; g != nil {
			faults = append(faults, t.decode(b, g)...)
		}
	}
	faults = append(faults, lookUp(layouts, grids)...)
	if len(faults) > 0 {
		return nil, arrange(faults, suffix)
	}
	return b.c, nil
}

func readLimited(fsys fs.FS, name string) ([]byte, error) {
	f, err := fsys.Open(name)
	if err != nil {
		return nil, err
	}
	data, err := io.ReadAll(io.LimitReader(f, MaxFile+1))
	return data, errors.Join(err, f.Close())
}

func unreadableFile(err error) string {
	if errors.Is(err, fs.ErrNotExist) {
		return "the file is missing"
	}
	return "the file can't be read: " + err.Error()
}

// maxDescriptor bounds the descriptor, in bytes.
const maxDescriptor = 1 << 20

// readDescriptor gives the file of each table that the descriptor lists. What
// it says about columns is not used: the layout of this package rules.
func readDescriptor(fsys fs.FS, layouts []TableLayout) (map[string]string, []Fault) {
	fault := func(format string, args ...any) Fault {
		return Fault{File: DescriptorFile, Reason: fmt.Sprintf(format, args...), Repair: "take the descriptor of an export"}
	}
	data, err := readLimited(fsys, DescriptorFile)
	if err != nil {
		return nil, []Fault{fault("%s", unreadableFile(err))}
	}
	var d struct {
		Resources []struct {
			Name string          `json:"name"`
			Path json.RawMessage `json:"path"`
		} `json:"resources"`
	}
	if len(data) > maxDescriptor {
		return nil, []Fault{fault("larger than %d MiB", maxDescriptor>>20)}
	}
	if err := json.Unmarshal(data, &d); err != nil {
		return nil, []Fault{fault("not a JSON descriptor: %v", err)}
	}
	if len(d.Resources) == 0 {
		return nil, []Fault{fault("no resources listed")}
	}
	listed := map[string]string{}
	var faults []Fault
	for _, r := range d.Resources {
		if !slices.ContainsFunc(layouts, func(l TableLayout) bool { return l.Name == r.Name }) {
			faults = append(faults, fault("resource %q is not a table of a catalogue", shorten(r.Name)))
			continue
		}
		var path string
		if err := json.Unmarshal(r.Path, &path); err != nil || !fs.ValidPath(path) {
			faults = append(faults, fault("resource %q has no single path inside the folder", r.Name))
			continue
		}
		if _, twice := listed[r.Name]; twice {
			faults = append(faults, fault("resource %q is listed twice", r.Name))
		}
		listed[r.Name] = path
	}
	return listed, faults
}

// strayTables reports CSV files of the folder that the descriptor does not list.
func strayTables(fsys fs.FS, listed map[string]string) (faults []Fault) {
	if listed == nil {
		return nil
	}
	entries, err := fs.ReadDir(fsys, ".")
	if err != nil {
		return []Fault{{File: ".", Reason: unreadableFile(err), Repair: "name the folder that holds " + DescriptorFile}}
	}
	used := map[string]bool{}
	for _, path := range listed {
		used[path] = true
	}
	for _, e := range entries {
		if strings.HasSuffix(strings.ToLower(e.Name()), csvSuffix) && !used[e.Name()] {
			faults = append(faults, Fault{File: shorten(e.Name()), Reason: "the table is not listed in " + DescriptorFile,
				Repair: "list it there or take the file away"})
		}
	}
	return faults
}
