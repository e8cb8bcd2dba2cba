package axis

import "math"

// A pruner decides which stretches of a diagram belong to the axis.
//
// If a part of the diagram is connected to the rest only by the disc of a cell a, it
// may be left out: what its discs paint outside disc a is the pocket between that disc
// and the outline beyond. The painted edge moves there by no more than the depth of the
// pocket: the largest distance from disc a to a corner of the outline in the pocket. A
// part is left out if that is no more than the tolerance, and all its own parts could be
// left out too. Depth is always measured from the drawn outline to a disc that stays,
// so the errors of several prunings do not add up.
//
// Parts are examined from the tips inwards. Loops around holes are never opened; if
// there are none, the largest disc stays.
type pruner struct {
	keep        []uint8   // bits of the sides that are part of the axis
	pending     []uint8   // how many neighbours are still in the way
	parentSide  []int8    // side towards the part that stays, once known
	deepest     []float64 // the deepest pocket of a part left out at a cell
	pocketDepth []float64 // the depth of the pocket of which a cell is the outermost, seen from the cell above
	deepCorner  []int32   // a corner that is so deep
	mustStay    []bool    // cells with a part that must stay
	queue       []int32
	ends        []int32
}

// gainPerLength is how much deeper a pocket must become for each unit of path that is
// left out, to keep the path although the tolerance allows leaving it out. It keeps the
// ends of strokes at the middle of round caps, and drops short branches to single
// corners of a cap.
const gainPerLength = 0.5

func (p *pruner) prune(d *diagram, tolerance float64, closed bool) {
	tolerance += 1.0 / 1024 // so that no part is kept because of rounding alone
	root := p.reset(d, closed)
	p.queue = p.queue[:0]
	for t := range d.cells {
		if p.pending[t] == 1 && int32(t) != root {
			p.queue = append(p.queue, int32(t))
		}
	}
	for head := 0; head < len(p.queue); head++ {
		a := p.leaveOut(d, p.queue[head], tolerance)
		p.pending[a]--
		if p.pending[a] == 1 && a != root {
			p.queue = append(p.queue, a)
		}
	}
	p.ends = p.ends[:0]
	for t := range d.cells {
		k := p.keep[t]
		if k != 0 && k&(k-1) == 0 {
			p.ends = append(p.ends, int32(t))
		}
	}
	for _, t := range p.ends {
		p.restore(d, t)
	}
}

// reset begins with all that is in the diagram. It returns the cell with the
// largest disc, which stays, or -1 if there are closed ways that stay.
func (p *pruner) reset(d *diagram, closed bool) int32 {
	n := len(d.cells)
	p.keep, p.pending, p.parentSide = grow(p.keep, n), grow(p.pending, n), grow(p.parentSide, n)
	p.deepest, p.pocketDepth, p.deepCorner, p.mustStay = grow(p.deepest, n), grow(p.pocketDepth, n), grow(p.deepCorner, n), grow(p.mustStay, n)
	root := int32(-1)
	for t := range d.cells {
		var keep, sides uint8
		for k, link := range d.cells[t].link {
			if link >= 0 {
				keep |= 1 << k
				sides++
			}
		}
		p.keep[t], p.pending[t], p.parentSide[t] = keep, sides, -1
		p.deepest[t], p.pocketDepth[t], p.deepCorner[t], p.mustStay[t] = 0, 0, -1, false
		if !closed && (root < 0 || larger(&d.discs[t], &d.discs[root])) {
			root = int32(t)
		}
	}
	return root
}

// leaveOut leaves out cell t and everything beyond it, unless that opens too deep a
// pocket. It returns the one neighbour that was not examined yet.
func (p *pruner) leaveOut(d *diagram, t int32, tolerance float64) int32 {
	c := &d.cells[t]
	k := int32(0)
	for c.link[k] < 0 || p.parentSide[c.link[k]>>2] == int8(c.link[k]&3) {
		k++
	}
	p.parentSide[t] = int8(k)
	a, j := c.link[k]>>2, c.link[k]&3
	if p.mustStay[t] {
		p.mustStay[a] = true
		return a
	}
	cost := p.pocket(d, t, a, j, tolerance)
	if cost > tolerance {
		p.mustStay[a] = true
		return a
	}
	p.pocketDepth[t] = cost
	p.keep[t] &^= 1 << k
	p.keep[a] &^= 1 << j
	if cost >= p.deepest[a] {
		p.deepest[a], p.deepCorner[a] = cost, p.deepCorner[t]
	}
	return a
}

