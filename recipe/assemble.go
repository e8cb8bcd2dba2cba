package recipe

import (
	"fmt"
	"io/fs"
	"slices"

	"golang.org/x/text/unicode/norm"

	"mahlstick/recipe/binding"
	"mahlstick/recipe/formula"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/resolve"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/working"
)

// assembler makes the job from the results of the passes before.
type assembler struct {
	root     fs.FS
	recipe   *binding.Recipe
	values   *resolve.Values
	budget   *formula.Budget
	undrawn  bool // a missing drawing is no problem
	problems problem.List

	job     *model.Job
	facts   *factList
	brushes map[*binding.Definition]*model.Brush // nil for a brush with problems
	inked   map[*binding.Definition]bool         // inks in which a layer is painted
	// paperChecked are the brushes whose sheets' paper was compared with the job's.
	paperChecked map[*binding.Definition]bool
	derived      []working.Working  // of the brushes
	readings     []string           // files of readings that the recipe's own Results link
	bedLeft      *quantity.Quantity // what a surface of the bed leaves in doubt; nil without one
	// unnamed counts the brushes whose names cannot be written in a formula.
	unnamed int
}

func (a *assembler) assemble(name string) *model.Job {
	a.job = &model.Job{Name: name}
	a.facts = &factList{recipe: a.recipe, values: a.values, derived: map[*schema.Field]string{}}
	a.brushes, a.inked = map[*binding.Definition]*model.Brush{}, map[*binding.Definition]bool{}
	a.paperChecked = map[*binding.Definition]bool{}
	a.title()
	if a.recipe.Sheet != nil {
		a.sheet(a.recipe.Sheet)
		flatness{a}.read(a.recipe.Sheet)
	}
	machine := machineReader{a: a, m: &a.job.Machine}
	if a.recipe.Machine != nil {
		a.checkRequired(a.recipe.Machine)
		machine = machineReader{a: a, d: a.recipe.Machine, m: &a.job.Machine}
		machine.read()
	}
	a.marks()
	clamps{a}.read()
	a.layers()
	seater{a}.read()
	wellReader{a}.read()
	a.trials()
	machine.checkSafeHeight(a.job.Brushes)
	flatness{a}.checkSlope()
	a.checkUnusedBrushes()
	a.job.Facts = a.facts.facts
	a.problems = append(a.problems, a.facts.problems...)
	a.results()
	a.checkComplete()
	page := newPage(a.recipe, a.values)
	a.problems = append(a.problems, page.write(a.root, a.job)...)
	a.job.Pictures = append(a.job.Pictures, a.readings...)
	a.job.Workings = workings(a.recipe, a.values, a.derived)
	a.unused(page.used)
	for _, nb := range a.recipe.Notebooks {
		a.job.Files = append(a.job.Files, nb.File)
	}
	a.job.Files = append(a.job.Files, a.recipe.Sheets...)
	return a.job
}

func (a *assembler) title() {
	a.job.Title = a.recipe.Doc.Title.String
	if a.job.Title != "" {
		return
	}
	a.job.Title = a.job.Name
	if !a.recipe.Doc.Incomplete {
		a.problems.Add(problem.Problem{Severity: problem.Warning, Code: problem.MissingTitle, Place: a.recipe.File.Place(0, 0),
			Fix: problem.Advise("start the file with a title, such as # " + a.job.Name), Message: "the recipe has no title"})
	}
}

// checkRequired checks that a definition has all required rows, and adds a problem for
// each that is missing.
func (a *assembler) checkRequired(d *binding.Definition) bool {
	a.problems = append(a.problems, d.MissingRows(func(word string) bool { return a.values.HasRow(d, word) })...)
	for i := range d.Schema.Rows {
		if e := &d.Schema.Rows[i]; e.Required {
			if c, _ := d.Find(e.Word); c == nil && !a.values.HasRow(d, e.Word) || c != nil && !a.values.Known(c) {
				return false
			}
		}
	}
	return true
}

