package graph

import (
	"encoding/base64"
	"sort"

	"layshaft/catalog"
	"layshaft/graph/model"
)

const (
	defaultPage = 50
	largestPage = 200
)

// page cuts a page out of rows that are sorted by key. A cursor is the key of a
// row, so that it survives restarts and rows that come and go.
func page[T any](rows []T, key func(T) string, first *int, after *string) ([]T, *model.PageInfo, error) {
	n, err := pageSize(first)
	if err != nil {
		return nil, nil, err
	}
	start := 0
	if after != nil {
		k, err := readCursor(*after)
		if err != nil {
			return nil, nil, err
		}
		start = sort.Search(len(rows), func(i int) bool { return key(rows[i]) > k })
	}
	end := min(start+n, len(rows))
	info := &model.PageInfo{HasPreviousPage: start > 0, HasNextPage: end < len(rows)}
	if end > start {
		info.StartCursor, info.EndCursor = ptr(cursor(key(rows[start]))), ptr(cursor(key(rows[end-1])))
	}
	return rows[start:end], info, nil
}

func pageSize(first *int) (int, error) {
	switch {
	case first == nil:
		return defaultPage, nil
	case *first < 1 || *first > largestPage:
		return 0, catalog.Invalid("first", "Ask for 1 to 200 rows", "%d rows asked for", *first)
	}
	return *first, nil
}

func cursor(key string) string { return base64.RawURLEncoding.EncodeToString([]byte("k:" + key)) }

func readCursor(c string) (string, error) {
	b, err := base64.RawURLEncoding.DecodeString(c)
	if err != nil || len(b) < 2 || string(b[:2]) != "k:" {
		return "", catalog.Invalid("after", "Send a cursor that an answer gave", "not a cursor")
	}
	return string(b[2:]), nil
}

func ptr[T any](v T) *T { return &v }
