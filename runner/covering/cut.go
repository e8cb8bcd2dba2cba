package covering

import (
	"cmp"
	"slices"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/contour"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
	"mahlstick/runner/stroke"
)

// Hidden is what does not show.
type Hidden struct {
	Shapes int     // shapes and lines of which a part does not show
	Whole  int     // those of them of which nothing shows
	Area   float64 // mm² that are cut away
}

// Options for Cut, in mm.
type Options struct {
	// Trap is how far a shape runs on under covers that a later layer paints.
	Trap float64
	// Tolerance is how far the painted edge may be from the drawn one. What shows
	// narrower than this between two edges that were drawn as one is no part.
	Tolerance float64
	// Width is the one width in mm that the layer gives a line, before that of the
	// drawing; 0 if it varies. Nil where the layer gives none.
	Width func(l *stroke.OpenLine) float64
}

// Drawn is what a layer paints.
type Drawn struct {
	Regions *region.Result
	Lines   []stroke.OpenLine
}

// Cut takes away what lies under covers. A line with widths becomes the shape that
// shows of it, also where the layer gives it one width; of a line whose width varies by
// the layer, the parts are left that show. What does not meet a cover stays as it is.
func Cut(drawn Drawn, covers []Cover, opt Options) (Drawn, Hidden, problem.List) {
	c := cutter{covers: covers, opt: opt, out: &region.Result{Repairs: drawn.Regions.Repairs}}
	of := map[int][]region.Region{}
	for _, r := range drawn.Regions.Regions {
		of[r.Shape] = append(of[r.Shape], r)
	}
	for _, s := range drawn.Regions.Shapes {
		c.shape(s, of[s.Number])
	}
	var lines []stroke.OpenLine
	for _, l := range drawn.Lines {
		if wide := c.withWidth(l); wide.Widths == nil {
			lines = append(lines, c.centreLine(l)...)
		} else if c.line(wide) {
			lines = append(lines, l)
		}
	}
	slices.SortStableFunc(c.out.Shapes, func(a, b region.Shape) int { return cmp.Compare(a.Number, b.Number) })
	slices.SortStableFunc(c.out.Regions, func(a, b region.Region) int { return cmp.Compare(a.Shape, b.Shape) })
	return Drawn{c.out, lines}, c.hidden, c.problems
}

type cutter struct {
	covers   []Cover
	opt      Options
	out      *region.Result
	hidden   Hidden
	problems problem.List
}

// least is the area (mm²) below which nothing is hidden: rounding to the grid
// leaves as much.
const least = 0.0005

// shape keeps what shows of a shape.
func (c *cutter) shape(s region.Shape, regions []region.Region) {
	var rings [][]plane.Point
	for _, r := range regions {
		rings = append(rings, r.Rings...)
	}
	shown, changed := c.showing(rings, s.Number, s.Place)
	if !changed {
		c.out.Shapes, c.out.Regions = append(c.out.Shapes, s), append(c.out.Regions, regions...)
		return
	}
	c.keep(s, shown)
}

// withWidth gives a line the one width of the layer; ends and corners are then round.
// One that is narrower than what is left out between edges stays without.
func (c *cutter) withWidth(l stroke.OpenLine) stroke.OpenLine {
	if c.opt.Width == nil || !slices.ContainsFunc(c.covers, func(k Cover) bool { return k.above > l.Shape }) {
		return l
	}
	if width := c.opt.Width(&l); width > 2*c.opt.Tolerance {
		l.Widths, l.Look = slices.Repeat([]float64{width}, len(l.Points)), contour.Look{}
	}
	return l
}

// line keeps what shows of a line with widths, as a shape. It answers true where all
// shows, and the line stays one.
func (c *cutter) line(l stroke.OpenLine) bool {
	box := reach(l)
	if len(c.above(l.Shape, box)) == 0 {
		return true
	}
	// Lines are closed by their first point again.
	points, widths, n := l.Points, l.Widths, len(l.Points)
	closed := n > 2 && points[0] == points[n-1]
	if closed {
		points, widths = points[:n-1], widths[:n-1]
	}
	whole, ok := region.Where(drawnRings(points, closed, widths, l.Look), 1)
	if !ok {
		c.tangled(l.Place)
		return true
	}
	rings := ringsOf(whole)
	shown, changed := c.showing(rings, l.Shape, l.Place)
	if changed {
		c.keep(region.Shape{Number: l.Shape, Place: l.Place, At: l.Points[0], Area: area(whole)}, shown)
	}
	return !changed
}

