package resolve

import (
	"maps"
	"slices"
	"strings"

	"mahlstick/recipe/binding"
	"mahlstick/recipe/formula"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/source"
)

// scope holds the names that the formulas of one notebook may use.
type scope struct {
	values map[string]formula.Value
	places map[string]source.Place
	// alias maps a first word to the one it stands for: "brush" to "fine_sable".
	alias map[string]string
	// owners holds the first words of all names.
	owners map[string]bool
	// unresolved holds names whose values have problems that were reported:
	// formulas that need them are not reported again.
	unresolved map[string]bool
}

// newScope is an empty scope with room for about this many names.
func newScope(names int) *scope {
	return &scope{make(map[string]formula.Value, names), make(map[string]source.Place, names), map[string]string{}, map[string]bool{}, map[string]bool{}}
}

// Canonical returns the full form of a name.
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

// Lookup returns the value of a name.
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

// PlaceOf is where a name was defined.
func (s *scope) PlaceOf(name string) source.Place { return s.places[s.Canonical(name)] }

func (s *scope) set(name string, v formula.Value, at source.Place) {
	s.values[name] = v
	owner, _, _ := strings.Cut(name, ".")
	s.owners[owner] = true
	s.places[name] = at
}

// initialScope gathers the names that are known before any formula of the notebook
// is evaluated.
func (r *resolver) initialScope() *scope {
	count := 12 * len(r.nb.Definitions) // a definition has about 12 rows; only memory depends on it
	for _, fence := range r.nb.Doc.Fences {
		count += len(fence.Lines)
	}
	s := newScope(count)
	r.enterLinked(s)
	for _, d := range r.nb.Definitions {
		if d.Base != nil {
			s.enter(r.values, d)
		} else {
			s.enterRows(r.values, d)
		}
	}
	for _, word := range kinds {
		if names := namesOf(r.nb, word); len(names) == 1 {
			s.alias[strings.ToLower(word)] = names[0]
		}
	}
	return s
}

// kinds lists the sections that formulas may call by their word ("brush") if
// there is only one of the kind.
var kinds = [...]string{schema.Sheet, schema.Machine, schema.Brush, schema.InkSection}

// enterLinked adds the names that the linked notebooks define.
func (r *resolver) enterLinked(s *scope) {
	own := map[string]bool{}
	for _, d := range r.nb.Definitions {
		own[d.Name] = true
	}
	from := map[string]*binding.Definition{}
	for _, linked := range r.nb.Linked {
		for _, d := range linked.Definitions {
			if d.Section == nil {
				continue
			}
			before := from[d.Name]
			switch {
			case before == nil:
				from[d.Name] = d
				if !own[d.Name] {
					s.enter(r.values, d)
				}
			case before.Base == d || d.Base == before: // the same, with further rows
			default:
				r.problems.Add(problem.Problem{Code: problem.DefinedTwice, Place: d.Place, Fix: problem.Advise("give one of them another name"),
					Message: "two notebooks of this job define " + quote(d.Name), Related: []problem.Related{{Place: before.Place, Note: "the other"}}})
			}
		}
		values := r.values.notebooks[linked]
		// Of those that have a value, the next loop sets it: then this has no effect.
		for _, f := range values.formulas {
			s.unresolved[linked.Name+"."+f.Name] = true
		}
		for _, name := range slices.Sorted(maps.Keys(values.exports)) {
			if _, taken := s.values[name]; !taken {
				s.set(name, values.exports[name], values.places[name])
			}
		}
	}
}

// enter adds the rows of a definition and its curve.
func (s *scope) enter(v *Values, d *binding.Definition) {
	s.enterRows(v, d)
	if curve := v.curves[d]; curve != nil && curve.Fit != nil {
		s.set(d.Name, curve.value, d.Place)
	}
}

// enterRows adds the rows whose values are known already.
func (s *scope) enterRows(v *Values, d *binding.Definition) {
	for i := range d.Schema.Rows {
		field := &d.Schema.Rows[i]
		name := binding.FullName(d.Name, field.Word)
		if field.Kind != schema.Quantity || name == "" {
			continue
		}
		place := source.Place{}
		c, stater := d.Find(field.Word)
		if c != nil {
			place = c.Source.Place
			if c.Formula != nil && stater == d && !v.Known(c) {
				continue // its formula is evaluated later
			}
		}
		if q, ok := v.Row(d, field.Word); ok {
			s.set(name, formula.OfQuantity(q), place)
		} else if c != nil || field.Required || d.AbsenceReported(field.Word) {
			s.unresolved[name] = true
		}
	}
}

// enterMeasured adds the rows whose values come from readings.
func (s *scope) enterMeasured(v *Values, d *binding.Definition) {
	for word := range v.measured[d] {
		name := binding.FullName(d.Name, word)
		if c, _ := d.Find(word); c != nil || name == "" {
			continue
		}
		q, _ := v.Row(d, word)
		s.set(name, formula.OfQuantity(q), d.Place)
		delete(s.unresolved, name)
	}
}

// namesOf lists the names of the definitions of a kind in a notebook or, if it
// has none, in the notebooks that it links.
func namesOf(nb *binding.Notebook, word string) []string {
	var own, linked []string
	for _, d := range nb.Definitions {
		if d.Schema.Word == word {
			own = append(own, d.Name)
		}
	}
	for _, other := range nb.Linked {
		for _, d := range other.Definitions {
			if d.Schema.Word == word && d.Section != nil {
				linked = append(linked, d.Name)
			}
		}
	}
	if len(own) > 0 {
		return own
	}
	slices.Sort(linked)
	return slices.Compact(linked)
}
