package badgerkv

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"golang.org/x/sys/windows"

	"layshaft/data/kv"
)

// lockFolder takes the folder for this process until the file is closed.
func lockFolder(dir string) (*os.File, error) {
	f, err := os.OpenFile(filepath.Join(dir, lockName), os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil, &kv.UnavailableError{Reason: "the data folder cannot be written", Err: err}
	}
	const flags = windows.LOCKFILE_EXCLUSIVE_LOCK | windows.LOCKFILE_FAIL_IMMEDIATELY
	err = windows.LockFileEx(windows.Handle(f.Fd()), flags, 0, 1, 0, &windows.Overlapped{})
	if err == nil {
		return f, nil
	}
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) {
		return nil, errors.Join(inUse(dir), f.Close())
	}
	return nil, errors.Join(&kv.UnavailableError{Reason: "the data folder cannot be locked", Err: err}, f.Close())
}

// freeSpace is the room for this user on the disk that holds dir, in bytes.
func freeSpace(dir string) (int64, error) {
	name, err := windows.UTF16PtrFromString(dir)
	if err != nil {
		return 0, err
	}
	var free uint64
	if err := windows.GetDiskFreeSpaceEx(name, &free, nil, nil); err != nil {
		return 0, err
	}
	return int64(free), nil
}

func allocated(info fs.FileInfo) int64 { return info.Size() }

// syncHandle does nothing: Windows does not sync folders.
func syncHandle(*os.File) error { return nil }
