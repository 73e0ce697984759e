// Package demo holds an invented gearbox shop: its catalogue as a data package,
// kit lists as they arrive, bench notes, and jobs on the bench. Makers,
// suppliers, numbers, prices, limits and sizes are invented; bearing
// designations carry the sizes of the ISO tables. Nothing here is meant for use
// on a real gearbox.
package demo

import (
	"bytes"
	"embed"
	"encoding/json"
	"fmt"
	"io/fs"
	"path"

	"layshaft/catalog"
	"layshaft/catalog/exchange"
	"layshaft/reconcile"
)

//go:embed shop kits notes jobs texts.csv
var files embed.FS

// Package is the shop's catalogue as a folder of tables, for package exchange.
func Package() (fs.FS, error) { return fs.Sub(files, "shop") }

// Catalogue reads the shop's catalogue. Every call returns a new one.
func Catalogue() (*catalog.Catalogue, error) {
	tables, err := Package()
	if err != nil {
		return nil, fmt.Errorf("demo catalogue: %w", err)
	}
	c, faults := exchange.ReadPackage(tables)
	if len(faults) > 0 {
		return nil, fmt.Errorf("demo catalogue: %d bad cells, the first: %v", len(faults), faults[0])
	}
	return c, nil
}

// Jobs reads the shop's jobs by id. Every call returns new ones.
func Jobs() ([]*reconcile.Job, error) {
	names, err := fs.Glob(files, "jobs/*.json")
	if err != nil {
		return nil, fmt.Errorf("demo jobs: %w", err)
	}
	out := make([]*reconcile.Job, 0, len(names))
	for _, name := range names {
		j, err := readJob(name)
		if err != nil {
			return nil, fmt.Errorf("demo job %s: %w", path.Base(name), err)
		}
		out = append(out, j)
	}
	return out, nil
}

// readJob refuses fields that a job does not have, so that a slip of the pen
// does not go unseen.
func readJob(name string) (*reconcile.Job, error) {
	text, err := files.ReadFile(name)
	if err != nil {
		return nil, err
	}
	dec := json.NewDecoder(bytes.NewReader(text))
	dec.DisallowUnknownFields()
	j := &reconcile.Job{}
	if err := dec.Decode(j); err != nil {
		return nil, err
	}
	return j, nil
}
