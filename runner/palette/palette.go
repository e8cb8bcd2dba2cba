// Package palette counts the shapes of a drawing by their colours.
package palette

import (
	"cmp"
	"math"
	"slices"

	"mahlstick/runner/contour"
	"mahlstick/runner/drawing"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
	"mahlstick/runner/vector"
)

// Shape is a contour of the drawing.
type Shape struct {
	contour.Identity
	Layer  string // its drawing layer
	Points []plane.Point
	Closed bool
	Widths []float64 // mm, one a point, or nil
}

// Shapes are the contours of a drawing on the grid, where they are drawn.
func Shapes(d *drawing.Drawing) []Shape {
	out := make([]Shape, len(d.Contours))
	for i, c := range d.Contours {
		out[i] = Shape{Identity: c.Identity, Layer: c.Layer, Closed: c.Closed, Widths: c.Widths, Points: make([]plane.Point, len(c.Points))}
		for k, p := range c.Points {
			out[i].Points[k] = plane.At(p.X, p.Y)
		}
	}
	return out
}

// Colour is what a drawing has in one colour on one drawing layer.
type Colour struct {
	Layer  string
	Paint  contour.Paint // Clear and Kind are those of its first shape
	Shapes int           // areas and lines
	Lines  int           // those of them that are lines without a width
	// Area in mm² of the shapes as drawn, also where others lie on top of them;
	// that of lines counts where they have a width.
	Area float64
}

// key tells colours apart.
type key struct {
	layer, paint string
}

// Of lists the colours of shapes, in the order of their first shapes.
func Of(shapes []Shape) []Colour {
	out := ByLayer(shapes)
	index := map[string]int{}
	n := 0
	for _, c := range out {
		i, seen := index[c.Paint.String()]
		if !seen {
			c.Layer = ""
			index[c.Paint.String()], out[n] = n, c
			n++
			continue
		}
		out[i].Shapes, out[i].Lines, out[i].Area = out[i].Shapes+c.Shapes, out[i].Lines+c.Lines, out[i].Area+c.Area
	}
	return out[:n]
}

// ByLayer lists the colours of each drawing layer apart.
func ByLayer(shapes []Shape) []Colour {
	var out []Colour
	index := map[key]int{}
	closed := map[int][]region.Contour{}
	for i, s := range shapes {
		k := key{s.Layer, s.Paint.String()}
		n, seen := index[k]
		if !seen {
			n = len(out)
			index[k] = n
			out = append(out, Colour{Layer: k.layer, Paint: s.Paint})
		}
		switch {
		case s.Closed && s.Widths == nil:
			c := region.Contour{Identity: s.Identity, Points: s.Points}
			c.Shape = i
			closed[n] = append(closed[n], c)
		case s.Widths == nil:
			out[n].Shapes++
			out[n].Lines++
		default:
			out[n].Shapes++
			out[n].Area += lineArea(&s)
		}
	}
	for n, contours := range closed {
		built, problems := region.Build(contours, region.Options{})
		if problems.HasErrors() {
			continue
		}
		for _, s := range built.Shapes {
			out[n].Shapes++
			out[n].Area += s.Area
		}
	}
	return out
}

// lineArea is the area in mm² of a line with widths and round ends.
func lineArea(s *Shape) float64 {
	area, back := 0.0, s.Look.Stretch.Inverse()
	n := len(s.Points)
	for i := range n {
		k := i + 1
		if k == n {
			if !s.Closed {
				break
			}
			k = 0
		}
		p, q := s.Points[i], s.Points[k]
		// A stretch keeps areas.
		way := back.At(vector.XY{X: plane.MM(q.X - p.X), Y: plane.MM(q.Y - p.Y)})
		area += float64(math.Sqrt(way.Dot(way)) * (s.Widths[i] + s.Widths[k]) / 2)
	}
	if !s.Closed && n > 0 {
		a, b := s.Widths[0], s.Widths[n-1]
		area += float64(math.Pi / 8 * (float64(a*a) + float64(b*b)))
	}
	return area
}

// Palest orders colours for painting: the palest first, those without a colour
// last.
func Palest(list []Colour) []Colour {
	out := slices.Clone(list)
	slices.SortStableFunc(out, func(a, b Colour) int {
		if x, y := a.Paint.HasColour(), b.Paint.HasColour(); x != y {
			if x {
				return -1
			}
			return 1
		}
		return cmp.Compare(b.Paint.Lightness(), a.Paint.Lightness())
	})
	return out
}
