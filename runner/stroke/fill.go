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
// outermost along the edge. b has made the region's axis.
func (p regionPlanner) fill(r region.Region, wide *graph, b *axis.Builder) []Gesture {
	l := lanes{press: p.press, filling: p.filling(), of: r}
	rings, ok := p.insetRings(r, wide)
	if !ok {
		rings = p.offsetRings(b)
	}
	var out []Gesture
	if p.layer.Lanes != model.Follow {
		out = l.straight(rings.inner, p.layer.LaneAngle)
	}
	if p.layer.Lanes == model.Straight {
		return append(out, l.laps(rings.levels[:min(1, len(rings.levels))])...)
	}
	for _, c := range l.filling.gaps(wide) {
		out = append(out, l.gesture(c.points, l.inner()))
	}
	return append(out, l.laps(rings.levels)...)
}

// laneRings are the paths of the lanes of a region.
type laneRings struct {
	levels [][][]plane.Point // closed lanes by their depth, the outermost first
	inner  [][][]plane.Point // by part of the region: the rings between which straight lanes run
}

// offsetRings takes the lanes from the diagram that the region's axis was made
// of.
func (p regionPlanner) offsetRings(b *axis.Builder) laneRings {
	var out laneRings
	f, offsets := p.filling(), b.Offsets()
	// A place that is hardly wider than the brush, or is held back, is painted
	// along its axis.
	least := max(f.first, p.limits.held) + p.limits.slackBroad
	sag := mul(p.press.within/4, plane.PerMM)
	for depth := f.first; ; depth += f.pitch {
		rings := offsets.At(depth, least, sag)
		if len(rings) == 0 {
			return out
		}
		out.levels = append(out.levels, rings)
		if p.layer.Lanes != model.Follow && len(out.levels) == 1 {
			out.inner = [][][]plane.Point{offsets.At(depth+f.overlap, least, sag)}
		}
		if p.layer.Lanes == model.Straight {
			return out
		}
	}
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

// straight fills the inside of each part with straight lanes.
func (l *lanes) straight(parts [][][]plane.Point, degrees float64) []Gesture {
	var out []Gesture
	for _, rings := range parts {
		for _, points := range l.filling.hatch(rings, degrees) {
			out = append(out, l.gesture(points, l.inner()))
		}
	}
	return out
}

// laps are lanes that follow the edge, the innermost first.
func (l *lanes) laps(levels [][][]plane.Point) []Gesture {
	var out []Gesture
	for i := len(levels) - 1; i >= 0; i-- {
		within := l.inner()
		if i == 0 {
			within = l.outer()
		}
		for _, ring := range levels[i] {
			out = append(out, l.gesture(l.filling.lap(ring), within))
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
