// Package badgerkv is the embedded engine of package kv: Badger, never bare.
//
// Badger alone loses data without a word when its files are damaged, dies when
// the disk fills up, and stalls all writers on one slow subscriber. Around it
// stand, each in a file of its own: writes that are always synced, one writer
// that gathers waiting batches into one transaction, a change log of our own
// with wake-ups, a free-space guard with a ballast file, and checks before and
// after opening. Damage is refused with kv.ErrCorrupt and the word "restore",
// never repaired in silence.
//
// A data folder holds:
//
//	badger/      Badger's own files
//	high-water   the last revision written, to notice a lost tail
//	tables       the table files known to be in use, to notice a lost list
//	ballast      room to give back when the disk is full
//	lock         held while a process uses the folder
//	aside/       table files of an interrupted write, until proven unneeded
//	incoming/    an import under way, until it is whole
package badgerkv

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"time"

	"github.com/dgraph-io/badger/v4"

	"layshaft/data/kv"
)

// Options says where a store is kept. Only Dir is needed; the rest has values
// that suit a shop's machine.
type Options struct {
	Dir    string       // data folder, made if absent
	Logger *slog.Logger // where Badger's warnings go; nil discards them

	// FreeFloor is the number of free bytes below which commits are refused,
	// 0 for the safe value. Tests alone set it: below the safe value Badger may
	// crash the process on a full disk.
	FreeFloor int64
	// Ballast is the size of the ballast file in bytes, 0 for the usual size,
	// negative for none. Tests alone set it.
	Ballast int64
}

const (
	noteEvery      = time.Second        // how often high-water and tables are synced
	defaultBallast = openFloor + 32<<20 // enough to open again
)

func (o Options) withDefaults() Options {
	if o.Logger == nil {
		o.Logger = slog.New(slog.DiscardHandler)
	}
	if o.FreeFloor == 0 {
		o.FreeFloor = max(256<<20, 8*memTableSize)
	}
	if o.Ballast == 0 {
		o.Ballast = defaultBallast
	}
	return o
}

type store struct {
	opt    Options
	bell   kv.Bell
	queue  chan *request
	quit   chan struct{} // closed when Close begins
	done   sync.WaitGroup
	closer sync.Once
	locked *os.File
	mark   *highWater
	tables *tableNotes
	failed atomic.Pointer[error] // set when a commit left the state unknown

	life   sync.RWMutex // held for reading while db is used, for writing while it changes
	db     *badger.DB   // nil once closed
	snaps  map[*snapshot]struct{}
	snapMu sync.Mutex

	meta meta // the writer's own
}

// Open opens the store kept in a data folder, making it if absent.
//
// Errors: kv.ErrUnavailable when another process uses the folder,
// kv.ErrCorrupt when the files do not check out, kv.ErrFull when opening would
// run the disk full.
func Open(opt Options) (kv.Store, error) {
	s, err := open(opt.withDefaults())
	if err != nil {
		return nil, err
	}
	return kv.Limit(s), nil
}

func open(opt Options) (*store, error) {
	if opt.Dir == "" {
		return nil, &kv.InvalidError{Reason: "a data folder is needed"}
	}
	if err := os.MkdirAll(opt.Dir, 0o700); err != nil {
		return nil, &kv.UnavailableError{Reason: "the data folder cannot be made", Err: err}
	}
	lock, err := lockFolder(opt.Dir)
	if err != nil {
		return nil, err
	}
	s := &store{
		opt:    opt,
		locked: lock,
		queue:  make(chan *request, queueLength),
		quit:   make(chan struct{}),
		snaps:  map[*snapshot]struct{}{},
	}
	if err := s.start(); err != nil {
		return nil, errors.Join(err, s.release())
	}
	s.done.Add(2)
	go s.write()
	go s.keepNotes()
	return s, nil
}

