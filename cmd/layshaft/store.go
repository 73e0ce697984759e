package main

import (
	"errors"
	"log/slog"
	"slices"
	"strings"

	"layshaft/catalog"
	"layshaft/data/kv"
	"layshaft/data/kv/badgerkv"
	"layshaft/data/store"
)

// dataFlag names the data folder of a shop.
type dataFlag struct {
	Data string `required:"" placeholder:"DIR" env:"LAYSHAFT_DATA" help:"Data folder of the shop; made when it does not exist. One process at a time uses it."`

	// scratch: the folder goes away with the process, so that no room is set aside.
	scratch bool
}

// open opens the store; the caller closes it.
func (d dataFlag) open(a *app) (*store.Store, error) {
	log := slog.New(slog.NewTextHandler(a.errs.w, &slog.HandlerOptions{Level: slog.LevelWarn}))
	opt := badgerkv.Options{Dir: d.Data, Logger: log}
	if d.scratch {
		opt.Ballast = -1
	}
	engine, err := badgerkv.Open(opt)
	if err != nil {
		return nil, storeError(d.Data, err)
	}
	s, err := store.Open(a.ctx, engine, log)
	if err != nil {
		return nil, storeError(d.Data, errors.Join(err, engine.Close()))
	}
	return s, nil
}

// storeError gives an engine's error the code that its exit status follows from.
func storeError(place string, err error) error {
	code := catalog.CodeOf(err)
	for _, known := range []struct {
		kind error
		code catalog.Code
	}{{kv.ErrCorrupt, catalog.CodeCorrupt}, {kv.ErrFull, catalog.CodeFull}, {kv.ErrUnavailable, catalog.CodeUnavailable},
		{kv.ErrUnknown, catalog.CodeUnknown}, {kv.ErrConflict, catalog.CodeConflict}} {
		if errors.Is(err, known.kind) {
			code = known.code
		}
	}
	return &catalog.Error{Code: code, Place: place, Message: err.Error(), Cause: err}
}

// variable of the environment; empty when it is not set. The last one counts.
func (a *app) variable(name string) string {
	for _, v := range slices.Backward(a.env) {
		if value, ok := strings.CutPrefix(v, name+"="); ok {
			return value
		}
	}
	return ""
}
