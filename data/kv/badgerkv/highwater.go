package badgerkv

import (
	"encoding/binary"
	"errors"
	"hash/crc32"
	"io/fs"
	"os"
	"path/filepath"
	"sync"

	"layshaft/data/kv"
)

// highWater is a small file beside Badger's folder with the last revision
// written. Badger drops the damaged tail of its log without a word; a database
// that opens below the mark has lost commits.
//
// Each commit writes it, which survives the process; a second later it is
// synced, which survives the machine. Two slots take turns, so that a torn
// write leaves the other.
type highWater struct {
	rev kv.Rev // as found on opening

	mu    sync.Mutex
	file  *os.File
	slot  int64
	dirty bool
}

const (
	markName = "high-water"
	markLen  = 8 + 4 // revision, CRC-32C
	markStep = 4096  // slots lie in different blocks
)

func openHighWater(dir string) (*highWater, error) {
	path := filepath.Join(dir, markName)
	raw, err := os.ReadFile(path)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, &kv.UnavailableError{Reason: "the high-water mark cannot be read", Err: err}
	}
	fresh := len(raw) == 0 // or made by a process that ended before writing it
	if fresh {
		if _, err := os.Stat(badgerDir(dir)); err == nil {
			return nil, damaged("the high-water mark is missing beside the database", nil)
		}
	}
	h := &highWater{}
	if !fresh {
		if err := h.read(raw); err != nil {
			return nil, err
		}
	}
	if h.file, err = os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o600); err != nil {
		return nil, &kv.UnavailableError{Reason: "the high-water mark cannot be written", Err: err}
	}
	if fresh {
		if err := errors.Join(h.write(0), h.flush(), syncFolder(dir)); err != nil {
			return nil, errors.Join(&kv.UnavailableError{Reason: "the high-water mark cannot be written", Err: err}, h.close())
		}
	}
	return h, nil
}

func (h *highWater) read(raw []byte) error {
	valid := false
	for slot := range int64(2) {
		at := slot * markStep
		if int64(len(raw)) < at+markLen {
			continue
		}
		b := raw[at : at+markLen]
		if crc32.Checksum(b[:8], crcTable) != binary.BigEndian.Uint32(b[8:]) {
			continue
		}
		if rev := kv.Rev(binary.BigEndian.Uint64(b)); !valid || rev >= h.rev {
			h.rev, h.slot, valid = rev, 1-slot, true
		}
	}
	if !valid {
		return damaged("the high-water mark fails its checksum", nil)
	}
	return nil
}

// write notes a revision that is safely on disk.
func (h *highWater) write(rev kv.Rev) error {
	h.mu.Lock()
	defer h.mu.Unlock()
	b := binary.BigEndian.AppendUint64(make([]byte, 0, markLen), uint64(rev))
	b = binary.BigEndian.AppendUint32(b, crc32.Checksum(b, crcTable))
	if _, err := h.file.WriteAt(b, h.slot*markStep); err != nil {
		return err
	}
	h.slot = 1 - h.slot
	h.dirty = true
	return nil
}

// flush syncs what was written.
func (h *highWater) flush() error {
	h.mu.Lock()
	defer h.mu.Unlock()
	if !h.dirty {
		return nil
	}
	h.dirty = false
	return h.file.Sync()
}

func (h *highWater) sync(rev kv.Rev) error { return errors.Join(h.write(rev), h.flush()) }

func (h *highWater) close() error { return h.file.Close() }

// syncFolder makes names made or removed in a folder durable.
func syncFolder(dir string) error {
	f, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(syncHandle(f), f.Close())
}