// reach is the box around a line with its widths.
func reach(l stroke.OpenLine) plane.Box {
	box := plane.Empty()
	for i, p := range l.Points {
		box = box.Union(plane.Around(p, plane.Snap(float64(l.Widths[i]/2*l.Look.Stretch.Most()))+1))
	}
	return box
}

// keep adds what shows of a shape.
func (c *cutter) keep(s region.Shape, shown []region.Region) {
	left := area(shown)
	c.hidden.Shapes++
	c.hidden.Area += max(s.Area-left, 0)
	if len(shown) == 0 {
		c.hidden.Whole++
		return
	}
	s.Area, s.Regions, s.At = left, len(shown), shown[0].Rings[0][0]
	c.out.Shapes = append(c.out.Shapes, s)
	for _, r := range shown {
		r.Shape, r.Place = s.Number, s.Place
		c.out.Regions = append(c.out.Regions, r)
	}
}

// above lists the covers that may lie on a shape.
func (c *cutter) above(shape int, box plane.Box) (out []*Cover) {
	for i := range c.covers {
		if k := &c.covers[i]; k.above > shape && k.box.Overlaps(box) {
			out = append(out, k)
		}
	}
	return out
}

// showing finds what is painted of clean rings. It answers changed as false where
// nothing of them is covered.
func (c *cutter) showing(rings [][]plane.Point, shape int, place source.Place) (shown []region.Region, changed bool) {
	box := plane.Empty()
	for _, ring := range rings {
		box = box.Union(plane.Bounds(ring))
	}
	covers := c.above(shape, box)
	if len(covers) == 0 {
		return nil, false
	}
	const slack = plane.PerMM
	near := plane.Box{Min: plane.Point{X: box.Min.X - slack, Y: box.Min.Y - slack}, Max: plane.Point{X: box.Max.X + slack, Y: box.Max.Y + slack}}
	w := winder{ok: true}
	shown = w.where(1, rings, under(covers, near))
	if before := ringArea(rings); w.ok && before-area(shown) < least {
		return nil, false
	}
	shown = w.opened(shown, near, c.opt.Tolerance/2*plane.PerMM)
	lasting := slices.DeleteFunc(slices.Clone(covers), func(k *Cover) bool { return k.later })
	if c.opt.Trap > 0 && len(lasting) < len(covers) && len(shown) > 0 {
		below := w.where(1, rings, under(lasting, near))
		wider := w.where(1, grown(ringsOf(shown), float64(c.opt.Trap*plane.PerMM)))
		shown = w.where(2, ringsOf(below), ringsOf(wider))
	}
	if !w.ok {
		c.tangled(place)
		return nil, false
	}
	return shown, true
}

func (c *cutter) tangled(place source.Place) {
	c.problems.Errorf(problem.ContourTangled, place, problem.Advise("draw it again with fewer edges, or write paint in the column covered"),
		"too many edges of this shape and of those that lie on it cross each other")
}

// winder finds regions by winding numbers, as long as they are not too tangled.
type winder struct{ ok bool }

func (w *winder) where(least int32, rings ...[][]plane.Point) []region.Region {
	regions, ok := region.Where(slices.Concat(rings...), least)
	w.ok = w.ok && ok
	return regions
}

// opened takes away what is narrower than twice a radius (grid steps): slivers
// between edges that were drawn as one. Corners stay.
func (w *winder) opened(shown []region.Region, around plane.Box, radius float64) []region.Region {
	if len(shown) == 0 || radius < 1 {
		return shown
	}
	rings := ringsOf(shown)
	frame := []plane.Point{around.Min, {X: around.Max.X, Y: around.Min.Y}, around.Max, {X: around.Min.X, Y: around.Max.Y}}
	outside := w.where(1, [][]plane.Point{frame}, turned(rings))
	nearOutside := w.where(1, grown(ringsOf(outside), radius))
	core := w.where(1, rings, turned(ringsOf(nearOutside)))
	const back = 5 // radii: sharp corners lie farther from the core than the sides
	return w.where(2, rings, ringsOf(w.where(1, grown(ringsOf(core), back*radius))))
}

func turned(rings [][]plane.Point) [][]plane.Point {
	out := make([][]plane.Point, len(rings))
	for i, ring := range rings {
		out[i] = slices.Clone(ring)
		slices.Reverse(out[i])
	}
	return out
}

func ringsOf(regions []region.Region) (out [][]plane.Point) {
	for _, r := range regions {
		out = append(out, r.Rings...)
	}
	return out
}

// area of regions in mm².
func area(regions []region.Region) (sum float64) {
	for _, r := range regions {
		sum += r.Area()
	}
	return sum
}

func ringArea(rings [][]plane.Point) float64 { return region.Region{Rings: rings}.Area() }
