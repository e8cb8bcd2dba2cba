package intake

import (
	"fmt"
	"slices"
	"strings"

	"mahlstick/recipe/colour"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/drawing"
	"mahlstick/runner/register"
	"mahlstick/runner/stage"
	"mahlstick/runner/template"
	"mahlstick/runner/vector"
)

// placing is a layer while its drawing is read and placed.
type placing struct {
	stage.Placed
	problems   problem.List
	markLayers []string // further drawing layers on which its marks were found
}

// place reads the layer's drawing and lays it on the sheet.
func (p *placing) place(file *reading, job *model.Job) {
	m := p.Model
	options := optionsOf(m, job)
	if m.DrawnSize.By != model.ByUnit {
		p.placeBySize(file, options, job)
		return
	}
	p.placeAt(file, options, job, vector.XY{})
}

// optionsOf are the options with which the drawing of a layer is read.
func optionsOf(m *model.Layer, job *model.Job) drawing.Options {
	options := drawing.Options{Unit: m.Unit, Layer: m.DrawingLayer, KeepLayers: statedMarkLayers(job), Gap: m.Gap, LayerPlace: m.DrawingLayerPlace,
		RefuseFaults: m.RefuseFaults,
		Lines:        m.Outlines == model.AsLines,
		Cut:          m.CutTo != model.Uncut,
		Anywhere:     len(job.Marks) > 0 || m.DrawnSize.By != model.ByUnit || m.OffsetX != 0 || m.OffsetY != 0}
	return byColour(options, m)
}

// placeAt is place for a drawing of a known size. Where no mark decides, the
// drawing's zero lies at zero on the sheet.
func (p *placing) placeAt(file *reading, options drawing.Options, job *model.Job, zero vector.XY) {
	m := p.Model
	d, found := file.first(options)
	if m.Width != nil { // a width from the recipe always means round caps
		found = slices.DeleteFunc(found, func(q problem.Problem) bool { return q.Code == problem.FlatEnds || q.Code == problem.PointedCorners })
	}
	if found.HasErrors() {
		p.problems = unitByMark(file, options, m, job, found)
		return
	}
	if slices.Contains(m.DrawingColours.List, colour.White) { // it is to be painted
		found = slices.DeleteFunc(found, func(q problem.Problem) bool { return q.Code == problem.WhiteShape })
	}
	p.problems = withoutOutlineWidth(m, found)
	p.Drawing = d
	ruleOutlines(m, d)
	if hidden := hiddenLayer(d, m); hidden != nil {
		p.problems = append(p.problems, *hidden)
		return
	}
	p.problems = append(p.problems, missingColours(d, m)...)
	if m.Width == nil {
		p.problems = append(p.problems, d.OpenProblems(func(c *drawing.Contour) bool { return register.Paints(m, c) })...)
	}
	if p.problems.HasErrors() {
		return
	}
	p.Placement, p.Contours, found = register.PlaceAt(d, m, job.Marks, &job.Sheet, zero)
	defer p.coveredLater(job)
	if m.DrawingLayer != "" && hasCode(found, problem.NoMark) {
		found = p.placeByAnyLayer(file, options, job, found)
	}
	p.problems = append(p.problems, found...)
	p.problems = append(p.problems, widthOfOutlines(m, p.Contours)...)
	p.problems = append(p.problems, severalColours(m, p.Contours)...)
	p.problems = append(p.problems, p.coveredShapes(job, zero)...)
}

