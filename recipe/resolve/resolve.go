// Package resolve gives the bound cells their values: it gathers the names that
// each notebook knows, evaluates the formulas in the order in which they need
// each other, and fits the curves of the brushes.
package resolve

import (
	"cmp"
	"slices"
	"strings"

	"golang.org/x/sync/errgroup"

	"mahlstick/recipe/binding"
	"mahlstick/recipe/calibrate"
	"mahlstick/recipe/formula"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

// Values are the values of a job's cells, brushes and formulas.
type Values struct {
	notebooks map[*binding.Notebook]*Notebook
	cells     map[*binding.Cell]quantity.Quantity // of formulas
	widths    map[*binding.Cell]*formula.WidthFunc
	feeds     map[*binding.Cell]*formula.FeedFunc
	curves    map[*binding.Definition]*Curve
	// calibrations and measured hold what the readings of swatches say; unread are
	// those whose readings have problems that were reported.
	calibrations map[*binding.Definition]*calibrate.Result
	measured     map[*binding.Definition]map[string]quantity.Quantity
	unread       map[*binding.Definition]bool
}

// Notebook holds the results of one notebook's formulas.
type Notebook struct {
	Results []formula.Result // in the order of the text
	// Used are the full names that its cells and formulas use.
	Used map[string]bool

	scope *scope
	// exports holds the values of its formulas by the names that other
	// notebooks use for them; places holds where those are defined.
	exports  map[string]formula.Value
	places   map[string]source.Place
	formulas []*formula.Formula
}

// Scope holds the names that the notebook's formulas may use.
func (nb *Notebook) Scope() formula.Scope { return nb.scope }

// FullName is the full form of a name that the notebook uses.
func (nb *Notebook) FullName(name string) string { return nb.scope.Canonical(formula.Fold(name)) }

// Knows reports whether a full name has a value.
func (nb *Notebook) Knows(name string) bool { _, ok := nb.scope.values[name]; return ok }

// Of returns the values of one notebook.
func (v *Values) Of(nb *binding.Notebook) *Notebook { return v.notebooks[nb] }

// Quantity is the value of a cell; ok is false if it has none.
func (v *Values) Quantity(c *binding.Cell) (q quantity.Quantity, ok bool) {
	if c.Formula != nil {
		q, ok = v.cells[c]
		return q, ok
	}
	return c.Quantity, c.Known
}

// Known reports whether a cell has a value.
func (v *Values) Known(c *binding.Cell) bool {
	if c.Field.Kind == schema.WidthFormula && !c.Source.Formula.Empty() {
		return v.widths[c] != nil
	}
	if c.Along {
		return v.feeds[c] != nil
	}
	_, ok := v.Quantity(c)
	return ok
}

// FeedOf is the compiled formula of a feed along a stroke, or nil.
func FeedOf(v *Values, c *binding.Cell) *formula.FeedFunc { return v.feeds[c] }

// Width is the compiled width formula of a cell, or nil.
func (v *Values) Width(c *binding.Cell) *formula.WidthFunc { return v.widths[c] }

// Row is the value of a row, stated or by default; ok is false if it has none.
func (v *Values) Row(d *binding.Definition, word string) (q quantity.Quantity, ok bool) {
	if c, _ := d.Find(word); c != nil {
		return v.Quantity(c)
	}
	if q, ok := v.MeasuredRow(d, word); ok {
		return q, true
	}
	return binding.Default(d.Schema.Find(word))
}

// Length is the value of a row in mm, 0 if it has none.
func (v *Values) Length(d *binding.Definition, word string) float64 {
	q, ok := v.Row(d, word)
	if !ok {
		return 0
	}
	return q.In(quantity.MM)
}

// Bounds are the value of a row in mm less and with its uncertainty, as it is
// stated with ±.
func (v *Values) Bounds(d *binding.Definition, word string) (low, high float64) {
	q, ok := v.Row(d, word)
	if !ok {
		return 0, 0
	}
	at, u := q.In(quantity.MM), q.U(quantity.MM)
	return at - u, at + u
}

// Resolve evaluates all formulas of a job. workers is the number of parallel
// parsers; the result does not depend on it. The budget limits the work.
func Resolve(recipe *binding.Recipe, budget *formula.Budget, workers int) (*Values, problem.List) {
	r := &resolver{recipe: recipe, budget: budget, workers: max(1, workers), values: &Values{
		notebooks: map[*binding.Notebook]*Notebook{}, cells: map[*binding.Cell]quantity.Quantity{},
		widths: map[*binding.Cell]*formula.WidthFunc{}, feeds: map[*binding.Cell]*formula.FeedFunc{}, curves: map[*binding.Definition]*Curve{},
		calibrations: map[*binding.Definition]*calibrate.Result{}, measured: map[*binding.Definition]map[string]quantity.Quantity{}, unread: map[*binding.Definition]bool{},
	}}
	for _, nb := range recipe.BottomUp {
		r.resolve(nb)
	}
	return r.values, r.problems
}

// maxFormulas bounds the formulas of all working blocks of a job.
const maxFormulas = 20_000

// resolver resolves one notebook after the other.
type resolver struct {
	recipe   *binding.Recipe
	values   *Values
	problems problem.List
	budget   *formula.Budget
	workers  int
	parsed   int // formulas of working blocks so far
	tooMany  bool

	nb     *binding.Notebook                  // the notebook being resolved
	out    *Notebook                          // its values
	needed map[*section.Unmarked]source.Place // where a name from a block not marked as working is first needed
}

func (r *resolver) resolve(nb *binding.Notebook) {
	r.nb, r.needed = nb, map[*section.Unmarked]source.Place{}
	r.out = &Notebook{Used: map[string]bool{}, exports: map[string]formula.Value{}, places: map[string]source.Place{}}
	r.values.notebooks[nb] = r.out
	r.out.scope = r.initialScope()
	for _, name := range nb.Doc.Misread {
		r.out.scope.unresolved[formula.Fold(name)] = true
	}
	r.out.formulas = r.parse()
	cells := statedCells(nb)
	if nb == r.recipe.Notebook {
		cells = append(cells, r.recipe.Cells()...)
	}
	r.enterCells(cells)
	first, rest := r.curvesFirst()
	r.evaluate(first, cells)
	for _, d := range nb.Definitions {
		if d.Schema.Word == schema.Brush {
			r.calibrate(d)
			if curve := r.curve(d); curve.Fit != nil {
				r.out.scope.set(d.Name, curve.value, d.Place)
			}
			r.out.scope.enterMeasured(r.values, d)
		}
	}
	r.evaluate(rest, cells)
	for _, d := range nb.Definitions {
		if d.Schema.Word == schema.Brush {
			r.problems = append(r.problems, checkPress(r.values, d)...)
		}
	}
	slices.SortStableFunc(r.out.Results, func(a, b formula.Result) int { return cmp.Compare(a.Formula.Place.Start, b.Formula.Place.Start) })
	if nb == r.recipe.Notebook {
		r.compileAlong()
	} else {
		r.export()
	}
	r.reportUnmarked()
}

// statedCells lists the cells of the notebook's definitions, in the order of
// the text.
func statedCells(nb *binding.Notebook) []*binding.Cell {
	var out []*binding.Cell
	for _, d := range nb.Definitions {
		for _, c := range d.Rows {
			out = append(out, c)
		}
		for _, m := range d.Marks {
			out = append(out, m.Press, m.Width)
			if m.Reading != nil {
				for _, c := range []*binding.Cell{m.Reading.Feed, m.Reading.Dwell} {
					if c != nil {
						out = append(out, c)
					}
				}
			}
		}
	}
	slices.SortFunc(out, func(a, b *binding.Cell) int { return cmp.Compare(a.Source.Place.Start, b.Source.Place.Start) })
	return out
}

// enterCells adds the formulas of cells to those of the working blocks, and
// their plain values to the scope.
func (r *resolver) enterCells(cells []*binding.Cell) {
	for _, c := range cells {
		switch {
		case c.Formula != nil:
			r.out.formulas = append(r.out.formulas, c.Formula)
			r.use(c.Formula)
		case c.Known && c.Name != "" && c.Field.Kind == schema.Quantity:
			r.out.scope.set(c.Name, formula.OfQuantity(c.Quantity), c.Source.Place)
		case !c.Known && c.Name != "":
			r.out.scope.unresolved[c.Name] = true
		}
	}
	slices.SortStableFunc(r.out.formulas, func(a, b *formula.Formula) int { return cmp.Compare(a.Place.Start, b.Place.Start) })
}

// use notes the names that a formula uses.
func (r *resolver) use(f *formula.Formula) {
	for _, name := range f.Names() {
		r.out.Used[r.out.scope.Canonical(name)] = true
	}
}

// batchSize is the number of formulas that a worker parses at a time: for fewer,
// starting a second worker costs more than it saves.
const batchSize = 50

// parse parses the formulas of the working blocks.
func (r *resolver) parse() []*formula.Formula {
	var lines []section.Line
	for _, fence := range r.nb.Doc.Fences {
		lines = append(lines, fence.Lines...)
	}
	if room := maxFormulas - r.parsed; len(lines) > room {
		if !r.tooMany {
			r.problems.Errorf(problem.TooMany, lines[room].Place, problem.Advise("divide the recipe into several"), "one job has at most %d formulas", maxFormulas)
		}
		r.tooMany = true
		for _, l := range lines[room:] {
			r.out.scope.unresolved[formula.Fold(l.Name.String)] = true
		}
		lines = lines[:room]
	}
	r.parsed += len(lines)
	out, lists := make([]*formula.Formula, len(lines)), make([]problem.List, len(lines))
	// Each formula is parsed by itself and goes to its own place, so that the
	// order of the work does not matter.
	var group errgroup.Group
	group.SetLimit(r.workers)
	for from := 0; from < len(lines); from += batchSize {
		group.Go(func() error {
			for i := from; i < min(from+batchSize, len(lines)); i++ {
				l := &lines[i]
				out[i], lists[i] = formula.Parse(l.Name.String, l.Formula.String, l.Formula.Place)
				out[i].NamePlace, out[i].Remark = l.Name.Place, l.Remark
			}
			return nil
		})
	}
	_ = group.Wait() // parsing reports problems, never an error
	for i, f := range out {
		r.problems = append(r.problems, lists[i]...)
		r.use(f)
	}
	return out
}

// curvesFirst divides the formulas into those that the curves of the
// notebook's own brushes need, with all that they need in turn, and the rest.
func (r *resolver) curvesFirst() (first, rest []*formula.Formula) {
	byName := map[string]*formula.Formula{}
	for _, f := range r.out.formulas {
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
			need(byName[r.out.scope.Canonical(name)])
		}
	}
	for _, d := range r.nb.Definitions {
		for _, c := range curveCells(d) {
			need(c.Formula)
		}
	}
	if len(needed) == 0 {
		return nil, r.out.formulas
	}
	for _, f := range r.out.formulas {
		if needed[f] {
			first = append(first, f)
		} else {
			rest = append(rest, f)
		}
	}
	return first, rest
}

