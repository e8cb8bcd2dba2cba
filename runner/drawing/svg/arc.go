package svg

import (
	"math"

	"mahlstick/recipe/arith"
	"mahlstick/runner/vector"
)

// arc draws an arc of an ellipse from a to b, with half axes rx and ry; turned is the
// angle of the first in degrees. large chooses the longer arc, positive the one in the
// direction of growing angles.
func (p *path) arc(a vector.XY, rx, ry, turned float64, large, positive bool, b vector.XY) {
	p.handle, p.at = b, b
	if c, ok := endpointArc(a, rx, ry, turned, large, positive, b); ok {
		p.track.Arc(c.centre, c.u, c.v, c.start, c.sweep)
		p.track.To(b)
	} else if a != b {
		p.track.To(b)
	}
}

// arc is part of an ellipse: centre + cos t · u + sin t · v, from t = start on
// over sweep (rad).
type arc struct {
	centre, u, v vector.XY
	start, sweep float64
}

// endpointArc finds the ellipse of an arc that is given by its ends, and the arc's
// start and sweep on it (rad). Radii that are too small are enlarged until they reach.
// It returns false if the arc is a straight line or empty.
//
// Source: SVG 2, appendix B.2.4 and B.2.5.
func endpointArc(a vector.XY, rx, ry, turned float64, large, positive bool, b vector.XY) (c arc, ok bool) {
	rx, ry = math.Abs(rx), math.Abs(ry)
	if a == b || !(rx > 0 && ry > 0) {
		return c, false
	}
	sin, cos := arith.SinCosDegrees(turned)
	dx, dy := (a.X-b.X)/2, (a.Y-b.Y)/2
	// Half the chord along the axes, in units of the half axes.
	x := (float64(cos*dx) + float64(sin*dy)) / rx
	y := (float64(cos*dy) - float64(sin*dx)) / ry
	d := float64(x*x) + float64(y*y)
	if !(d > 0) || math.IsInf(d, 0) {
		return c, false
	}
	grow, off := 1.0, 0.0
	if d > 1 {
		grow = math.Sqrt(d)
	} else {
		off = math.Sqrt((1 - d) / d)
	}
	if large == positive {
		off = -off
	}
	x, y = x/grow, y/grow
	// The centre from the middle of the chord, in grown half axes.
	cx, cy := float64(off*y), -float64(off*x)
	rx, ry = float64(rx*grow), float64(ry*grow)
	c.centre = vector.XY{
		X: (a.X+b.X)/2 + float64(cos*float64(cx*rx)) - float64(sin*float64(cy*ry)),
		Y: (a.Y+b.Y)/2 + float64(sin*float64(cx*rx)) + float64(cos*float64(cy*ry)),
	}
	c.u = vector.XY{X: float64(rx * cos), Y: float64(rx * sin)}
	c.v = vector.XY{X: -float64(ry * sin), Y: float64(ry * cos)}
	c.start = arith.Atan2(y-cy, x-cx)
	c.sweep = arith.Atan2(-y-cy, -x-cx) - c.start
	if positive && c.sweep <= 0 {
		c.sweep += 2 * arith.Pi
	} else if !positive && c.sweep >= 0 {
		c.sweep -= 2 * arith.Pi
	}
	return c, true
}
