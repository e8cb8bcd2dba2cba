package recipe

import (
	"fmt"
	"path"
	"slices"
	"strings"

	"mahlstick/recipe/binding"
	"mahlstick/recipe/resolve"
	"mahlstick/recipe/working"
)

// workings lists every formula that was evaluated: those of the notebooks in
// the order of the files, then those that the program adds for the brushes.
func workings(recipe *binding.Recipe, values *resolve.Values, derived []working.Working) []working.Working {
	var all []working.Working
	for _, nb := range recipe.Notebooks {
		results := values.Of(nb).Results
		local := map[string]bool{}
		for _, r := range results {
			local[r.Formula.Name] = true
		}
		full := func(name string) string {
			if nb.IsRecipe || name == "" || strings.Contains(name, ".") || !local[name] {
				return name
			}
			return nb.Name + "." + name
		}
		for _, r := range results {
			if !r.OK {
				continue
			}
			w := r.Working
			w.Name = full(w.Name)
			if w.Name == "" {
				w.Name = fmt.Sprintf("%s:%d", path.Base(nb.File.Name), r.Formula.Place.Line())
			}
			needs := make([]string, len(w.Needs))
			for i, name := range w.Needs {
				needs[i] = full(name)
			}
			w.Needs = needs
			all = append(all, w)
		}
	}
	all = append(all, derived...)
	usedBy := map[string][]string{}
	for _, w := range all {
		for _, name := range w.Needs {
			usedBy[name] = append(usedBy[name], w.Name)
		}
	}
	for i := range all {
		w := &all[i]
		slices.Sort(usedBy[w.Name])
		w.UsedBy = slices.Compact(usedBy[w.Name])
		slices.Sort(w.Needs)
	}
	return all
}
