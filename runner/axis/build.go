package axis

import (
	"errors"
	"math"
	"math/bits"

	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

var (
	errTooFewCorners  = errors.New("the region has a ring of fewer than three corners")
	errBeyondGrid     = errors.New("the region reaches beyond the grid's limit")
	errWrongDirection = errors.New("a ring of the region runs the wrong way round")

	errNotOnePiece = errors.New("the region is not one piece")
)

// A Builder makes one axis after another in the same memory. The zero Builder is
// ready for use. It must not be used by two goroutines at once.
type Builder struct {
	mesh    mesh
	diagram diagram
	pruner  pruner
	tracer  tracer

	pts         []plane.Point // corners of the outline, ring after ring
	next        []int32       // the next corner on the ring
	rings       []int32       // where each ring starts in pts, and where the last ends
	level       []uint8       // for each corner the round in which it comes in, counted down
	rounds      []int32       // lists of the corners of each level and above
	meshPoint   []int32       // for each corner its point in the mesh
	cornerAt    []int32       // for each corner of a triangle of the mesh the corner of the outline
	sideOf      []int32       // for each edge the side of a triangle on it
	edgeOf      []int32       // for each side of a triangle the edge on it
	before      []int32       // for each edge the one before it along the walk round the inside
	walk        []int32       // edges in walking order
	rank        []int32       // for each edge its place in walk
	insideIndex []int32       // for each triangle of the mesh its number among those inside
	walks       int           // how many closed walks there are
	origin      plane.Point   // lower left corner of the region's box, from which pts are measured
	size        plane.Point   // its upper right corner, seen from origin
}

// outline copies the rings. Corners where the outline runs straight on are left
// out, unless all is set.
func (b *Builder) outline(r region.Region, all bool) error {
	n := 0
	for _, ring := range r.Rings {
		if len(ring) < 3 {
			return errTooFewCorners
		}
		n += len(ring)
	}
	b.pts, b.next, b.rings = grow(b.pts, n)[:0], grow(b.next, n)[:0], b.rings[:0]
	if n == 0 {
		return errTooFewCorners
	}
	box := plane.Empty()
	for _, ring := range r.Rings {
		box = box.Union(plane.Bounds(ring))
	}
	low, high := box.Min, box.Max
	if low.X < -plane.Limit || low.Y < -plane.Limit || high.X > plane.Limit || high.Y > plane.Limit {
		return errBeyondGrid
	}
	b.origin = low
	for _, ring := range r.Rings {
		first := len(b.pts)
		b.rings = append(b.rings, int32(first))
		for i, p := range ring {
			q := ring[(i+1)%len(ring)]
			o := ring[(i+len(ring)-1)%len(ring)]
			if !all && plane.Turn(o, p, q) == 0 && dot(int64(p.X)-int64(o.X), int64(p.Y)-int64(o.Y), int64(q.X)-int64(p.X), int64(q.Y)-int64(p.Y)) > 0 {
				continue
			}
			b.pts = append(b.pts, plane.Point{X: p.X - low.X, Y: p.Y - low.Y})
			b.next = append(b.next, int32(len(b.pts)))
		}
		if len(b.pts)-first < 3 {
			return errTooFewCorners
		}
		b.next[len(b.next)-1] = int32(first)
	}
	b.rings = append(b.rings, int32(len(b.pts)))
	b.size = plane.Point{X: high.X - low.X, Y: high.Y - low.Y}
	return nil
}

// assignRounds chooses for each corner the round in which it is inserted, by its
// coordinates measured from the region's own origin. The choice thus depends
// neither on where a ring starts nor on where the region lies. Half of the
// corners come in the last round, a quarter in the one before, and so on. The
// ends of an edge 2^j times longer than the middle one come j rounds earlier
// still, so that long edges become walls while there is little in their way.
// They must not come all at once: if thousands lie side by side, each has only a
// few others to cross.
//
// Source: N. Amenta, S. Choi, G. Rote, Incremental constructions con BRIO,
// SoCG 2003, 211-219 (from memory), for the rounds.
func (b *Builder) assignRounds() int {
	n := len(b.pts)
	b.level = grow(b.level, n)
	var count [64]int
	for i, p := range b.pts {
		q := b.pts[b.next[i]]
		x, y := int64(q.X)-int64(p.X), int64(q.Y)-int64(p.Y)
		o := bits.Len64(uint64(x*x+y*y)) / 2
		b.level[i] = uint8(o)
		count[o]++
	}
	mid, sum := 0, count[0]
	for 2*sum < n {
		mid++
		sum += count[mid]
	}
	top := 0
	for r, first := range b.rings[:len(b.rings)-1] {
		end := b.rings[r+1]
		before := int(b.level[end-1]) // length class of the edge that ends at the corner
		for i := first; i < end; i++ {
			after := int(b.level[i])
			l := bits.TrailingZeros64(scatter(b.pts[i])|1<<20) + max(0, before-mid, after-mid)
			b.level[i] = uint8(l)
			top = max(top, l)
			before = after
		}
	}
	return top
}

// scatter is a pseudo-random number from a point's coordinates. Only its spread
// matters.
func scatter(p plane.Point) uint64 {
	h := uint64(uint32(p.X))<<32 | uint64(uint32(p.Y))
	h ^= h >> 31
	h *= 0x7fb5d329728ea185
	h ^= h >> 27
	h *= 0x81dadef4bc2dd44d
	h ^= h >> 33
	return h
}

// inRounds calls f for the corners of each level, from the top level down and in
// the order of the outline within a level. before is the nearest earlier corner of
// the outline that was inserted already, or -1. After each level it calls done with
// the corners inserted so far, in order.
func (b *Builder) inRounds(top int, f func(i, before int32) error, done func(in []int32, level uint8) error) error {
	n := len(b.pts)
	b.rounds = b.rounds[:0]
	var start [65]int
	for i := range n {
		b.rounds = append(b.rounds, int32(i))
	}
	for l := 1; l <= top; l++ {
		start[l] = len(b.rounds)
		for _, i := range b.rounds[start[l-1]:start[l]] {
			if int(b.level[i]) >= l {
				b.rounds = append(b.rounds, i)
			}
		}
	}
	start[top+1] = len(b.rounds)
	for l := top; l >= 0; l-- {
		list := b.rounds[start[l]:start[l+1]]
		before := int32(-1)
		for _, i := range list {
			if int(b.level[i]) == l {
				if err := f(i, before); err != nil {
					return err
				}
			}
			before = i
		}
		if done != nil {
			if err := done(list, uint8(l)); err != nil {
				return err
			}
		}
	}
	return nil
}

// triangulate makes the constrained Delaunay triangulation of the outline.
func (b *Builder) triangulate(top int) error {
	n := len(b.pts)
	m := &b.mesh
	m.reset(plane.Point{}, b.size, n)
	b.meshPoint = grow(b.meshPoint, n)
	return b.inRounds(top, func(i, before int32) error {
		t := m.at[0]
		if before >= 0 {
			t = m.at[b.meshPoint[before]]
		}
		id, err := m.insert(b.pts[i], t)
		b.meshPoint[i] = id
		return err
	}, func(in []int32, level uint8) error {
		for _, i := range in {
			j := b.next[i]
			if min(b.level[i], b.level[j]) == level {
				if err := m.addWall(b.meshPoint[i], b.meshPoint[j]); err != nil {
					return err
				}
			}
		}
		return nil
	})
}

// inside finds the triangles inside the region, and which corner of the outline
// each of their corners is. If the outline touches itself, one point is several
// corners, each with its own part of the inside. It also sets the walk around the
// inside.
func (b *Builder) inside() error {
	n, m := len(b.pts), &b.mesh
	count := 4 * len(m.tris)
	b.cornerAt, b.edgeOf = grow(b.cornerAt, count), grow(b.edgeOf, count)
	for i := range b.cornerAt {
		b.cornerAt[i], b.edgeOf[i] = -1, -1
	}
	b.sideOf, b.before = grow(b.sideOf, n), grow(b.before, n)
	for i := range int32(n) {
		t, k, ok := m.side(b.meshPoint[i], b.meshPoint[b.next[i]])
		if !ok || m.tris[t].link[k]&wallBit == 0 || b.edgeOf[t<<2|k] >= 0 {
			return errCrossing
		}
		b.sideOf[i] = t<<2 | k
		b.edgeOf[t<<2|k] = i
	}
	for i := range b.before {
		b.before[i] = -1
	}
	for i := range int32(n) {
		if err := b.cornerInside(i); err != nil {
			return err
		}
	}
	return b.walkInside()
}

// cornerInside goes around corner i of the outline through the triangles inside,
// from the edge that starts there to the edge that comes before it.
func (b *Builder) cornerInside(i int32) error {
	m := &b.mesh
	h := b.sideOf[i]
	for {
		if b.cornerAt[h] >= 0 {
			return errWrongDirection
		}
		b.cornerAt[h] = i
		t, k := h>>2, before3[h&3]
		link := m.tris[t].link[k]
		if link < 0 {
			return errWrongDirection
		}
		if link&wallBit != 0 {
			if b.before[i] = b.edgeOf[t<<2|k]; b.before[i] < 0 {
				return errWrongDirection
			}
			return nil
		}
		h = link
	}
}

// walkInside puts the edges in walking order, one closed walk after the other.
func (b *Builder) walkInside() error {
	n, o := len(b.pts), &b.diagram.sites
	b.walk, b.rank = grow(b.walk, n)[:0], grow(b.rank, n)
	// Edge j comes before edge i; walk forwards.
	after := b.rank // scratch until ranks are known
	for i := range after {
		after[i] = -1
	}
	for i, j := range b.before {
		if after[j] >= 0 {
			return errCrossing
		}
		after[j] = int32(i)
	}
	b.walks = 0
	o.after, o.before = grow(o.after, n), grow(o.before, n)
	for i := range int32(n) {
		if after[i] < 0 {
			continue
		}
		b.walks++
		first := int32(len(b.walk))
		for j := i; after[j] >= 0; {
			at := int32(len(b.walk))
			b.walk = append(b.walk, j)
			o.after[at], o.before[at] = at+1, at-1
			j, after[j] = after[j], -1
		}
		last := int32(len(b.walk)) - 1
		o.after[last], o.before[first] = first, last
	}
	for at, i := range b.walk {
		b.rank[i] = int32(at)
	}
	return nil
}

// dual turns the triangles inside into the diagram of the corners alone.
func (b *Builder) dual() error {
	n, m, d := len(b.pts), &b.mesh, &b.diagram
	d.sites.pts, d.sites.lines, d.wallAt = grow(d.sites.pts, n), grow(d.sites.lines, n), grow(d.wallAt, n)
	for at, i := range b.walk {
		d.sites.pts[at] = b.pts[i]
	}
	for i := range d.sites.lines {
		x, y := d.sites.along(int32(i))
		l := math.Sqrt(float64(dot(x, y, x, y)))
		d.sites.lines[i] = edgeLine{float64(x) / l, float64(y) / l, l}
	}
	b.insideIndex = grow(b.insideIndex, len(m.tris))
	count := int32(0)
	for t := range m.tris {
		b.insideIndex[t] = -1
		s := b.cornerAt[4*t : 4*t+3]
		if s[0] >= 0 || s[1] >= 0 || s[2] >= 0 {
			if s[0] < 0 || s[1] < 0 || s[2] < 0 {
				return errWrongDirection
			}
			b.insideIndex[t] = count
			count++
		}
	}
	// A connected region with w walks around its inside has n-4+2w triangles.
	if int(count) != n-4+2*b.walks {
		return errNotOnePiece
	}
	room := int(count) + n
	d.cells, d.discs, d.dug = grow(d.cells, room)[:0], grow(d.discs, room)[:0], grow(d.dug, room)[:0]
	for t := range m.tris {
		if b.insideIndex[t] < 0 {
			continue
		}
		var c triangle
		for k := range c.v {
			c.v[k] = 2 * b.rank[b.cornerAt[4*t+k]]
			link := m.tris[t].link[k]
			if link&wallBit != 0 {
				e := b.rank[b.edgeOf[4*t+k]]
				c.link[k] = border - 1 - e
				d.wallAt[e] = int32(len(d.cells))<<2 | int32(k)
			} else {
				c.link[k] = b.insideIndex[link>>2]<<2 | link&3
			}
		}
		d.cells = append(d.cells, c)
		d.discs = append(d.discs, d.sites.touching(c.v))
		d.dug = append(d.dug, false)
	}
	d.counts = buildCounts{cells: len(d.cells)}
	return nil
}

// build makes the diagram of the region's corners and edges.
func (b *Builder) build(r region.Region) error {
	err := b.attempt(r, false)
	if err == errTouch {
		err = b.attempt(r, true)
	}
	return err
}

func (b *Builder) attempt(r region.Region, all bool) error {
	if err := b.outline(r, all); err != nil {
		return err
	}
	top := b.assignRounds()
	if err := b.triangulate(top); err != nil {
		return err
	}
	if err := b.inside(); err != nil {
		return err
	}
	if err := b.dual(); err != nil {
		return err
	}
	return b.inRounds(top, func(i, _ int32) error {
		b.diagram.add(b.rank[i])
		return nil
	}, nil)
}