// hiddenLayer reports a drawing layer of which nothing is shown in the drawing;
// nil if something is.
func hiddenLayer(d *drawing.Drawing, m *model.Layer) *problem.Problem {
	isAsked := func(layer string) bool { return strings.EqualFold(layer, m.DrawingLayer) }
	if m.DrawingLayer == "" || slices.ContainsFunc(d.Contours, func(c drawing.Contour) bool { return isAsked(c.Layer) }) {
		return nil
	}
	i := slices.IndexFunc(d.Skipped, func(c drawing.Count) bool {
		return isAsked(c.Layer) && (c.Why == drawing.NotDisplayed || c.Why == drawing.Invisible)
	})
	if i < 0 {
		return nil
	}
	c := d.Skipped[i]
	return &problem.Problem{Code: problem.LayerHidden, Place: m.DrawingLayerPlace,
		Fix:     problem.Advise("show the layer in the drawing, or choose another"),
		Message: fmt.Sprintf("nothing of layer %q can be painted: it is %s in %s", m.DrawingLayer, c.Why, m.Drawing),
		Related: []problem.Related{{Place: c.First, Note: "what is hidden"}}}
}

// placeByAnyLayer places a layer whose marks were not found on its own drawing
// layer: a mark that is found by its size may be on any. If it is on none, the
// problems found before remain.
func (p *placing) placeByAnyLayer(file *reading, options drawing.Options, job *model.Job, before problem.List) problem.List {
	options.KeepLayers = append(slices.Clone(p.Drawing.Layers), "") // and what is on none
	all, faults := file.again(options)
	if faults.HasErrors() {
		return before
	}
	placement, contours, found := register.Place(all, p.Model, job.Marks, &job.Sheet)
	switch {
	case contours == nil && hasCode(found, problem.NoMark):
		return before
	case contours == nil:
		return found // the marks are there; something else is wrong
	}
	p.Placement, p.Contours = placement, contours
	p.markLayers = layersOf(all, placement.Marks)
	return found
}

func hasCode(list problem.List, code problem.Code) bool {
	return slices.ContainsFunc(list, func(p problem.Problem) bool { return p.Code == code })
}

// statedMarkLayers are the drawing layers that the recipe names for its marks.
func statedMarkLayers(job *model.Job) []string {
	var out []string
	for _, m := range job.Marks {
		if m.DrawingLayer != "" {
			out = append(out, m.DrawingLayer)
		}
	}
	return out
}

// layersOf names the drawing layers on which marks were found.
func layersOf(d *drawing.Drawing, marks []register.Found) []string {
	var out []string
	for _, m := range marks {
		for _, c := range d.Contours {
			if c.Place == m.Place {
				out = append(out, c.Layer)
			}
		}
	}
	return out
}

// unusedDrawingLayers reports, of drawings whose layers are painted one by
// one, those layers that no layer of the recipe paints.
func unusedDrawingLayers(layers []placing) problem.List {
	var problems problem.List
	for i, l := range layers {
		sameFile := func(o placing) bool { return o.Model.Drawing == l.Model.Drawing }
		paintsAll := func(o placing) bool { return sameFile(o) && (o.Model.DrawingLayer == "" || o.Drawing == nil) }
		if slices.ContainsFunc(layers[:i], sameFile) || slices.ContainsFunc(layers, paintsAll) {
			continue
		}
		var unused []string
		for _, c := range l.Drawing.Skipped {
			uses := func(o placing) bool {
				return sameFile(o) && (strings.EqualFold(o.Model.DrawingLayer, c.Layer) || slices.Contains(o.markLayers, c.Layer))
			}
			if c.Why == drawing.NotAsked && c.Layer != "" && !template.IsGuide(c.Layer) && !slices.Contains(unused, c.Layer) && !slices.ContainsFunc(layers, uses) {
				unused = append(unused, c.Layer)
			}
		}
		if len(unused) == 0 {
			continue
		}
		const most = 8
		names := strings.Join(unused[:min(len(unused), most)], ", ")
		if len(unused) > most {
			names += " ..."
		}
		problems.Add(problem.Problem{Severity: problem.Hint, Code: problem.UnpaintedLayer, Place: l.Model.DrawingPlace,
			Message: fmt.Sprintf("%s has drawing layers that no layer of the recipe paints: %s", l.Model.Drawing, names),
			Fix:     problem.Advise("add a line to Layers with the drawing layer; ignore this if it is intended")})
	}
	return problems
}
