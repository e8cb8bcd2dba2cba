package cutting

import (
	"math"

	"mahlstick/runner/vector"
)

// Outside estimates how much of a contour lies outside of a box: its area in mm², and
// that of all of it. A line counts by its widths; without any it has no area.
func (k *Contour) Outside(box vector.Box) (outside, whole float64) {
	switch {
	case k.Widths != nil:
		return k.lineOutside(box)
	case !k.Closed:
		return 0, 0
	}
	whole = ringArea(k.Points)
	if box.Holds(vector.Bounds(k.Points)) {
		return 0, whole
	}
	return max(0, whole-ringArea(withinBox(k.Points, box))), whole
}

func (k *Contour) lineOutside(box vector.Box) (outside, whole float64) {
	last := len(k.Points) - 1
	if k.Closed {
		last++
	}
	for i := range last {
		next := (i + 1) % len(k.Points)
		a, b := k.Points[i], k.Points[next]
		wide := (k.Widths[i] + k.Widths[next]) / 2
		area := float64(wide * vector.Distance(a, b))
		whole += area
		// Of its width, half lies on each side.
		in := 0.0
		for _, half := range []float64{-wide / 4, wide / 4} {
			if from, to, inside := withinSides(a, b, box.Grown(half)); inside {
				in += float64(area * (to - from))
			}
		}
		outside += max(0, area-float64(in/2))
	}
	return outside, whole
}

func ringArea(ring []vector.XY) float64 {
	sum := 0.0
	for i, p := range ring {
		sum += p.Cross(ring[(i+1)%len(ring)])
	}
	return math.Abs(sum) / 2
}
