package drawing

import (
	"fmt"
	"sync"
	"testing"

	"layshaft/catalog"
)

// TestAlbumDrawsTheSame: kept or not, a picture is what Draw makes of it, also of
// another index of the same revision, by many at once.
func TestAlbumDrawsTheSame(t *testing.T) {
	var album Album
	for range 2 {
		ix := shop(t)
		var done sync.WaitGroup
		for n, state := range States {
			for _, o := range []Options{
				{}, {Form: Narrow, Prefix: "nar-"}, {Form: Print, Current: "gear-2nd"}, {Shaft: "main"},
				{Href: func(id catalog.PositionID) string { return fmt.Sprint("/x/", n, "/", id) }, ShaftHref: func(s string) string { return fmt.Sprint("?", n, s) }},
			} {
				o.States = map[catalog.PositionID]State{"gear-2nd": state, "main-shim": States[0]}
				for _, v := range []catalog.VariantID{"", "bw76-lw2", "bw76-ew2"} {
					done.Go(func() {
						if got, want := album.SVG(ix, "bw76", v, o), Draw(ix, "bw76", v, o).SVG(); got != want {
							t.Errorf("%q %s %+v: another picture", v, state, o.Form)
						}
					})
				}
			}
		}
		done.Wait()
	}
}

// TestAlbumIsBounded: odd requests do not pile up.
func TestAlbumIsBounded(t *testing.T) {
	var album Album
	ix := shop(t)
	for i := range 3 * maxPlates {
		album.SVG(ix, "none", "", Options{Prefix: fmt.Sprint(i)})
		if n := len(album.plates); n > maxPlates {
			t.Fatalf("%d pictures are kept", n)
		}
	}
}

func BenchmarkAlbum(b *testing.B) {
	ix := shop(b)
	var album Album
	for b.Loop() {
		album.SVG(ix, "bw76", "bw76-lw2", Options{})
	}
}
