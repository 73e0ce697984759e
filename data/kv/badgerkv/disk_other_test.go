//go:build !linux

package badgerkv_test

import "testing"

func smallDisk(t *testing.T, _ int64) string {
	t.Skip("not run: a small disk is mounted on Linux only")
	return ""
}
