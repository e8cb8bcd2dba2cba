package drawing

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"mahlstick/recipe/problem"
	"mahlstick/runner/contour"
	"mahlstick/runner/vector"
)

// bridge is a pair of loose ends near to each other.
type bridge struct {
	distance2 float64
	a, b      int32 // numbers in the list of loose ends
}

// looseEnd is an end of an open chain: 2i its head, 2i+1 its tail.
type looseEnd struct {
	chain int32
	tail  bool
	at    XY
	layer int32
	pair  int32 // the loose end that it was joined to, or -1
}

// drawn orders loose ends as they were drawn.
func (e *looseEnd) drawn() int32 {
	if e.tail {
		return 2*e.chain + 1
	}
	return 2 * e.chain
}

func inNearbyOrder(ends []looseEnd) []looseEnd {
	out := make([]looseEnd, len(ends))
	for k, i := range nearbyOrder(len(ends), func(i int32) XY { return ends[i].at }) {
		out[k] = ends[i]
	}
	return out
}

// bridgeGaps joins the nearest loose ends within the gap and makes longer
// chains of what they join. What stays loose is noted.
func (c *chainer) bridgeGaps(d *Drawing) {
	open := 0
	for i := range c.chains {
		if !c.chains[i].closed {
			open++
		}
	}
	ends := make([]looseEnd, 0, 2*open)
	for i := range c.chains {
		ch := &c.chains[i]
		if ch.closed {
			continue
		}
		layer := c.pieces[ch.lowest].layer
		if e := c.head(ch); c.degree[c.node[e]] == 1 {
			ends = append(ends, looseEnd{int32(i), false, c.end(e), layer, -1})
		}
		if e := c.tail(ch); c.degree[c.node[e]] == 1 {
			ends = append(ends, looseEnd{int32(i), true, c.end(e), layer, -1})
		}
	}
	ends = inNearbyOrder(ends)
	for _, b := range c.bridges(ends) {
		if ends[b.a].pair < 0 && ends[b.b].pair < 0 {
			ends[b.a].pair, ends[b.b].pair = b.b, b.a
		}
	}
	c.lengthen(ends)

	still := ends[:0]
	for _, e := range ends {
		if e.pair < 0 {
			still = append(still, e)
		}
	}
	nearest := distances(still)
	for i, e := range still {
		near := -1.0
		if i < len(nearest) {
			near = nearest[i]
		}
		p := c.pieces[c.lastPiece(e)]
		d.loose(LooseEnd{At: e.at, Ends: 1, Nearest: near, Place: c.r.place(int(p.at), int(p.end))})
	}
	sort.SliceStable(d.Loose, func(i, j int) bool { return d.Loose[i].Place.Start < d.Loose[j].Place.Start })
}

// lastPiece is the piece on which a loose end lies.
func (c *chainer) lastPiece(e looseEnd) int32 {
	ch := &c.chains[e.chain]
	if e.tail {
		return c.tail(ch) >> 1
	}
	return c.head(ch) >> 1
}

// bridges lists pairs of loose ends within the gap, the nearest first. It
// gives up, with a problem, where the gap is so wide that nearly everything
// is near to everything.
func (c *chainer) bridges(ends []looseEnd) []bridge {
	s := newSpots(4*max(c.r.opt.Gap, c.meet), len(ends))
	for i := range ends {
		s.add(ends[i].at, ends[i].layer)
	}
	out := make([]bridge, 0, len(ends)/2)
	work := 64*len(ends) + 1_000_000
	for i := range int32(len(ends)) {
		e := &ends[i]
		s.near(e.at, e.layer, c.r.opt.Gap, func(k int32, distance2 float64) bool {
			work--
			if k > i && (ends[k].chain != e.chain || c.longer(e.chain)) {
				out = append(out, bridge{distance2, i, k})
			}
			return work > 0
		})
		if work <= 0 {
			p := c.pieces[c.lastPiece(*e)]
			c.r.report(problem.GapTooWide, int(p.at), int(p.end), problem.Advise("state a smaller gap for the layer"),
				"so many loose ends lie within the gap of %s mm of each other that it cannot be told which belong together", Short(c.r.opt.Gap))
			return nil
		}
	}
	slices.SortFunc(out, func(p, q bridge) int {
		if p.distance2 != q.distance2 {
			return cmp.Compare(p.distance2, q.distance2)
		}
		pa, pb := ends[p.a].drawn(), ends[p.b].drawn()
		qa, qb := ends[q.a].drawn(), ends[q.b].drawn()
		return cmp.Or(cmp.Compare(min(pa, pb), min(qa, qb)), cmp.Compare(max(pa, pb), max(qa, qb)))
	})
	return out
}

// longer says whether a chain reaches farther than the gap from its start: a
// shorter one is no outline.
func (c *chainer) longer(n int32) bool {
	ch := &c.chains[n]
	from := c.end(c.head(ch))
	limit := float64(c.r.opt.Gap * c.r.opt.Gap)
	for _, e := range c.runs[ch.from:ch.to] {
		for _, p := range c.pieces[e>>1].pts {
			dx, dy := p.X-from.X, p.Y-from.Y
			if float64(dx*dx)+float64(dy*dy) > limit {
				return true
			}
		}
	}
	return false
}

