package recipe

import (
	"bytes"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"runtime"
	"slices"
	"strings"

	"mahlstick/recipe/formula"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

// spans finds the values of spans of code: names at once, formulas all
// together, so that one bound holds for the work of all.
type spans struct {
	nb      *notebook
	asked   map[string]bool
	results map[string]string // by the formula
}

func (s *spans) value(code string) (string, bool) {
	code = strings.TrimSpace(code)
	if result, ok := s.results[code]; ok {
		return code + " = " + result, true
	}
	name := s.nb.scope.Canonical(formula.Fold(code))
	if v, ok := s.nb.scope.values[name]; ok {
		s.nb.used[name] = true
		if _, isBrush := v.Brush(); isBrush {
			return "", false
		}
		return code + " = " + v.String(), true
	}
	s.asked[code] = true
	return "", false
}

// place finds a span of code in the notebook.
func (s *spans) place(code string) source.Place {
	if at := bytes.Index(s.nb.file.Data, []byte("`"+code+"`")); at >= 0 {
		return s.nb.file.Place(at+1, at+1+len(code))
	}
	return source.Place{}
}

// solve works out the formulas that were asked for; it answers false where
// there are none. The list tells why some have no value although they know
// every name: they are shown as they are written.
func (s *spans) solve() (bool, problem.List) {
	var formulas []*formula.Formula
	var codes []string
	for code := range s.asked {
		codes = append(codes, code)
	}
	slices.Sort(codes)
	for _, code := range codes {
		f, list := formula.Parse("", code, s.place(code))
		names := f.Names()
		known := !slices.ContainsFunc(names, func(name string) bool { _, ok := s.nb.scope.Lookup(name); return !ok })
		if len(list) == 0 && len(names) > 0 && known {
			s.nb.use(names)
			formulas = append(formulas, f)
		}
	}
	results, list := formula.Evaluate(formulas, s.nb.scope, runtime.GOMAXPROCS(0))
	for _, r := range results {
		if r.OK {
			s.results[r.Formula.Text] = r.Value.String()
		}
	}
	return len(s.results) > 0, list
}

// page renders the recipe and its results, and lists the workings.
func (b *binder) page() {
	s := &spans{b.nb, map[string]bool{}, map[string]string{}}
	b.render(s)
	if len(s.asked) > 0 {
		some, list := s.solve()
		if some {
			b.render(s)
		}
		for _, p := range list {
			if p.Place.Known() && p.Code != problem.TooMuchWork {
				p.Severity = problem.Warning // it is prose: nothing hangs on it
				b.problems.Add(p)
			}
		}
	}
	for _, code := range slices.Sorted(maps.Keys(s.results)) {
		b.job.InText = append(b.job.InText, model.InText{Formula: code, Value: s.results[code]})
	}
	b.workings()
	for _, picture := range b.nb.doc.Pictures {
		name := path.Join(path.Dir(b.nb.file.Name), picture.Target)
		if !fs.ValidPath(name) {
			b.problems.Warnf(problem.MissingPicture, picture.TargetPlace, problem.Advise("keep a copy in the studio"), "the picture %q lies outside the studio", picture.Target)
		} else if info, err := fs.Stat(b.root, name); err != nil || !info.Mode().IsRegular() {
			b.problems.Warnf(problem.MissingPicture, picture.TargetPlace, problem.Advise("put the picture there, or correct the path"), "there is no picture %s in the studio", name)
		} else if !slices.Contains(b.job.Pictures, name) {
			b.job.Pictures = append(b.job.Pictures, name)
		}
	}
}

func (b *binder) render(s *spans) {
	b.job.Page = nil
	for _, p := range b.nb.doc.Pieces(s.value) {
		block := model.Block{HTML: p.HTML}
		switch p.Kind {
		case section.Working:
			block.Kind = model.WorkingBlock
			for _, l := range p.Fence.Lines {
				if _, ok := b.nb.scope.values[formula.Fold(l.Name.String)]; ok {
					block.Names = append(block.Names, formula.Fold(l.Name.String))
				}
			}
		case section.SectionProse:
			block.Kind, block.Section, block.Heading = model.SectionBlock, b.sectionOf(p.Section), p.Section.Heading.String
		default:
			if p.HTML == "" {
				continue
			}
		}
		b.job.Page = append(b.job.Page, block)
	}
	i := 0
	for _, sec := range b.nb.doc.Sections {
		if sec.Word != resultsWord {
			continue
		}
		for k, e := range sec.Entries {
			if k == 0 && len(e.Tables) == 0 {
				continue // shown with the section
			}
			if i < len(b.job.Results) {
				b.job.Results[i].HTML = b.nb.doc.EntryHTML(e, s.value)
			}
			i++
		}
	}
}

// sectionOf is a section under the name of what it defines.
func (b *binder) sectionOf(s *section.Section) model.Section {
	out := model.Section{Word: s.Word, Name: s.Name.String}
	for _, t := range b.nb.things {
		if t.src == s || t.swatch == s {
			out.Name = t.title
		}
	}
	if out.Name == "" && (s.Word == brushWord || s.Word == swatchWord) && len(b.job.Brushes) == 1 {
		out.Name = b.job.Brushes[0].Title
	}
	return out
}

// bindResults reads what was written after painting. Whatever is wrong there
// is a warning: it changes no program.
func (b *binder) bindResults() {
	def := schema.Find(resultsWord)
	for _, sec := range b.nb.doc.Sections {
		if sec.Word != resultsWord {
			continue
		}
		for k, e := range sec.Entries {
			if k == 0 && len(e.Tables) == 0 {
				continue
			}
			result := model.Result{Heading: e.Heading.String, Place: e.Heading.Place}
			if k == 0 {
				result.Heading, result.Place = sec.Heading.String, sec.Heading.Place
			}
			for _, table := range e.Tables {
				if !isStrip(def, table) {
					continue
				}
				for _, l := range b.lines(b.nb, def, []*section.Table{table}, b.step()) {
					asked, ok1 := l.get("asked")
					measured, ok2 := l.get("measured")
					if l.whole && ok1 && ok2 {
						result.Strip = append(result.Strip, model.StripReading{Mark: l.cells["strip"].src.String, Place: l.row.Place,
							Asked: asked.q.In(quantity.MM), Measured: measured.q.In(quantity.MM)})
					}
				}
			}
			b.job.Results = append(b.job.Results, result)
		}
	}
	b.soften()
}

// step is the step of the recipe's own caliper, if its brush states one.
func (b *binder) step() quantity.Quantity {
	for _, t := range b.nb.things {
		if c := t.rows["caliper"]; c != nil && c.known {
			return c.q
		}
	}
	return quantity.Quantity{}
}

func isStrip(def *schema.Section, table *section.Table) bool {
	return slices.ContainsFunc(table.Header, func(c section.Cell) bool {
		words, _, _, _ := quantity.Header(c.String, c.Place)
		return def.Find(words) != nil
	})
}

// soften makes the errors inside Results warnings: writing them up must never
// stop a job that could be painted. Formulas may be needed elsewhere, and keep
// theirs.
func (b *binder) soften() {
	formulas := map[int]bool{} // the lines that hold them
	for _, fence := range b.nb.doc.Fences {
		for _, l := range fence.Lines {
			formulas[l.Place.Line()] = true
		}
	}
	var heads []int
	for _, s := range slices.Concat(b.nb.doc.Sections, b.nb.doc.Prose) {
		heads = append(heads, s.Heading.Place.Start)
	}
	slices.Sort(heads)
	for _, s := range b.nb.doc.Sections {
		if s.Word != resultsWord {
			continue
		}
		start, end := s.Heading.Place.Start, len(b.nb.file.Data)
		if i, _ := slices.BinarySearch(heads, start+1); i < len(heads) {
			end = heads[i]
		}
		for i := range b.problems {
			p := &b.problems[i]
			if p.Place.File == b.nb.file && p.Place.Start >= start && p.Place.Start < end && p.Severity == problem.Error &&
				p.Code != problem.UnclosedFence && !formulas[p.Place.Line()] {
				p.Severity = problem.Warning
			}
		}
	}
}

// workings lists every formula that was worked out: the recipe's, those of
// the notebooks in the order of the files, and those of the house.
func (b *binder) workings() {
	all := &b.job.Workings
	for _, nb := range b.order {
		local := map[string]bool{}
		for _, r := range nb.results {
			local[r.Formula.Name] = true
		}
		full := func(name string) string {
			if nb.main || name == "" || strings.Contains(name, ".") || !local[name] {
				return name
			}
			return nb.prefix + "." + name
		}
		for _, r := range nb.results {
			if !r.OK {
				continue
			}
			w := r.Working
			w.Name = full(w.Name)
			if w.Name == "" {
				w.Name = fmt.Sprintf("%s:%d", path.Base(nb.file.Name), r.Formula.Place.Line())
			}
			needs := make([]string, len(w.Needs))
			for i, name := range w.Needs {
				needs[i] = full(name)
			}
			w.Needs = needs
			*all = append(*all, w)
		}
	}
	*all = append(*all, b.house...)
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

// unused tells of formulas and brushes of the recipe that nothing needs. While
// there are errors nobody knows what would be needed.
func (b *binder) unused() {
	if b.problems.HasErrors() {
		return
	}
	for _, fence := range b.nb.doc.Fences {
		for _, l := range fence.Lines {
			name := formula.Fold(l.Name.String)
			if _, known := b.nb.scope.values[name]; known && !b.nb.used[name] {
				b.problems.Add(problem.Problem{Severity: problem.Hint, Code: problem.UnusedFormula, Place: l.Name.Place,
					Fix: problem.Advise("show it in the text as `" + l.Name.String + "`, or take the line out"), Message: "nothing needs " + quote(name)})
			}
		}
	}
	for _, t := range b.nb.things {
		_, painted := b.brushes[t]
		code, with := problem.UnusedBrush, " is painted with "
		if t.def.Word == inkWord {
			code, with, painted = problem.UnusedInk, " is painted in ", b.inked[t]
		}
		if (t.def.Word == brushWord || t.def.Word == inkWord) && !painted && len(b.layers) > 0 {
			b.problems.Add(problem.Problem{Severity: problem.Hint, Code: code, Place: t.place, Fix: problem.Advise("give it a layer, or keep it in a notebook of its own"),
				Message: "no layer" + with + t.title})
		}
	}
}