// larger orders discs by radius, then from the left, then from below.
// Differences too small to be more than rounding do not count.
func larger(a, b *disc) bool {
	if r, q := coarse(a.r), coarse(b.r); r != q {
		return r > q
	}
	return leftmost(a, b)
}

func leftmost(a, b *disc) bool {
	if x, y := coarse(a.x), coarse(b.x); x != y {
		return x < y
	}
	return coarse(a.y) < coarse(b.y)
}

// coarse rounds to about a thousandth of a grid step. 0.37 keeps the boundaries of
// rounding away from halves and quarters, where symmetric outlines have their centres.
func coarse(v float64) float64 { return math.Floor(float64(v*1024) + 0.37) }

// pocket is the depth of the pocket that opens if cell t and everything beyond it are
// left out at cell a, whose side j leads to t. If a simple upper bound is within the
// tolerance, it returns that; if the depth exceeds the tolerance, it may return any
// depth found above it.
func (p *pruner) pocket(d *diagram, t, a, j int32, tolerance float64) float64 {
	da, dt := &d.discs[a], &d.discs[t]
	x, y := dt.x-da.x, dt.y-da.y
	bound := p.deepest[t] + math.Max(0, math.Sqrt(float64(x*x)+float64(y*y))-(da.r-dt.r))
	if bound <= tolerance {
		return bound
	}
	if p.deepCorner[t] >= 0 {
		if depth := p.depth(d, a, p.deepCorner[t]); depth > tolerance {
			return depth
		}
	}
	// The outline beyond runs from the one site of the side to the other.
	c := &d.cells[a]
	from, to := c.v[j], c.v[after3[j]]
	deepest := 0.0
	i := from >> 1
	for {
		i = d.sites.after[i]
		if depth := p.depth(d, a, i); depth > deepest {
			deepest = depth
			p.deepCorner[t] = i
			if depth > tolerance {
				return depth
			}
		}
		if i == to>>1 {
			return deepest
		}
	}
}

func (p *pruner) depth(d *diagram, a, i int32) float64 {
	x, y := float64(d.sites.pts[i].X)-d.discs[a].x, float64(d.sites.pts[i].Y)-d.discs[a].y
	return math.Sqrt(float64(x*x)+float64(y*y)) - d.discs[a].r
}

// restore lengthens the path that ends at cell t outwards along the deepest pockets, as
// far as gainPerLength allows.
func (p *pruner) restore(d *diagram, t int32) {
	best, gain := int32(-1), 0.0
	var length, depth float64
	for at := t; ; {
		next := int32(-1)
		c := &d.cells[at]
		for k, link := range c.link {
			if link < 0 || p.keep[at]>>k&1 != 0 {
				continue
			}
			if n := link >> 2; p.parentSide[n] == int8(link&3) && (next < 0 || p.deeper(d, n, next)) {
				next = n
			}
		}
		if next < 0 {
			break
		}
		if at == t {
			depth = p.pocketDepth[next]
		}
		x, y := d.discs[next].x-d.discs[at].x, d.discs[next].y-d.discs[at].y
		length += math.Sqrt(float64(x*x) + float64(y*y))
		if g := depth - p.deepest[next] - float64(gainPerLength*length); g > gain {
			best, gain = next, g
		}
		at = next
	}
	for n := best; n >= 0 && n != t; {
		c := &d.cells[n]
		k := p.parentSide[n]
		a, j := c.link[k]>>2, c.link[k]&3
		p.keep[n] |= 1 << k
		p.keep[a] |= 1 << j
		n = a
	}
}

// deeper reports whether the pocket at cell a comes before that at b.
func (p *pruner) deeper(d *diagram, a, b int32) bool {
	if x, y := coarse(p.pocketDepth[a]), coarse(p.pocketDepth[b]); x != y {
		return x > y
	}
	return leftmost(&d.discs[a], &d.discs[b])
}
