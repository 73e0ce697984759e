package kitlist

import "strings"

// ColumnKind says what the cells under a column head hold: number, words, qty,
// ordered, supplied, pack, pieces, unit, price, total, row or note; false for a
// head that no word list knows.
func ColumnKind(head string) (string, bool) {
	head = strings.Join(strings.Fields(Fold(head)), " ")
	return words().headKind(strings.Trim(head, `"*_ `))
}
