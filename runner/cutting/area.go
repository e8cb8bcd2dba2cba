package cutting

import (
	"slices"

	"mahlstick/runner/contour"
	"mahlstick/runner/drawing"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
	"mahlstick/runner/vector"
)

// area is a clip on the grid.
type area struct {
	box     vector.Box // around it, mm
	upright bool       // it is that box
	regions []region.Region
	points  int
	sound   bool
}

// slack (mm) is how far a contour may reach over a clip unreported: rounding in
// files.
const slack = 0.0002

func (c *cutter) area(clip *drawing.Clip) *area {
	if a := c.areas[clip]; a != nil {
		return a
	}
	a := &area{box: clip.Bounds(), sound: true}
	var all [][]plane.Point
	for _, s := range clip.Shapes {
		var rings [][]plane.Point
		for _, ring := range s.Rings {
			rings = append(rings, onGrid(ring))
		}
		regions, ok := region.Filled(rings, s.Rule)
		a.sound = a.sound && ok
		for _, r := range regions {
			all = append(all, r.Rings...)
		}
	}
	var ok bool
	a.regions, ok = region.Filled(all, contour.NonZero)
	a.sound = a.sound && ok
	for _, r := range a.regions {
		for _, ring := range r.Rings {
			a.points += len(ring)
		}
	}
	if len(clip.Shapes) == 1 && len(clip.Shapes[0].Rings) == 1 {
		a.upright = isUpright(clip.Shapes[0].Rings[0])
	}
	c.areas[clip] = a
	return a
}

// isUpright reports whether a ring is a rectangle with its sides along the axes.
func isUpright(ring []vector.XY) bool {
	if len(ring) != 4 {
		return false
	}
	for i, p := range ring {
		q := ring[(i+1)%4]
		if along := i%2 == 0; along != (ring[0].Y == ring[1].Y) && p.X != q.X || along == (ring[0].Y == ring[1].Y) && p.Y != q.Y {
			return false
		}
	}
	return true
}

// holds reports whether a contour lies within the area for sure.
func (a *area) holds(k *Contour) bool { return a.upright && a.box.Grown(slack).Holds(k.reach()) }

// manyPoints is the number of points from which only the part of a clip that
// lies near a shape is compared with it.
const manyPoints = 64

// common is what regions have in common with the area.
func (a *area) common(regions []region.Region) ([]region.Region, bool) {
	if !a.sound {
		return nil, false
	}
	by := a.regions
	if a.points > manyPoints {
		by = a.near(regions)
	}
	return region.Common(regions, by)
}

// near is the part of the area around regions.
func (a *area) near(regions []region.Region) []region.Region {
	box := vector.Empty()
	for _, r := range regions {
		for _, p := range r.Rings[0] {
			box.Add(inMM(p))
		}
	}
	box = box.Grown(1)
	var out []region.Region
	for _, r := range a.regions {
		var cut region.Region
		for _, ring := range r.Rings {
			points := make([]vector.XY, len(ring))
			for i, p := range ring {
				points[i] = inMM(p)
			}
			if points = withinBox(points, box); len(points) > 2 {
				cut.Rings = append(cut.Rings, onGrid(points))
			}
		}
		if len(cut.Rings) > 0 {
			out = append(out, cut)
		}
	}
	return out
}

func inMM(p plane.Point) vector.XY {
	x, y := p.MM()
	return vector.XY{X: x, Y: y}
}

// crossings are the places on a segment, as shares of it, at which it crosses the
// area's edges or passes their corners, in order.
func (a *area) crossings(p, q vector.XY) []float64 {
	var out []float64
	d := q.Minus(p)
	near := float64(lineSlack * d.Length())
	for _, r := range a.regions {
		for _, ring := range r.Rings {
			before := inMM(ring[len(ring)-1])
			for _, corner := range ring {
				at := inMM(corner)
				// How far both ends lie to the left of the segment.
				u, v := d.Cross(before.Minus(p)), d.Cross(at.Minus(p))
				if -near <= v && v <= near {
					out = append(out, at.Minus(p).Dot(d)/d.Dot(d))
				}
				if (u < 0) != (v < 0) {
					out = append(out, before.Toward(at, u/(u-v)).Minus(p).Dot(d)/d.Dot(d))
				}
				before = at
			}
		}
	}
	out = slices.DeleteFunc(out, func(t float64) bool { return !(t > 0 && t < 1) })
	slices.Sort(out)
	return out
}

// inside reports whether a point lies in the area.
func (a *area) inside(p vector.XY) bool {
	in := false
	for _, r := range a.regions {
		for _, ring := range r.Rings {
			before := inMM(ring[len(ring)-1])
			for _, corner := range ring {
				at := inMM(corner)
				if (before.Y <= p.Y) != (at.Y <= p.Y) {
					if left := at.Minus(before).Cross(p.Minus(before)); (left > 0) == (at.Y > before.Y) {
						in = !in
					}
				}
				before = at
			}
		}
	}
	return in
}

func boxOf(areas []*area) vector.Box {
	box := areas[0].box
	for _, a := range areas[1:] {
		box.Min.X, box.Min.Y = max(box.Min.X, a.box.Min.X), max(box.Min.Y, a.box.Min.Y)
		box.Max.X, box.Max.Y = min(box.Max.X, a.box.Max.X), min(box.Max.Y, a.box.Max.Y)
	}
	return box
}

// side is a side of a box: what lies inside it has no negative distance.
type side func(p vector.XY) float64

func sidesOf(b vector.Box) [4]side {
	return [4]side{
		func(p vector.XY) float64 { return p.X - b.Min.X }, func(p vector.XY) float64 { return b.Max.X - p.X },
		func(p vector.XY) float64 { return p.Y - b.Min.Y }, func(p vector.XY) float64 { return b.Max.Y - p.Y },
	}
}

// alongEdge reports whether a segment runs along an edge of the area, to which it
// belongs then.
func (a *area) alongEdge(p, q vector.XY) bool {
	for _, r := range a.regions {
		for _, ring := range r.Rings {
			before := inMM(ring[len(ring)-1])
			for _, corner := range ring {
				at := inMM(corner)
				if onSegment(p, before, at) && onSegment(q, before, at) {
					return true
				}
				before = at
			}
		}
	}
	return false
}

// onSegment reports whether a point lies on a segment, or as good as.
func onSegment(p, a, b vector.XY) bool {
	d := b.Minus(a)
	length := d.Length()
	if length == 0 {
		return false
	}
	along, aside := p.Minus(a).Dot(d)/length, d.Cross(p.Minus(a))/length
	return -lineSlack <= along && along <= length+lineSlack && -lineSlack <= aside && aside <= lineSlack
}

// withinBox cuts a closed ring at the sides of a box, one after the other. The
// result may run along them; around every point inside the box it winds as often
// as before.
func withinBox(ring []vector.XY, b vector.Box) []vector.XY {
	for _, distance := range sidesOf(b) {
		var out []vector.XY
		for i, q := range ring {
			p := ring[(i+len(ring)-1)%len(ring)]
			dp, dq := distance(p), distance(q)
			if (dp < 0) != (dq < 0) {
				out = append(out, p.Toward(q, dp/(dp-dq)))
			}
			if dq >= 0 {
				out = append(out, q)
			}
		}
		ring = out
	}
	return ring
}
