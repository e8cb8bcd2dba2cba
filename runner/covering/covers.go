// Package covering finds what of a layer's shapes shows where later shapes of the
// drawing lie on top of them.
//
// All of it is winding numbers of rings on the grid (see region.Where): what shows of
// a shape is where its rings wind once and those of its covers do not.
package covering

import (
	"slices"

	"mahlstick/recipe/problem"
	"mahlstick/runner/contour"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
	"mahlstick/runner/register"
)

// Cover is an opaque shape that the layer does not paint.
type Cover struct {
	rings [][]plane.Point // clean, as those of a region
	box   plane.Box
	above int  // it lies on the shapes with a number below this
	later bool // a later layer paints it
}

// Covers makes covers of the contours that are not painted.
func Covers(list []register.Cover, opt region.Options) ([]Cover, problem.List) {
	type key struct {
		paint contour.Paint
		layer string
	}
	var out []Cover
	var problems problem.List
	var keys []key
	closed := map[key][]region.Contour{}
	// From the last to the first: of equal shapes the one on top counts.
	for i := len(list) - 1; i >= 0; i-- {
		c := &list[i]
		switch {
		case c.Closed && c.Widths == nil:
			k := key{c.Paint.Colour(), c.Layer}
			if closed[k] == nil {
				keys = append(keys, k)
			}
			shape := region.Contour{Identity: c.Identity, Points: c.Points}
			shape.Shape = len(list) - 1 - i
			closed[k] = append(closed[k], shape)
		case c.Widths != nil:
			regions, ok := region.Where(lineRings(c.Points, c.Closed, c.Widths), 1)
			if !ok {
				return nil, tangled(c)
			}
			out = append(out, newCover(regions, c))
		}
	}
	for _, k := range keys {
		built, found := region.Build(closed[k], opt)
		if found.HasErrors() {
			return nil, found
		}
		of := map[int][]region.Region{}
		for _, r := range built.Regions {
			of[r.Shape] = append(of[r.Shape], r)
		}
		for _, s := range built.Shapes {
			out = append(out, newCover(of[s.Number], &list[len(list)-1-s.Number]))
		}
	}
	return slices.DeleteFunc(out, func(c Cover) bool { return len(c.rings) == 0 }), problems
}

func newCover(regions []region.Region, of *register.Cover) Cover {
	c := Cover{above: of.Shape, later: of.Later, box: plane.Empty()}
	for _, r := range regions {
		c.rings = append(c.rings, r.Rings...)
		c.box = c.box.Union(plane.Bounds(r.Rings[0]))
	}
	return c
}

func tangled(c *register.Cover) problem.List {
	var problems problem.List
	problems.Errorf(problem.ContourTangled, c.Place, problem.Advise("draw it again with fewer edges, or write paint in the column covered"),
		"too many edges of this shape and of those it lies on cross each other")
	return problems
}

// under gives the rings of covers, in reversed direction, as far as they lie within a box.
func under(covers []*Cover, box plane.Box) [][]plane.Point {
	var out [][]plane.Point
	for _, c := range covers {
		for _, ring := range c.rings {
			if !plane.Bounds(ring).Overlaps(box) {
				continue
			}
			ring = clipRing(ring, box)
			slices.Reverse(ring)
			out = append(out, ring)
		}
	}
	return out
}

// clipRing cuts a ring off at the sides of a box; inside, it winds around every point
// as before. The ring is not changed.
//
// Source: I. E. Sutherland, G. W. Hodgman, "Reentrant polygon clipping",
// Communications of the ACM 17, 1974, 32-42.
func clipRing(ring []plane.Point, box plane.Box) []plane.Point {
	out := slices.Clone(ring)
	if box.Holds(plane.Bounds(ring)) {
		return out
	}
	for side := range 4 {
		in := out
		out = make([]plane.Point, 0, len(in))
		for i, q := range in {
			p := in[(i+len(in)-1)%len(in)]
			a, b := beyond(p, box, side), beyond(q, box, side)
			if a > 0 != (b > 0) {
				t := float64(a) / float64(a-b)
				cut := plane.Point{X: plane.Lerp(p.X, q.X, t), Y: plane.Lerp(p.Y, q.Y, t)}
				out = append(out, onSide(cut, box, side))
			}
			if b <= 0 {
				out = append(out, q)
			}
		}
	}
	return out
}

// beyond is how far a point lies beyond a side of a box.
func beyond(p plane.Point, box plane.Box, side int) int64 {
	switch side {
	case 0:
		return int64(box.Min.X) - int64(p.X)
	case 1:
		return int64(p.X) - int64(box.Max.X)
	case 2:
		return int64(box.Min.Y) - int64(p.Y)
	}
	return int64(p.Y) - int64(box.Max.Y)
}

// onSide moves a point onto a side of a box.
func onSide(p plane.Point, box plane.Box, side int) plane.Point {
	switch side {
	case 0:
		p.X = box.Min.X
	case 1:
		p.X = box.Max.X
	case 2:
		p.Y = box.Min.Y
	default:
		p.Y = box.Max.Y
	}
	return p
}
