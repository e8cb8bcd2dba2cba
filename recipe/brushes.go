package recipe

import (
	"io/fs"
	"path"
	"runtime"
	"slices"
	"strings"

	"mahlstick/recipe/binding"
	"mahlstick/recipe/formula"
	"mahlstick/recipe/notebook"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/resolve"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/section"
)

// Outline is what is known of a brush before it is measured.
type Outline struct {
	Title  string
	Anchor string // of its heading, if its notebook holds other brushes too; else ""
	// SafePress is the stated safe press in mm, 0 if there is none.
	SafePress float64
}

// ReadBrushes reads the brushes of a notebook below the studio's root. The list
// holds the errors that keep them from being read; what is missing is no
// problem.
func ReadBrushes(root fs.FS, name string) ([]Outline, problem.List) {
	set, problems := notebook.Load(root, name)
	if set == nil {
		return nil, problems.Sorted()
	}
	bound, _ := binding.Bind(set) // its problems as a recipe do not matter here
	values, _ := resolve.Resolve(bound, formula.NewBudget(), runtime.GOMAXPROCS(0))
	var out []Outline
	var headings []string
	for _, d := range bound.Notebook.Definitions {
		if d.Schema.Word != schema.Brush || d.Section == nil {
			continue
		}
		out = append(out, Outline{Title: d.Title, SafePress: values.Length(d, "safe press")})
		headings = append(headings, d.Section.Heading.String)
	}
	if len(out) > 1 {
		for i := range out {
			out[i].Anchor = section.Anchor(headings[i])
		}
	}
	if len(out) == 0 && !problems.HasErrors() {
		problems.Errorf(problem.WrongNotebook, bound.File.Place(0, 0), problem.Advise("name the notebook of a brush, or add a section Brush to this one"), "%s has no section Brush", name)
	}
	return out, problems.Sorted()
}

// DefaultMachine is the notebook of the machine that the studio's recipes use, or
// of the only one in the folder machines; "" if that is not known.
func DefaultMachine(root fs.FS) string {
	if set, _ := notebook.Load(root, StudioFile); set != nil {
		for _, nb := range set.Notebooks {
			if nb.Has(schema.Machine) && nb.File.Name != StudioFile {
				return nb.File.Name
			}
		}
		if set.Recipe.Has(schema.Machine) {
			return StudioFile
		}
	}
	return onlyNotebook(root, "machines")
}

// DefaultPaper is the only notebook in the folder papers, or "".
func DefaultPaper(root fs.FS) string { return onlyNotebook(root, "papers") }

// onlyNotebook is the only notebook in a folder, or "".
func onlyNotebook(root fs.FS, folder string) string {
	entries, err := fs.ReadDir(root, folder)
	if err != nil {
		return ""
	}
	entries = slices.DeleteFunc(entries, func(e fs.DirEntry) bool { return !strings.HasSuffix(e.Name(), ".md") || !e.Type().IsRegular() })
	if len(entries) != 1 {
		return ""
	}
	return path.Join(folder, entries[0].Name())
}

// Millimetres is a length as a recipe writes it: "2.5 mm".
func Millimetres(v float64) string { return quantity.New(v, quantity.MM).Short() }
