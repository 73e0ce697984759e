package identify

import (
	"math"
	"testing"
)

func leader(t *testing.T, r Result) string {
	t.Helper()
	v, ok := r.Leader()
	if !ok {
		t.Fatal("no leader")
	}
	return string(v.ID)
}

func TestCleanCountsNameTheVariant(t *testing.T) {
	ix := exampleIndex()
	r := Run(ix, Input{Evidence: mustParse(ix, "in-drive=22", "cs-drive=32", "m2=32", "c2=21")})
	if got := leader(t, r); got != "b" || r.Ranked[0].Posterior < 0.99 || len(r.Contradictions) > 0 || len(r.Problems) > 0 {
		t.Errorf("leader %s %+v", got, r)
	}
	if got := r.Ranked[0].Speeds[1].Ratio.String(); got != "512/231" {
		t.Errorf("2nd speed of b is %s", got)
	}
	if got := r.Ranked[0].Speeds[3].Ratio.String(); got != "1/1" {
		t.Errorf("direct speed is %s", got)
	}
	sum := r.None
	for _, v := range r.Ranked {
		sum += v.Posterior
	}
	if math.Abs(sum-1) > 1e-12 {
		t.Errorf("probabilities add up to %v", sum)
	}
}

func TestTwinsAreOneGroup(t *testing.T) {
	ix := exampleIndex()
	r := Run(ix, Input{Evidence: mustParse(ix, "in-drive=23", "cs-drive=31", "cable-speedo=no")})
	if len(r.Groups) == 0 || len(r.Groups[0].Variants) != 2 || !r.Groups[0].Inseparable {
		t.Errorf("groups %+v", r.Groups)
	}
	r = Run(ix, Input{Evidence: mustParse(ix, "in-drive=23", "cs-drive=31")})
	if len(r.Groups) == 0 || len(r.Groups[0].Variants) != 3 || r.Groups[0].Inseparable {
		t.Errorf("groups %+v", r.Groups)
	}
	if len(r.Next) == 0 || r.Next[0].Feature != "cable-speedo" {
		t.Errorf("next %+v", r.Next)
	}
}
