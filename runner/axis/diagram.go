package axis

import (
	"math"

	"mahlstick/runner/plane"
)

// A diagram is the Voronoi diagram of corners and edges inside a region, held
// as its dual: a triangulation whose points are the sites; the sites in their
// order along the outline are its border. Each triangle stands for a corner of
// the diagram, a disc that touches its three sites. Each side between two
// triangles stands for a stretch of the diagram, along which two sites are
// equally near.
//
// At the start no edge is a site, and the triangles are the Delaunay
// triangulation of the corners inside the region. Then the edges are added one
// after the other.
type diagram struct {
	sites   sites
	cells   []triangle // v are sites; link as in a mesh, or border, or a wall
	discs   []disc
	dug     []bool  // cells of the cavity being dug
	wallAt  []int32 // for each edge that is no site yet, the side of a cell on it
	exactly exactSites

	open   []int32 // sides of the cavity still to be looked at
	lost   []int32 // cells of the cavity
	rim    []rim
	counts buildCounts
}

// rim is a side of the cavity: from site p to site q; side is how the dug
// cell named it, link what lies beyond.
type rim struct{ p, q, side, link int32 }

// border marks a side with nothing beyond; a side on edge i that is no site
// yet is marked border-1-i.
const border = -1

// buildCounts counts the work of building a diagram, for tests.
type buildCounts struct {
	cells int // corners of the diagram worked out
	tests int // decisions whether an edge reaches into a disc
	exact int // decisions of this kind and the next, made exactly
	along int // decisions whether it does so all along a stretch
}

// add makes edge s a site. The discs that it reaches into are removed, and the hole
// is filled with triangles from the new site to the hole's rim.
//
// All sites lie on the border of the triangulation. Each hole is therefore a string
// of triangles, and filling it gives a triangulation of the same sites: whatever the
// decisions, the structure stays sound.
func (d *diagram) add(s int32) {
	site := 2*s + 1
	h := d.wallAt[s]
	t, k := h>>2, h&3
	d.open = append(d.open[:0], t<<2|before3[k], t<<2|after3[k])
	d.lost = append(d.lost[:0], t)
	d.dug[t] = true
	d.rim = d.rim[:0]
	looped := false
	for len(d.open) > 0 {
		h := d.open[len(d.open)-1]
		d.open = d.open[:len(d.open)-1]
		t, k := h>>2, h&3
		c := &d.cells[t]
		link := c.link[k]
		if link >= 0 {
			n, j := link>>2, link&3
			if d.dug[n] {
				looped = true
			} else if d.reaches(s, n) && d.passes(s, t, k, n) {
				d.dug[n] = true
				d.lost = append(d.lost, n)
				d.open = append(d.open, n<<2|before3[j], n<<2|after3[j])
				continue
			}
		}
		d.rim = append(d.rim, rim{c.v[k], c.v[after3[k]], h, link})
	}
	d.lost = append(d.lost, int32(len(d.cells)))
	if looped {
		d.closeLoops()
	}
	for _, t := range d.lost[:len(d.lost)-1] {
		d.dug[t] = false
	}
	d.cells = append(d.cells, triangle{})
	d.discs = append(d.discs, disc{})
	d.dug = append(d.dug, false)
	d.counts.cells += len(d.rim)
	last := len(d.rim) - 1
	for i := range d.rim {
		r := &d.rim[i]
		t := d.lost[i]
		c := &d.cells[t]
		c.v = [3]int32{site, r.p, r.q}
		c.link[0], c.link[2] = border, border
		if i > 0 {
			c.link[0] = d.lost[i-1]<<2 | 2
		}
		if i < last {
			c.link[2] = d.lost[i+1] << 2
		}
		c.link[1] = r.link
		switch {
		case r.link >= 0:
			d.cells[r.link>>2].link[r.link&3] = t<<2 | 1
		case r.link < border:
			d.wallAt[border-1-r.link] = t<<2 | 1
		}
		d.discs[t] = d.sites.touching(c.v)
	}
}

// closeLoops links the two sides of a stretch that stays although the cells at both
// its ends are removed: the removed cells closed a loop around a hole of the region.
// With exact decisions this never happens.
func (d *diagram) closeLoops() {
	for i := range d.rim {
		r := &d.rim[i]
		if r.link < 0 || !d.dug[r.link>>2] {
			continue
		}
		for j := range d.rim {
			if d.rim[j].side == r.link {
				r.link, d.rim[j].link = d.lost[j]<<2|1, d.lost[i]<<2|1
				break
			}
		}
	}
}

// exact begins an exact decision.
func (d *diagram) exact() *exactSites {
	d.counts.exact++
	d.exactly.of = &d.sites
	d.exactly.field.Reset()
	return &d.exactly
}

