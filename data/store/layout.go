package store

import (
	"encoding/hex"
	"fmt"
	"strconv"
	"strings"

	"layshaft/catalog"
)

// Key layout. Numbers are 16 hexadecimal digits, so that byte order is numeric
// order. Identifiers of ours have no '/'; free text inside catalogue keys has it
// escaped by the record itself.
//
//	m/format                 layout version
//	m/seq                    number of the last edit; every commit writes it
//	c/cur                    current catalogue generation
//	c/rev                    number of the last edit of the catalogue
//	c/<gen>/<table>/<key>    one catalogue record
//	j/<job>/<table>          a job's records of one table, by key
//	j/<job>/kit-lists/<id>   one kit list: they are large
//	n/<job>                  number of the job's last edit
//	e/<rev>                  one edit
//	r/<request>              number of the edit that a request made
//	f/last                   number of the newest change of the feed of shortages
//	f/s/<shortage>           the newest change of one shortage
//	a/g/<id>                 one grant of access
//	a/n/<time><random>       one note of the audit log, newest first
const (
	keyFormat     = "m/format"
	keySeq        = "m/seq"
	keyGeneration = "c/cur"
	keyCatalogRev = "c/rev"
	prefixCatalog = "c/"
	prefixJobs    = "j/"
	prefixJobRevs = "n/"
	prefixEdits   = "e/"
	prefixRequest = "r/"
	keyFeedLast   = "f/last"
	prefixFeed    = "f/s/"
	prefixGrants  = "a/g/"
	prefixNotes   = "a/n/"

	formatVersion = "layshaft 1"
)

func hex16(n uint64) string { return fmt.Sprintf("%016x", n) }

func parseHex16(s string) (uint64, error) {
	if len(s) != 16 {
		return 0, fmt.Errorf("not a number of 16 digits: %q", s)
	}
	return strconv.ParseUint(s, 16, 64)
}

func generationPrefix(gen uint64) string { return prefixCatalog + hex16(gen) + "/" }

func catalogKey(gen uint64, t catalog.Table, key string) string {
	return generationPrefix(gen) + string(t) + "/" + key
}

func editKey(rev uint64) string { return prefixEdits + hex16(rev) }

// requestKey keeps any text of a caller as a key.
func requestKey(request string) string { return prefixRequest + hex.EncodeToString([]byte(request)) }

// jobKey is where a job's record lives, and whether the key holds a group.
func jobKey(job string, t catalog.Table, key string) (k string, group bool) {
	if t == tableKitLists {
		return prefixJobs + job + "/" + string(t) + "/" + strings.TrimPrefix(key, job+"/"), false
	}
	return prefixJobs + job + "/" + string(t), true
}

// splitJobKey is the inverse of jobKey: the job, and the table.
func splitJobKey(k string) (job string, t catalog.Table, ok bool) {
	rest, ok := strings.CutPrefix(k, prefixJobs)
	if !ok {
		return "", "", false
	}
	parts := strings.SplitN(rest, "/", 3)
	if len(parts) < 2 {
		return "", "", false
	}
	return parts[0], catalog.Table(parts[1]), true
}
