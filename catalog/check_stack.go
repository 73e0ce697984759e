package catalog

import (
	"slices"
	"strings"

	"layshaft/catalog/quantity"
)

// checkStacks reports select-fit recipes that can't be carried out.
func checkStacks(k *checkup) {
	for _, s := range sorted(k.c.Stacks) {
		p, ok := k.ix.Position(s.Family, s.Position)
		if !ok {
			continue // an unknown id
		}
		if p.Life != SelectFit {
			k.severe(s, fault{"stack-position", "position", "Give the position the life policy select-fit, or name another"},
				"%s is set by this stack, but its life policy is %s.", p.Name, p.Life)
		}
		if slices.Contains(s.Members, s.Position) {
			k.severe(s, fault{"stack-position", "members", "Leave the set part out of the members"}, "%s sets the stack and is a member of it.", p.Name)
		}
		if k.stackWindow(s) {
			k.stackGrades(s)
		}
	}
}

// stackWindow holds the target window; false when there is no usable one.
func (k *checkup) stackWindow(s *Stack) bool {
	at := func(field string) fault {
		return fault{"stack-window", field, "Correct the window by the shop's own records"}
	}
	if s.Method == MethodTorque {
		if s.TorqueMin > s.TorqueMax || s.TorqueMax <= 0 || s.TorquePerGrade <= 0 {
			k.severe(s, at("torqueMin"), "The turning torque window is %v to %v with %v a grade.", s.TorqueMin, s.TorqueMax, s.TorquePerGrade)
			return false
		}
		return true
	}
	switch {
	case s.Min > s.Max:
		k.severe(s, at("min"), "The window is upside down: %v to %v.", s.Min, s.Max)
	case s.Aim < s.Min || s.Aim > s.Max:
		k.severe(s, at("aim"), "The aim %v is outside the window %v to %v.", s.Aim, s.Min, s.Max)
	default:
		return true
	}
	return false
}

// stackGrades holds that the grades of every variant leave no room that none
// of them brings into the window.
func (k *checkup) stackGrades(s *Stack) {
	for _, v := range k.ix.VariantsOf(s.Family) {
		if !k.ix.Has(v.ID, s.Position) {
			continue
		}
		grades := k.grades(v, s)
		field := "variant " + string(v.ID)
		switch {
		case len(grades) == 0:
			k.hint(s, fault{"stack-no-grades", field, "Add the grades as parts with a thickness that fit the position"}, "No grade with a known thickness fits.")
		case s.Method == MethodTorque:
			if s.TorquePerGrade > s.TorqueMax-s.TorqueMin {
				k.hint(s, fault{"stack-grades", field, "Add grades between or widen the window"},
					"One grade changes the turning torque by %v, more than the window's width.", s.TorquePerGrade)
			}
		default:
			k.gradeSteps(s, field, grades)
		}
	}
}

// grades are the thicknesses that fit the position, thinnest first.
func (k *checkup) grades(v *Variant, s *Stack) (out []quantity.Length) {
	for _, f := range k.ix.Fits(v.ID, s.Position) {
		if a, ok := k.ix.Attribute(f.Part, KeyThickness, ""); ok && a.Value.Length() > 0 {
			out = append(out, a.Value.Length())
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// maxReach bounds the sums of shims that are tried.
const maxReach = 1 << 16

// gradeSteps reports steps between neighbouring thicknesses wider than the
// window: a room in between suits neither the one nor the other.
func (k *checkup) gradeSteps(s *Stack, field string, grades []quantity.Length) {
	reach := reachable(grades, s)
	var gaps []string
	for i := 1; i < len(reach); i++ {
		if reach[i]-reach[i-1] > s.Max-s.Min {
			gaps = append(gaps, reach[i-1].String()+" to "+reach[i].String())
		}
	}
	if len(gaps) > 0 {
		k.hint(s, fault{"stack-grades", field, "Add grades between"},
			"The window is %v wide, narrower than %s between grades: %s.", s.Max-s.Min, steps(len(gaps)), strings.Join(gaps, ", "))
	}
}

func steps(n int) string {
	if n == 1 {
		return "a step"
	}
	return "steps"
}

// reachable lists the thicknesses that up to MaxCount shims give together, from
// the thinnest to the thickest single one.
func reachable(grades []quantity.Length, s *Stack) []quantity.Length {
	all := slices.Clone(grades)
	sums := grades
	for range min(s.MaxCount, 8) - 1 {
		var next []quantity.Length
		for _, have := range sums {
			for _, g := range grades {
				if s.Thinnest > 0 && g < s.Thinnest {
					continue
				}
				if sum := have + g; sum <= grades[len(grades)-1] {
					next = append(next, sum)
				}
			}
		}
		slices.Sort(next)
		sums = slices.Compact(next)
		all = append(all, sums...)
		if len(all) > maxReach {
			break
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}
