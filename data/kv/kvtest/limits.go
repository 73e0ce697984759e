package kvtest

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"maps"
	"strings"
	"testing"

	"layshaft/data/kv"
)

func many(n int) (ops []kv.Op) {
	for i := range n {
		ops = append(ops, put(fmt.Sprintf("k%03d", i), "v"))
	}
	return ops
}

func manyConds(n int) (conds []kv.Cond) {
	for i := range n {
		conds = append(conds, kv.Cond{Key: fmt.Sprintf("none%03d", i)})
	}
	return conds
}

// big is a batch of two values and a short third key, of size bytes in all.
func big(size int) []kv.Op {
	rest := size - kv.MaxValue - len("abc")
	return []kv.Op{
		{Key: "a", Value: bytes.Repeat([]byte{1}, kv.MaxValue)},
		{Key: "b", Value: bytes.Repeat([]byte{2}, rest/2)},
		{Key: "c", Value: bytes.Repeat([]byte{3}, rest-rest/2)},
	}
}

func testLimits(t *testing.T, e Engine) {
	one := []kv.Op{put("k", "v")}
	tests := []struct {
		name  string
		conds []kv.Cond
		ops   []kv.Op
		want  error // nil when it is still allowed
	}{
		{"100 operations", nil, many(100), nil},
		{"101 operations", nil, many(101), kv.ErrTooLarge},
		{"no operation", nil, nil, kv.ErrInvalid},
		{"conditions alone", manyConds(1), nil, kv.ErrInvalid},
		{"100 conditions", manyConds(100), one, nil},
		{"101 conditions", manyConds(101), one, kv.ErrTooLarge},
		{"longest key", nil, []kv.Op{put(strings.Repeat("k", kv.MaxKey), "")}, nil},
		{"key too long", nil, []kv.Op{put(strings.Repeat("k", kv.MaxKey+1), "")}, kv.ErrTooLarge},
		{"condition's key too long", []kv.Cond{{Key: strings.Repeat("k", kv.MaxKey+1)}}, one, kv.ErrTooLarge},
		{"empty key", nil, []kv.Op{put("", "v")}, kv.ErrInvalid},
		{"condition's empty key", []kv.Cond{{}}, one, kv.ErrInvalid},
		{"key twice", nil, []kv.Op{put("k", "1"), put("k", "2")}, kv.ErrInvalid},
		{"written and deleted", nil, []kv.Op{put("k", "1"), del("k")}, kv.ErrInvalid},
		{"two conditions on a key", []kv.Cond{{Key: "x"}, {Key: "x", Rev: 1}}, one, kv.ErrInvalid},
		{"delete with a value", nil, []kv.Op{{Key: "k", Value: []byte("v"), Delete: true}}, kv.ErrInvalid},
		{"largest value", nil, []kv.Op{{Key: "k", Value: make([]byte, kv.MaxValue)}}, nil},
		{"value too large", nil, []kv.Op{{Key: "k", Value: make([]byte, kv.MaxValue+1)}}, kv.ErrTooLarge},
		{"largest batch", nil, big(kv.MaxBatch), nil},
		{"batch too large", nil, big(kv.MaxBatch + 1), kv.ErrTooLarge},
		{"batch too large by its conditions", manyConds(1), big(kv.MaxBatch), kv.ErrTooLarge},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s := e.open(t)
			rev, err := s.Commit(context.Background(), test.conds, test.ops)
			if !errors.Is(err, test.want) {
				t.Fatalf("got %v, want %v", err, test.want)
			}
			all, now := content(t, s)
			if err != nil {
				if len(all) > 0 || now != 0 {
					t.Errorf("refused, but the store is at %d with %d entries", now, len(all))
				}
				return
			}
			model := map[string]string{}
			for _, c := range changes(t, s, 0, rev) {
				checkOps(t, c.Ops, test.ops)
				follow(model, c)
			}
			if !maps.Equal(all, model) {
				t.Error("snapshot and feed differ")
			}
		})
	}
	snap := snapshot(t, e.open(t))
	defer snap.Close()
	if _, _, err := snap.Get(context.Background(), ""); !errors.Is(err, kv.ErrInvalid) {
		t.Errorf("get without a key: %v", err)
	}
	if _, _, err := snap.Get(context.Background(), strings.Repeat("k", kv.MaxKey+1)); !errors.Is(err, kv.ErrTooLarge) {
		t.Errorf("get of a key too long: %v", err)
	}
}

func testNoEffect(t *testing.T, e Engine) {
	s := e.open(t)
	if rev := commit(t, s, del("a")); rev != 0 {
		t.Errorf("deleting from an empty store made revision %d", rev)
	}
	first := commit(t, s, put("a", "1"))
	if rev := commit(t, s, del("b"), del("c")); rev != first {
		t.Errorf("a batch without effect made revision %d after %d", rev, first)
	}
	second := commit(t, s, del("b"), put("a", "1"), del("c"))
	if second <= first {
		t.Errorf("writing the same value made revision %d after %d", second, first)
	}
	third := commit(t, s, del("a"))
	got := changes(t, s, 0, third)
	if len(got) != 3 {
		t.Fatalf("changes %v", got)
	}
	checkOps(t, got[1].Ops, []kv.Op{put("a", "1")})
	checkOps(t, got[2].Ops, []kv.Op{del("a")})
}