func (a *assembler) marks() {
	for _, r := range a.recipe.RegisterMarks {
		if !r.Complete {
			continue
		}
		name := r.Cells["mark"].Source
		m := model.Mark{Name: norm.NFC.String(name.String), Place: name.Place}
		x, ok1 := a.values.Quantity(r.Cells["x"])
		y, ok2 := a.values.Quantity(r.Cells["y"])
		size, ok3 := a.values.Quantity(r.Cells["size"])
		if !ok1 || !ok2 || !ok3 {
			continue
		}
		m.X, m.Y, m.Size = x.In(quantity.MM), y.In(quantity.MM), size.In(quantity.MM)
		if c := r.Cells["drawing layer"]; c != nil {
			m.DrawingLayer = c.Source.String
		}
		if c := r.Cells["painted"]; c != nil {
			m.Painted = painterOf(a, c)
		}
		a.facts.record(r, m.Name)
		half := m.Size / 2
		s := a.job.Sheet
		if s.Width > 0 && (m.X-half < 0 || m.Y-half < 0 || m.X+half > s.Width || m.Y+half > s.Height) {
			a.problems.Errorf(problem.OffSheet, m.Place, problem.Advise("write a place at least half its size from the edges"),
				"the mark %q, %s wide at (%s, %s), is not on the sheet of %s", m.Name, size.Short(), x.Short(), y.Short(), s.Size)
			continue
		}
		a.job.Marks = append(a.job.Marks, m)
	}
}

// painterOf is the name of the layer that paints a mark, "" if the recipe has no
// such layer.
func painterOf(a *assembler, c *binding.Cell) string {
	var names []string
	for _, r := range a.recipe.Layers {
		if layer := r.Cells["layer"]; layer != nil {
			names = append(names, layer.Source.String)
		}
	}
	for _, name := range names {
		if formula.Fold(name) == formula.Fold(c.Source.String) {
			return norm.NFC.String(name)
		}
	}
	if len(names) == 0 { // Layers has problems of its own
		return ""
	}
	fix := problem.Advise("write the name of a layer of this recipe, or leave the cell empty")
	if near, ok := problem.Nearest(c.Source.String, names); ok {
		fix = problem.DidYouMean(near)
	}
	a.problems.Errorf(problem.UnknownLayer, c.Source.Place, fix, "this recipe has no layer %q to paint the mark", c.Source.String)
	return ""
}

func (a *assembler) layers() {
	for _, r := range a.recipe.Layers {
		if r.Cells["layer"] == nil {
			continue
		}
		if layer, ok := a.layer(r); ok && r.Complete {
			a.job.Layers = append(a.job.Layers, layer)
		}
	}
	for _, r := range a.recipe.Layers {
		if c := r.Cells["layer"]; c != nil {
			a.facts.record(r, c.Source.String)
		}
	}
}

// brush returns the model's brush for a definition, and makes it at the first
// call; nil if it has problems.
func (a *assembler) brush(d *binding.Definition) *model.Brush {
	if m, ok := a.brushes[d]; ok {
		return m
	}
	a.brushes[d] = nil
	curve := a.values.Curve(d)
	if !a.checkRequired(d) || curve == nil {
		return nil
	}
	lag, list := a.values.Lag(d)
	a.problems = append(a.problems, list...)
	length := func(word string) float64 { return a.values.Length(d, word) }
	m := &model.Brush{
		Name: d.Name, Title: d.Title, File: d.Notebook.File.Name, Place: d.Place, Curve: curve,
		WidestMark: length("widest mark"), SafePress: length("safe press"), Touch: length("touch"), TouchMark: length("touch mark"),
		Lag: lag, TipX: length("tip offset x"), TipY: length("tip offset y"), Entry: length("entry"), Exit: length("exit"),
		Hair: length("hair"), Play: length("play"),
	}
	if q, ok := a.values.Row(d, "steepest press"); ok {
		m.SteepestPress = q.In(quantity.One)
	}
	if q, ok := a.values.Row(d, "holds"); ok {
		m.Holds = loadOf(q)
		if c, _ := d.Find("holds"); c != nil {
			m.Holds.Place = c.Source.Place
		}
	}
	doubts(a.values, d, m)
	m.Measured = measured(a.values.Calibration(d))
	a.facts.rows(d)
	a.facts.swatch(d)
	a.facts.measured(d, m)
	derived, list := a.values.Derive(d, formulaName(a, d), resolve.Height{Machine: a.recipe.Machine, Left: a.bedLeft}, a.values.Of(a.recipe.Notebook).Scope(), a.budget)
	a.problems = append(a.problems, list...)
	a.derived = append(a.derived, derived.Workings...)
	m.Thinnest, m.Reserve = derived.Thinnest, derived.Reserve
	m.Spreading = spreadingOf(m)
	a.brushes[d] = m
	a.job.Brushes = append(a.job.Brushes, m)
	return m
}

