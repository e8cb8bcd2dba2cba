// Package template makes empty drawings with the sheet's edge, its margin and
// the register marks, so that layers drawn on them fit each other.
package template

import (
	"path"
	"slices"
	"strings"

	"mahlstick/recipe/model"
	"mahlstick/recipe/source"
	"mahlstick/runner/motion"
)

// Template is an empty drawing. Lengths are in mm on
// the sheet, x right and y up from its lower left corner.
type Template struct {
	Title                 string
	Drawing               string  // path below the studio, as the recipe links it
	UnitName              string  // the unit in which the drawing is written, "mm" where the recipe states none
	UnitMM                float64 // mm in one unit
	Width, Height, Margin float64 // of the sheet
	Layers                []Layer // in the order in which the recipe first names them
	together              bool    // for all layers, whatever drawing they link
}

// Layer is one layer of the drawing: that of an ink, or of a mark with a layer
// of its own.
type Layer struct {
	Name  string
	Ink   string // "#rrggbb", "" for a mark's own layer
	Marks []model.Mark
	Place source.Place // where the recipe names it
}

// markColour is that of marks on layers of their own.
const markColour = "#404040"

// FreeMarks are places where register marks could be painted on the empty sheet,
// the first two far apart; none if the recipe has marks that are painted, or
// only one layer.
func FreeMarks(job *model.Job) []model.Mark {
	if len(job.Layers) < 2 || slices.ContainsFunc(job.Marks, func(m model.Mark) bool { return m.Painted != "" }) {
		return nil
	}
	return motion.ProposeMarks(job.Layers[0].Brush, &job.Sheet, &job.Machine, nil)
}

// Each gives a template for each drawing that the recipe links, in the order
// of its layers. Drawing layers go by the names that the recipe states, or
// else by those of its layers.
func Each(job *model.Job) []*Template {
	var out []*Template
	for i := range job.Layers {
		name := job.Layers[i].Drawing
		known := false
		for _, t := range out {
			known = known || t.Drawing == name
		}
		if !known {
			out = append(out, gather(job, name, func(l *model.Layer) bool { return l.Drawing == name }))
		}
	}
	return out
}

// Together gives one template for all layers of the job, called after the
// recipe, for those who draw their colours side by side.
func Together(job *model.Job) *Template {
	recipe := job.Files[0].Name
	t := gather(job, strings.TrimSuffix(recipe, path.Ext(recipe))+".dxf", func(*model.Layer) bool { return true })
	t.together = true
	return t
}

// gather makes the template of the layers that are wanted.
func gather(job *model.Job, drawing string, wanted func(*model.Layer) bool) *Template {
	t := &Template{
		Title: job.Title, Drawing: drawing, UnitName: "mm", UnitMM: 1,
		Width: job.Sheet.Width, Height: job.Sheet.Height, Margin: job.Sheet.Margin,
	}
	united := false
	for i := range job.Layers {
		l := &job.Layers[i]
		if !wanted(l) {
			continue
		}
		if l.Unit.Name != "" && !united {
			united, t.UnitName, t.UnitMM = true, l.Unit.Name, l.Unit.MM
		}
		if name := LayerName(l); t.layer(name) == nil {
			t.Layers = append(t.Layers, Layer{Name: name, Ink: l.Ink.Hex, Place: l.Place})
		}
	}
	inks := len(t.Layers)
	for _, m := range job.Marks {
		if m.DrawingLayer == "" {
			// On the layer of each ink, so that each can be read by itself.
			for i := range t.Layers[:inks] {
				t.Layers[i].Marks = append(t.Layers[i].Marks, m)
			}
			continue
		}
		if t.layer(m.DrawingLayer) == nil {
			t.Layers = append(t.Layers, Layer{Name: m.DrawingLayer, Place: m.Place})
		}
		on := t.layer(m.DrawingLayer)
		on.Marks = append(on.Marks, m)
	}
	return t
}

// Holds says whether a layer of the recipe is drawn on the template.
func (t *Template) Holds(l *model.Layer) bool {
	return (t.together || l.Drawing == t.Drawing) && t.layer(LayerName(l)) != nil
}

// Inks is the number of the template's layers that are painted.
func (t *Template) Inks() int {
	n := 0
	for _, l := range t.Layers {
		if l.Ink != "" {
			n++
		}
	}
	return n
}

// IsSVG says whether the template is written as SVG: because that is wanted,
// or because the recipe links such a drawing.
func (t *Template) IsSVG(wanted bool) bool {
	ext := strings.ToLower(path.Ext(t.Drawing))
	return wanted || ext == ".svg" || ext == ".svgz"
}

// FileName is the path below the studio of the template: that of the drawing
// that the recipe links, with the ending that fits.
func (t *Template) FileName(svg bool) string {
	want := ".dxf"
	if t.IsSVG(svg) {
		want = ".svg"
	}
	ext := path.Ext(t.Drawing)
	if strings.EqualFold(ext, want) {
		return t.Drawing
	}
	return strings.TrimSuffix(t.Drawing, ext) + want
}

// layer finds a layer by its name, or gives nil.
func (t *Template) layer(name string) *Layer {
	for i := range t.Layers {
		if strings.EqualFold(t.Layers[i].Name, name) {
			return &t.Layers[i]
		}
	}
	return nil
}

// LayerName is the drawing layer on which a layer of the recipe is drawn: the
// one that it states, or else one of its own name.
func LayerName(l *model.Layer) string {
	if l.DrawingLayer != "" {
		return l.DrawingLayer
	}
	name := strings.Map(func(c rune) rune {
		if strings.ContainsRune(";=,", c) {
			return '-' // not in names of DXF layers
		}
		return c
	}, l.Name)
	if IsGuide(name) {
		name += " ink"
	}
	if name == "0" { // the layer that every DXF has
		name = "layer 0"
	}
	return name
}

// unit turns mm into the drawing's unit.
func (t *Template) unit(mm float64) float64 { return mm / t.UnitMM }