// curveCells lists a brush's own cells on which its curve depends.
func curveCells(d *binding.Definition) []*binding.Cell {
	if d.Schema.Word != schema.Brush {
		return nil
	}
	var out []*binding.Cell
	for _, word := range []string{"widest mark", "safe press", "touch mark"} {
		if c := d.Rows[word]; c != nil {
			out = append(out, c)
		}
	}
	for _, m := range d.Marks {
		out = append(out, m.Press, m.Width)
	}
	return out
}

// evaluate evaluates formulas, stores their values in the cells, and enters them
// in the scope for the formulas that follow.
func (r *resolver) evaluate(formulas []*formula.Formula, cells []*binding.Cell) {
	if len(formulas) == 0 {
		return
	}
	results, list := r.budget.Evaluate(formulas, r.out.scope, r.workers)
	r.explain(list)
	byFormula := make(map[*formula.Formula]*formula.Result, len(results))
	for i := range results {
		byFormula[results[i].Formula] = &results[i]
		if f := results[i].Formula; results[i].OK && f.Name != "" {
			if _, taken := r.out.scope.values[f.Name]; !taken {
				r.out.scope.set(f.Name, results[i].Value, f.NamePlace)
			}
		}
	}
	for _, c := range cells {
		if c.Formula == nil || byFormula[c.Formula] == nil || !byFormula[c.Formula].OK {
			continue
		}
		if q, ok := byFormula[c.Formula].Value.Quantity(); ok {
			good, limits := binding.CheckLimits(c, q)
			r.problems = append(r.problems, limits...)
			if good {
				r.values.cells[c] = q
			}
		}
	}
	r.out.Results = append(r.out.Results, results...)
}

