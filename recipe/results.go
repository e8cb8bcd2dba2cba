package recipe

import (
	"math"
	"slices"

	"mahlstick/recipe/binding"
	"mahlstick/recipe/format"
	"mahlstick/recipe/formula"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/resolve"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/section"
)

// results lists what was written after painting. Whatever is wrong there is a
// warning: it changes no program.
func (a *assembler) results() {
	var layers []string // with a check strip
	for _, l := range a.job.Layers {
		if l.CheckStrip {
			layers = append(layers, l.Name)
		}
	}
	// Where a layer has a problem, its strip is not missed: one problem is enough.
	allRead := len(a.job.Layers) == len(a.recipe.Layers)
	own := readOwn(a)
	a.readings = filesOf(own)
	for i, result := range a.recipe.Results {
		out := model.Result{Heading: result.Heading.String, Place: result.Heading.Place}
		for _, strip := range result.Strips {
			for _, r := range strip.Marks {
				if reading, ok := stripReading(r, a.values); ok {
					if allRead {
						reading.Layer = stripLayer(r, layers, &a.problems)
					}
					out.Strip = append(out.Strip, reading)
				}
			}
		}
		if from, to := span(a.recipe.Results, i); allRead {
			out.Strip = append(out.Strip, stripsIn(own, from, to, layers)...)
		}
		out.Painted = paintedParts(result.Painted, a.values)
		if allRead {
			setOffs(a, result.SetOffs)
			out.Widths = widthReadings(a, result.Widths)
		}
		a.job.Results = append(a.job.Results, out)
	}
	if strips := stripsIn(own, 0, math.MaxInt, layers); len(a.recipe.Results) == 0 && len(strips) > 0 && allRead {
		a.job.Results = append(a.job.Results, model.Result{Heading: schema.Results, Strip: strips, Place: own[0].link.Place})
	}
}

// span is where in the recipe a result's links are: up to the next heading.
func span(results []binding.Result, i int) (from, to int) {
	to = math.MaxInt
	if i > 0 {
		from = results[i].Heading.Place.Start
	}
	if i+1 < len(results) {
		to = results[i+1].Heading.Place.Start
	}
	return from, to
}

// paintedParts reads the tables of what programs painted.
func paintedParts(tables []binding.Strip, values *resolve.Values) (out []model.PaintedPart) {
	for _, table := range tables {
		for _, r := range table.Marks {
			if r.Complete {
				out = append(out, paintedPart(r, values))
			}
		}
	}
	return out
}

// setOffs gives each layer the longest time after which it was dry.
func setOffs(a *assembler, tables []binding.Strip) {
	for _, table := range tables {
		for _, r := range table.Marks {
			if !r.Complete {
				continue
			}
			i := resultLayer(a, r.Cells["layer"], "been dry")
			if i < 0 {
				continue
			}
			if q, ok := a.values.Quantity(r.Cells["set-off"]); ok {
				a.job.Layers[i].SetOff = max(a.job.Layers[i].SetOff, q.In(quantity.Second))
			}
		}
	}
}

// resultLayer is the index of the layer that a cell under Results names; -1 with a warning
// that this recipe has none that could have been so.
func resultLayer(a *assembler, c *binding.Cell, been string) int {
	i := slices.IndexFunc(a.job.Layers, func(l model.Layer) bool { return formula.Fold(l.Name) == formula.Fold(c.Source.String) })
	if i < 0 {
		var names []string
		for _, l := range a.job.Layers {
			names = append(names, l.Name)
		}
		a.problems.Warnf(problem.UnknownLayer, c.Source.Place, problem.Correction(c.Source.String, names).Else(problem.Advise("write the name of a layer of this recipe")),
			"this recipe has no layer %q that could have %s", c.Source.String, been)
	}
	return i
}

