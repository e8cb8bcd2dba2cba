package stroke

import (
	"math"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/source"
	"mahlstick/runner/axis"
	"mahlstick/runner/plane"
)

// thinPlace is a connected stretch narrower than the lightest mark; lengths in
// grid steps, area in mm². Its point is the middle of its longest branch, with
// that branch's mean radius: at its ends everything is as thin as can be.
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

// measure makes a place of one stretch.
func measure(points []axis.Point) thinPlace {
	t := thinPlace{length: length(points), at: points[0]}
	t.longest = t.length
	walked, spread := 0.0, 0.0
	for i := 1; i < len(points); i++ {
		p, q := points[i-1], points[i]
		d := distance(p, q)
		spread += mul(d, float64(p.R)+float64(q.R))
		if half := t.length / 2; walked < half && walked+d >= half {
			t.at = between(p, q, (half-walked)/d)
		}
		walked += d
	}
	if t.length > 0 {
		t.at.R = int32(spread/t.length/2 + 0.5)
	}
	t.area = squareMM(spread)
	return t
}

// bare is the area of a thin stretch that the marks beside it leave bare:
// where a path ends at the limit, its round mark reaches over it.
func (l limits) bare(points []axis.Point, area float64) float64 {
	first, last := float64(points[0].R), float64(points[len(points)-1].R)
	if first < last {
		first, last = last, first
	}
	if first < l.narrow-1 {
		return area
	}
	disc := squareMM(mul(l.narrow, l.narrow))
	if fall := (first - last) / length(points); last < l.narrow/4 && fall > 0 {
		// A wedge: what lies between its sides, the tip and the disc between
		// them, whose radius falls by the sine of the half angle.
		sin := min(fall, 1)
		return mul(disc, math.Sqrt(1-mul(sin, sin))/sin-arith.Acos(sin))
	}
	caps := 1.0
	if last >= l.narrow-1 {
		caps = 2
	}
	return max(0, area-mul(disc, caps*arith.Pi/2))
}

// gather joins thin stretches that meet, in the order of the first of each.
func (l limits) gather(runs []run) []thinPlace {
	place := map[plane.Point]int{} // end point of a stretch: its place
	group := make([]int, len(runs))
	for i, r := range runs {
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
	for i, r := range runs {
		g := root(group, i)
		n, known := number[g]
		if !known {
			n = len(out)
			number[g] = n
			out = append(out, thinPlace{})
		}
		t := measure(r.points)
		t.area = l.bare(r.points, t.area)
		out[n].add(t)
	}
	return out
}

func root(group []int, i int) int {
	for group[i] != i {
		i = group[i]
	}
	return i
}

// thinPlaces lists the thin places of a region. The short ones, such as the
// fine ends of its strokes, are one place together.
func (m *maker) thinPlaces(runs []run) []thinPlace {
	var out []thinPlace
	var ends thinPlace
	for _, t := range m.gather(runs) {
		if m.layer.Hairlines {
			t.area = 0 // painted
		}
		if t.length > 20*m.narrow {
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

// promise remarks on the stretches of a path that are thinner than can be
// promised, unless they are short: the fine ends of every stroke are thinner.
// A stroke that is thinner from end to end is told, however short.
func (m *maker) promise(out *piece, points []axis.Point, shape int, place source.Place) {
	thinnest := m.layer.Brush.Thinnest
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
