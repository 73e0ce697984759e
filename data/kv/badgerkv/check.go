package badgerkv

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/dgraph-io/badger/v4"
	"github.com/dgraph-io/badger/v4/options"
	"github.com/dgraph-io/badger/v4/table"
	"github.com/dgraph-io/ristretto/v2/z"

	"layshaft/data/kv"
)

// checkBeforeOpening looks at Badger's files while nothing can change them:
// opening would delete tables, ignore them or end the process. It returns the
// tables moved out of Badger's way.
func checkBeforeOpening(dir string, mark kv.Rev, note tableNote) (*asideTables, error) {
	if err := removeFolder(incomingDir(dir)); err != nil {
		return nil, err
	}
	home := badgerDir(dir)
	m, err := readManifest(home)
	if err != nil {
		return nil, err
	}
	onDisk, err := tableFiles(home)
	if err != nil {
		return nil, err
	}
	if !m.present && (mark > 0 || len(onDisk) > 0) {
		return nil, damaged("Badger's list of tables is missing", nil)
	}
	for _, id := range note.IDs {
		if !m.named[id] {
			return nil, damaged(fmt.Sprintf("Badger's list of tables has lost table %d", id), nil)
		}
	}
	for id, compression := range m.live {
		if err := checkTable(table.NewFilename(id, home), compression); err != nil {
			return nil, err
		}
	}
	var strays []string
	for id, path := range onDisk {
		if _, live := m.live[id]; !live && !m.named[id] {
			strays = append(strays, path)
		}
	}
	return setAside(dir, strays)
}

// tableFiles lists the table files in Badger's folder.
func tableFiles(home string) (map[uint64]string, error) {
	found := map[uint64]string{}
	list, err := os.ReadDir(home)
	if errors.Is(err, fs.ErrNotExist) {
		return found, nil
	}
	if err != nil {
		return nil, &kv.UnavailableError{Reason: "the data folder cannot be read", Err: err}
	}
	for _, f := range list {
		if id, ok := table.ParseFileID(f.Name()); ok {
			found[id] = filepath.Join(home, f.Name())
		}
	}
	return found, nil
}

// checkTable verifies every checksum of a table file. Badger reads the end of
// a file it has not checked without care, so what it panics over is damage; in
// a goroutine of Badger's own the same panic would end the process.
func checkTable(path string, compression options.CompressionType) (err error) {
	what := "table file " + filepath.Base(path)
	defer func() {
		if recover() != nil { // with a dump of the file
			err = damaged(what, errors.New("cut off or overwritten"))
		}
	}()
	file, err := z.OpenMmapFile(path, os.O_RDONLY, 0)
	if err != nil {
		return damaged(what, err)
	}
	defer func() {
		if cerr := file.Close(-1); err == nil && cerr != nil {
			err = damaged(what, cerr)
		}
	}()
	opt := badgerOptions("", nil)
	t, err := table.OpenTable(file, table.Options{ReadOnly: true, BlockSize: opt.BlockSize, Compression: compression})
	if err != nil {
		return damaged(what, err)
	}
	if err := t.VerifyChecksum(); err != nil {
		return damaged(what, err)
	}
	return nil
}

// asideTables are tables that Badger's list never named. A crash while a table
// was being written leaves one whose data is elsewhere as well; a list that
// lost its end leaves one that is needed. Badger would delete both.
type asideTables struct {
	dir   string
	count int
}

func setAside(dir string, paths []string) (*asideTables, error) {
	a := &asideTables{dir: filepath.Join(dir, "aside"), count: len(paths)}
	if len(paths) == 0 {
		return a, nil
	}
	if err := os.MkdirAll(a.dir, 0o700); err != nil {
		return nil, &kv.UnavailableError{Reason: "the data folder cannot be written", Err: err}
	}
	for _, path := range paths {
		if err := os.Rename(path, filepath.Join(a.dir, filepath.Base(path))); err != nil {
			return nil, &kv.UnavailableError{Reason: "a table file cannot be moved aside", Err: err}
		}
	}
	return a, nil
}

// discard removes the tables once the change log has proved them unneeded.
func (a *asideTables) discard() error { return removeFolder(a.dir) }

// checkAfterOpening reads the change log through: it must lead from where it
// was purged to the last revision without a gap, and that must not be below
// the high-water mark.
func checkAfterOpening(db *badger.DB, mark kv.Rev) (meta, error) {
	txn := db.NewTransaction(false)
	defer txn.Discard()
	m, err := metaIn(txn)
	if err != nil {
		return meta{}, err
	}
	if m.rev < mark {
		return meta{}, damaged(fmt.Sprintf("the database is at revision %d, revision %d had been written", m.rev, mark), nil)
	}
	last, err := walkLog(txn, m.purged)
	if err != nil {
		return meta{}, err
	}
	if last != m.rev {
		return meta{}, damaged(fmt.Sprintf("the change log ends at revision %d, the database is at %d", last, m.rev), nil)
	}
	return m, nil
}

func walkLog(txn *badger.Txn, from kv.Rev) (last kv.Rev, err error) {
	opt := badger.DefaultIteratorOptions
	opt.PrefetchValues = false
	opt.Prefix = logPrefix
	it := txn.NewIterator(opt)
	defer it.Close()
	last = from
	for it.Rewind(); it.Valid(); it.Next() {
		rev, part := logKeyRev(it.Item().Key())
		if part != 0 {
			continue
		}
		l, err := changeIn(txn, rev)
		if err != nil {
			return 0, err
		}
		if l.prev != last {
			return 0, damaged(fmt.Sprintf("the change log jumps from revision %d to %d", last, rev), nil)
		}
		last = rev
	}
	return last, nil
}