// widthReadings reads the tables of the widths of a painting.
func widthReadings(a *assembler, tables []binding.Strip) (out []model.WidthReading) {
	for _, table := range tables {
		for _, r := range table.Marks {
			if w, ok := widthReading(r, a.values); ok {
				if w.Layer = resultLayer(a, r.Cells["layer"], "been measured"); w.Layer >= 0 {
					out = append(out, w)
				}
			}
		}
	}
	return out
}

// widthReading reads a measured width, but for its layer; false where it is not whole.
func widthReading(r *binding.Record, values *resolve.Values) (model.WidthReading, bool) {
	if !r.Complete {
		return model.WidthReading{}, false
	}
	press, ok1 := values.Quantity(r.Cells["press"])
	asked, ok2 := values.Quantity(r.Cells["asked"])
	measured, ok3 := values.Quantity(r.Cells["measured"])
	return model.WidthReading{Press: press.In(quantity.MM), Asked: asked.In(quantity.MM), Measured: measured.In(quantity.MM), U: measured.U(quantity.MM)}, ok1 && ok2 && ok3
}

// paintedPart reads a row of what a program painted.
func paintedPart(r *binding.Record, values *resolve.Values) model.PaintedPart {
	p := model.PaintedPart{Layer: r.Cells["layer"].Source.String, From: r.Cells["from"].Count, To: r.Cells["to"].Count, File: r.Cells["file"].Source.String, Place: r.Row.Place}
	if c := r.Cells["at"]; c != nil {
		if q, ok := values.Quantity(c); ok {
			p.At = int(math.Round(float64(1000 * q.In(quantity.One))))
		}
	}
	return p
}

// stripReading reads a measured mark, but for its layer; false where its
// widths are not known.
func stripReading(r *binding.Record, values *resolve.Values) (model.StripReading, bool) {
	if !r.Complete {
		return model.StripReading{}, false
	}
	asked, ok1 := values.Quantity(r.Cells["asked"])
	measured, ok2 := values.Quantity(r.Cells["measured"])
	return model.StripReading{Mark: r.Cells["strip"].Source.String, Place: r.Row.Place,
		Asked: asked.In(quantity.MM), Measured: measured.In(quantity.MM), U: measured.U(quantity.MM)}, ok1 && ok2
}

// stripLayer is the name of the layer, of those with a check strip, that a
// reading is of; "" where that is not known.
func stripLayer(r *binding.Record, layers []string, problems *problem.List) string {
	c := r.Cells["layer"]
	if c == nil {
		switch {
		case len(layers) == 1:
			return layers[0]
		case len(layers) > 1:
			problems.Warnf(problem.AmbiguousStrip, r.Row.Place, problem.Advise("add a column \"layer\" that names the layer of each mark"),
				"this mark may be of the check strip of %s", format.Either(layers))
		}
		return ""
	}
	name := formula.Fold(c.Source.String)
	if i := slices.IndexFunc(layers, func(l string) bool { return formula.Fold(l) == name }); i >= 0 {
		return layers[i]
	}
	fix := problem.Correction(c.Source.String, layers).Else(problem.Advise("write the name of a layer whose check strip is yes"))
	problems.Warnf(problem.NoSuchStrip, c.Source.Place, fix, "no layer %q has a check strip", c.Source.String)
	return ""
}

// shownTables are the tables of a result that the page shows in its own way: check strips
// and widths of which every row could be read.
func shownTables(result binding.Result, values *resolve.Values) []*section.Table {
	var out []*section.Table
	add := func(tables []binding.Strip, read func(*binding.Record) bool) {
		for _, t := range tables {
			if !slices.ContainsFunc(t.Marks, func(r *binding.Record) bool { return !read(r) }) {
				out = append(out, t.Table)
			}
		}
	}
	add(result.Strips, func(r *binding.Record) bool { _, ok := stripReading(r, values); return ok })
	add(result.Widths, func(r *binding.Record) bool { _, ok := widthReading(r, values); return ok })
	return out
}
