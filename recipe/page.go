package recipe

import (
	"bytes"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"

	"mahlstick/recipe/binding"
	"mahlstick/recipe/formula"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/resolve"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

// textFormulas finds the values of names and formulas between backticks in the
// prose: names at once, formulas all together, so that one bound holds for the
// work of all.
type textFormulas struct {
	nb      *binding.Notebook
	values  *resolve.Notebook
	asked   map[string]bool
	results map[string]string // by the formula
	used    map[string]bool   // full names
}

func newTextFormulas(nb *binding.Notebook, values *resolve.Notebook) *textFormulas {
	return &textFormulas{nb: nb, values: values, asked: map[string]bool{}, results: map[string]string{}, used: map[string]bool{}}
}

// value is what the page shows for code, if it has a value so far.
func (t *textFormulas) value(code string) (string, bool) {
	code = strings.TrimSpace(code)
	if result, ok := t.results[code]; ok {
		return code + " = " + result, true
	}
	if v, ok := t.values.Scope().Lookup(formula.Fold(code)); ok {
		t.used[t.values.FullName(code)] = true
		if _, isBrush := v.Brush(); isBrush {
			return "", false
		}
		return code + " = " + v.String(), true
	}
	t.asked[code] = true
	return "", false
}

// place finds code in the notebook.
func (t *textFormulas) place(code string) source.Place {
	if at := bytes.Index(t.nb.File.Data, []byte("`"+code+"`")); at >= 0 {
		return t.nb.File.Place(at+1, at+1+len(code))
	}
	return source.Place{}
}

// evaluate evaluates the formulas that were asked for. The list says why some
// have no value although they know every name: they are shown as they are
// written.
func (t *textFormulas) evaluate() problem.List {
	var formulas []*formula.Formula
	for _, code := range slices.Sorted(maps.Keys(t.asked)) {
		f, list := formula.Parse("", code, t.place(code))
		names := f.Names()
		known := !slices.ContainsFunc(names, func(name string) bool { _, ok := t.values.Scope().Lookup(name); return !ok })
		if len(list) == 0 && len(names) > 0 && known {
			for _, name := range names {
				t.used[t.values.FullName(name)] = true
			}
			formulas = append(formulas, f)
		}
	}
	results, list := formula.Evaluate(formulas, t.values.Scope(), 1)
	for _, r := range results {
		if r.OK {
			t.results[r.Formula.Text] = r.Value.String()
		}
	}
	return list
}

// page renders the recipe and its results, and lists workings and pictures. It
// answers with the names that the text uses.
func (a *assembler) page() (used map[string]bool) {
	t := newTextFormulas(a.recipe.Notebook, a.values.Of(a.recipe.Notebook))
	a.render(t)
	if len(t.asked) > 0 {
		list := t.evaluate()
		if len(t.results) > 0 {
			a.render(t)
		}
		for _, p := range list {
			if p.Place.Known() && p.Code != problem.TooMuchWork {
				p.Severity = problem.Warning // it is prose: nothing depends on it
				a.problems.Add(p)
			}
		}
	}
	for _, code := range slices.Sorted(maps.Keys(t.results)) {
		a.job.InText = append(a.job.InText, model.InText{Formula: code, Value: t.results[code]})
	}
	a.pictures()
	return t.used
}

func (a *assembler) pictures() {
	for _, picture := range a.recipe.Doc.Pictures {
		name := path.Join(path.Dir(a.recipe.File.Name), picture.Target)
		if !fs.ValidPath(name) {
			a.problems.Warnf(problem.MissingPicture, picture.TargetPlace, problem.Advise("keep a copy in the studio"), "the picture %q is outside the studio", picture.Target)
		} else if info, err := fs.Stat(a.root, name); err != nil || !info.Mode().IsRegular() {
			a.problems.Warnf(problem.MissingPicture, picture.TargetPlace, problem.Advise("put the picture there, or correct the path"), "there is no picture %s in the studio", name)
		} else if !slices.Contains(a.job.Pictures, name) {
			a.job.Pictures = append(a.job.Pictures, name)
		}
	}
}

func (a *assembler) render(t *textFormulas) {
	a.job.Page = nil
	for _, p := range a.recipe.Doc.Pieces(t.value) {
		block := model.Block{HTML: p.HTML}
		switch p.Kind {
		case section.Working:
			block.Kind = model.WorkingBlock
			for _, l := range p.Fence.Lines {
				if name := formula.Fold(l.Name.String); t.values.Knows(name) {
					block.Names = append(block.Names, name)
				}
			}
		case section.SectionProse:
			block.Kind, block.Section, block.Heading = model.SectionBlock, a.sectionOf(p.Section), p.Section.Heading.String
		default:
			if p.HTML == "" {
				continue
			}
		}
		a.job.Page = append(a.job.Page, block)
	}
	for i, result := range a.recipe.Results {
		a.job.Results[i].HTML = a.recipe.Doc.EntryHTML(result.Entry, t.value)
	}
}

// sectionOf is a section under the name of what it defines.
func (a *assembler) sectionOf(s *section.Section) model.Section {
	out := model.Section{Word: s.Word, Name: s.Name.String}
	for _, d := range a.recipe.Definitions {
		if d.Section == s || d.Swatch == s {
			out.Name = d.Title
		}
	}
	if out.Name == "" && (s.Word == schema.Brush || s.Word == schema.Swatch) && len(a.job.Brushes) == 1 {
		out.Name = a.job.Brushes[0].Title
	}
	return out
}

// results lists what was written after painting.
func (a *assembler) results() {
	for _, result := range a.recipe.Results {
		out := model.Result{Heading: result.Heading.String, Place: result.Heading.Place}
		for _, r := range result.Strip {
			if !r.Complete {
				continue
			}
			asked, ok1 := a.values.Quantity(r.Cells["asked"])
			measured, ok2 := a.values.Quantity(r.Cells["measured"])
			if ok1 && ok2 {
				out.Strip = append(out.Strip, model.StripReading{Mark: r.Cells["strip"].Source.String, Place: r.Row.Place,
					Asked: asked.In(quantity.MM), Measured: measured.In(quantity.MM)})
			}
		}
		a.job.Results = append(a.job.Results, out)
	}
}

// workings lists every formula that was evaluated: those of the notebooks in
// the order of the files, and those that the program derives for the brushes.
func (a *assembler) workings() {
	all := &a.job.Workings
	for _, nb := range a.recipe.Notebooks {
		results := a.values.Of(nb).Results
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
			*all = append(*all, w)
		}
	}
	*all = append(*all, a.derived...)
	usedBy := map[string][]string{}
	for _, w := range *all {
		for _, name := range w.Needs {
			usedBy[name] = append(usedBy[name], w.Name)
		}
	}
	for i := range *all {
		w := &(*all)[i]
		slices.Sort(usedBy[w.Name])
		w.UsedBy = slices.Compact(usedBy[w.Name])
		slices.Sort(w.Needs)
	}
}

