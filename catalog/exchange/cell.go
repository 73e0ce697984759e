package exchange

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// refusal says why a cell was not taken.
type refusal struct{ reason, repair string }

func refusef(repair, format string, args ...any) *refusal {
	return &refusal{reason: fmt.Sprintf(format, args...), repair: repair}
}

// fromError turns a parser's error into a refusal.
func fromError(err error) *refusal {
	var p *quantity.ParseError
	if errors.As(err, &p) {
		return &refusal{reason: p.Problem, repair: p.Remedy}
	}
	return &refusal{reason: err.Error(), repair: "see the column's type in the descriptor"}
}

// Words that both columns and messages use.
const listMark = "|"

func text[R any, T ~string](name string, at func(*R) *T) *column[R] {
	return &column[R]{
		Column: Column{Name: name, Type: TypeText},
		parse: func(_ *kinds, row *R, cell string) *refusal {
			*at(row) = T(cell)
			return nil
		},
		format: func(_ *kinds, row *R) (string, error) { return string(*at(row)), nil },
	}
}

func word[R any, T ~string](name string, at func(*R) *T, words ...T) *column[R] {
	c := text(name, at)
	c.Type = TypeWord
	for _, w := range words {
		c.Words = append(c.Words, string(w))
	}
	return c
}

func list[R any, T ~string](name string, at func(*R) *[]T) *column[R] {
	return &column[R]{
		Column: Column{Name: name, Type: TypeList},
		parse: func(_ *kinds, row *R, cell string) *refusal {
			items := strings.Split(cell, listMark)
			out := make([]T, 0, len(items))
			for _, item := range items {
				if item = strings.TrimSpace(item); item == "" {
					return refusef("remove the extra '|'", "an item of the list is empty")
				}
				out = append(out, T(item))
			}
			*at(row) = out
			return nil
		},
		format: func(_ *kinds, row *R) (string, error) {
			items := make([]string, 0, len(*at(row)))
			for _, item := range *at(row) {
				s := string(item)
				if s == "" || strings.Contains(s, listMark) || strings.TrimSpace(s) != s {
					return "", fmt.Errorf("item %q can't stand in a list: it is empty, has spaces around it or a '|' in it", s)
				}
				items = append(items, s)
			}
			return strings.Join(items, listMark), nil
		},
	}
}

// exact is a column of a quantity kept as a whole number; zero is written only
// when the column is required or shown.
func exact[R any, Q interface {
	~int64
	String() string
}](name string, typ Type, shown bool, parse func(string) (Q, error), at func(*R) *Q) *column[R] {
	c := &column[R]{Column: Column{Name: name, Type: typ}}
	c.parse = func(_ *kinds, row *R, cell string) *refusal {
		q, err := parse(cell)
		if err != nil {
			return fromError(err)
		}
		*at(row) = q
		return nil
	}
	c.format = func(_ *kinds, row *R) (string, error) {
		q := *at(row)
		if q == 0 && !shown && !c.Required {
			return "", nil
		}
		return q.String(), nil
	}
	return c
}

func length[R any](name string, at func(*R) *quantity.Length) *column[R] {
	return exact(name, TypeLength, false, quantity.ParseLength, at)
}

// shownLength writes "0 mm" where another length would leave the cell blank.
func shownLength[R any](name string, at func(*R) *quantity.Length) *column[R] {
	return exact(name, TypeLength, true, quantity.ParseLength, at)
}

func angle[R any](name string, at func(*R) *quantity.Angle) *column[R] {
	return exact(name, TypeAngle, false, quantity.ParseAngle, at)
}

func torque[R any](name string, at func(*R) *quantity.Torque) *column[R] {
	return exact(name, TypeTorque, false, quantity.ParseTorque, at)
}

// bound is a length that may be absent, which differs from 0 mm.
func bound[R any](name string, at func(*R) **quantity.Length) *column[R] {
	return &column[R]{
		Column: Column{Name: name, Type: TypeLength},
		parse: func(_ *kinds, row *R, cell string) *refusal {
			l, err := quantity.ParseLength(cell)
			if err != nil {
				return fromError(err)
			}
			*at(row) = &l
			return nil
		},
		format: func(_ *kinds, row *R) (string, error) {
			if l := *at(row); l != nil {
				return l.String(), nil
			}
			return "", nil
		},
	}
}

