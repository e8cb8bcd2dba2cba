package recipe

import (
	"cmp"
	"maps"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"mahlstick/recipe/formula"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

// bind reads the values of a notebook whose links have been read, and works
// out its formulas. more are cells beyond those of its things.
func (r *reader) bind(nb *notebook, more []*cell) {
	nb.scope = r.scopeOf(nb)
	for _, name := range nb.doc.Misread {
		nb.scope.ill[formula.Fold(name)] = true
	}
	nb.formulas = r.formulas(nb)
	cells := append(nb.cells(), more...)
	for _, c := range cells {
		switch {
		case c.f != nil:
			nb.formulas = append(nb.formulas, c.f)
			nb.use(c.f.Names())
		case c.known && c.name != "" && c.field.Kind == schema.Quantity:
			nb.scope.set(c.name, formula.OfQuantity(c.q), c.src.Place)
		case !c.known && c.name != "":
			nb.scope.ill[c.name] = true
		}
	}
	slices.SortStableFunc(nb.formulas, func(a, b *formula.Formula) int { return cmp.Compare(a.Place.Start, b.Place.Start) })
	first, rest := nb.curvesFirst()
	r.evaluate(nb, first, cells)
	for _, t := range nb.things {
		if t.def.Word == brushWord {
			r.makeCurve(t)
			if !t.failed {
				nb.scope.set(t.name, t.value, t.place)
			}
		}
	}
	r.evaluate(nb, rest, cells)
	slices.SortStableFunc(nb.results, func(a, b formula.Result) int { return cmp.Compare(a.Formula.Place.Start, b.Formula.Place.Start) })
	r.export(nb)
}

// cells are the stated cells of the notebook's things, in the order in which
// they stand.
func (nb *notebook) cells() []*cell {
	var out []*cell
	for _, t := range nb.things {
		for _, c := range t.rows {
			out = append(out, c)
		}
		for _, g := range t.rungs {
			out = append(out, g.press, g.width)
		}
	}
	slices.SortFunc(out, func(a, b *cell) int { return cmp.Compare(a.src.Place.Start, b.src.Place.Start) })
	return out
}

func (nb *notebook) use(names []string) {
	for _, name := range names {
		nb.used[nb.scope.Canonical(name)] = true
	}
}

// formulas reads the working blocks.
func (r *reader) formulas(nb *notebook) []*formula.Formula {
	var lines []section.Line
	for _, fence := range nb.doc.Fences {
		lines = append(lines, fence.Lines...)
	}
	if room := mostFormulas - r.count; len(lines) > room {
		if !r.full {
			r.problems.Errorf(problem.TooMany, lines[room].Place, problem.Advise("part the recipe into several"), "one job has at most %d formulas", mostFormulas)
		}
		r.full = true
		for _, l := range lines[room:] {
			nb.scope.ill[formula.Fold(l.Name.String)] = true
		}
		lines = lines[:room]
	}
	r.count += len(lines)
	out, lists := make([]*formula.Formula, len(lines)), make([]problem.List, len(lines))
	// Each formula is read by itself, so they may be read side by side; what
	// comes of them is put together in their order.
	var next atomic.Int64
	var readers sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), 1+len(lines)/fewLines) {
		readers.Go(func() {
			for i := int(next.Add(1)) - 1; i < len(lines); i = int(next.Add(1)) - 1 {
				l := &lines[i]
				out[i], lists[i] = formula.Parse(l.Name.String, l.Formula.String, l.Formula.Place)
				out[i].NamePlace, out[i].Remark = l.Name.Place, l.Remark
			}
		})
	}
	readers.Wait()
	for i, f := range out {
		r.problems = append(r.problems, lists[i]...)
		nb.use(f.Names())
	}
	return out
}

// fewLines are not worth a reader of their own.
const fewLines = 50

