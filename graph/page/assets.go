package page

import (
	"crypto/sha256"
	_ "embed"
	"encoding/hex"
	"net/http"
	"slices"

	"layshaft/graph/page/drawing"
)

//go:embed page.css
var styleSheet []byte

//go:embed picture.css
var pictureSheet []byte

//go:embed paper.css
var paperSheetStyle []byte

//go:embed page.js
var module []byte

//go:embed measure.js
var measureModule []byte

// assets serves the style sheet and the module under names that carry their
// hash, so that they can be kept for ever.
type assets struct {
	style, script string // addresses
	files         map[string]asset
}

type asset struct {
	media string
	data  []byte
}

func newAssets() *assets {
	a := &assets{files: map[string]asset{}}
	a.style = a.add("page", ".css", "text/css; charset=utf-8", slices.Concat(styleSheet, []byte(drawing.CSS), pictureSheet, paperSheetStyle))
	a.script = a.add("page", ".js", "text/javascript; charset=utf-8", slices.Concat(measureModule, module))
	return a
}

func (a *assets) add(stem, ext, media string, data []byte) string {
	sum := sha256.Sum256(data)
	name := stem + "-" + hex.EncodeToString(sum[:8]) + ext
	a.files[name] = asset{media, data}
	return "/assets/" + name
}

// ServeHTTP implements http.Handler.
func (a *assets) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	f, ok := a.files[r.PathValue("name")]
	if !ok {
		http.NotFound(w, r)
		return
	}
	h := w.Header()
	h.Set("Content-Type", f.media)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Cache-Control", "public, max-age=31536000, immutable")
	_, _ = w.Write(f.data)
}
