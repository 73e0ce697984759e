package main

import (
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"layshaft/catalog"
	"layshaft/data/demo"
)

type sampleCommand struct {
	Dir string `arg:"" help:"Folder to make; it must not exist or be empty."`
}

// Run writes the demo shop as files: shop/ is a catalogue, kits/ holds lists, jobs/ holds
// jobs.
func (c *sampleCommand) Run(a *app) error {
	if entries, err := os.ReadDir(c.Dir); len(entries) > 0 || err != nil && !errors.Is(err, fs.ErrNotExist) {
		return catalog.Invalid(c.Dir, "Name a new folder", "the folder is not empty or can't be read")
	}
	tables, err := demo.Package()
	if err != nil {
		return err
	}
	if err := os.CopyFS(filepath.Join(c.Dir, "shop"), tables); err != nil {
		return err
	}
	files := map[string][]byte{}
	texts, err := demo.KitTexts()
	if err != nil {
		return err
	}
	for _, t := range texts {
		files[filepath.Join("kits", t.Name+".txt")] = []byte(t.Text)
	}
	jobs, err := demo.Jobs()
	if err != nil {
		return err
	}
	for _, j := range jobs {
		data, err := json.MarshalIndent(j, "", "  ")
		if err != nil {
			return err
		}
		files[filepath.Join("jobs", string(j.ID)+".json")] = append(data, '\n')
	}
	for name, data := range files {
		path := filepath.Join(c.Dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			return err
		}
		if err := os.WriteFile(path, data, 0o666); err != nil {
			return err
		}
	}
	a.out.linef("%s: catalogue in shop, %s in kits, %s in jobs; an invented shop, not for use on a real gearbox",
		c.Dir, counted(len(texts), "kit list"), counted(len(jobs), "job"))
	return nil
}