// loadOf is an amount of ink that is stated as an area or as a length.
func loadOf(q quantity.Quantity) model.Load {
	if q.Dim() == quantity.Length {
		return model.Load{Length: q.In(quantity.MM)}
	}
	return model.Load{Area: q.In(quantity.MM2)}
}

// doubts reads how well the safe press and the tip offset of a brush are known.
func doubts(v *resolve.Values, d *binding.Definition, m *model.Brush) {
	if safe, ok := v.Row(d, "safe press"); ok {
		m.SafeU = safe.U(quantity.MM)
	}
	for _, word := range []string{"tip offset x", "tip offset y"} {
		c, _ := d.Find(word)
		if _, measured := v.MeasuredRow(d, word); c == nil && !measured {
			continue
		}
		m.TipStated = true
		if q, ok := v.Row(d, word); ok {
			m.TipU = max(m.TipU, q.U(quantity.MM))
		}
	}
}

// formulaName is the name of a brush in the built-in formulas: its own if a
// formula can write it.
func formulaName(a *assembler, d *binding.Definition) string {
	if binding.FullName(d.Name, "taper") != "" {
		return d.Name
	}
	a.unnamed++
	if a.unnamed == 1 {
		return "brush"
	}
	return fmt.Sprintf("brush_%d", a.unnamed)
}

// checkUnusedBrushes checks that all brushes are complete, also those that no
// layer uses. A brush that another one builds on may leave rows to that one.
func (a *assembler) checkUnusedBrushes() {
	if len(a.recipe.Trials) > 0 {
		return // they are about to be measured
	}
	completed := map[*binding.Definition]bool{}
	for _, nb := range a.recipe.Notebooks {
		for _, d := range nb.Definitions {
			completed[d.Base] = true
		}
	}
	for _, nb := range a.recipe.Notebooks {
		for _, d := range nb.Definitions {
			if d.Schema.Word == schema.Brush && d.Section != nil && !completed[d] {
				a.checkRequired(d)
			}
		}
	}
}

// checkComplete is a last check: no layer, no trial, no mark and no clamp is left out
// without an error.
func (a *assembler) checkComplete() {
	if a.problems.HasErrors() || len(a.job.Layers) == len(a.recipe.Layers) && len(a.job.Trials) == len(a.recipe.Trials) && len(a.job.Marks) == len(a.recipe.RegisterMarks) && len(a.job.Sheet.Clamps) == len(a.recipe.Clamps) {
		return
	}
	for _, r := range slices.Concat(a.recipe.Layers, a.recipe.Trials, a.recipe.RegisterMarks, a.recipe.Clamps) {
		a.problems.Errorf(problem.LostLine, r.Row.Place, problem.Advise("fix what the warnings say"), "a layer, a trial, a mark or a clamp could not be read")
	}
}

// unused reports formulas, brushes, inks and a hand of the recipe that nothing uses;
// used are names that the text uses. While there are errors, what is used is
// not known.
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
					Fix: problem.Advise("show it in the text as `" + l.Name.String + "`, or remove the line"), Message: `"` + name + `" is never used`})
			}
		}
	}
	if len(a.recipe.Layers) == 0 {
		return
	}
	idleHand(a)
	for _, d := range a.recipe.Definitions {
		p := problem.Problem{Severity: problem.Hint, Place: d.Place, Fix: problem.Advise("use it in a layer, or move it to its own notebook")}
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
