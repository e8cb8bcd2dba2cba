package stroke

import (
	"mahlstick/recipe/model"
	"mahlstick/runner/axis"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

// filling holds the measures of the lanes that fill places wider than the
// brush, in grid steps.
type filling struct {
	radius  float64 // of the widest mark
	first   float64 // depth of the outermost lane: its mark reaches the edge
	pitch   float64 // from lane to lane
	overlap float64 // by how much a mark overlaps its neighbour on either side
}

func (p regionPlanner) filling() filling {
	share := min(max(p.layer.Overlap, 0), 0.9) // with more, lanes would hardly advance
	return filling{
		radius: p.radius, first: p.limits.broad,
		pitch: mul(2*p.radius, 1-share), overlap: mul(p.radius, share),
	}
}

// fill makes lanes where a region is wider than the brush, at full width, the
// outermost along the edge. It returns false if they could not be made.
func (p regionPlanner) fill(r region.Region, wide *graph) ([]Gesture, bool) {
	f := p.filling()
	peaks := wide.peaks()
	parts, ok := inset(thinnedRegion(r), f.first)
	if !ok {
		return nil, false
	}
	// A narrow place that is hardly wider than the brush is painted along its
	// axis.
	parts = reaching(parts, peaks, f.first+p.limits.slackBroad)
	l := lanes{press: p.press, filling: f, of: r}
	switch p.layer.Lanes {
	case model.Straight:
		return l.hatched(parts, p.layer.LaneAngle)
	case model.Both:
		straight, ok := l.straight(parts, p.layer.LaneAngle)
		if !ok {
			return nil, false
		}
		follow, ok := l.followed(parts, wide, peaks)
		return append(straight, follow...), ok
	}
	return l.followed(parts, wide, peaks)
}

// lanes makes gestures of the lanes of one region.
type lanes struct {
	press   pressProfile
	filling filling
	of      region.Region
}

func (l *lanes) gesture(points []axis.Point, within float64) Gesture {
	press := l.press
	press.within = within
	return Gesture{Kind: Lane, Shape: l.of.Shape, Points: press.path(points), Place: l.of.Place}
}

// outer and inner are the tolerances (mm) of a lane's path. That of the
// outermost lane is smaller, because it makes the edge; the others overlap.
func (l *lanes) outer() float64 { return l.press.within / 2 }
func (l *lanes) inner() float64 { return l.press.within * 2 }

// hatched fills parts with straight lanes, and adds a lane along each edge.
func (l *lanes) hatched(parts []region.Region, degrees float64) ([]Gesture, bool) {
	out, ok := l.straight(parts, degrees)
	if !ok {
		return nil, false
	}
	for _, part := range parts {
		for _, ring := range part.Rings {
			out = append(out, l.gesture(l.filling.lap(ring), l.outer()))
		}
	}
	return out, true
}

// straight fills the inside of parts with straight lanes.
func (l *lanes) straight(parts []region.Region, degrees float64) ([]Gesture, bool) {
	var out []Gesture
	for _, part := range parts {
		lines, ok := l.filling.hatch(part, degrees)
		if !ok {
			return nil, false
		}
		for _, points := range lines {
			out = append(out, l.gesture(points, l.inner()))
		}
	}
	return out, true
}

// followed fills parts with lanes that follow the edge, the innermost first.
// Before them come strokes along the ridges that no lane reaches.
func (l *lanes) followed(parts []region.Region, wide *graph, peaks []axis.Point) ([]Gesture, bool) {
	var out []Gesture
	for _, c := range l.filling.gaps(wide) {
		out = append(out, l.gesture(c.points, l.inner()))
	}
	var rows [][]Gesture
	within := l.outer()
	for depth := l.filling.first; len(parts) > 0; depth += l.filling.pitch {
		var row []Gesture
		for _, part := range parts {
			for _, ring := range part.Rings {
				row = append(row, l.gesture(l.filling.lap(ring), within))
			}
		}
		rows = append(rows, row)
		within = l.inner()
		var next []region.Region
		for _, part := range reaching(parts, peaks, depth+l.filling.pitch) {
			inner, ok := inset(thinnedRegion(part), l.filling.pitch)
			if !ok {
				return nil, false
			}
			next = append(next, inner...)
		}
		parts = next
	}
	for i := len(rows) - 1; i >= 0; i-- {
		out = append(out, rows[i]...)
	}
	return out, true
}

// thinnedRegion is a region with fewer points: its edge moves by no more than 0.001 mm.
func thinnedRegion(r region.Region) region.Region {
	out := region.Region{}
	for _, ring := range r.Rings {
		out.Rings = append(out.Rings, thinOut(ring, plane.PerMM/1000))
	}
	return out
}

// reaching keeps the parts that contain one of the peaks with more than the
// given radius.
func reaching(parts []region.Region, peaks []axis.Point, radius float64) []region.Region {
	var out []region.Region
	for _, part := range parts {
		box := plane.Bounds(part.Rings[0])
		for _, p := range peaks {
			if float64(p.R) > radius && box.Has(p.Plane()) && plane.Inside(p.Plane(), part.Rings...) {
				out = append(out, part)
				break
			}
		}
	}
	return out
}

// full is the radius of the widest mark on the grid.
func (f filling) full() int32 { return int32(f.radius + 0.5) }

// lap is a closed path around a ring at full width.
func (f filling) lap(ring []plane.Point) []axis.Point {
	out := make([]axis.Point, 0, len(ring)+1)
	for i := range len(ring) + 1 {
		p := ring[i%len(ring)]
		out = append(out, axis.Point{X: p.X, Y: p.Y, R: f.full()})
	}
	return out
}
