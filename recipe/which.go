package recipe

import (
	"io/fs"
	"path"
	"strings"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
)

// isRecipe says whether a path that somebody asked for may be a recipe, and
// reports it otherwise. What it holds is looked at later.
func (r *reader) isRecipe(name string, at source.Place) bool {
	fix := problem.Advise("write the path of a recipe, such as heron/heron.md")
	base := strings.TrimSuffix(path.Base(name), ".md")
	for _, near := range []string{name + ".md", path.Join(path.Dir(name), base, base+".md")} {
		if info, err := fs.Stat(r.root, near); err == nil && info.Mode().IsRegular() {
			fix = problem.Advise("did you mean " + near + "?")
			break
		}
	}
	tell := func(code problem.Code, format string) bool {
		r.problems = append(r.problems, problem.Problem{Code: code, Place: at, Fix: fix, Message: strings.ReplaceAll(format, "NAME", name)})
		return false
	}
	info, err := fs.Stat(r.root, name)
	switch {
	case err != nil:
		if link, _ := r.badLink(name); link != "" {
			return true // told where it is read
		}
		return tell(problem.MissingFile, "there is no recipe NAME in the studio")
	case info.IsDir():
		return tell(problem.NotAFile, "NAME is a folder, not a recipe")
	case !strings.EqualFold(path.Ext(name), ".md"):
		return tell(problem.NotANotebook, "NAME is no recipe: a recipe is a text file whose name ends in .md")
	}
	return true
}