// scopeOf gathers the names that stand before any formula is worked out.
func (r *reader) scopeOf(nb *notebook) *scope {
	names := 12 * len(nb.things)
	for _, fence := range nb.doc.Fences {
		names += len(fence.Lines)
	}
	s := newScope(names)
	own := map[string]bool{}
	for _, t := range nb.things {
		own[t.name] = true
	}
	from := map[string]*thing{}
	for _, linked := range nb.direct {
		for _, t := range linked.things {
			if t.src == nil {
				continue
			}
			was := from[t.name]
			if was != nil && (was.base == t || t.base == was) {
				continue // one builds on the other: both are the same thing
			}
			if was != nil {
				r.problems.Add(problem.Problem{Code: problem.DefinedTwice, Place: t.place, Fix: problem.Advise("give one of them another name"),
					Message: "two notebooks of this job define " + quote(t.name), Related: []problem.Related{{Place: was.place, Note: "the other"}}})
				continue
			}
			from[t.name] = t
			if !own[t.name] {
				s.enter(t)
			}
		}
		for _, f := range linked.formulas {
			s.ill[linked.prefix+"."+f.Name] = true
		}
		for _, name := range slices.Sorted(maps.Keys(linked.exports)) {
			if _, taken := s.values[name]; !taken {
				s.set(name, linked.exports[name], linked.places[name])
			}
		}
	}
	for _, t := range nb.things {
		if t.base != nil {
			s.enter(t)
		} else {
			s.enterRows(t)
		}
	}
	for _, word := range []string{sheetWord, machineWord, brushWord, inkWord} {
		if name := sole(nb, word); name != "" {
			s.alias[strings.ToLower(word)] = name
		}
	}
	return s
}

// enter makes a thing's rows and its curve known.
func (s *scope) enter(t *thing) {
	s.enterRows(t)
	if t.def.Word == brushWord && t.curve != nil {
		s.set(t.name, t.value, t.place)
	}
}

// enterRows makes the rows known that need no formula of this notebook.
func (s *scope) enterRows(t *thing) {
	for i := range t.def.Rows {
		e := &t.def.Rows[i]
		name := reachable(t.name, e.Word)
		if e.Kind != schema.Quantity || name == "" {
			continue
		}
		place := source.Place{}
		c, at := t.find(e.Word)
		if c != nil {
			place = c.src.Place
			if c.f != nil && at == t && !c.known {
				continue // one of the formulas
			}
		}
		if q, ok := t.quantity(e.Word); ok {
			s.set(name, formula.OfQuantity(q), place)
		} else if c != nil || e.Required || t.lacks(e.Word) {
			s.ill[name] = true
		}
	}
}

// sole is the name of the only thing of a kind in a notebook or, where it has
// none, in those that it links.
func sole(nb *notebook, word string) string {
	names := kindNames(nb, word)
	if len(names) != 1 {
		return ""
	}
	return names[0]
}

func kindNames(nb *notebook, word string) []string {
	var own, linked []string
	for _, t := range nb.things {
		if t.def.Word == word {
			own = append(own, t.name)
		}
	}
	for _, other := range nb.direct {
		for _, t := range other.things {
			if t.def.Word == word && t.src != nil {
				linked = append(linked, t.name)
			}
		}
	}
	if len(own) > 0 {
		return own
	}
	slices.Sort(linked)
	return slices.Compact(linked)
}

// curvesFirst parts the formulas into those that the curves of the notebook's
// own brushes need, with all that they need in turn, and the rest.
func (nb *notebook) curvesFirst() (first, rest []*formula.Formula) {
	byName := map[string]*formula.Formula{}
	for _, f := range nb.formulas {
		if f.Name != "" && byName[f.Name] == nil {
			byName[f.Name] = f
		}
	}
	needed := map[*formula.Formula]bool{}
	var need func(f *formula.Formula)
	need = func(f *formula.Formula) {
		if f == nil || needed[f] {
			return
		}
		needed[f] = true
		for _, name := range f.Names() {
			need(byName[nb.scope.Canonical(name)])
		}
	}
	for _, t := range nb.things {
		if t.def.Word != brushWord {
			continue
		}
		for _, word := range []string{"widest mark", "safe press", "touch mark"} {
			if c := t.rows[word]; c != nil {
				need(c.f)
			}
		}
		for _, g := range t.rungs {
			need(g.press.f)
			need(g.width.f)
		}
	}
	if len(needed) == 0 {
		return nil, nb.formulas
	}
	for _, f := range nb.formulas {
		if needed[f] {
			first = append(first, f)
		} else {
			rest = append(rest, f)
		}
	}
	return first, rest
}

// evaluate works out some formulas and hands the values to the cells and to
// those that come after.
func (r *reader) evaluate(nb *notebook, formulas []*formula.Formula, cells []*cell) {
	if len(formulas) == 0 {
		return
	}
	results, list := r.budget.Evaluate(formulas, nb.scope, runtime.GOMAXPROCS(0))
	r.explain(nb, list)
	byFormula := make(map[*formula.Formula]*formula.Result, len(results))
	for i := range results {
		byFormula[results[i].Formula] = &results[i]
		if f := results[i].Formula; results[i].OK && f.Name != "" {
			if _, taken := nb.scope.values[f.Name]; !taken {
				nb.scope.set(f.Name, results[i].Value, f.NamePlace)
			}
		}
	}
	for _, c := range cells {
		if c.f == nil || byFormula[c.f] == nil || !byFormula[c.f].OK {
			continue
		}
		if q, ok := byFormula[c.f].Value.Quantity(); ok {
			c.q, c.known = q, true
			r.limits(c)
		}
	}
	nb.results = append(nb.results, results...)
}

