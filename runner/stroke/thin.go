package stroke

import (
	"math"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/source"
	"mahlstick/runner/axis"
	"mahlstick/runner/plane"
)

// thinPlace is a connected part of an axis narrower than the lightest mark. at
// is the middle of its longest branch, with the mean radius of that branch.
// Lengths are in grid steps, the area in mm².
type thinPlace struct {
	at           axis.Point
	longest      float64
	length, area float64
}

func (t *thinPlace) add(o thinPlace) {
	if o.longest > t.longest {
		t.longest, t.at = o.longest, o.at
	}
	t.length += o.length
	t.area += o.area
}

// measure returns the thin place that consists of one stretch, without its
// area.
func measure(points []axis.Point) thinPlace {
	t := thinPlace{length: length(points), at: points[0]}
	t.longest = t.length
	walked := 0.0
	for i := 1; i < len(points); i++ {
		p, q := points[i-1], points[i]
		d := distance(p, q)
		if half := t.length / 2; walked < half && walked+d >= half {
			t.at = between(p, q, (half-walked)/d)
		}
		walked += d
	}
	if t.length > 0 {
		t.at.R = int32(swept(points)/t.length/2 + 0.5)
	}
	return t
}

// swept is the area that a width covers when it is carried along a path at
// right angles to it, in square grid steps.
func swept(points []axis.Point) float64 {
	sum := 0.0
	for i := 1; i < len(points); i++ {
		sum += mul(distance(points[i-1], points[i]), float64(points[i-1].R)+float64(points[i].R))
	}
	return sum
}

// bare is the area that belongs to a stretch of axis and is covered neither by
// the marks at its ends nor by marks of the given radius along it (0 for none),
// in square grid steps. It is below 0 if the marks at the ends reach past the
// whole stretch.
//
// At each point of the axis, two radii lead to where its disc touches the
// outline. With s along the axis, they are at the angle θ = acos(-dR/ds) to it.
// Between two points the radii sweep the area of a strip whose width is carried
// along, R·sin θ·ds on either side, less the sectors through which they turn,
// R²·dθ for both sides together. (Own derivation: for straight sides dθ is 0;
// between two corners it halves the strips to triangles.) The mark at a painted
// end covers the sector ahead of its radii; at the tip of an axis the disc adds
// as much beyond them. Marks along the stretch cover the inner part of each
// radius R, up to their own radius.
func (s stretch) bare(marked float64) float64 {
	sum, first, last := 0.0, math.NaN(), math.NaN()
	sector := func(p axis.Point, half float64) {
		sum -= mul(mul(float64(p.R), float64(p.R))-mul(marked, marked), half)
	}
	p := s.points[0]
	for i, q := range s.points[1:] {
		d := distance(p, q)
		// Shorter chords would show the rounding to the grid.
		if d == 0 || d < leastChord && i < len(s.points)-2 {
			continue
		}
		cos := min(max((float64(p.R)-float64(q.R))/d, -1), 1)
		angle := arith.Acos(cos)
		if math.IsNaN(first) {
			if first = angle; !math.IsNaN(s.slopes[0]) {
				first = arith.Acos(-s.slopes[0])
			}
			last = first
		}
		sector(p, angle-last)
		sum += mul(mul(d, math.Sqrt(mul(1-cos, 1+cos))), float64(p.R)+float64(q.R)-2*marked)
		p, last = q, angle
	}
	if math.IsNaN(last) {
		return 0
	}
	if !math.IsNaN(s.slopes[1]) {
		sector(p, arith.Acos(-s.slopes[1])-last)
		last = arith.Acos(-s.slopes[1])
	}
	switch s.ends[0] {
	case painted:
		sector(s.points[0], first)
	case tip:
		sector(s.points[0], first-math.Pi)
	}
	switch s.ends[1] {
	case painted:
		sector(p, math.Pi-last)
	case tip:
		sector(p, -last)
	}
	return sum
}

// leastChord is the shortest distance, in grid steps, over which the slope of a
// radius is measured.
const leastChord = 30

// gather joins thin stretches that meet into places, in the order of their
// first stretches.
func gather(stretches []stretch) []thinPlace {
	place := map[plane.Point]int{} // end point of a stretch: its place
	group := make([]int, len(stretches))
	for i, r := range stretches {
		group[i] = i
		for _, p := range [2]axis.Point{r.points[0], r.points[len(r.points)-1]} {
			if g, met := place[p.Plane()]; met {
				from, to := root(group, i), root(group, g)
				group[max(from, to)] = min(from, to)
			}
			place[p.Plane()] = i
		}
	}
	number := map[int]int{}
	var out []thinPlace
	for i, r := range stretches {
		g := root(group, i)
		n, known := number[g]
		if !known {
			n = len(out)
			number[g] = n
			out = append(out, thinPlace{})
		}
		t := measure(r.points)
		t.area = squareMM(r.bare(0))
		out[n].add(t)
	}
	for i := range out { // a mark that covers one stretch may reach into the next
		out[i].area = max(out[i].area, 0)
	}
	return out
}

// root finds the representative of i in a union-find forest.
func root(group []int, i int) int {
	for group[i] != i {
		i = group[i]
	}
	return i
}

// thinPlaces lists the thin places of a region. All short ones, such as the
// fine ends of strokes, are listed as one place.
func (p regionPlanner) thinPlaces(stretches []stretch) []thinPlace {
	var out []thinPlace
	var ends thinPlace
	for _, t := range gather(stretches) {
		if p.layer.Hairlines {
			t.area = 0 // painted
		}
		if t.length > 20*p.limits.narrow {
			out = append(out, t)
			continue
		}
		ends.add(t)
	}
	if ends.length > 0 {
		out = append(out, ends)
	}
	return out
}

// necks is the length of those parts of a graph that are thinner than the
// lightest mark.
func (p regionPlanner) necks(g *graph) float64 {
	narrow, sum := p.limits.narrow, 0.0
	for _, l := range g.links {
		for i := 1; i < len(l.points); i++ {
			// Where the axis was cut, its radius is the limit, give or take
			// rounding.
			if a, b := l.points[i-1], l.points[i]; float64(max(a.R, b.R)) <= narrow+1 && float64(min(a.R, b.R)) < narrow-1 {
				sum += distance(a, b)
			}
		}
	}
	return sum
}

// promise adds remarks for the stretches of a path below the thinnest sure
// line. Short ones do not count, because the fine ends of every stroke are
// thinner; a stroke that is thinner from end to end always counts.
func (p *painter) promise(out *outcome, points []axis.Point, shape int, place source.Place) {
	thinnest := p.layer.Brush.Thinnest
	l := limits{narrow: mul(thinnest/2, plane.PerMM), broad: math.Inf(1)}
	runs := l.runs(points)
	for _, r := range runs {
		if r.level != thin {
			continue
		}
		if t := measure(r.points); len(runs) == 1 || t.length > mul(5*thinnest, plane.PerMM) {
			out.remark(Remark{
				Reason: Unpromised, Shape: shape, At: t.at.Plane(), Length: t.length / plane.PerMM,
				Width: 2 * float64(t.at.R) / plane.PerMM, Place: place,
			})
		}
	}
}
