package kitlist

import (
	"unicode"
	"unicode/utf8"
)

// class is what an atom is made of.
type class uint8

const (
	cLetters class = iota
	cDigits
	cSpace
	cPunct
	cBad // broken UTF-8, control and format characters: kept, never read
)

// atom is the smallest thing told apart: a run of letters, of ASCII digits, of blanks, or one other character.
type atom struct {
	text       string // folded
	start, end int32
	width      int32 // of blanks, in characters
	class      class
	role       role
	group      int32     // atoms of one find share a group; 0 none
	word       *wordInfo // of letters
}

// role is Role as a small number, with none for what no scanner has claimed.
type role uint8

const (
	none role = iota
	rCount
	rPack
	rNumber
	rDesignation
	rSize
	rThread
	rTeeth
	rWords
	rPrice
	rFlag
	rPlace
	rMarker
	rSpace
	rPunct
	rNoise
)

var roles = [...]Role{none: RoleWords, rCount: RoleCount, rPack: RolePack, rNumber: RoleNumber, rDesignation: RoleDesignation,
	rSize: RoleSize, rThread: RoleThread, rTeeth: RoleTeeth, rWords: RoleWords, rPrice: RolePrice, rFlag: RoleFlag,
	rPlace: RolePlace, rMarker: RoleMarker, rSpace: RoleSpace, rPunct: RolePunct, rNoise: RoleNoise}

// lex appends the atoms of lower[from:to], which holds no line end.
func lex(lower string, from, to int, out []atom) []atom {
	for i := from; i < to; {
		j, c := run(lower, i, to)
		a := atom{start: int32(i), end: int32(j), class: c}
		if c == cSpace {
			a.text, a.width = " ", int32(utf8.RuneCountInString(lower[i:j]))
		} else if c != cBad {
			a.text = foldAtom(lower, i, j)
		}
		out = append(out, a)
		i = j
	}
	return out
}

// foldAtom avoids an allocation for plain ASCII, the usual case.
func foldAtom(lower string, i, j int) string {
	for k := i; k < j; k++ {
		if lower[k] >= utf8.RuneSelf {
			return Fold(lower[i:j])
		}
	}
	return lower[i:j]
}

// run gives the end and class of the atom that starts at i.
func run(text string, i, to int) (int, class) {
	c, n := classAt(text[i:to])
	j := i + n
	if c == cPunct || text[i] == '\t' {
		return j, c
	}
	for j < to {
		d, n := classAt(text[j:to])
		if d != c || text[j] == '\t' {
			break
		}
		j += n
	}
	return j, c
}

// classAt gives the class and width of the first character.
func classAt(s string) (class, int) {
	switch b := s[0]; {
	case '0' <= b && b <= '9':
		return cDigits, 1
	case 'a' <= b && b <= 'z' || 'A' <= b && b <= 'Z':
		return cLetters, 1
	case b == ' ' || b == '\t':
		return cSpace, 1
	case b < ' ' || b == 0x7f:
		return cBad, 1
	case b < utf8.RuneSelf:
		return cPunct, 1
	}
	r, n := utf8.DecodeRuneInString(s)
	switch {
	case r == utf8.RuneError && n == 1, unicode.Is(unicode.C, r):
		return cBad, n
	case r == '×' || unicode.IsLetter(r) || unicode.Is(unicode.M, r):
		return cLetters, n
	case '０' <= r && r <= '９':
		return cDigits, n
	case unicode.IsSpace(r):
		return cSpace, n
	}
	return cPunct, n
}
