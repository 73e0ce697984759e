package notes

// letterPairs are sides by their first letters, which mean nothing but in pairs:
// German "v+h", English "f/r", French "g et d".
var letterPairs = map[string]string{"vh": "front", "hv": "rear", "fr": "front", "rf": "rear", "gd": "left", "dg": "right"}

// sideLetter reads one letter as a side; "" when it is none.
func sideLetter(tokens []token, i int) string {
	pair := func(a, b int) string {
		if b < 0 || b >= len(tokens) || len(tokens[a].text) != 1 || len(tokens[b].text) != 1 {
			return ""
		}
		return letterPairs[tokens[a].text+tokens[b].text]
	}
	joint := func(k int) bool {
		if k < 0 || k >= len(tokens) {
			return false
		}
		switch tokens[k].text {
		case "+", "/", "&", "u", "et", "und", "and", "y":
			return true
		}
		return false
	}
	if joint(i+1) && pair(i, i+2) != "" {
		return pair(i, i+2)
	}
	if joint(i-1) && pair(i, i-2) != "" {
		return pair(i, i-2)
	}
	return map[string]string{"l": "left", "r": "right"}[tokens[i].text]
}

// handed: "l/h" is written out with its stroke.
func handed(tokens []token, i int) bool {
	return i+2 < len(tokens) && tokens[i+1].text == "/" && tokens[i+1].glued && tokens[i+2].text == "h" && tokens[i+2].glued
}
