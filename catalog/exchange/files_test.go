package exchange_test

import (
	"os"
	"testing"
)

func docFile(t *testing.T) []byte {
	t.Helper()
	data, err := os.ReadFile("doc.go")
	if err != nil {
		t.Fatal(err)
	}
	return data
}