// compileAlong compiles the formulas along a stroke of the layers: of widths and
// feeds.
func (r *resolver) compileAlong() {
	for _, layer := range r.recipe.Layers {
		if c := layer.Cells["width"]; c != nil && !c.Source.Formula.Empty() {
			width, list := formula.CompileWidth(c.Source.Formula.String, c.Source.Formula.Place, r.out.scope)
			r.explain(list)
			if width != nil && len(list) == 0 {
				r.use(width.Formula())
				r.values.widths[c] = width
			}
		}
		if c := layer.Cells["feed"]; c != nil && c.Along {
			feed, list := formula.CompileFeed(c.Source.Formula.String, c.Source.Formula.Place, r.out.scope)
			r.explain(list)
			if feed != nil && len(list) == 0 {
				r.use(feed.Formula())
				r.values.feeds[c] = feed
			}
		}
	}
}

// export names the notebook's formulas for use in other notebooks.
func (r *resolver) export() {
	for _, result := range r.out.Results {
		f := result.Formula
		if !result.OK || f.Name == "" || strings.Contains(f.Name, ".") {
			continue
		}
		name := r.nb.Name + "." + f.Name
		if at, taken := r.out.scope.places[name]; taken {
			p := problem.Problem{Code: problem.DefinedTwice, Place: f.NamePlace, Fix: problem.Advise("give the formula another name"),
				Message: "for other notebooks, " + quote(name) + " is both this formula and a row"}
			if at.Known() {
				p.Related = []problem.Related{{Place: at, Note: "the row"}}
			}
			r.problems.Add(p)
			continue
		}
		r.out.exports[name], r.out.places[name] = result.Value, f.NamePlace
	}
}

func quote(s string) string { return `"` + s + `"` }
