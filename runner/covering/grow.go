package covering

import (
	"math"

	"mahlstick/runner/plane"
	"mahlstick/runner/vector"
)

// roundTo is how far (grid steps, 0.001 mm) a chord of a round corner may stay inside
// the arc.
const roundTo = 10

// grown gives rings around whose inside everything within a radius (grid steps) of
// the area inside the given rings lies: they wind around it more often
// counter-clockwise than clockwise, and around nothing else. The rings keep the area
// on their left.
//
// Each edge adds the rectangle to its right, each convex corner a sector; at the
// other corners the ring goes back to the corner itself, so that every part counts once
// and in full, however short the edges are. (A convolution of the outline with a disc:
// L. J. Guibas, L. Ramshaw, J. Stolfi, "A kinetic framework for computational
// geometry", FOCS 1983, 100-111.)
func grown(rings [][]plane.Point, radius float64) [][]plane.Point {
	out := make([][]plane.Point, 0, len(rings))
	for _, ring := range rings {
		if g := grownRing(ring, radius); len(g) > 0 {
			out = append(out, g)
		}
	}
	return out
}

func grownRing(ring []plane.Point, radius float64) []plane.Point {
	var clean []plane.Point
	for i, p := range ring {
		if p != ring[(i+1)%len(ring)] {
			clean = append(clean, p)
		}
	}
	n := len(clean)
	if n < 2 {
		return nil
	}
	out := make([]plane.Point, 0, 3*n)
	before := normal(clean[n-1], clean[0])
	for i, p := range clean {
		q := clean[(i+1)%n]
		after := normal(p, q)
		out = append(out, offset(p, before, radius))
		turn := plane.Turn(clean[(i+n-1)%n], p, q)
		switch {
		case turn < 0:
			out = append(out, p)
		case turn > 0 || before.Dot(after) < 0:
			out = arc(out, p, before, after, radius)
		}
		out = append(out, offset(p, after, radius))
		before = after
	}
	return out
}

// normal is the unit vector at right angles to an edge, to its right.
func normal(p, q plane.Point) vector.XY {
	x, y := float64(q.X)-float64(p.X), float64(q.Y)-float64(p.Y)
	length := math.Sqrt(float64(x*x) + float64(y*y))
	return vector.XY{X: y / length, Y: -x / length}
}

func offset(p plane.Point, n vector.XY, radius float64) plane.Point {
	return plane.Point{X: plane.Round(float64(p.X) + float64(n.X*radius)), Y: plane.Round(float64(p.Y) + float64(n.Y*radius))}
}

// arc adds the points between two directions from p, counter-clockwise by at most
// half a turn.
func arc(out []plane.Point, p plane.Point, from, to vector.XY, radius float64) []plane.Point {
	if from.Dot(to) < 0 {
		quarter := from.Left()
		out = append(narrowArc(out, p, from, quarter, radius), offset(p, quarter, radius))
		from = quarter
	}
	return narrowArc(out, p, from, to, radius)
}

// narrowArc is arc for at most a quarter of a turn.
func narrowArc(out []plane.Point, p plane.Point, from, to vector.XY, radius float64) []plane.Point {
	if float64(radius*(1-from.Plus(to).Length()/2)) <= roundTo {
		return out
	}
	middle := midway(from, to)
	out = append(narrowArc(out, p, from, middle, radius), offset(p, middle, radius))
	return narrowArc(out, p, middle, to, radius)
}

func midway(a, b vector.XY) vector.XY {
	sum := a.Plus(b)
	return sum.Times(1 / sum.Length())
}

// band gives the rings of a line with a constant width (grid steps), in the manner
// of grown.
func band(points []plane.Point, closed bool, width float64) [][]plane.Point {
	back := make([]plane.Point, len(points))
	for i, p := range points {
		back[len(points)-1-i] = p
	}
	switch {
	case len(points) < 2:
		return nil
	case closed:
		return grown([][]plane.Point{points, back}, width/2)
	}
	return grown([][]plane.Point{append(append([]plane.Point{}, points...), back[1:len(back)-1]...)}, width/2)
}
