package badgerkv

import (
	"fmt"

	"layshaft/data/kv"
)

const lockName = "lock"

// inUse is the refusal of a folder that is already open.
func inUse(dir string) error {
	return &kv.UnavailableError{Reason: fmt.Sprintf("another Layshaft is using this data folder (%s): end it first, or name another folder", dir)}
}
