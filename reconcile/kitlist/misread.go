package kitlist

import "strings"

// A count that was misread shows only in the whole list: where most lines open with a number, a lone "l" or "I" before a
// word is the number 1, and "I2" is 12.

// maxLead is the longest count at the start of a line.
const maxLead = 3

// countsLead says that most lines open with a count, some of them misread.
func countsLead(b []byte) bool {
	lines, right, misread := 0, 0, 0
	for i := 0; i < len(b); {
		end := i + 1
		for end < len(b) && b[end-1] != '\n' {
			end++
		}
		switch digits, letters := leadToken(b, i); {
		case letters > 0:
			misread++
			lines++
		case digits > 0:
			right++
			lines++
		case strings.TrimSpace(string(b[i:end])) != "":
			lines++
		}
		i = end
	}
	return right >= 2 && misread > 0 && (right+misread)*10 >= lines*6
}

// leadToken counts the digits, and the letters that stand for digits, of a token at i that a blank and a letter follow;
// none when the token holds anything else.
func leadToken(b []byte, i int) (digits, letters int) {
	j := i
	for ; j < len(b) && j-i < maxLead && b[j] != ' '; j++ {
		switch {
		case numeric(b[j]):
			digits++
		case strings.IndexByte("il|", b[j]) >= 0 || b[j] == 'o' && j > i:
			letters++
		default:
			return 0, 0
		}
	}
	for k := j; k < len(b) && b[k] == ' '; k++ {
		if k+1 < len(b) && alnum(b[k+1]) {
			return digits, letters
		}
	}
	return 0, 0
}

func lineStart(b []byte, i int) bool { return i == 0 || b[i-1] == '\n' }

// misreadLead puts digits for the letters of a count at i.
func misreadLead(b []byte, i int) bool {
	_, letters := leadToken(b, i)
	if letters == 0 {
		return false
	}
	for ; b[i] != ' '; i++ {
		if !numeric(b[i]) {
			b[i] = confused[rune(b[i])]
		}
	}
	return true
}
