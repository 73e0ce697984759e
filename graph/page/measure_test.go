package page_test

import (
	"net/url"
	"regexp"
	"strings"
	"testing"
)

// TestPicture: the gearbox stands on the sheets that promise it, without inline
// style, and its shapes lead to places that are there.
func TestPicture(t *testing.T) {
	s := open(t)
	for _, path := range []string{"/jobs/7202", "/jobs/7202/decisions", "/catalogue/variants/bw76-ew2"} {
		text := s.get(t, path, 200)
		wants(t, text, `class="ly ly-sheet"`, `class="ly ly-narrow"`, `class="ly ly-print"`)
		if strings.Contains(text, " style=") {
			t.Errorf("%s: inline style", path)
		}
	}
	text := s.get(t, "/jobs/7202/decisions", 200)
	for _, m := range regexp.MustCompile(`class="ly-i[^>]* href="#([^"]+)"`).FindAllStringSubmatch(text, -1) {
		if !strings.Contains(text, `id="`+m[1]+`"`) {
			t.Errorf("a shape leads to %q, which is not on the sheet", m[1])
		}
	}
}

// TestMeasureSheets opens every stack that the demo's jobs offer, with a hostile
// reading besides; nothing fails and nothing becomes markup.
func TestMeasureSheets(t *testing.T) {
	s := open(t)
	seen := 0
	for _, job := range []string{"7201", "7202", "7203", "7204"} {
		list := s.get(t, "/jobs/"+job+"/measure", 200)
		for _, m := range regexp.MustCompile(`href="(/jobs/\d+/measure/[^"]+)"`).FindAllStringSubmatch(list, -1) {
			seen++
			text := s.get(t, m[1], 200)
			name := regexp.MustCompile(`name="(r\.[^"]+)"`).FindStringSubmatch(text)
			if name == nil {
				t.Errorf("%s asks for no reading", m[1])
				continue
			}
			text = s.get(t, m[1]+"?unit=mm&"+url.QueryEscape(name[1])+"="+url.QueryEscape(`<script>alert(1)</script>`), 200)
			wants(t, text, "st-stop")
			if strings.Contains(text, "<script>alert") {
				t.Error("hostile reading became markup")
			}
		}
	}
	if seen == 0 {
		t.Error("no job of the demo has a stack to measure")
	}
}

func TestLookUp(t *testing.T) {
	s := open(t)
	wants(t, s.get(t, "/look-up?q=6207-2RS+C3+NR", 200), "6207", "Source:")
	wants(t, s.get(t, "/look-up?seat=35+k6&bearing=6207", 200), "35.002", "35.018")
	wants(t, s.get(t, "/look-up?driving=23&driven=37", 200), "37/23")
	wants(t, s.get(t, "/look-up?q=%3Cb%3E", 200), "st-stop")
	wants(t, s.get(t, "/look-up?driving=x&driven=3", 200), "st-stop")
}
