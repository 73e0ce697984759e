package badgerkv

import (
	"context"
	"fmt"
	"log/slog"
	"strings"

	"github.com/dgraph-io/badger/v4"
)

const memTableSize = 16 << 20

// badgerOptions is Badger for a small machine that may lose power: measured at
// under half the memory of the defaults, with every write synced.
func badgerOptions(dir string, log *slog.Logger) badger.Options {
	opt := badger.DefaultOptions(dir)
	opt.Logger = quiet{log}
	opt.SyncWrites = true
	opt.DetectConflicts = false // there is one writer
	opt.MetricsEnabled = false
	opt.MemTableSize = memTableSize
	opt.NumMemtables = 2
	opt.BlockCacheSize = 8 << 20
	opt.IndexCacheSize = 16 << 20
	opt.ValueLogFileSize = 16 << 20
	// Every value is below this, so the value log, whose garbage collection
	// frees nothing, stays empty.
	opt.ValueThreshold = 1 << 20
	opt.NumCompactors = 2
	opt.NumLevelZeroTables = 3
	opt.NumLevelZeroTablesStall = 8
	return opt
}

// quiet passes Badger's warnings and errors on and its chatter at debug level.
type quiet struct{ log *slog.Logger }

func (q quiet) Errorf(format string, args ...any)   { q.say(slog.LevelError, format, args) }
func (q quiet) Warningf(format string, args ...any) { q.say(slog.LevelWarn, format, args) }
func (q quiet) Infof(format string, args ...any)    { q.say(slog.LevelDebug, format, args) }
func (q quiet) Debugf(format string, args ...any)   { q.say(slog.LevelDebug, format, args) }

func (q quiet) say(level slog.Level, format string, args []any) {
	if q.log.Enabled(context.Background(), level) {
		q.log.Log(context.Background(), level, "badger: "+strings.TrimSpace(fmt.Sprintf(format, args...)))
	}
}
