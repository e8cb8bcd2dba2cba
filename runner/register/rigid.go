package register

import (
	"math"

	"mahlstick/runner/drawing"
	"mahlstick/runner/vector"
)

// transform turns about the zero and shifts.
type transform struct {
	cos, sin, dx, dy float64
	rms              float64 // mm, of what is left over
}

func (t transform) apply(p drawing.XY) drawing.XY {
	return drawing.XY{
		X: float64(t.cos*p.X) - float64(t.sin*p.Y) + t.dx,
		Y: float64(t.sin*p.X) + float64(t.cos*p.Y) + t.dy,
	}
}

// rigid is the turn and shift that bring from nearest to to, by the least sum
// of squared distances, without scale or mirror: S. Umeyama, IEEE PAMI 13
// (1991) 376-380, which in the plane needs no singular values. With one point,
// or where no turn is better than another, there is no turn.
func rigid(from, to []drawing.XY) transform {
	a, b := mean(from), mean(to)
	var c, s float64
	for i, p := range from {
		u, v := p.Minus(a), to[i].Minus(b)
		c += u.Dot(v)
		s += u.Cross(v)
	}
	t := transform{cos: 1}
	if h := math.Sqrt(float64(c*c) + float64(s*s)); h > 0 {
		t.cos, t.sin = c/h, s/h
	}
	t.dx = b.X - (float64(t.cos*a.X) - float64(t.sin*a.Y))
	t.dy = b.Y - (float64(t.sin*a.X) + float64(t.cos*a.Y))
	t.rms = leftOver(t.apply, from, to)
	return t
}

// leftOver is the root mean square of the distances after a map.
func leftOver(apply func(drawing.XY) drawing.XY, from, to []drawing.XY) float64 {
	sum := 0.0
	for i, p := range from {
		sum += vector.Distance2(apply(p), to[i])
	}
	return math.Sqrt(sum / float64(len(from)))
}

// mirrored is rigid after a flip of y: how well a mirrored drawing would fit.
func mirrored(from, to []drawing.XY) transform {
	flipped := make([]drawing.XY, len(from))
	for i, p := range from {
		flipped[i] = drawing.XY{X: p.X, Y: -p.Y}
	}
	return rigid(flipped, to)
}

// spread is how many times as far from each other the points of from lie as
// those of to.
func spread(from, to []drawing.XY) float64 {
	size := func(points []drawing.XY) float64 {
		m, sum := mean(points), 0.0
		for _, p := range points {
			sum += vector.Distance2(p, m)
		}
		return math.Sqrt(sum)
	}
	if s := size(to); s > 0 {
		return size(from) / s
	}
	return 1
}

func mean(points []drawing.XY) drawing.XY {
	var m drawing.XY
	for _, p := range points {
		m.X += p.X
		m.Y += p.Y
	}
	n := float64(len(points))
	return drawing.XY{X: m.X / n, Y: m.Y / n}
}
