package page

import "testing"

// TestRemovalIsForReferencesOnly: a record that says something of its own is never
// removed by one click, whatever the check says of it.
func TestRemovalIsForReferencesOnly(t *testing.T) {
	for _, c := range []struct {
		code, table string
		want        bool
	}{
		{"fitment-absent", "fitments", true}, {"unknown-id", "fitments", true}, {"unknown-id", "offers", true}, {"disturbance-self", "disturbances", true},
		{"unknown-id", "parts", false}, {"unknown-id", "variants", false}, {"duplicate-number", "parts", false}, {"tooth-sum", "variants", false},
	} {
		if got := removal(&ProblemRow{Code: c.code, Table: c.table}); got != c.want {
			t.Errorf("%s in %s: removal is %v", c.code, c.table, got)
		}
	}
}
