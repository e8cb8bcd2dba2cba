package drawing

import (
	"fmt"
	"math"
	"slices"

	"mahlstick/recipe/problem"
)

// meetMM is the distance (mm) within which ends count as the same point: what
// rounding in files and flattening leave.
const meetMM = 0.0005

// chainer joins loose pieces to chains. Piece i has two ends, 2i where it
// starts and 2i+1 where it stops.
type chainer struct {
	r      *reading
	pieces []piece
	meet   float64

	node   []int32 // by end: the point at which it lies
	spots  *spots  // the nodes
	first  []int32 // by node: the first end there
	degree []int32 // by node: how many ends
	after  []int32 // by end: the next end at the same node
	link   []int32 // by end: the end that it joins, or -1
	gone   []bool  // by piece: drawn twice

	chains []chain
	runs   []int32 // the ends at which chains enter their pieces, chain after chain
}

// chain is a run of pieces, entered at runs[from:to].
type chain struct {
	from, to int32
	lowest   int32 // its earliest piece
	closed   bool
}

// chain joins the loose pieces to contours. The order of drawing decides
// where it has a choice, so that the same drawing always gives the same.
//
//  1. Ends at the same point (within 0.0005 mm) join where exactly two meet;
//     where four or more of an even number meet, each goes on as straight as
//     it can; where an odd number meets, none joins and the place is noted.
//  2. Ends that are still loose join the nearest other loose end of their
//     layer within the gap, the nearest pairs first.
func (r *reading) chain(d *Drawing) {
	if len(r.pieces) > 0 {
		c := &chainer{r: r, pieces: r.pieces, meet: min(meetMM, r.opt.Gap)}
		c.findNodes()
		c.dropDoubles()
		c.linkNodes(d)
		c.spots = nil // the largest part of the memory
		c.walk()
		c.closeAtBranches()
		c.bridgeGaps(d)
		c.emit()
		r.pieces = nil
	}
	r.sortContours()
	r.dropTwins()
}

func (c *chainer) end(e int32) XY {
	p := c.pieces[e>>1].pts
	if e&1 == 0 {
		return p[0]
	}
	return p[len(p)-1]
}

// findNodes numbers the points at which ends lie. Each node is where its
// first end lies.
func (c *chainer) findNodes() {
	n := 2 * len(c.pieces)
	c.node, c.after, c.link = make([]int32, n), make([]int32, n), make([]int32, n)
	c.first, c.degree = make([]int32, 0, n/2), make([]int32, 0, n/2)
	c.gone = make([]bool, len(c.pieces))
	s := newSpots(4*c.meet, n)
	last := make([]int32, 0, n)
	for _, e := range nearbyOrder(n, c.end) {
		p, layer := c.end(e), c.pieces[e>>1].layer
		found, least := int32(-1), math.Inf(1)
		s.near(p, layer, c.meet, func(k int32, distance float64) bool {
			if distance < least || distance == least && k < found {
				found, least = k, distance
			}
			return true
		})
		c.after[e], c.link[e] = -1, -1
		if found < 0 {
			found = s.add(p, layer)
			c.first = append(c.first, e)
			c.degree = append(c.degree, 0)
			last = append(last, e)
		} else {
			c.after[last[found]] = e
			last[found] = e
		}
		c.node[e] = found
		c.degree[found]++
	}
	c.spots = s
}

// dropDoubles drops pieces that are drawn twice, and those that have no
// length.
func (c *chainer) dropDoubles() {
	work := 64*len(c.pieces) + 1_000_000
	for i := range int32(len(c.pieces)) {
		a, b := c.node[2*i], c.node[2*i+1]
		p := &c.pieces[i]
		if a == b && c.speck(i) {
			c.drop(i, "has no length")
			continue
		}
		if c.degree[a] > c.degree[b] {
			a, b = b, a
		}
		for e := c.first[a]; e >= 0 && work > 0; e = c.after[e] {
			work--
			j := e >> 1
			if j < i && !c.gone[j] && c.node[e^1] == b && c.alike(p.pts, c.pieces[j].pts) {
				c.drop(i, "drawn twice")
				break
			}
		}
	}
}

// speck says whether no point of a piece is away from its start.
func (c *chainer) speck(i int32) bool {
	pts := c.pieces[i].pts
	return !slices.ContainsFunc(pts, func(p XY) bool { return !c.touch(p, pts[0]) })
}

func (c *chainer) touch(p, q XY) bool {
	return math.Abs(p.X-q.X) <= c.meet && math.Abs(p.Y-q.Y) <= c.meet
}

// alike says whether two pieces run through the same points.
func (c *chainer) alike(p, q []XY) bool {
	if len(p) != len(q) {
		return false
	}
	forth, back := true, true
	for i := range p {
		forth = forth && c.touch(p[i], q[i])
		back = back && c.touch(p[i], q[len(q)-1-i])
		if !forth && !back {
			return false
		}
	}
	return true
}

func (c *chainer) drop(i int32, why string) {
	c.gone[i] = true
	c.degree[c.node[2*i]]--
	c.degree[c.node[2*i+1]]--
	p := c.pieces[i]
	c.r.count("loose line", p.layer, why, int(p.at), int(p.end))
}

// mostEnds is the largest number of ends at one point that are sorted out.
const mostEnds = 16

