package catalog

// IDPattern is what identifiers look like, as a regular expression.
const IDPattern = `^[a-z0-9][a-z0-9._-]*$`

// IDRule says in words what identifiers look like.
const IDRule = "use small letters a to z, digits, '-', '_' and '.', beginning with a letter or digit, at most 64"

const maxID = 64

// ValidID reports whether s may be an identifier: it matches IDPattern and is
// at most 64 bytes long, so that compound keys stay unambiguous.
func ValidID(s string) bool {
	if s == "" || len(s) > maxID {
		return false
	}
	for i := range len(s) {
		switch c := s[i]; {
		case c >= 'a' && c <= 'z', c >= '0' && c <= '9':
		case i > 0 && (c == '-' || c == '_' || c == '.'):
		default:
			return false
		}
	}
	return true
}
