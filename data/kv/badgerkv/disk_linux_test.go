package badgerkv_test

import (
	"fmt"
	"testing"

	"golang.org/x/sys/unix"
)

// smallDisk mounts a disk of so many bytes for the test.
func smallDisk(t *testing.T, size int64) string {
	t.Helper()
	dir := t.TempDir()
	if err := unix.Mount("tmpfs", dir, "tmpfs", 0, fmt.Sprintf("size=%d", size)); err != nil {
		t.Skipf("not run: mounting a small disk needs the rights to: %v", err)
	}
	t.Cleanup(func() {
		if err := unix.Unmount(dir, 0); err != nil {
			t.Errorf("unmount: %v", err)
		}
	})
	return dir
}
