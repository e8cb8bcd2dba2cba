package axis_test

import (
	"math"
	"math/rand/v2"

	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

// ring rounds points in mm to the grid, dropping repetitions.
func ring(pts ...[2]float64) []plane.Point {
	var out []plane.Point
	for _, p := range pts {
		q := plane.At(p[0], p[1])
		if len(out) == 0 || out[len(out)-1] != q {
			out = append(out, q)
		}
	}
	for len(out) > 1 && out[0] == out[len(out)-1] {
		out = out[:len(out)-1]
	}
	return out
}

func regionOf(rings ...[]plane.Point) region.Region { return region.Region{Rings: rings} }

// arc appends points of a circle from angle a to b (radians) whose chords
// leave it by no more than sag mm, b included, a not.
func arc(pts [][2]float64, x, y, r, a, b, sag float64) [][2]float64 {
	n := int(math.Ceil(math.Abs(b-a) / (2 * math.Acos(1-sag/r))))
	for i := 1; i <= n; i++ {
		t := a + (b-a)*float64(i)/float64(n)
		pts = append(pts, [2]float64{x + r*math.Cos(t), y + r*math.Sin(t)})
	}
	return pts
}

func circle(x, y, r, sag float64) []plane.Point {
	return ring(arc(nil, x, y, r, 0, 2*math.Pi, sag)...)
}

func reversed(r []plane.Point) []plane.Point {
	out := make([]plane.Point, len(r))
	for i, p := range r {
		out[len(r)-1-i] = p
	}
	return out
}

// star is a ring of n corners at random distances between low and high mm
// round the origin; it never crosses itself.
func star(rng *rand.Rand, n int, low, high float64) []plane.Point {
	for {
		var pts [][2]float64
		for i := range n {
			t := 2 * math.Pi * (float64(i) + 0.8*rng.Float64()) / float64(n)
			r := low + (high-low)*rng.Float64()
			pts = append(pts, [2]float64{r * math.Cos(t), r * math.Sin(t)})
		}
		if r := ring(pts...); len(r) >= 3 && plane.Area2(r) > 0 {
			return r
		}
	}
}

// stroke is the outline of a swelling stroke along a wavy line, flattened to
// pieces of about step mm, with round ends.
func stroke(x, y, length, width, step float64) []plane.Point {
	n := int(length / step)
	var left, right [][2]float64
	at := func(s float64) (px, py, dx, dy, r float64) {
		px, py = x+s, y+0.12*length*math.Sin(s*5/length)
		dx, dy = 1, 0.6*math.Cos(s*5/length)
		l := math.Hypot(dx, dy)
		return px, py, dx / l, dy / l, width / 2 * (0.6 + 0.4*math.Sin(s*9/length))
	}
	for i := 0; i <= n; i++ {
		px, py, dx, dy, r := at(length * float64(i) / float64(n))
		left = append(left, [2]float64{px - dy*r, py + dx*r})
		right = append(right, [2]float64{px + dy*r, py - dx*r})
	}
	pts := append([][2]float64{}, right...)
	px, py, dx, dy, r := at(length)
	a := math.Atan2(dy, dx)
	pts = arc(pts, px, py, r, a-math.Pi/2, a+math.Pi/2, 0.001)
	for i := range left {
		pts = append(pts, left[len(left)-1-i])
	}
	px, py, dx, dy, r = at(0)
	a = math.Atan2(dy, dx)
	pts = arc(pts, px, py, r, a+math.Pi/2, a+3*math.Pi/2, 0.001)
	return ring(pts...)
}

// nearness is the distance of a point (grid steps) from the outline of a
// region, by trying every edge.
func nearness(r region.Region, x, y float64) float64 {
	best := math.Inf(1)
	for _, ring := range r.Rings {
		for i, p := range ring {
			q := ring[(i+1)%len(ring)]
			ax, ay := float64(p.X), float64(p.Y)
			dx, dy := float64(q.X)-ax, float64(q.Y)-ay
			t := ((x-ax)*dx + (y-ay)*dy) / (dx*dx + dy*dy)
			t = math.Max(0, math.Min(1, t))
			best = math.Min(best, math.Hypot(x-ax-t*dx, y-ay-t*dy))
		}
	}
	return best
}

// within reports whether a point lies inside a region (even-odd).
func within(r region.Region, x, y float64) bool {
	in := false
	for _, ring := range r.Rings {
		for i, p := range ring {
			q := ring[(i+1)%len(ring)]
			ax, ay, bx, by := float64(p.X), float64(p.Y), float64(q.X), float64(q.Y)
			if (ay > y) != (by > y) && x < ax+(y-ay)*(bx-ax)/(by-ay) {
				in = !in
			}
		}
	}
	return in
}