// lengthen replaces chains that were joined over gaps by longer ones.
func (c *chainer) lengthen(ends []looseEnd) {
	if !slices.ContainsFunc(ends, func(e looseEnd) bool { return e.pair >= 0 }) {
		return
	}
	heads, tails := make([]int32, len(c.chains)), make([]int32, len(c.chains))
	for i := range heads {
		heads[i], tails[i] = -1, -1
	}
	for _, e := range ends {
		if e.pair >= 0 && e.tail {
			tails[e.chain] = e.pair
		} else if e.pair >= 0 {
			heads[e.chain] = e.pair
		}
	}
	old, runs := c.chains, c.runs
	seen := make([]bool, len(old))
	// The numbers of chains in ends must go on pointing to the right piece,
	// so the old runs stay and new ones are added.
	where := make([]int32, len(old))
	flipped := make([]bool, len(old))
	var out []chain
	for i := range int32(len(old)) {
		if seen[i] {
			continue
		}
		// Back to the beginning, or once round.
		at, back, closed := i, false, false
		for {
			next := heads[at]
			if back {
				next = tails[at]
			}
			if next < 0 {
				break
			}
			e := ends[next]
			at, back = e.chain, !e.tail
			if at == i {
				closed = true
				break
			}
		}
		if closed {
			at, back = i, false
		}
		ch := chain{from: int32(len(c.runs)), lowest: math.MaxInt32, closed: closed || old[i].closed}
		for {
			seen[at] = true
			where[at], flipped[at] = int32(len(out)), back
			ch.lowest = min(ch.lowest, old[at].lowest)
			run := runs[old[at].from:old[at].to]
			if back {
				for k := len(run) - 1; k >= 0; k-- {
					c.runs = append(c.runs, run[k]^1)
				}
			} else {
				c.runs = append(c.runs, run...)
			}
			next := tails[at]
			if back {
				next = heads[at]
			}
			if next < 0 || seen[ends[next].chain] {
				break
			}
			at, back = ends[next].chain, ends[next].tail
		}
		ch.to = int32(len(c.runs))
		out = append(out, ch)
	}
	c.chains = out
	for i := range ends {
		e := &ends[i]
		e.tail = e.tail != flipped[e.chain]
		e.chain = where[e.chain]
	}
}

// distances gives, for each loose end, the way to the nearest other one of
// its layer (mm), or -1. It looks only at the first maxLoose.
func distances(ends []looseEnd) []float64 {
	n := min(len(ends), maxLoose)
	byX := make([]int, n)
	for i := range byX {
		byX[i] = i
	}
	slices.SortFunc(byX, func(i, j int) int {
		return cmp.Or(cmp.Compare(ends[i].at.X, ends[j].at.X), cmp.Compare(i, j))
	})
	out := make([]float64, n)
	for k, i := range byX {
		best := math.Inf(1)
		look := func(j int) bool {
			dx, dy := ends[j].at.X-ends[i].at.X, ends[j].at.Y-ends[i].at.Y
			if ends[j].layer == ends[i].layer {
				best = min(best, float64(dx*dx)+float64(dy*dy))
			}
			return float64(dx*dx) < best
		}
		for m := k + 1; m < n && look(byX[m]); m++ {
		}
		for m := k - 1; m >= 0 && look(byX[m]); m-- {
		}
		out[i] = -1
		if !math.IsInf(best, 1) {
			out[i] = math.Sqrt(best)
		}
	}
	return out
}

// emit makes contours of the chains.
func (c *chainer) emit() {
	r := c.r
	r.contours = slices.Grow(r.contours, len(c.chains))
	r.known = slices.Grow(r.known, len(c.chains))
	for i := range c.chains {
		ch := &c.chains[i]
		first := c.pieces[ch.lowest]
		points := c.trace(ch)
		if points == nil {
			r.count("loose line", first.layer, "closed, but has no area", int(first.at), int(first.end))
			continue
		}
		r.contours = append(r.contours, Contour{
			Identity: contour.Identity{Place: r.place(int(first.at), int(first.end))},
			Points:   points, Closed: ch.closed, Layer: r.layers[first.layer].name,
		})
		r.known = append(r.known, known{first.drawn, vector.Bounds(points)})
	}
}

// trace gives the points of a chain, or nil where nothing is left of it. The
// points of a single piece are not copied.
func (c *chainer) trace(ch *chain) []XY {
	run := c.runs[ch.from:ch.to]
	if len(run) == 1 && run[0]&1 == 0 {
		pts := c.pieces[run[0]>>1].pts
		for ch.closed && len(pts) > 0 && c.touch(pts[0], pts[len(pts)-1]) {
			pts = pts[:len(pts)-1]
		}
		if ch.closed && len(pts) < 3 {
			return nil
		}
		return pts
	}
	r := c.r
	r.begin()
	for _, e := range run {
		pts := c.pieces[e>>1].pts
		for k := range pts {
			p := pts[k]
			if e&1 == 1 {
				p = pts[len(pts)-1-k]
			}
			if k == 0 && len(r.path) > 0 && c.touch(p, r.path[len(r.path)-1]) {
				continue
			}
			r.to(p)
		}
	}
	if ch.closed {
		for len(r.path) > 1 && c.touch(r.path[0], r.path[len(r.path)-1]) {
			r.path = r.path[:len(r.path)-1]
		}
		if len(r.path) < 3 {
			return nil
		}
	}
	return r.keep(r.path)
}

// sortContours puts the contours into the order of drawing.
func (r *reading) sortContours() {
	byDrawing := func(a, b known) int { return cmp.Compare(a.drawn, b.drawn) }
	if slices.IsSortedFunc(r.known, byDrawing) {
		return
	}
	index := make([]int32, len(r.known))
	for i := range index {
		index[i] = int32(i)
	}
	slices.SortFunc(index, func(i, j int32) int { return byDrawing(r.known[i], r.known[j]) })
	contours, facts := make([]Contour, len(index)), make([]known, len(index))
	for k, i := range index {
		contours[k], facts[k] = r.contours[i], r.known[i]
	}
	r.contours, r.known = contours, facts
}
