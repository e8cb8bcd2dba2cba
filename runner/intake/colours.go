package intake

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"mahlstick/recipe/colour"
	"mahlstick/recipe/format"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/contour"
	"mahlstick/runner/drawing"
	"mahlstick/runner/palette"
	"mahlstick/runner/register"
)

// byColour completes the options with which the drawing of a layer is read.
func byColour(options drawing.Options, m *model.Layer) drawing.Options {
	if m.DrawingColours.Chosen() || m.Covered == model.LeaveCovered {
		options.ByColour, options.Unpainted, options.AllLayers = true, m.DrawingColours.None, m.Covered == model.LeaveCovered
		options.Bare = m.Covered == model.LeaveCovered
		options.Wants = func(p contour.Paint) bool {
			return register.Paints(m, &drawing.Contour{Identity: contour.Identity{Paint: p}, Layer: m.DrawingLayer})
		}
	}
	return options
}

// coveredLater marks the covers that a later layer of the recipe paints.
func (p *placing) coveredLater(job *model.Job) {
	later := job.Layers[p.Number:]
	for i := range p.Placement.Covers {
		c := &p.Placement.Covers[i]
		drawn := drawing.Contour{Identity: c.Identity, Layer: c.Layer}
		c.Later = slices.ContainsFunc(later, func(l model.Layer) bool { return l.Drawing == p.Model.Drawing && register.Paints(&l, &drawn) })
	}
}

// missingColours reports colours that a layer takes and its drawing has not.
func missingColours(d *drawing.Drawing, m *model.Layer) problem.List {
	if !m.DrawingColours.Chosen() {
		return nil
	}
	var there []colour.RGB // in the order of the drawing
	none := false
	for i := range d.Contours {
		c := &d.Contours[i]
		switch {
		case m.DrawingLayer != "" && !strings.EqualFold(c.Layer, m.DrawingLayer):
		case !c.Paint.HasColour():
			none = true
		case !slices.Contains(there, c.Paint.RGB):
			there = append(there, c.Paint.RGB)
		}
	}
	where := m.Drawing
	if m.DrawingLayer != "" {
		where = fmt.Sprintf("layer %q of %s", m.DrawingLayer, m.Drawing)
	}
	var problems problem.List
	for _, c := range m.DrawingColours.List {
		if slices.Contains(there, c) {
			continue
		}
		fix := "the drawing has no colours: leave the drawing colour out"
		if nearest, any := colour.Nearest(c, there); any {
			fix = "the nearest colour that it has is " + nearest.String()
			if len(there) > 1 {
				fix += "; its colours are " + names(there)
			}
		}
		problems.Errorf(problem.NoSuchColour, m.DrawingColours.Place, problem.Advise(fix), "%s has nothing of the colour %v", where, c)
	}
	if m.DrawingColours.None && !none {
		problems.Errorf(problem.NoSuchColour, m.DrawingColours.Place, problem.Advise("its colours are "+names(there)), "every shape of %s has a colour", where)
	}
	return problems
}

// mostNamed is how many colours a message names.
const mostNamed = 8

func names(list []colour.RGB) string {
	var words []string
	for _, c := range list[:min(len(list), mostNamed)] {
		words = append(words, c.String())
	}
	if more := len(list) - mostNamed; more > 0 {
		return fmt.Sprintf("%s and %d more", strings.Join(words, ", "), more)
	}
	return format.List(words)
}

// severalColours warns of a layer that paints several colours in one ink, although
// nobody asked for it. Nothing is said where all are those of drawing layers, which
// tell layers apart on the screen.
func severalColours(m *model.Layer, contours []register.Contour) problem.List {
	differs := func(c register.Contour) bool { return c.Paint.Colour() != contours[0].Paint.Colour() }
	own := func(c register.Contour) bool { return !c.Paint.OfLayer }
	if m.DrawingColours.Stated || !slices.ContainsFunc(contours, differs) || !slices.ContainsFunc(contours, own) {
		return nil
	}
	shapes := make([]palette.Shape, len(contours))
	for i, c := range contours {
		shapes[i] = palette.Shape{Identity: c.Identity, Points: c.Points, Closed: c.Closed, Widths: c.Widths}
	}
	list := palette.Of(shapes)
	slices.SortStableFunc(list, func(a, b palette.Colour) int { return cmp.Compare(b.Area, a.Area) })
	var words []string
	for _, c := range list[:min(len(list), mostNamed)] {
		words = append(words, fmt.Sprintf("%v (%s, %s)", c.Paint, format.Count(c.Shapes, "shape"), format.Plain.Area(c.Area)))
	}
	all := format.List(words)
	if more := len(list) - mostNamed; more > 0 {
		all = fmt.Sprintf("%s and %d more", strings.Join(words, ", "), more)
	}
	var problems problem.List
	problems.Warnf(problem.SeveralColours, m.DrawingPlace,
		problem.Advise("give each colour a row of its own, with its drawing colour: mahlstick check "+m.Drawing+" prints the rows; for one ink, write all in the column drawing colour"),
		"the layer %q paints %d colours of %s in one ink: %s", m.Name, len(list), m.Drawing, all)
	return problems
}

// unusedColours reports, of drawings of which layers take chosen colours only,
// those colours that no layer takes.
func unusedColours(layers []placing) problem.List {
	var problems problem.List
	done := map[string]bool{}
	for _, l := range layers {
		if l.Drawing == nil || done[l.Model.Drawing] {
			continue
		}
		done[l.Model.Drawing] = true
		if unused := coloursLeft(l.Model.Drawing, layers); len(unused) > 0 {
			problems.Add(problem.Problem{Severity: problem.Hint, Code: problem.UnpaintedColour, Place: l.Model.DrawingPlace,
				Message: fmt.Sprintf("%s has %s that no layer of the recipe paints: %s", l.Model.Drawing, format.Plural(len(unused), "colour"), names(unused)),
				Fix:     problem.Advise("add a row to Layers with the drawing colour; ignore this if it is intended")})
		}
	}
	return problems
}

// coloursLeft lists the colours of a drawing that no layer paints, of those that
// were read for layers with chosen colours. White is bare paper, and marks are not
// painted.
func coloursLeft(drawing string, layers []placing) []colour.RGB {
	var out []colour.RGB
	for _, o := range layers {
		if o.Model.Drawing != drawing || o.Drawing == nil || !o.Model.DrawingColours.Chosen() {
			continue
		}
		for k := range o.Drawing.Contours {
			c := &o.Drawing.Contours[k]
			paints := func(l placing) bool { return l.Model.Drawing == drawing && register.Paints(l.Model, c) }
			isMark := func(f register.Found) bool { return f.Place == c.Place }
			if c.Paint.HasColour() && c.Paint.RGB != colour.White && !slices.Contains(out, c.Paint.RGB) &&
				!slices.ContainsFunc(o.Placement.Marks, isMark) && !slices.ContainsFunc(layers, paints) {
				out = append(out, c.Paint.RGB)
			}
		}
	}
	return out
}
