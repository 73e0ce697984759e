package store

import (
	"errors"

	"layshaft/catalog"
	"layshaft/data/kv"
)

// asDomain turns an engine's error into one that a caller can act upon.
func asDomain(err error) error {
	if err == nil {
		return nil
	}
	var ours *catalog.Error
	if errors.As(err, &ours) {
		return err
	}
	wrap := func(code catalog.Code, message, remedy string) error {
		return &catalog.Error{Code: code, Place: "store", Message: message, Remedy: remedy, Cause: err}
	}
	switch {
	case errors.Is(err, kv.ErrTooLarge):
		return wrap(catalog.CodeTooLarge, "the change is too large for one edit", "Change less at a time")
	case errors.Is(err, kv.ErrFull):
		return wrap(catalog.CodeFull, "the disk is too full to store anything", "Free some space; nothing was lost")
	case errors.Is(err, kv.ErrCorrupt):
		return wrap(catalog.CodeCorrupt, "stored data is damaged", "Stop and restore the last good copy")
	case errors.Is(err, kv.ErrUnavailable):
		return wrap(catalog.CodeUnavailable, "the store is not available, nothing was stored", "Try again")
	case errors.Is(err, kv.ErrUnknown):
		return wrap(catalog.CodeUnknown, "it is not known whether the change was stored", "Send the same request id again")
	}
	return err
}

// damaged says which stored value cannot be read.
func damaged(key string, err error) error {
	return &catalog.Error{Code: catalog.CodeCorrupt, Place: "record " + key, Message: "stored data is damaged",
		Remedy: "Stop and restore the last good copy", Cause: err}
}
