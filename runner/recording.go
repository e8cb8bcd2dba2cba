package runner

import (
	"cmp"
	"io/fs"
	"path"
	"slices"
	"strings"

	"mahlstick/recipe"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/motion"
	"mahlstick/runner/presenting"
	"mahlstick/runner/proving"
	"mahlstick/runner/record"
	"mahlstick/runner/trial"
)

const (
	pageName    = "index.html"
	pictureName = "painting.svg"
	cardName    = "card.html"
	// worksheetName is the page for a class.
	worksheetName = "worksheet.html"
)

// inputFiles are the files that were read: the recipe first, the others by
// name.
func inputFiles(job, drawings, attachments []*source.File) []*source.File {
	in := slices.Concat(job, drawings, attachments)
	slices.SortFunc(in[1:], func(a, b *source.File) int { return cmp.Compare(a.Name, b.Name) })
	return in
}

// present makes the page, the picture and the record. asRun are files that go
// with a signed impression besides.
func (r *Result) present(signed *record.Impression, asRun ...record.Output) error {
	rec := r.newRecord(signed)
	page := presenting.Page(presenting.Job{
		Job: r.Job, Layers: r.Layers, Walk: r.walk, WalkSeconds: proving.WalkSeconds(walkName, r.walk.Text, &r.Job.Machine), Tours: r.marks, Moved: r.GoesOn, Heights: r.heights, Checks: r.Checks, Problems: r.problems, Inputs: rec.Inputs, Signed: signed,
	})
	outputs := append(r.programs(), record.Output{Name: pictureName, Data: page.Picture()})
	if rows := r.toMeasure(); len(rows) > 0 {
		outputs = append(outputs, record.Output{Name: trial.ToMeasureName, Data: trial.ToMeasure(rows)})
	}
	if page.Swatch == nil {
		card, err := page.Card()
		if err != nil {
			return err
		}
		outputs = append(outputs, record.Output{Name: cardName, Data: card})
	}
	if r.Job.Worksheet {
		sheet, err := page.Worksheet()
		if err != nil {
			return err
		}
		outputs = append(outputs, record.Output{Name: worksheetName, Data: sheet})
	}
	page.Outputs = presenting.Outputs(outputs)
	html, err := page.Render()
	if err != nil {
		return err
	}
	outputs = append(outputs, record.Output{Name: pageName, Data: html})
	for _, o := range slices.Concat(outputs, asRun) {
		rec.Outputs = append(rec.Outputs, record.NewFile(o.Name, o.Data))
	}
	r.Record = rec
	r.Outputs = append(outputs, record.Output{Name: record.RecordName, Data: rec.JSON()})
	return nil
}

// toMeasure are the lengths to measure after painting: those of a swatch sheet,
// and of the check strips.
func (r *Result) toMeasure() []trial.Reading {
	var out []trial.Reading
	for _, l := range r.Layers {
		if l.Trial != nil {
			out = append(out, l.Trial.Readings...)
		}
		for _, m := range l.Strip {
			out = append(out, stripReading(l.Model, m, len(out)+1))
		}
	}
	return out
}

// stripReading is what is to be measured on a mark of a layer's check strip.
func stripReading(l *model.Layer, m motion.StripMark, number int) trial.Reading {
	x0, y0 := m.From.MM()
	x1, y1 := m.To.MM()
	across := 90.0
	if x0 == x1 { // the mark is upright
		across = 0
	}
	return trial.Reading{Number: number, Trial: l.Name + " " + m.Name, X: (x0 + x1) / 2, Y: (y0 + y1) / 2, Across: across,
		Press: m.Press, Feed: l.Feed, Expected: m.Width}
}

// programs are the margin walk, that over the places of heights, the layers' programs and those over the marks, as
// files.
func (r *Result) programs() []record.Output {
	out := []record.Output{{Name: r.walk.File, Data: r.walk.Text}}
	if r.heights != nil {
		out = append(out, record.Output{Name: r.heights.File, Data: r.heights.Text})
	}
	for _, l := range r.Layers {
		out = append(out, record.Output{Name: l.File, Data: l.Program})
	}
	for _, p := range r.GoesOn {
		out = append(out, record.Output{Name: p.File, Data: p.Program})
	}
	for _, p := range r.air {
		out = append(out, record.Output{Name: p.File, Data: p.Text})
	}
	for _, p := range r.resumed {
		out = append(out, p.Output())
	}
	for _, m := range r.marks {
		out = append(out, record.Output{Name: m.File, Data: m.Text})
	}
	return out
}

// newRecord is the record without its outputs.
func (r *Result) newRecord(signed *record.Impression) *record.Record {
	rec := &record.Record{
		Engine: record.Engine, Version: record.Version, Job: r.Job.Name, Title: r.Job.Title, Recipe: r.Job.Files[0].Name, Impression: signed,
	}
	for _, in := range r.inputs {
		rec.Inputs = append(rec.Inputs, record.NewFile(in.Name, in.Data))
	}
	for _, l := range r.Layers {
		f := l.Figures
		p := record.Program{File: l.File, Strokes: f.Strokes, CheckMarks: f.CheckMarks, RegisterMarks: f.Crosses, Length: f.Length, Seconds: f.Seconds}
		if l.Trial == nil {
			p.OnSheet = onSheet(l.Gestures)
		}
		rec.Programs = append(rec.Programs, p)
	}
	rec.Values = r.values()
	for _, c := range r.Checks {
		rec.Checks = append(rec.Checks, record.Check{Program: c.Program, Rule: c.Name, OK: c.OK, Found: c.Found, Allowed: c.Allowed})
	}
	return rec
}

// values are the rows and cells that have an effect, then the formulas, then
// the values in the text. A row with a formula is listed once, with its
// formula. A row that no formula can name is listed by section and word.
func (r *Result) values() []record.Value {
	workings := map[string]string{}
	for _, w := range r.Job.Workings {
		workings[w.Name] = w.Formula
	}
	var out []record.Value
	listed := map[string]bool{}
	for _, f := range r.Job.Facts {
		v := record.Value{Name: f.Name, Formula: workings[f.Name], Value: f.Value, Default: f.Default}
		if f.Name == "" {
			v.Name = f.Section.String() + ", " + f.Word
		} else {
			listed[f.Name] = true
		}
		out = append(out, v)
	}
	for _, w := range r.Job.Workings {
		if !listed[w.Name] {
			out = append(out, record.Value{Name: w.Name, Formula: w.Formula, Value: w.Result})
		}
	}
	for _, f := range r.Job.InText {
		out = append(out, record.Value{Name: record.InText, Formula: f.Formula, Value: f.Value})
	}
	return out
}

// checkName refuses a recipe whose folder in the logbook is taken: by another
// recipe, or by the logbook itself.
func checkName(studio fs.FS, job *model.Job) problem.List {
	var problems problem.List
	file := job.Files[0]
	at := file.Place(0, 0)
	if record.Reserved(job.Name) {
		problems.Errorf(problem.ReservedJob, at, problem.Advise("give the recipe or its folder another name"),
			"the job would be called %s, a name that the logbook uses itself", job.Name)
	}
	// heron.md and heron/heron.md are both the job heron.
	other := job.Name + ".md"
	if other == file.Name {
		other = path.Join(job.Name, path.Base(job.Name)+".md")
	}
	if info, err := fs.Stat(studio, other); err == nil && info.Mode().IsRegular() && strings.EqualFold(recipe.JobName(other), job.Name) {
		problems.Errorf(problem.SameJob, at, problem.Advise("give one of the two another name"), "%s and %s would both be the job %s", file.Name, other, job.Name)
	}
	return problems
}
