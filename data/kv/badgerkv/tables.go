package badgerkv

import (
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"sync"

	"github.com/dgraph-io/badger/v4"

	"layshaft/data/kv"
)

// tableNote is what is known, outside Badger's folder, about its table files.
type tableNote struct {
	IDs []uint64 `json:"ids"` // tables in use, ascending
	// FlushedTo is the Badger version up to which all data was in tables.
	FlushedTo uint64 `json:"flushedTo"`
}

// tableNotes keeps the note in a file. Badger's own list, MANIFEST, may lose
// its end and then Badger deletes the tables missing from it.
type tableNotes struct {
	path string

	mu      sync.Mutex
	note    tableNote
	written bool // the file exists
}

const tablesName = "tables"

type tablesFile struct {
	Note tableNote `json:"note"`
	CRC  uint32    `json:"crc32c"` // of the note's JSON
}

// readTableNotes reads the note of a store that has come to revision mark.
func readTableNotes(dir string, mark kv.Rev) (*tableNotes, error) {
	t := &tableNotes{path: filepath.Join(dir, tablesName)}
	raw, err := os.ReadFile(t.path)
	if errors.Is(err, fs.ErrNotExist) {
		if mark > 0 {
			return nil, damaged("the notes on table files are missing beside the database", nil)
		}
		return t, nil
	}
	if err != nil {
		return nil, &kv.UnavailableError{Reason: "the notes on table files cannot be read", Err: err}
	}
	var f tablesFile
	if err := json.Unmarshal(raw, &f); err != nil {
		return nil, damaged("the notes on table files cannot be read", err)
	}
	if sum, err := f.Note.sum(); err != nil || sum != f.CRC {
		return nil, damaged("the notes on table files fail their checksum", err)
	}
	t.note, t.written = f.Note, true
	return t, nil
}

func (n tableNote) sum() (uint32, error) {
	b, err := json.Marshal(n)
	return crc32.Checksum(b, crcTable), err
}

// update writes the note anew if the tables in use have changed.
func (t *tableNotes) update(db *badger.DB) error {
	t.mu.Lock()
	defer t.mu.Unlock()
	next := tableNote{FlushedTo: t.note.FlushedTo}
	for _, info := range db.Tables() {
		next.IDs = append(next.IDs, info.ID)
		next.FlushedTo = max(next.FlushedTo, info.MaxVersion)
	}
	slices.Sort(next.IDs)
	if t.written && slices.Equal(next.IDs, t.note.IDs) && next.FlushedTo == t.note.FlushedTo {
		return nil
	}
	sum, err := next.sum()
	if err != nil {
		return err
	}
	b, err := json.Marshal(tablesFile{Note: next, CRC: sum})
	if err != nil {
		return err
	}
	if err := replaceFile(t.path, append(b, '\n')); err != nil {
		return fmt.Errorf("notes on table files: %w", err)
	}
	t.note, t.written = next, true
	return nil
}

// flushedTo is the Badger version up to which all data is in noted tables.
func (t *tableNotes) flushedTo() uint64 {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.note.FlushedTo
}

// replaceFile writes a file whole: after a crash it has the old content or the
// new.
func replaceFile(path string, content []byte) error {
	tmp, err := os.CreateTemp(filepath.Dir(path), filepath.Base(path)+"-*")
	if err != nil {
		return err
	}
	_, err = tmp.Write(content)
	err = errors.Join(err, tmp.Sync(), tmp.Close())
	if err == nil {
		err = os.Rename(tmp.Name(), path)
	}
	if err != nil {
		return errors.Join(err, os.Remove(tmp.Name()))
	}
	return syncFolder(filepath.Dir(path))
}
