package badgerkv

import (
	"log/slog"

	"github.com/dgraph-io/badger/v4"
)

// BadgerOptions is the tuning, for the benchmark of Badger alone.
func BadgerOptions(dir string) badger.Options {
	return badgerOptions(dir, slog.New(slog.DiscardHandler))
}
