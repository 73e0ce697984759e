package badgerkv

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"

	"github.com/dgraph-io/badger/v4"

	"layshaft/data/kv"
)

func incomingDir(dir string) string { return filepath.Join(dir, "incoming") }

// Import fills a database beside the one in use and puts it in its place once
// the export has proved whole. A crash at any moment leaves the one or the
// other.
func (s *store) Import(ctx context.Context, r io.Reader) (kv.Rev, error) {
	return s.submit(ctx, &request{task: func() (kv.Rev, error) { return s.importWhole(ctx, r) }})
}

func (s *store) importWhole(ctx context.Context, r io.Reader) (rev kv.Rev, err error) {
	if err := kv.CheckUntouched(s.meta.rev); err != nil {
		return 0, err
	}
	if err := s.writable(); err != nil {
		return 0, err
	}
	incoming := incomingDir(s.opt.Dir)
	defer func() { err = errors.Join(err, removeFolder(incoming)) }()
	if err := removeFolder(incoming); err != nil {
		return 0, err
	}
	db, err := openBadger(incoming, s.opt.Logger)
	if err != nil {
		return 0, err
	}
	rev, err = s.fill(ctx, db, r)
	// Closing moves all data into tables, so that none hangs on a memtable's
	// file without a change log to miss it by.
	if err := errors.Join(err, notImported(db.Close())); err != nil {
		return 0, err
	}
	return rev, s.takeIn(incoming, rev)
}

// fill writes the entries of an export, and the state if all went well.
func (s *store) fill(ctx context.Context, db *badger.DB, r io.Reader) (kv.Rev, error) {
	batch := db.NewWriteBatch()
	defer batch.Cancel()
	rev, err := kv.ReadExport(ctx, r, func(e kv.Entry) error {
		if err := s.writable(); err != nil {
			return err
		}
		return notImported(batch.Set(entryKey(e.Key), encodeEntry(e.Rev, e.Key, e.Value)))
	})
	if err != nil {
		return 0, err
	}
	state := meta{rev: rev, trimmed: rev, purged: rev}
	if err := batch.Set(metaKey, state.encode()); err != nil {
		return 0, notImported(err)
	}
	return rev, notImported(batch.Flush())
}

func notImported(cause error) error {
	if cause == nil {
		return nil
	}
	return &kv.UnavailableError{Reason: "the import could not be written", Err: cause}
}

// takeIn swaps the databases. The one in use has never been written to, so
// between removing it and renaming the other the store is as empty as before.
func (s *store) takeIn(incoming string, rev kv.Rev) error {
	s.life.Lock()
	defer s.life.Unlock()
	s.dropSnapshots()
	err := s.db.Close()
	s.db = nil
	dir := badgerDir(s.opt.Dir)
	if err := errors.Join(err, removeFolder(dir), os.Rename(incoming, dir), syncFolder(s.opt.Dir)); err != nil {
		return s.lost(err)
	}
	db, err := openBadger(dir, s.opt.Logger)
	if err != nil {
		return s.lost(err)
	}
	s.db = db
	got, err := checkAfterOpening(db, rev)
	if err != nil {
		return s.lost(err)
	}
	s.meta = got
	if err := s.noteState(); err != nil {
		return s.lost(err)
	}
	s.bell.Ring()
	return nil
}

// lost ends the use of a store whose databases could not be swapped.
func (s *store) lost(cause error) error {
	failed := error(&kv.UnavailableError{Reason: "an import failed half way, close and open the store to go on", Err: cause})
	s.failed.Store(&failed)
	return &kv.UnknownError{Reason: "the imported data could not be put in place", Err: cause}
}

func removeFolder(dir string) error {
	if err := os.RemoveAll(dir); err != nil {
		return &kv.UnavailableError{Reason: "a folder could not be removed", Err: err}
	}
	return nil
}
