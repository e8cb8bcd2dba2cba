package recipe

import (
	"bytes"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"

	"mahlstick/recipe/binding"
	"mahlstick/recipe/formula"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/resolve"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

// page renders the recipe's prose with the values of names and formulas between
// backticks: names at once, then all formulas together, so that one limit holds
// for their work.
type page struct {
	recipe  *binding.Recipe
	all     *resolve.Values
	values  *resolve.Notebook // those of the recipe
	asked   map[string]bool
	results map[string]string // by the formula
	used    map[string]bool   // full names of values that the text uses
}

func newPage(recipe *binding.Recipe, values *resolve.Values) *page {
	return &page{recipe: recipe, all: values, values: values.Of(recipe.Notebook), asked: map[string]bool{}, results: map[string]string{}, used: map[string]bool{}}
}

// write renders the recipe and its results into a job, and lists the pictures.
func (p *page) write(root fs.FS, job *model.Job) problem.List {
	var problems problem.List
	p.render(job)
	if len(p.asked) > 0 {
		list := p.evaluate()
		if len(p.results) > 0 {
			p.render(job)
		}
		for _, found := range list {
			if found.Place.Known() && found.Code != problem.TooMuchWork {
				found.Severity = problem.Warning // it is prose: nothing depends on it
				problems.Add(found)
			}
		}
	}
	for _, code := range slices.Sorted(maps.Keys(p.results)) {
		job.InText = append(job.InText, model.InText{Formula: code, Value: p.results[code]})
	}
	pictures, list := p.pictures(root)
	job.Pictures = pictures
	return append(problems, list...)
}

// value is what the page shows for code between backticks, if its value is
// known.
func (p *page) value(code string) (string, bool) {
	code = strings.TrimSpace(code)
	if result, ok := p.results[code]; ok {
		return code + " = " + result, true
	}
	if v, ok := p.values.Scope().Lookup(formula.Fold(code)); ok {
		p.used[p.values.FullName(code)] = true
		if _, isBrush := v.Brush(); isBrush {
			return "", false
		}
		return code + " = " + v.String(), true
	}
	p.asked[code] = true
	return "", false
}

// place is where code between backticks is in the notebook.
func (p *page) place(code string) source.Place {
	if at := bytes.Index(p.recipe.File.Data, []byte("`"+code+"`")); at >= 0 {
		return p.recipe.File.Place(at+1, at+1+len(code))
	}
	return source.Place{}
}

// evaluate evaluates the formulas that were asked for. The list reports those
// that have no value although all their names are known; they are shown as
// written.
func (p *page) evaluate() problem.List {
	var formulas []*formula.Formula
	for _, code := range slices.Sorted(maps.Keys(p.asked)) {
		f, list := formula.Parse("", code, p.place(code))
		names := f.Names()
		known := !slices.ContainsFunc(names, func(name string) bool { _, ok := p.values.Scope().Lookup(name); return !ok })
		if len(list) == 0 && len(names) > 0 && known {
			for _, name := range names {
				p.used[p.values.FullName(name)] = true
			}
			formulas = append(formulas, f)
		}
	}
	results, list := formula.Evaluate(formulas, p.values.Scope(), 1)
	for _, r := range results {
		if r.OK {
			p.results[r.Formula.Text] = r.Value.String()
		}
	}
	return list
}

// pictures lists the pictures of the prose that are in the studio.
func (p *page) pictures(root fs.FS) (out []string, list problem.List) {
	for _, picture := range p.recipe.Doc.Pictures {
		name := path.Join(path.Dir(p.recipe.File.Name), picture.Target)
		if !fs.ValidPath(name) {
			list.Warnf(problem.MissingPicture, picture.TargetPlace, problem.Advise("keep a copy in the studio"), "the picture %q is outside the studio", picture.Target)
		} else if info, err := fs.Stat(root, name); err != nil || !info.Mode().IsRegular() {
			list.Warnf(problem.MissingPicture, picture.TargetPlace, problem.Advise("put the picture there, or correct the path"), "there is no picture %s in the studio", name)
		} else if !slices.Contains(out, name) {
			out = append(out, name)
		}
	}
	return out, list
}

func (p *page) render(job *model.Job) {
	job.Page = nil
	for _, piece := range p.recipe.Doc.Pieces(p.value) {
		block := model.Block{HTML: piece.HTML}
		switch piece.Kind {
		case section.Working:
			block.Kind = model.WorkingBlock
			for _, l := range piece.Fence.Lines {
				if name := formula.Fold(l.Name.String); p.values.Knows(name) {
					block.Names = append(block.Names, name)
				}
			}
		case section.SectionProse:
			block.Kind, block.Section, block.Heading = model.SectionBlock, p.section(piece.Section, job.Brushes), piece.Section.Heading.String
		default:
			if piece.HTML == "" {
				continue
			}
		}
		job.Page = append(job.Page, block)
	}
	for i, result := range p.recipe.Results {
		job.Results[i].HTML = p.recipe.Doc.EntryHTML(result.Entry, shownTables(result, p.all), p.value)
	}
}

// section names a section by what it defines.
func (p *page) section(s *section.Section, brushes []*model.Brush) model.Section {
	out := model.Section{Word: s.Word, Name: s.Name.String}
	for _, d := range p.recipe.Definitions {
		if d.Section == s || d.Swatch == s {
			out.Name = d.Title
		}
	}
	if out.Name == "" && (s.Word == schema.Brush || s.Word == schema.Swatch) && len(brushes) == 1 {
		out.Name = brushes[0].Title
	}
	return out
}