// explain reports the problems of formulas. It says more about unknown names
// where the notebook knows why they are unknown, and keeps silent where that
// was reported already.
func (r *reader) explain(nb *notebook, list problem.List) {
	for _, p := range list {
		if p.Code != problem.UnknownName || r.known(nb, &p) {
			r.problems.Add(p)
		}
	}
}

// onlyShown makes p say that the name stands in a block that is not marked as
// working. It answers false where that has been told: a warning that was given
// about the block becomes an error, since something needs it.
func (r *reader) onlyShown(name string, place source.Place, p *problem.Problem) bool {
	needed := problem.Related{Place: p.Place, Note: "needed here"}
	for i := range r.problems {
		was := &r.problems[i]
		if was.Code != problem.UnknownFence || was.Place != place {
			continue
		}
		if was.Severity != problem.Error {
			was.Severity, was.Related = problem.Error, append(was.Related, needed)
		}
		return false
	}
	p.Code, p.Place, p.Fix = problem.UnknownFence, place, problem.Write(place.Text()+section.WorkingWord)
	p.Message = quote(name) + " stands in a block that is only shown; formulas stand in a block marked " + quote(section.WorkingWord)
	p.Related = append(p.Related, needed)
	return true
}

// known says whether an unknown name is to be reported.
func (r *reader) known(nb *notebook, p *problem.Problem) bool {
	name := nb.scope.Canonical(formula.Fold(p.Place.Text()))
	head, rest, dotted := strings.Cut(name, ".")
	if nb.scope.ill[name] || nb.astray[head] || nb.doc.Cut || len(nb.lost) > 0 && dotted && !nb.scope.owners[head] {
		return false
	}
	for _, shown := range slices.Sorted(maps.Keys(nb.doc.Shown)) {
		if formula.Fold(shown) == name {
			return r.onlyShown(name, nb.doc.Shown[shown], p)
		}
	}
	for _, t := range nb.things {
		if t.def.Word != brushWord || t.name != head || dotted {
			continue
		}
		if t.failed {
			p.Severity, p.Message, p.Fix = problem.Warning, "the curve of "+t.title+" is not known, because of its rows or marks", problem.Advise("fix the brush first")
			return true
		}
		p.Code, p.Message, p.Fix = problem.FormulaLoop, "the curve of "+t.title+" needs this formula, and the formula needs the curve", problem.Advise("state the marks of the brush plainly")
		return true
	}
	for _, word := range []string{sheetWord, machineWord, brushWord, inkWord} {
		if head != strings.ToLower(word) {
			continue
		}
		names := kindNames(nb, word)
		if len(names) < 2 {
			continue
		}
		name := names[0]
		if dotted {
			name += "." + rest
		}
		p.Code, p.Fix = problem.WhichOne, problem.Write(name)
		p.Message = quote(head) + " may be " + either(names) + " here"
	}
	return true
}

// export gives the notebook's formulas the names by which others reach them.
func (r *reader) export(nb *notebook) {
	if nb.main {
		return // nothing links the recipe
	}
	for _, result := range nb.results {
		f := result.Formula
		if !result.OK || f.Name == "" || strings.Contains(f.Name, ".") {
			continue
		}
		name := nb.prefix + "." + f.Name
		if at, taken := nb.scope.places[name]; taken {
			p := problem.Problem{Code: problem.DefinedTwice, Place: f.NamePlace, Fix: problem.Advise("give the formula another name"),
				Message: "from other notebooks, " + quote(name) + " would be both this formula and a row"}
			if at.Known() {
				p.Related = []problem.Related{{Place: at, Note: "the row"}}
			}
			r.problems.Add(p)
			continue
		}
		nb.exports[name], nb.places[name] = result.Value, f.NamePlace
	}
}

// plainLength is a quantity's number in mm, 0 where it is not known.
func plainLength(q quantity.Quantity, ok bool) float64 {
	if !ok {
		return 0
	}
	return q.In(quantity.MM)
}
