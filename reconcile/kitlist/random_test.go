package kitlist

import (
	"math/rand/v2"
	"strings"
	"testing"
)

// pieces are what lists are made of; put together at random they reach corners that letters at random do not.
var pieces = []string{"2x ", "6207 ", "now 4471 ", "ex 12-34 ", "(", ")", ", ", "1/2 ", "30x", "40 60 10 ", "seal ", "keys 9 ", "& ",
	"a seal and ", "18.40 ", "1.234,", "M8x", "3/4 ", "with ", "not incl ", "x2 ", "set of 3 ", "1-2 ", "5th ", ".05", "all 3 hubs ",
	"KW ", "12 ", "l0 ", "o", "or ", "front and rear ", "HK ", "Page 1/2 ", "; ", "...", ">", "\n", "\t", "|", "\n   ", "total ", "£",
	"\n- ", "1. ", "shim ", "-", "/", ",", "\"", "2 of each", "pr ", "rollers ", "2 x 21", "M30x1,5 LH", "29T", "z=", "K 30x35x17",
	"Qty\t", "Ref\t", "Price\n", "no ", "BEARINGS\n", ":", "early ", "late ", "×", "½", "\xff", "\u202e", "\r\n", "half a dozen ", "one "}

func TestRandomPieces(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	rounds := 20_000
	if testing.Short() {
		rounds = 2_000
	}
	for range rounds {
		var b strings.Builder
		for range 1 + r.IntN(12) {
			b.WriteString(pieces[r.IntN(len(pieces))])
		}
		s := b.String()
		func() {
			defer func() {
				if p := recover(); p != nil {
					t.Errorf("%q: %v", s, p)
				}
			}()
			if err := Read(s, Options{}).Check(); err != nil {
				t.Errorf("%q: %v", s, err)
			}
		}()
	}
}
