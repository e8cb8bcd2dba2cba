// Package cutting cuts what is drawn off at clips, at a page, or at margins.
//
// Shapes are cut exactly, on the grid: a shape is made of its contours by their
// fill rule, or by nesting, and what it has in common with the clips is found by
// snap rounding, as in package region. So a hole stays a hole. A stroke with a
// width in the drawing that reaches over a clip becomes the shape that it covers,
// and is cut like any other. A line without one is parted.
package cutting

import (
	"slices"

	"mahlstick/runner/contour"
	"mahlstick/runner/drawing"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
	"mahlstick/runner/vector"
)

// Contour is a contour on the sheet, in mm.
type Contour struct {
	contour.Identity
	Points []vector.XY // without the first again at the end of a closed contour
	Closed bool
	Widths []float64 // mm, one a point; nil for the edge of a shape and for a line whose width the layer gives
	Clips  []*drawing.Clip
	From   int // set by Cut: the number of the contour it was
}

// Options are what the layer says.
type Options struct {
	// Strokes makes every contour without a fill rule a shape of its own.
	Strokes bool
	// Lines makes every closed contour without widths a line, if it is not filled.
	Lines bool
	// Shorten is by how much (mm) a line without widths is shortened where it is
	// cut, for its round end; nil for nothing.
	Shorten func(c *Contour, along, length float64) float64
}

// Result is what is left.
type Result struct {
	Contours []Contour // in the order in which they were drawn
	Cut      int       // shapes and lines that were cut
	Gone     int       // those of which nothing is left
}

// farthest (mm) is how far from the sheet's corner a contour may reach before it
// is cut roughly, so that it lies on the grid.
const farthest = 9_000

// Cut cuts contours off at their clips. It returns false where shapes are more
// tangled than package region accepts.
func Cut(list []Contour, opt Options) (Result, bool) {
	c := cutter{opt: opt, areas: map[*drawing.Clip]*area{}}
	for i := range list {
		list[i].From = i
		c.nextGroup = max(c.nextGroup, list[i].Group)
	}
	if !c.all(list) {
		return Result{}, false
	}
	slices.SortStableFunc(c.out.Contours, func(a, b Contour) int { return a.From - b.From })
	return c.out, true
}

type cutter struct {
	opt       Options
	areas     map[*drawing.Clip]*area
	nextGroup int
	out       Result
}

// all cuts all contours: groups with a fill rule, single outlines, strokes, and
// lines.
func (c *cutter) all(list []Contour) bool {
	var groups [][]*Contour
	numbered := map[int]int{}
	var singles []*Contour
	for i := range list {
		k := &list[i]
		switch {
		case k.Widths == nil && (!k.Closed || c.opt.Lines && !k.Filled):
			c.line(k)
		case k.Widths != nil:
			if !c.stroke(k) {
				return false
			}
		case k.Rule == contour.Unstated:
			singles = append(singles, k)
		case k.Group == 0:
			groups = append(groups, []*Contour{k})
		default:
			n, seen := numbered[k.Group]
			if !seen {
				n = len(groups)
				numbered[k.Group] = n
				groups = append(groups, nil)
			}
			groups[n] = append(groups[n], k)
		}
	}
	for _, g := range groups {
		if !c.group(g) {
			return false
		}
	}
	return c.singles(singles)
}

func (c *cutter) keep(k *Contour) { c.out.Contours = append(c.out.Contours, *k) }

// needed lists the clips that contours may reach over.
func (c *cutter) needed(contours ...*Contour) []*area {
	var out []*area
	for _, k := range contours {
		for _, clip := range k.Clips {
			if a := c.area(clip); !slices.Contains(out, a) && !a.holds(k) {
				out = append(out, a)
			}
		}
	}
	return out
}

// group cuts a shape of contours with a fill rule.
func (c *cutter) group(contours []*Contour) bool {
	areas := c.needed(contours...)
	if len(areas) == 0 {
		for _, k := range contours {
			c.keep(k)
		}
		return true
	}
	var rings [][]plane.Point
	for _, k := range contours {
		rings = append(rings, onGrid(k.Points))
	}
	regions, ok := region.Filled(rings, contours[0].Rule)
	return ok && c.shape(contours, regions, areas)
}