// start takes the steps from a locked folder to a checked database.
func (s *store) start() (err error) {
	if err := checkRoomToOpen(s.opt); err != nil {
		return err
	}
	if s.mark, err = openHighWater(s.opt.Dir); err != nil {
		return err
	}
	if s.tables, err = readTableNotes(s.opt.Dir, s.mark.rev); err != nil {
		return err
	}
	aside, err := checkBeforeOpening(s.opt.Dir, s.mark.rev, s.tables.note)
	if err != nil {
		return err
	}
	if s.db, err = openBadger(badgerDir(s.opt.Dir), s.opt.Logger); err != nil {
		return err
	}
	if s.meta, err = checkAfterOpening(s.db, s.mark.rev); err != nil {
		return err
	}
	if err := aside.discard(); err != nil {
		return err
	}
	if err := s.noteState(); err != nil {
		return err
	}
	return makeBallast(s.opt)
}

func badgerDir(dir string) string { return filepath.Join(dir, "badger") }

// openBadger opens Badger, turning what it says about bad files into
// kv.ErrCorrupt.
func openBadger(dir string, log *slog.Logger) (db *badger.DB, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = damaged("Badger cannot open its files", fmt.Errorf("%v", r))
		}
	}()
	db, err = badger.Open(badgerOptions(dir, log))
	if err != nil {
		return nil, damaged("Badger cannot open its files", err)
	}
	return db, nil
}

// damaged is the error for files that do not check out.
func damaged(what string, cause error) error {
	return &kv.CorruptError{
		What:   what,
		Err:    cause,
		Remedy: "nothing was repaired: move this data folder away and restore the latest export into a new one",
	}
}

// release gives back whatever start got hold of.
func (s *store) release() error {
	var errs []error
	if s.db != nil {
		errs = append(errs, s.db.Close())
		s.db = nil
	}
	if s.mark != nil {
		errs = append(errs, s.mark.close())
	}
	return errors.Join(append(errs, s.locked.Close())...)
}

// noteState brings the notes outside Badger's folder up to date and syncs
// them. The mark comes last: it must never be ahead of the data.
func (s *store) noteState() error {
	if err := s.tables.update(s.db); err != nil {
		return err
	}
	return s.mark.sync(s.meta.rev)
}

// keepNotes syncs the notes every second until the store closes.
func (s *store) keepNotes() {
	defer s.done.Done()
	tick := time.NewTicker(noteEvery)
	defer tick.Stop()
	for {
		select {
		case <-s.quit:
			return
		case <-tick.C:
		}
		err := s.use(func(db *badger.DB) error { return errors.Join(s.tables.update(db), s.mark.flush()) })
		if err != nil && !s.closing() {
			s.opt.Logger.Warn("the notes beside the database could not be written", "dir", s.opt.Dir, "error", err)
		}
	}
}

func (s *store) Close() error {
	var err error
	s.closer.Do(func() {
		close(s.quit)
		s.done.Wait()
		s.bell.Ring()
		err = s.shut()
	})
	return err
}

// shut waits for readers, closes the database and notes what it came to.
func (s *store) shut() error {
	s.life.Lock()
	defer s.life.Unlock()
	s.dropSnapshots()
	if s.db == nil {
		return s.release()
	}
	// Not after closing: Badger then describes its tables from unmapped memory.
	return errors.Join(s.tables.update(s.db), s.mark.flush(), s.release())
}

// use runs fn with the database open, or says that the store is closed.
func (s *store) use(fn func(db *badger.DB) error) error {
	s.life.RLock()
	defer s.life.RUnlock()
	if s.db == nil || s.closing() {
		return kv.Closed()
	}
	return fn(s.db)
}

func (s *store) closing() bool {
	select {
	case <-s.quit:
		return true
	default:
		return false
	}
}

func (s *store) Status(context.Context) (kv.Status, error) {
	st := kv.Status{Engine: "badger", Healthy: true}
	err := s.use(func(db *badger.DB) error {
		m, err := readMeta(db)
		if err != nil {
			return err
		}
		st.Rev, st.TrimmedTo = m.rev, m.trimmed
		if st.BytesUsed, err = folderSize(s.opt.Dir); err != nil {
			return &kv.UnavailableError{Reason: "the data folder cannot be read", Err: err}
		}
		st.BytesFree, err = freeSpace(s.opt.Dir)
		if err != nil {
			return &kv.UnavailableError{Reason: "free space cannot be read", Err: err}
		}
		return nil
	})
	if err != nil {
		return kv.Status{}, err
	}
	if problem := s.writable(); problem != nil {
		st.Healthy, st.Problem = false, problem.Error()
	}
	return st, nil
}
