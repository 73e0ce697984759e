//go:build unix

package badgerkv

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"

	"golang.org/x/sys/unix"

	"layshaft/data/kv"
)

// lockFolder takes the folder for this process until the file is closed.
func lockFolder(dir string) (*os.File, error) {
	f, err := os.OpenFile(filepath.Join(dir, lockName), os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil, &kv.UnavailableError{Reason: "the data folder cannot be written", Err: err}
	}
	err = unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
	if err == nil {
		return f, nil
	}
	if errors.Is(err, unix.EWOULDBLOCK) {
		return nil, errors.Join(inUse(dir), f.Close())
	}
	return nil, errors.Join(&kv.UnavailableError{Reason: "the data folder cannot be locked", Err: err}, f.Close())
}

// freeSpace is the room for this user on the disk that holds dir, in bytes.
func freeSpace(dir string) (int64, error) {
	var st unix.Statfs_t
	if err := unix.Statfs(dir, &st); err != nil {
		return 0, err
	}
	return int64(st.Bavail) * int64(st.Bsize), nil
}

// allocated is the room a file takes; Badger's logs are mostly holes.
func allocated(info fs.FileInfo) int64 {
	if st, ok := info.Sys().(*syscall.Stat_t); ok {
		return int64(st.Blocks) * 512
	}
	return info.Size()
}

func syncHandle(f *os.File) error { return f.Sync() }