// reaches decides whether edge s, not yet a site, reaches into the disc of
// cell n.
func (d *diagram) reaches(s, n int32) bool {
	d.counts.tests++
	c := &d.cells[n]
	e := d.sites.after[s]
	start, prev := 2*s, 2*d.sites.before[s]+1
	end, next := 2*e, 2*e+1
	var atStart, atEnd, atPrev, atNext bool
	for _, v := range c.v {
		atStart = atStart || v == start
		atEnd = atEnd || v == end
		atPrev = atPrev || v == prev
		atNext = atNext || v == next
	}
	switch {
	case atStart && atPrev:
		// The centre lies at right angles to the edge before, above its end; it
		// is above this edge if the outline turns left there.
		return plane.Turn(d.sites.pts[d.sites.before[s]], d.sites.pts[s], d.sites.pts[e]) > 0
	case atEnd && atNext:
		return plane.Turn(d.sites.pts[s], d.sites.pts[e], d.sites.pts[d.sites.after[e]]) > 0
	case atStart:
		// Nearest to the start of the edge: the centre need only lie beyond it.
		return d.beyond(s, n, s) > 0
	case atEnd:
		return d.beyond(s, n, e) < 0
	}
	ln := &d.sites.lines[s]
	q := &d.discs[n]
	p := d.sites.pts[s]
	x, y := q.x-float64(p.X), q.y-float64(p.Y)
	deep := q.r - (float64(y*ln.ux) - float64(x*ln.uy))
	bound := float64(3*q.err) + 8*ulp*(math.Abs(x)+math.Abs(y)+q.r)
	if deep < -bound {
		return false
	}
	// Beyond an end of the edge, that corner is nearer; it is a site already.
	if d.beyond(s, n, s) <= 0 || d.beyond(s, n, e) >= 0 {
		return false
	}
	return deep > bound || d.exact().depthSign(s, d.cells[n].v) > 0
}

// beyond is the sign of how far the centre of cell n lies beyond corner p in
// the direction of edge s.
func (d *diagram) beyond(s, n, p int32) int {
	ln := &d.sites.lines[s]
	q := &d.discs[n]
	at := d.sites.pts[p]
	x, y := q.x-float64(at.X), q.y-float64(at.Y)
	g := float64(x*ln.ux) + float64(y*ln.uy)
	bound := 2*q.err + 8*ulp*(math.Abs(x)+math.Abs(y))
	switch {
	case g > bound:
		return 1
	case g < -bound:
		return -1
	}
	return d.exact().beyond(s, d.cells[n].v, p)
}

// passes decides whether edge s, which reaches into the discs at both ends of a
// stretch of the diagram, does so all along the stretch. If it does not, the disc at
// the far end only seems to be reached: a wall that is not a site yet lies between.
// The stretch is side k of cell t, which is removed, and n lies beyond.
//
// How deep the edge reaches is a convex function along the stretch, and its minimum is
// never positive. Between two places where it is positive it therefore stays positive
// exactly if it rises at both, or falls at both.
func (d *diagram) passes(s, t, k, n int32) bool {
	c := &d.cells[t]
	p, q := c.v[k], c.v[after3[k]]
	if p&1 != 0 {
		if q&1 != 0 {
			return true // between two edges depth is linear
		}
		p, q = q, p
	}
	d.counts.along++
	i := p >> 1
	if i == s || i == d.sites.after[s] {
		if q&1 == 0 {
			return true
		}
		// Around a corner of the edge itself, the stretches lie in order.
		if i == s {
			return d.order(t, n, p, q) >= 0
		}
		return d.order(t, n, p, q) <= 0
	}
	if q == 2*s || q == 2*d.sites.after[s] {
		return true
	}
	return d.rises(s, t, i, q) > 0 == (d.rises(s, n, i, q) > 0)
}

// order is the sign of how far the centre of cell n lies beyond that of cell t on the
// parabola of a corner and an edge, in the edge's direction. It is the turn from one
// centre to the other, seen from the corner, from where they lie within half a circle.
func (d *diagram) order(t, n, corner, edge int32) int {
	from, to := &d.discs[t], &d.discs[n]
	at := d.sites.pts[corner>>1]
	fx, fy := from.x-float64(at.X), from.y-float64(at.Y)
	tx, ty := to.x-float64(at.X), to.y-float64(at.Y)
	turn := float64(fx*ty) - float64(fy*tx)
	f, o := math.Abs(fx)+math.Abs(fy), math.Abs(tx)+math.Abs(ty)
	bound := 2*(float64(from.err*o)+float64(to.err*f)) + 8*ulp*float64(f*o)
	switch {
	case turn > bound:
		return 1
	case turn < -bound:
		return -1
	}
	return d.exact().order(d.cells[t].v, d.cells[n].v, edge>>1)
}

// rises is the sign with which the depth of edge s grows at the disc of cell n
// along the stretch between corner i and site q: midway between two corners,
// with the other one to the right, or along a parabola in its edge's direction.
func (d *diagram) rises(s, n, i, q int32) int {
	disc, at, ln := &d.discs[n], d.sites.pts[i], &d.sites.lines[s]
	x, y := disc.x-float64(at.X), disc.y-float64(at.Y)
	err := 4 * (2*disc.err + 4*ulp*(math.Abs(x)+math.Abs(y))) / disc.r
	x, y = x/disc.r, y/disc.r
	var ux, uy float64
	if q&1 == 0 {
		dx, dy := d.sites.between(i, q>>1)
		ux, uy = -float64(dy), float64(dx)
	} else {
		m := &d.sites.lines[q>>1]
		ux, uy = -(y - m.ux), x+m.uy
	}
	rise := float64((x+ln.uy)*ux) + float64((y-ln.ux)*uy)
	bound := (err + 16*ulp) * (4 + math.Abs(ux) + math.Abs(uy))
	switch {
	case rise > bound:
		return 1
	case rise < -bound:
		return -1
	}
	return d.exact().rises(s, d.cells[n].v, i, q)
}