// linkNodes joins the ends at each node.
func (c *chainer) linkNodes(d *Drawing) {
	var ends []int32
	crossings := 0
	for n := range c.first {
		if c.degree[n] == 0 || c.degree[n] == 1 {
			continue
		}
		ends = ends[:0]
		for e := c.first[n]; e >= 0; e = c.after[e] {
			if !c.gone[e>>1] {
				ends = append(ends, e)
			}
		}
		switch {
		case len(ends) == 2:
			c.join(ends[0], ends[1])
		case len(ends)%2 == 0 && len(ends) <= mostEnds:
			c.goStraight(ends)
			p := c.pieces[ends[0]>>1]
			if crossings++; len(d.Crossings) < maxLoose {
				d.Crossings = append(d.Crossings, LooseEnd{At: c.spots.spots[n].at, Ends: len(ends), Place: c.r.place(int(p.at), int(p.end))})
			}
		default:
			p := c.pieces[ends[0]>>1]
			d.loose(LooseEnd{At: c.spots.spots[n].at, Ends: len(ends), Nearest: -1, Place: c.r.place(int(p.at), int(p.end))})
		}
	}
	c.tellCrossings(d, crossings)
}

// tellCrossings warns of points where lines were followed straight on, with
// the places of the first ones.
func (c *chainer) tellCrossings(d *Drawing, n int) {
	if n == 0 {
		return
	}
	const named = 6
	first := d.Crossings[0]
	more := ""
	for i, e := range d.Crossings[1:min(len(d.Crossings), named)] {
		if more += ", "; i == 0 {
			more = "; so they do at "
		}
		more += "(" + Short(e.At.X) + ", " + Short(e.At.Y) + ") mm"
	}
	if n > named {
		more += fmt.Sprintf(" and at %d more", n-named)
	}
	c.r.warnOnce(problem.EndsCrossing, "", first.Place.Start, first.Place.End, problem.Advise("draw the shapes apart, or as closed polylines"),
		"%d ends meet at (%s, %s) mm%s; each line was followed as straight on as it goes", first.Ends, Short(first.At.X), Short(first.At.Y), more)
}

func (d *Drawing) loose(e LooseEnd) {
	d.LooseEnds++
	if len(d.Loose) < maxLoose {
		d.Loose = append(d.Loose, e)
	}
}

func (c *chainer) join(e, f int32) { c.link[e], c.link[f] = f, e }

// goStraight joins an even number of ends in pairs, the straightest first.
func (c *chainer) goStraight(ends []int32) {
	var out [mostEnds]XY
	for i, e := range ends {
		out[i] = c.direction(e)
	}
	var used [mostEnds]bool
	for range len(ends) / 2 {
		bi, bj, best := -1, -1, math.Inf(1)
		for i := range ends {
			for j := i + 1; j < len(ends) && !used[i]; j++ {
				// Rounded, so that noise does not decide between equals.
				dot := math.Floor(float64((float64(out[i].X*out[j].X)+float64(out[i].Y*out[j].Y))*1e6) + 0.5)
				if !used[j] && dot < best {
					bi, bj, best = i, j, dot
				}
			}
		}
		used[bi], used[bj] = true, true
		c.join(ends[bi], ends[bj])
	}
}

// direction is the unit vector in which a piece leaves one of its ends.
func (c *chainer) direction(e int32) XY {
	pts := c.pieces[e>>1].pts
	from := c.end(e)
	for i := range pts {
		p := pts[i]
		if e&1 == 1 {
			p = pts[len(pts)-1-i]
		}
		way := p.Minus(from)
		if length := way.Length(); length > 4*c.meet {
			return XY{X: way.X / length, Y: way.Y / length}
		}
	}
	return XY{}
}

// walk follows the links to chains, each from its earliest piece.
func (c *chainer) walk() {
	seen := make([]bool, len(c.pieces))
	c.runs = make([]int32, 0, len(c.pieces))
	for i := range int32(len(c.pieces)) {
		if seen[i] || c.gone[i] {
			continue
		}
		// Back to where the chain begins, or once round.
		start, closed := 2*i, false
		for c.link[start] >= 0 {
			start = c.link[start] ^ 1
			if start>>1 == i {
				closed = true
				break
			}
		}
		if closed {
			start = 2 * i
		}
		ch := chain{from: int32(len(c.runs)), lowest: i, closed: closed}
		for e := start; ; {
			seen[e>>1] = true
			c.runs = append(c.runs, e)
			e = c.link[e^1]
			if e < 0 || seen[e>>1] {
				break
			}
		}
		ch.to = int32(len(c.runs))
		c.chains = append(c.chains, ch)
	}
}

// head and tail are the ends at which a chain begins and stops.
func (c *chainer) head(ch *chain) int32 { return c.runs[ch.from] }
func (c *chainer) tail(ch *chain) int32 { return c.runs[ch.to-1] ^ 1 }

// closeAtBranches closes chains that come back to the branch at which they
// begin: the outline is whole, something else only hangs on to it.
func (c *chainer) closeAtBranches() {
	for i := range c.chains {
		ch := &c.chains[i]
		if n := c.node[c.head(ch)]; !ch.closed && n == c.node[c.tail(ch)] {
			ch.closed = true
			c.degree[n] -= 2
		}
	}
}
