package recipe

import (
	"slices"
	"strings"

	"mahlstick/recipe/formula"
	"mahlstick/recipe/source"
)

// scope is the names that the formulas of one notebook may use.
type scope struct {
	values map[string]formula.Value
	places map[string]source.Place
	// alias are first words that stand for others: "brush" for "fine_sable".
	alias map[string]string
	// owners are the first words of the names.
	owners map[string]bool
	// ill are names whose values have problems that were reported: nothing is
	// to be said about those who need them.
	ill map[string]bool
}

// newScope makes room for about that many names.
func newScope(names int) *scope {
	return &scope{make(map[string]formula.Value, names), make(map[string]source.Place, names), map[string]string{}, map[string]bool{}, map[string]bool{}}
}

// Canonical gives the full name that a name stands for.
func (s *scope) Canonical(name string) string {
	head, rest, dotted := strings.Cut(name, ".")
	full, ok := s.alias[head]
	switch {
	case !ok:
		return name
	case dotted:
		return full + "." + rest
	}
	return full
}

// Lookup gives the value of a name.
func (s *scope) Lookup(name string) (formula.Value, bool) {
	v, ok := s.values[s.Canonical(name)]
	return v, ok
}

// Names lists all names, sorted, with those under aliases.
func (s *scope) Names() []string {
	var out []string
	for name := range s.values {
		out = append(out, name)
		head, rest, dotted := strings.Cut(name, ".")
		for alias, full := range s.alias {
			if full == head && alias != head && dotted {
				out = append(out, alias+"."+rest)
			}
		}
	}
	slices.Sort(out)
	return out
}

// PlaceOf tells where a name was defined.
func (s *scope) PlaceOf(name string) source.Place { return s.places[s.Canonical(name)] }

func (s *scope) set(name string, v formula.Value, at source.Place) {
	s.values[name] = v
	owner, _, _ := strings.Cut(name, ".")
	s.owners[owner] = true
	s.places[name] = at
}