func parseCount(cell string, least int) (int, *refusal) {
	n, err := strconv.Atoi(cell)
	switch {
	case err != nil:
		return 0, refusef("write digits alone, without unit or decimals", "not a whole number")
	case n < least:
		return 0, refusef(fmt.Sprintf("write %d or more", least), "%d is too small", n)
	}
	return n, nil
}

func count[R any](name string, at func(*R) *int) *column[R] {
	c := &column[R]{Column: Column{Name: name, Type: TypeCount}}
	c.parse = func(_ *kinds, row *R, cell string) *refusal {
		n, bad := parseCount(cell, c.Least)
		if bad == nil {
			*at(row) = n
		}
		return bad
	}
	c.format = func(_ *kinds, row *R) (string, error) {
		if n := *at(row); n != 0 || c.Required {
			return strconv.Itoa(n), nil
		}
		return "", nil
	}
	return c
}

// told is a count that may be absent, which differs from 0.
func told[R any](name string, at func(*R) **int) *column[R] {
	return &column[R]{
		Column: Column{Name: name, Type: TypeCount},
		parse: func(_ *kinds, row *R, cell string) *refusal {
			n, bad := parseCount(cell, 0)
			if bad == nil {
				*at(row) = &n
			}
			return bad
		},
		format: func(_ *kinds, row *R) (string, error) {
			if n := *at(row); n != nil {
				return strconv.Itoa(*n), nil
			}
			return "", nil
		},
	}
}

func parseYesNo(cell string) (bool, *refusal) {
	switch strings.ToLower(cell) {
	case "yes", "true", "1":
		return true, nil
	case "no", "false", "0":
		return false, nil
	}
	return false, refusef("write yes or no", "neither yes nor no")
}

func yesNo[R any](name string, at func(*R) *bool) *column[R] {
	return &column[R]{
		Column: Column{Name: name, Type: TypeYesNo},
		parse: func(_ *kinds, row *R, cell string) *refusal {
			b, bad := parseYesNo(cell)
			*at(row) = b
			return bad
		},
		format: func(_ *kinds, row *R) (string, error) {
			if *at(row) {
				return "yes", nil
			}
			return "", nil
		},
	}
}

func money[R any](name string, at func(*R) *quantity.Money) *column[R] {
	return &column[R]{
		Column: Column{Name: name, Type: TypeMoney},
		parse: func(_ *kinds, row *R, cell string) *refusal {
			m, err := quantity.ParseMoney(cell)
			if err != nil {
				return fromError(err)
			}
			*at(row) = m
			return nil
		},
		format: func(_ *kinds, row *R) (string, error) {
			if m := *at(row); m != (quantity.Money{}) {
				return m.String(), nil
			}
			return "", nil
		},
	}
}

func lead[R any](name string, at func(*R) *quantity.LeadTime) *column[R] {
	return &column[R]{
		Column: Column{Name: name, Type: TypeLead},
		parse: func(_ *kinds, row *R, cell string) *refusal {
			l, err := quantity.ParseLeadTime(cell)
			if err != nil {
				return fromError(err)
			}
			*at(row) = l
			return nil
		},
		format: func(_ *kinds, row *R) (string, error) { return at(row).String(), nil },
	}
}

func date[R any](name string, at func(*R) *quantity.Date) *column[R] {
	return &column[R]{
		Column: Column{Name: name, Type: TypeDate},
		parse: func(_ *kinds, row *R, cell string) *refusal {
			d, err := quantity.ParseDate(cell)
			if err != nil {
				return fromError(err)
			}
			*at(row) = d
			return nil
		},
		format: func(_ *kinds, row *R) (string, error) { return at(row).String(), nil },
	}
}

// provenance adds the columns standing and source.
func provenance[R any](at func(*R) *catalog.Provenance, cols ...*column[R]) []*column[R] {
	return append(cols,
		word("standing", func(r *R) *catalog.Standing { return &at(r).Standing },
			catalog.Standings()...),
		text("source", func(r *R) *string { return &at(r).Source }))
}
