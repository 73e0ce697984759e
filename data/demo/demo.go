// Package demo holds an invented gearbox shop: its catalogue as a data package,
// kit lists as they arrive, bench notes, and jobs on the bench. Makers,
// suppliers, numbers, prices, limits and sizes are invented; bearing
// designations carry the sizes of the ISO tables. Nothing here is meant for use
// on a real gearbox.
package demo

import (
	"embed"
	"fmt"
	"io/fs"

	"layshaft/catalog"
	"layshaft/catalog/exchange"
)

//go:embed shop
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