// shape keeps what a shape, as regions, has in common with areas.
func (c *cutter) shape(contours []*Contour, regions []region.Region, areas []*area) bool {
	before := area2(regions)
	for _, a := range areas {
		var ok bool
		if regions, ok = a.common(regions); !ok {
			return false
		}
	}
	switch after := area2(regions); {
	case after == 0:
		c.out.Gone++
		return true
	case after == before: // it lies within
		for _, k := range contours {
			c.keep(k)
		}
		return true
	}
	c.out.Cut++
	c.nextGroup++
	for _, r := range regions {
		for _, ring := range r.Rings {
			k := Contour{Identity: contours[0].Identity, Closed: true, From: contours[0].From}
			k.Rule, k.Group = contour.NonZero, c.nextGroup
			for _, p := range ring {
				x, y := p.MM()
				k.Points = append(k.Points, vector.XY{X: x, Y: y})
			}
			c.keep(&k)
		}
	}
	return true
}

// singles cuts outlines without a fill rule. Which of them are holes is decided
// before they are cut.
func (c *cutter) singles(contours []*Contour) bool {
	if len(c.needed(contours...)) == 0 {
		for _, k := range contours {
			c.keep(k)
		}
		return true
	}
	var closed []region.Contour
	for i, k := range contours {
		r := region.Contour{Identity: k.Identity, Points: onGrid(k.Points)}
		r.Shape = i
		closed = append(closed, r)
	}
	built, problems := region.Build(closed, region.Options{Strokes: c.opt.Strokes})
	if problems.HasErrors() {
		return false
	}
	regions := map[int][]region.Region{}
	for _, r := range built.Regions {
		regions[r.Shape] = append(regions[r.Shape], r)
	}
	for _, s := range built.Shapes {
		own := []*Contour{contours[s.Number]}
		for _, h := range s.Holes {
			own = append(own, contours[h])
		}
		areas := c.needed(own...)
		if len(areas) == 0 {
			for _, k := range own {
				c.keep(k)
			}
			continue
		}
		if !c.shape(own, regions[s.Number], areas) {
			return false
		}
	}
	return true
}

// stroke cuts a line with a width: what it covers.
func (c *cutter) stroke(k *Contour) bool {
	areas := c.needed(k)
	if len(areas) == 0 {
		c.keep(k)
		return true
	}
	if !boxOf(areas).Overlaps(k.reach()) {
		c.out.Gone++
		return true
	}
	outline := Outline(k.Points, k.Widths, k.Closed)
	if len(k.Points) > 1 && !k.Look.Round() && slices.Min(k.Widths) == slices.Max(k.Widths) {
		outline = pieces(k.Points, k.Widths[0], k.Closed, k.Look)
	}
	var rings [][]plane.Point
	for _, ring := range outline {
		rings = append(rings, onGrid(ring))
	}
	regions, ok := region.Filled(rings, contour.NonZero)
	return ok && c.shape([]*Contour{k}, regions, areas)
}

// area2 is twice the area of regions in square grid steps.
func area2(regions []region.Region) int64 {
	var sum int64
	for _, r := range regions {
		for _, ring := range r.Rings {
			sum += plane.Area2(ring)
		}
	}
	return sum
}

// reach is the box around a contour with its widths.
func (k *Contour) reach() vector.Box {
	half := 0.0
	if k.Widths != nil {
		half = float64(slices.Max(k.Widths) / 2 * k.Look.Stretch.Most())
	}
	return vector.Bounds(k.Points).Grown(half)
}

// onGrid lays a closed ring on the grid. One that reaches beyond it is cut
// roughly first: winding numbers within stay what they are (I. E. Sutherland and
// G. W. Hodgman, Communications of the ACM 17, 1974, 32-42).
func onGrid(points []vector.XY) []plane.Point {
	world := vector.Box{Min: vector.XY{X: -farthest, Y: -farthest}, Max: vector.XY{X: farthest, Y: farthest}}
	if !world.Holds(vector.Bounds(points)) {
		points = withinBox(points, world)
	}
	out := make([]plane.Point, len(points))
	for i, p := range points {
		out[i] = plane.At(p.X, p.Y)
	}
	return out
}