// unused reports formulas, brushes and inks of the recipe that nothing uses;
// used are names that the text uses. While there are errors nobody knows what
// would be used.
func (a *assembler) unused(used map[string]bool) {
	if a.problems.HasErrors() {
		return
	}
	values := a.values.Of(a.recipe.Notebook)
	for _, fence := range a.recipe.Doc.Fences {
		for _, l := range fence.Lines {
			name := formula.Fold(l.Name.String)
			if values.Knows(name) && !used[name] && !values.Used[name] {
				a.problems.Add(problem.Problem{Severity: problem.Hint, Code: problem.UnusedFormula, Place: l.Name.Place,
					Fix: problem.Advise("show it in the text as `" + l.Name.String + "`, or take the line out"), Message: `"` + name + `" is never used`})
			}
		}
	}
	if len(a.recipe.Layers) == 0 {
		return
	}
	for _, d := range a.recipe.Definitions {
		p := problem.Problem{Severity: problem.Hint, Place: d.Place, Fix: problem.Advise("give it a layer, or keep it in a notebook of its own")}
		_, painted := a.brushes[d]
		switch {
		case d.Schema.Word == schema.Brush && !painted:
			p.Code, p.Message = problem.UnusedBrush, "no layer is painted with "+d.Title
		case d.Schema.Word == schema.InkSection && !a.inked[d]:
			p.Code, p.Message = problem.UnusedInk, "no layer is painted in "+d.Title
		default:
			continue
		}
		a.problems.Add(p)
	}
}
