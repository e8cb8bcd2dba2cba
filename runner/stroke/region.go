package stroke

import (
	"math"
	"slices"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/axis"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

// regionPlanner plans gestures along the axes of regions.
type regionPlanner struct{ *painter }

// plan plans one region.
func (p regionPlanner) plan(r region.Region, b *axis.Builder) outcome {
	var out outcome
	area := r.Area()
	medial, err := b.Medial(r, p.tolerance())
	if err != nil || len(medial.Nodes) == 0 {
		cause := "the region is empty"
		if err != nil {
			cause = err.Error()
		}
		out.problems.Errorf(problem.NoAxis, r.Place, problem.Advise("draw the shape again with fewer points, or report it"),
			"no centre line was found: %s", cause)
		return out
	}
	largest := largestOf(medial)
	remark := func(reason Reason, at axis.Point, area, length float64) {
		out.remark(Remark{
			Reason: reason, Shape: r.Shape, At: at.Plane(), Area: area, Length: length / plane.PerMM,
			Width: 2 * float64(at.R) / plane.PerMM, Place: r.Place,
		})
	}
	switch {
	case mul(2, float64(largest.R)) < mul(p.tolerance(), plane.PerMM):
		remark(TooSmall, largest, area, 0)
		return out
	case float64(largest.R) < p.limits.narrow-p.limits.slackNarrow && !p.layer.Hairlines:
		remark(TooThin, largest, area, axisLength(medial))
		return out
	}
	c := p.limits.cut(medial, p.layer.Hairlines)
	// Without rounding errors, the thin places would be smaller than what the
	// widest mark leaves.
	most := min(float64(largest.R), p.radius)
	left := max(area-squareMM(mul(math.Pi, mul(most, most))), 0)
	for _, place := range c.held {
		place.area = min(place.area, left)
		left -= place.area
		remark(HeldBack, place.at, place.area, place.length)
	}
	for _, place := range p.thinPlaces(c.thin) {
		place.area = min(place.area, left)
		left -= place.area
		remark(TooThin, place.at, place.area, place.length)
	}
	if !p.layer.Hairlines {
		out.necks = p.necks(&c.fit) / plane.PerMM
	}
	fill := len(c.wide.links) > 0 || float64(largest.R) > p.limits.held+p.limits.slackBroad
	if fill {
		out.gestures = append(out.gestures, p.fill(r, &c.wide, b)...)
	}
	corners, dabs := p.leaveRound(&c.fit)
	for _, corner := range corners {
		corner.area = min(corner.area, left)
		left -= corner.area
		remark(Rounded, corner.at, corner.area, corner.length)
	}
	chains := c.fit.chains()
	if len(medial.Edges) == 0 && !fill { // a disc
		chains = append(chains, chain{kind: Main, points: []axis.Point{largest}})
		if float64(largest.R) > p.limits.broad+p.limits.slackBroad {
			remark(HeldBack, largest, squareMM(mul(math.Pi, mul(float64(largest.R), float64(largest.R))-mul(p.radius, p.radius))), 0)
		}
	}
	for _, ch := range chains {
		if ch.kind == Main {
			p.promise(&out, p.trimmed(ch), r.Shape, r.Place)
		}
	}
	if p.layer.Corners != model.Touch {
		chains = p.joined(&out, &c.fit, chains)
	}
	p.paint(&out, r, append(dabs, chains...))
	return out
}

// leaveRound takes small corners out of a graph, if the recipe leaves them.
func (p regionPlanner) leaveRound(g *graph) (corners []leftRound, dabs []chain) {
	if p.layer.Corners != model.Round {
		return nil, nil
	}
	return g.round(mul(p.layer.RoundBelow, plane.PerMM))
}

// paint adds the gestures of chains. Where corners are joined, a lane takes in
// the touches that begin on it, unless edges come before lanes.
func (p regionPlanner) paint(out *outcome, r region.Region, chains []chain) {
	lanes := out.gestures
	var touches, others []Gesture
	var areas []float64
	for _, ch := range chains {
		points := p.trimmed(ch)
		g := Gesture{Kind: ch.kind, Shape: r.Shape, Points: p.press.path(points), Place: r.Place}
		if ch.kind == Corner && ch.links == 1 && p.layer.Corners != model.Touch && !p.layer.EdgesFirst {
			touches, areas = append(touches, g), append(areas, pathArea(points, false, ch.tips[1]))
			continue
		}
		others = append(others, g)
	}
	if len(touches) > 0 {
		var taken []bool
		out.gestures, taken = detours(lanes, touches)
		for i, g := range touches {
			if taken[i] {
				out.twice += areas[i]
			} else {
				others = append(others, g)
			}
		}
	}
	out.gestures = append(out.gestures, others...)
}

// joined makes one chain of those of each connected part, and counts the area
// painted twice.
func (p regionPlanner) joined(out *outcome, g *graph, chains []chain) []chain {
	if len(chains) < 2 {
		return chains
	}
	narrow := 0.0
	if p.layer.Hairlines {
		narrow = p.limits.narrow
	}
	chains, twice := g.walks(chains, narrow)
	for i, l := range g.links {
		if twice[i] {
			out.twice += pathArea(l.points, g.free(l.nodes[0]), g.free(l.nodes[1]))
		}
	}
	return chains
}

// pathArea is the part of the shape that belongs to a path along its axis, in
// mm². The shape may end at the path's first and at its last point.
func pathArea(points []axis.Point, first, last bool) float64 {
	s := stretch{points: points, ends: [2]joint{meeting, meeting}, slopes: [2]float64{math.NaN(), math.NaN()}}
	for k, free := range [2]bool{first, last} {
		if free {
			s.ends[k] = tip
		}
	}
	return squareMM(max(s.bare(0), 0))
}

// trimmed returns the points of a chain. If hairlines are painted, it is
// shortened at tips thinner than the lightest mark.
func (p regionPlanner) trimmed(c chain) []axis.Point {
	points := c.points
	if p.layer.Hairlines && !c.closed {
		points = slices.Clone(points)
		if c.tips[1] {
			points = trim(points, p.limits.narrow)
		}
		if c.tips[0] {
			slices.Reverse(points)
			points = trim(points, p.limits.narrow)
			slices.Reverse(points)
		}
	}
	return points
}

// trim shortens a path at its end, a free tip thinner than the lightest mark,
// whose radius is given in grid steps. The mark then ends where the shape does;
// no more is taken off than is too thin.
func trim(points []axis.Point, radius float64) []axis.Point {
	left := radius - float64(points[len(points)-1].R)
	for left > 0 && len(points) > 1 {
		n := len(points)
		tip, before := points[n-1], points[n-2]
		d, stop := distance(tip, before), 1.0
		if float64(before.R) > radius {
			stop = (radius - float64(tip.R)) / (float64(before.R) - float64(tip.R))
		}
		if mul(d, stop) > left || stop < 1 {
			return append(points[:n-1:n-1], between(tip, before, min(stop, left/d)))
		}
		left -= d
		points = points[:n-1]
	}
	return points
}

// largestOf is the point of an axis with the greatest radius.
func largestOf(g *axis.Graph) axis.Point {
	largest := g.Nodes[0].Point
	for _, n := range g.Nodes {
		if n.R > largest.R {
			largest = n.Point
		}
	}
	for _, e := range g.Edges {
		for _, p := range e.Points {
			if p.R > largest.R {
				largest = p
			}
		}
	}
	return largest
}

// axisLength is the length of all edges of an axis, in grid steps.
func axisLength(g *axis.Graph) float64 {
	sum := 0.0
	for _, e := range g.Edges {
		sum += length(e.Points)
	}
	return sum
}
