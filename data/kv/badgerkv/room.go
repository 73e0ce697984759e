package badgerkv

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"layshaft/data/kv"
)

// Badger writes through memory maps of files it has not filled yet. When the
// disk is full that ends the process, and so does opening again; so commits
// stop while there is room, and the ballast gives room back.

const ballastName = "ballast"

// openFloor is the room Badger takes for its logs when it opens.
const openFloor = 4 * memTableSize

func checkRoomToWrite(opt Options) error { return checkRoom(opt, opt.FreeFloor) }

func checkRoomToOpen(opt Options) error { return checkRoom(opt, min(openFloor, opt.FreeFloor)) }

func checkRoom(opt Options, floor int64) error {
	free, err := freeSpace(opt.Dir)
	if err != nil {
		return &kv.UnavailableError{Reason: "free space cannot be read", Err: err}
	}
	if free >= floor {
		return nil
	}
	return &kv.FullError{Place: opt.Dir, Free: free, Floor: floor, Remedy: roomRemedy(opt.Dir)}
}

func roomRemedy(dir string) string {
	path := filepath.Join(dir, ballastName)
	if info, err := os.Stat(path); err == nil {
		return fmt.Sprintf("make room on this disk; deleting %s gives %d MiB at once", path, info.Size()>>20)
	}
	return "make room on this disk"
}

// makeBallast fills the ballast file if it is missing and there is room for it.
func makeBallast(opt Options) error {
	path := filepath.Join(opt.Dir, ballastName)
	if opt.Ballast < 0 {
		return nil
	}
	if _, err := os.Stat(path); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	free, err := freeSpace(opt.Dir)
	if err != nil {
		return &kv.UnavailableError{Reason: "free space cannot be read", Err: err}
	}
	if free < opt.FreeFloor+opt.Ballast {
		opt.Logger.Warn("no room for the ballast file", "dir", opt.Dir, "free", free)
		return nil
	}
	if err := fillFile(path, opt.Ballast); err != nil {
		opt.Logger.Warn("the ballast file could not be made", "dir", opt.Dir, "error", err)
		return os.Remove(path)
	}
	return nil
}

func fillFile(path string, size int64) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	block := make([]byte, 1<<20)
	for left := size; left > 0 && err == nil; left -= int64(len(block)) {
		_, err = f.Write(block[:min(left, int64(len(block)))])
	}
	return errors.Join(err, f.Close())
}

// folderSize adds up the blocks files take under a folder. A file that goes
// while it is being looked at counts nothing.
func folderSize(dir string) (total int64, err error) {
	err = filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if errors.Is(err, fs.ErrNotExist) {
			return nil
		}
		if err != nil || d.IsDir() {
			return err
		}
		info, err := d.Info()
		if errors.Is(err, fs.ErrNotExist) {
			return nil
		}
		if err != nil {
			return err
		}
		total += allocated(info)
		return nil
	})
	return total, err
}
