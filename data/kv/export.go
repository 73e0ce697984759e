package kv

import (
	"bufio"
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash"
	"io"
	"unicode/utf8"
)

// An export is JSON lines: a head, one line an entry in ascending order of
// keys, a tail with the number of entries and the SHA-256 of their lines.
// Nothing else may be in it: every line must be written exactly as this file
// writes it, so that a changed byte shows wherever it is.
const (
	exportFormat  = "layshaft-kv"
	exportVersion = 1
	// A line holds a key and a value in base64, at most about 700 KiB.
	maxExportLine = 1 << 20
)

type exportHead struct {
	Format  string `json:"format"`
	Version int    `json:"version"`
	Rev     Rev    `json:"rev"`
}

// exportEntry has the key as text where it is text; JSON cannot hold others.
type exportEntry struct {
	Key      string `json:"key,omitempty"`
	KeyBytes []byte `json:"keyBytes,omitempty"`
	Value    []byte `json:"value"`
}

type exportTail struct {
	Count  int    `json:"count"`
	Rev    Rev    `json:"rev"`
	SHA256 string `json:"sha256"`
}

// WriteExport writes all entries of a snapshot as an export. The lines of two
// stores with the same entries are the same whatever their revisions were.
func WriteExport(ctx context.Context, w io.Writer, snap Snapshot) error {
	out := bufio.NewWriterSize(w, 64<<10)
	if err := writeLine(out, nil, exportHead{exportFormat, exportVersion, snap.Rev()}); err != nil {
		return err
	}
	sum, count := sha256.New(), 0
	err := snap.Scan(ctx, "", "", func(e Entry) error {
		count++
		return writeLine(out, sum, toExport(e.Key, e.Value))
	})
	if err != nil {
		return err
	}
	if err := writeLine(out, nil, exportTail{count, snap.Rev(), hex.EncodeToString(sum.Sum(nil))}); err != nil {
		return err
	}
	return out.Flush()
}

func toExport(key string, value []byte) exportEntry {
	if utf8.ValidString(key) {
		return exportEntry{Key: key, Value: value}
	}
	return exportEntry{KeyBytes: []byte(key), Value: value}
}

func writeLine(w io.Writer, sum hash.Hash, v any) error {
	line, err := json.Marshal(v)
	if err != nil {
		return err
	}
	line = append(line, '\n')
	if sum != nil {
		sum.Write(line)
	}
	_, err = w.Write(line)
	return err
}

// ReadExport reads an export, calling fn with each entry as it comes, and
// returns the revision it was taken at. The entries are proven good only once
// ReadExport has returned without error: until then fn must put them where
// nobody reads them. Entry.Rev is the export's revision, at least 1.
//
// Errors: [ErrCorrupt] for anything but a whole, unchanged export; fn's own.
func ReadExport(ctx context.Context, r io.Reader, fn func(Entry) error) (Rev, error) {
	x := exportReader{in: bufio.NewReaderSize(r, 64<<10), sum: sha256.New()}
	head, err := x.head()
	if err != nil {
		return 0, err
	}
	rev := max(head.Rev, 1)
	for {
		if err := ctx.Err(); err != nil {
			return 0, err
		}
		line, err := x.line()
		if err != nil {
			return 0, err
		}
		if bytes.HasPrefix(line, []byte(`{"count":`)) {
			return rev, x.tail(line, head.Rev)
		}
		entry, err := x.entry(line)
		if err != nil {
			return 0, err
		}
		entry.Rev = rev
		if err := fn(entry); err != nil {
			return 0, err
		}
	}
}

type exportReader struct {
	in    *bufio.Reader
	sum   hash.Hash
	at    int // number of the line last read
	count int
	last  string // key last read
}

func (x *exportReader) damaged(format string, args ...any) error {
	return &CorruptError{
		What:   fmt.Sprintf("export, line %d: ", x.at) + fmt.Sprintf(format, args...),
		Remedy: "use another copy of the export; nothing was imported",
	}
}

// line returns the next line with its line end, valid until the next call.
func (x *exportReader) line() ([]byte, error) {
	x.at++
	var line []byte
	for {
		part, err := x.in.ReadSlice('\n')
		line = append(line, part...)
		switch {
		case err == nil:
			return line, nil
		case errors.Is(err, io.EOF):
			return nil, x.damaged("the file ends too early")
		case !errors.Is(err, bufio.ErrBufferFull):
			return nil, err
		case len(line) > maxExportLine:
			return nil, x.damaged("longer than any entry")
		}
	}
}

func (x *exportReader) head() (exportHead, error) {
	var head exportHead
	line, err := x.line()
	if err != nil {
		return head, err
	}
	if !decodeExactly(line, &head) || head.Format != exportFormat {
		return head, x.damaged("not the head of a Layshaft export")
	}
	if head.Version != exportVersion {
		return head, x.damaged("written in format version %d, this program reads version %d", head.Version, exportVersion)
	}
	return head, nil
}

func (x *exportReader) entry(line []byte) (Entry, error) {
	var e exportEntry
	if !decodeExactly(line, &e) || e.Value == nil {
		return Entry{}, x.damaged("not an entry")
	}
	key := e.Key
	if len(e.KeyBytes) > 0 {
		key = string(e.KeyBytes)
	}
	if err := checkOp(Op{Key: key, Value: e.Value}); err != nil {
		return Entry{}, x.damaged("%v", err)
	}
	if key <= x.last {
		return Entry{}, x.damaged("key %q out of order", key)
	}
	x.last = key
	x.count++
	x.sum.Write(line)
	return Entry{Key: key, Value: e.Value}, nil
}

func (x *exportReader) tail(line []byte, rev Rev) error {
	var tail exportTail
	switch {
	case !decodeExactly(line, &tail):
		return x.damaged("not the tail of an export")
	case tail.Rev != rev:
		return x.damaged("revision %d in the head, %d in the tail", rev, tail.Rev)
	case tail.Count != x.count:
		return x.damaged("%d entries, the tail says %d", x.count, tail.Count)
	case tail.SHA256 != hex.EncodeToString(x.sum.Sum(nil)):
		return x.damaged("the entries do not give the hash in the tail")
	}
	if _, err := x.in.ReadByte(); !errors.Is(err, io.EOF) {
		x.at++
		return x.damaged("something follows the tail")
	}
	return nil
}

// decodeExactly decodes a line and reports whether encoding gives it back. The
// decoder alone forgives letter case, spaces and unknown names.
func decodeExactly(line []byte, into any) bool {
	if json.Unmarshal(line, into) != nil {
		return false
	}
	again, err := json.Marshal(into)
	return err == nil && bytes.Equal(append(again, '\n'), line)
}
