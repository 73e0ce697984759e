package catalog

import "testing"

func TestNewProblems(t *testing.T) {
	at := func(key, reason string, severe bool) Problem {
		return Problem{Code: "duplicate-number", Table: TablePart, Key: key, Field: "number 1", Reason: reason, Severe: severe}
	}
	cases := []struct {
		name          string
		before, after []Problem
		want          int
	}{
		{"nothing changed", []Problem{at("a", "as b", true)}, []Problem{at("a", "as b", true)}, 0},
		{"put right", []Problem{at("a", "as b", true)}, nil, 0},
		{"brought in", nil, []Problem{at("a", "as b", true)}, 1},
		{"elsewhere", []Problem{at("a", "as b", true)}, []Problem{at("c", "as b", true)}, 1},
		{"told otherwise", []Problem{at("a", "as b", true)}, []Problem{at("a", "as c", true)}, 0},
		{"one more at one place", []Problem{at("a", "as b", true)}, []Problem{at("a", "as b", true), at("a", "as c", true)}, 1},
		{"a hint grows severe", []Problem{at("a", "as b", false)}, []Problem{at("a", "as b", true)}, 1},
		{"a hint", nil, []Problem{at("a", "as b", false)}, 0},
	}
	for _, c := range cases {
		if got := NewProblems(c.before, c.after); len(got) != c.want {
			t.Errorf("%s: %v, want %d", c.name, got, c.want)
		}
	}
}
