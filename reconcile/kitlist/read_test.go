package kitlist

import "testing"

func TestReadCoversEveryByte(t *testing.T) {
	for _, s := range []string{"", "\n", "a", "> x\r\n\r\n1 Satz Lager\n", "\x00\xff\n\u202eabc", "- 2x brg 6207\n\n\n"} {
		l := Read(s, Options{})
		if err := l.Check(); err != nil {
			t.Errorf("%q: %v", s, err)
		}
	}
}
