package page

import (
	_ "embed"
	"encoding/json"
)

// wordsFile is every text that the pages show, by key: the one file to translate.
// "one form|other form" are the two forms that many picks from.
//
//go:embed words.json
var wordsFile []byte

var words = readWords(wordsFile)

// readWords reads the file built into the program; a test reads it first.
func readWords(file []byte) map[string]string {
	var out map[string]string
	if err := json.Unmarshal(file, &out); err != nil {
		panic("words.json: " + err.Error())
	}
	return out
}
