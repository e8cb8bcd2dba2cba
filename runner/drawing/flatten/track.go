package flatten

import (
	"slices"

	"mahlstick/runner/drawing/affine"
	"mahlstick/runner/vector"
)

// Track is a line of straight segments, cubic Bézier curves and arcs of
// ellipses in the plane, each from where the last one ends.
type Track struct {
	kinds  []trackStep
	values []float64
}

type trackStep byte

const (
	trackTo    trackStep = iota // x y
	trackCubic                  // three control points
	trackArc                    // centre, u, v, start, sweep
)

// Reset makes the track empty; its memory is used again.
func (t *Track) Reset() { t.kinds, t.values = t.kinds[:0], t.values[:0] }

// Len is the number of steps.
func (t *Track) Len() int { return len(t.kinds) }

// To goes to a point; the first is where the track begins.
func (t *Track) To(p vector.XY) {
	t.kinds = append(t.kinds, trackTo)
	t.values = append(t.values, p.X, p.Y)
}

// Cubic goes to d along a Bézier curve.
func (t *Track) Cubic(b, c, d vector.XY) {
	t.kinds = append(t.kinds, trackCubic)
	t.values = append(t.values, b.X, b.Y, c.X, c.Y, d.X, d.Y)
}

// Arc goes along centre + cos t · u + sin t · v from t = start over sweep (rad).
// Its end is given by the step that follows.
func (t *Track) Arc(centre, u, v vector.XY, start, sweep float64) {
	t.kinds = append(t.kinds, trackArc)
	t.values = append(t.values, centre.X, centre.Y, u.X, u.Y, v.X, v.Y, start, sweep)
}

// Point is where the track lies, if it goes nowhere.
func (t *Track) Point() (at vector.XY, ok bool) {
	if len(t.values) < 2 {
		return at, false
	}
	at = vector.XY{X: t.values[0], Y: t.values[1]}
	v := t.values
	for _, k := range t.kinds {
		n := 2
		switch k {
		case trackCubic:
			n = 6
		case trackArc:
			return at, false
		}
		for i := range n {
			if v[i] != t.values[i%2] {
				return at, false
			}
		}
		v = v[n:]
	}
	return at, true
}

// Mark is the end of a track while it grows.
type Mark struct{ kind, value int }

// End is where the track ends now.
func (t *Track) End() Mark { return Mark{len(t.kinds), len(t.values)} }

// Part is the part of the track between two marks. It shares its memory.
func (t *Track) Part(from, to Mark) Track {
	return Track{t.kinds[from.kind:to.kind:to.kind], t.values[from.value:to.value:to.value]}
}

// Flatten lays the track down.
func (t *Track) Flatten(m *affine.Map, p *Pen) bool {
	at := func(v []float64) vector.XY { return m.At(vector.XYZ{X: v[0], Y: v[1]}) }
	v := t.values
	for _, k := range t.kinds {
		switch k {
		case trackTo:
			p.to(at(v))
			v = v[2:]
		case trackCubic:
			p.smooth([4]vector.XY{p.Points[len(p.Points)-1], at(v), at(v[2:]), at(v[4:])})
			v = v[6:]
		case trackArc:
			c := conic{at(v), m.Along(vector.XYZ{X: v[2], Y: v[3]}), m.Along(vector.XYZ{X: v[4], Y: v[5]})}
			p.sweep(&c, v[6], v[7])
			v = v[8:]
		}
		if p.Full = p.Full || len(p.Points) > p.Room; p.Full {
			return true
		}
	}
	return true
}

// smooth lays down a cubic Bézier curve without its first point.
func (p *Pen) smooth(bez [4]vector.XY) {
	size := 0.0
	for _, q := range bez[1:] {
		size = max(size, q.X-bez[0].X, bez[0].X-q.X, q.Y-bez[0].Y, bez[0].Y-q.Y)
	}
	p.cubic(bez, p.tolerance(size))
}

// Copy gives a track of its own.
func (t *Track) Copy() Curve { return &Track{slices.Clone(t.kinds), slices.Clone(t.values)} }

// Parts is the number of points and values.
func (t *Track) Parts() int { return len(t.values) / 2 }
