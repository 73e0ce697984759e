package main

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"layshaft/catalog"
	"layshaft/catalog/exchange"
)

type exportCommand struct {
	dataFlag
	Target string `arg:"" help:"Folder for CSV tables with datapackage.json, or a workbook (.xlsx). An earlier export there is replaced."`
}

// Run writes the whole catalogue.
func (c *exportCommand) Run(a *app) (err error) {
	s, err := c.open(a)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	rows := s.Tables()
	if strings.HasSuffix(strings.ToLower(c.Target), ".xlsx") {
		err = writeWorkbook(c.Target, rows)
	} else if err = ownFolder(c.Target); err == nil {
		err = exchange.WritePackage(c.Target, rows)
	}
	if err != nil {
		return err
	}
	n := 0
	rows.Records(func(catalog.Record) { n++ })
	a.out.linef("%s: %s of revision %d", c.Target, counted(n, "record"), s.Index().Rev())
	return nil
}

// ownFolder refuses a folder that holds something else than an export.
func ownFolder(dir string) error {
	entries, err := os.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return noFile(dir, err)
	}
	if _, err := os.Stat(filepath.Join(dir, exchange.DescriptorFile)); len(entries) > 0 && err != nil {
		return catalog.Invalid(dir, "Name a new folder, or one of an earlier export", "the folder holds something else")
	}
	return nil
}

func writeWorkbook(path string, rows *catalog.Catalogue) error {
	var b bytes.Buffer
	if err := exchange.WriteXLSX(&b, rows); err != nil {
		return err
	}
	return os.WriteFile(path, b.Bytes(), 0o666)
}
