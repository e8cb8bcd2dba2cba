package axis

import (
	"cmp"
	"slices"

	"mahlstick/runner/plane"
	"mahlstick/runner/vector"
)

// Offsets finds the lines that lie at one depth inside a region: all points
// whose largest disc has the same radius.
//
// Within the part of the diagram that belongs to one site such a line is
// straight, if the site is an edge, or an arc around a corner. It goes from
// one part to the next where it crosses a stretch of the diagram, and the dual
// says which stretch that is. So each line is followed from stretch to stretch
// (M. Held, On the Computational Geometry of Pocket Machining, 1991, from memory),
// the work is proportional to the stretches that are deeper, and since nothing
// has to be cut off afterwards, it cannot fail, however rich the outline is.
type Offsets struct {
	diagram *diagram
	origin  plane.Point
	deep    []int32 // cells whose disc is larger than the depth last asked for
	passed  []uint8 // for each cell the bits of the sides where a line was followed
	stack   []int32
}

// Offsets are those of the region whose axis the builder made last. They use
// the builder's memory, until it makes another.
func (b *Builder) Offsets() *Offsets {
	o := &Offsets{diagram: &b.diagram, origin: b.origin, passed: make([]uint8, len(b.diagram.cells)), deep: make([]int32, 0, len(b.diagram.cells))}
	for t := range b.diagram.cells {
		o.deep = append(o.deep, int32(t))
	}
	return o
}

// At returns the lines at a depth in grid steps, as closed rings with the
// deeper side to the left, cut into chords that deviate by at most sag. A ring may be a
// single point. Parts of the region that are nowhere deeper than least are
// left out. The depth must not be less than that asked for before.
func (o *Offsets) At(depth, least, sag float64) [][]plane.Point {
	d := o.diagram
	deep := o.deep[:0]
	for _, t := range o.deep {
		if d.discs[t].r > depth {
			deep = append(deep, t)
			o.passed[t] = 0
		}
	}
	o.deep = deep
	l := line{Offsets: o, depth: depth, straight: max(1-sag/depth, 0.7)}
	if least > depth {
		l.leaveShallow(least)
	}
	var rings [][]plane.Point
	for _, t := range deep {
		for k := range int32(3) {
			if o.passed[t]>>k&1 == 0 && l.crosses(t, k) {
				rings = append(rings, l.ring(t, k))
			}
		}
	}
	slices.SortFunc(rings, func(a, b []plane.Point) int {
		return cmp.Or(a[0].Compare(b[0]), slices.CompareFunc(a, b, plane.Point.Compare))
	})
	return rings
}

// line follows the lines at one depth. straight is the cosine of half the
// angle of the longest chord.
type line struct {
	*Offsets
	depth, straight float64
}

// leaveShallow marks all sides of the cells in parts that are nowhere deeper
// than least as followed already.
func (l *line) leaveShallow(least float64) {
	const seen = 1 << 3
	d := l.diagram
	for _, first := range l.deep {
		if l.passed[first]&seen != 0 {
			continue
		}
		l.passed[first] |= seen
		l.stack = append(l.stack[:0], first)
		deepest := int32(0)
		for i := 0; i < len(l.stack); i++ {
			t := l.stack[i]
			deepest = max(deepest, roundHalfUp(d.discs[t].r))
			for k := range int32(3) {
				if n := d.cells[t].link[k] >> 2; !l.crosses(t, k) && l.passed[n]&seen == 0 {
					l.passed[n] |= seen
					l.stack = append(l.stack, n)
				}
			}
		}
		if float64(deepest) <= least {
			for _, t := range l.stack {
				l.passed[t] = seen | 7
			}
		}
	}
}

// crosses reports whether the stretch at side k of cell t, whose disc is
// larger than the depth, crosses the line.
func (l *line) crosses(t, k int32) bool {
	d := l.diagram
	link := d.cells[t].link[k]
	if link < 0 || d.discs[link>>2].r <= l.depth {
		return true
	}
	// Between two larger discs the smallest may be smaller than both.
	c, bent := d.sites.curve(d.cells[t].v[k], d.cells[t].v[after3[k]])
	if !bent || c.least() >= l.depth {
		return false
	}
	a, b := c.along(&d.discs[t]), c.along(&d.discs[link>>2])
	return a < 0 && b > 0 || a > 0 && b < 0
}

// ring follows the line that crosses the stretch at side k of cell t.
func (l *line) ring(t, k int32) []plane.Point {
	d := l.diagram
	var out []plane.Point
	add := func(p vector.XY) {
		at := plane.Point{X: l.origin.X + roundHalfUp(p.X), Y: l.origin.Y + roundHalfUp(p.Y)}
		if n := len(out); n == 0 || out[n-1] != at {
			out = append(out, at)
		}
	}
	from := l.crossing(t, k)
	for l.passed[t]>>k&1 == 0 {
		l.passed[t] |= 1 << k
		add(from)
		// Around the site on the other side of the stretch, to the next one that
		// crosses the line.
		k = after3[k]
		site := d.cells[t].v[k]
		for !l.crosses(t, k) {
			link := d.cells[t].link[k]
			t, k = link>>2, after3[link&3]
		}
		to := l.crossing(t, k)
		if site&1 == 0 {
			corner := d.sites.pts[site>>1].XY()
			a, b := from.Minus(corner).Times(1/l.depth), to.Minus(corner).Times(1/l.depth)
			vector.Arc(a, b, l.straight, func(v vector.XY) { add(corner.Plus(v.Times(l.depth))) })
		}
		from = to
	}
	for len(out) > 1 && out[0] == out[len(out)-1] {
		out = out[:len(out)-1]
	}
	// It begins at its lowest point, wherever it was met.
	start := 0
	for i, p := range out {
		if p.Compare(out[start]) < 0 {
			start = i
		}
	}
	return slices.Concat(out[start:], out[:start])
}

// crossing is where the stretch at side k of cell t crosses the line.
func (l *line) crossing(t, k int32) vector.XY {
	d := l.diagram
	p, q, link := d.cells[t].v[k], d.cells[t].v[after3[k]], d.cells[t].link[k]
	if link < 0 { // at right angles to an edge, from its end
		if p&1 == 1 {
			p, q = q, p
		}
		e := &d.sites.lines[q>>1]
		return d.sites.pts[p>>1].XY().Plus(vector.XY{X: -e.uy, Y: e.ux}.Times(l.depth))
	}
	a, b := &d.discs[t], &d.discs[link>>2]
	if c, bent := d.sites.curve(p, q); bent {
		from, to := c.along(a), c.along(b)
		f := min(max(c.at(l.depth, from < 0), min(from, to)), max(from, to))
		m := c.discAt(f)
		return vector.XY{X: m.x, Y: m.y}
	}
	share := 0.0
	if a.r > b.r {
		share = min((a.r-l.depth)/(a.r-b.r), 1)
	}
	return vector.XY{X: a.x, Y: a.y}.Toward(vector.XY{X: b.x, Y: b.y}, share)
}
