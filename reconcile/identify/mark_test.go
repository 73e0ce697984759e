package identify

import "testing"

func TestSameMark(t *testing.T) {
	for _, tt := range []struct {
		got, want string
		same      bool
	}{
		{"6207", "6207-2RS C3", true},     // read in part
		{"6207 DDU", "6207-2RS", true},    // two writings of two contact seals
		{"6207-2RS/C3", "6207 ZZ", true},  // renewed with other seals
		{"6207nr", "6207 NR", true},       // one writing folded
		{"6207 N", "6207-2RS", false},     // a groove is seen on the ring
		{"6207 NR", "6207-2RS C3", false}, // so is a ring
		{"6208", "6207", false},           // another size
		{"6307-2RS", "6207-2RS", false},   // another series
		{"32207", "6207", false},          // another kind
		{"HK 1612", "hk1612", true},       // a needle bearing
		{"cast 4711", "CAST-4711", true},  // no bearing at all
		{"cast 4711", "cast 4712", false}, //
	} {
		if sameMark(tt.got, tt.want) != tt.same || sameMark(tt.want, tt.got) != tt.same {
			t.Errorf("%q and %q: want %v", tt.got, tt.want, tt.same)
		}
	}
}
