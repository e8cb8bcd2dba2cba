// Package joining joins loose lines to outlines.
package joining

import (
	"math"
	"slices"

	"mahlstick/runner/contour"
	"mahlstick/runner/drawing/flatten"
	"mahlstick/runner/vector"
)

// Line is a loose line: what an outline is joined of.
type Line struct {
	Points  []vector.XY // mm
	At, End int32       // its bytes in the file
	Layer   int32
	Group   int32 // lines join within the same group only
	Paint   contour.Paint
	Order   int32 // its number in the order of drawing
}

// Outline is what was joined of one or more lines.
type Outline struct {
	Points []vector.XY // mm; nil where a closed one has no area
	Closed bool
	First  *Line // the one that was drawn first
}

// End is an end that joins nothing, or a point where several ends meet.
type End struct {
	At      vector.XY // mm
	Ends    int       // how many ends meet here
	Nearest float64   // mm to the nearest other loose end of its group, negative if there is none
	Line    *Line     // one of the lines that end here
}

// Dropped is a line that takes no part.
type Dropped struct {
	Line *Line
	Why  string
}

// DrawnTwice is why a line is dropped that has the points of another.
const DrawnTwice = "drawn twice"

// Joined is what became of loose lines.
type Joined struct {
	Dropped []Dropped
	// Loose are ends that join nothing, and points where an odd number of ends
	// or more than 16 meet, in the order of the file; the first MaxEnds of them.
	Loose      []End
	LooseCount int
	// Crossings are points where an even number of ends meet, followed straight
	// on; the first MaxEnds of them.
	Crossings     []End
	CrossingCount int
	// TooManyNear is a line near which so many loose ends lie within the gap
	// that none of them were joined over gaps; else nil.
	TooManyNear *Line

	joiner *joiner
}

// MaxEnds bounds the ends that are kept with their places.
const MaxEnds = 10_000

// meetMM is the distance (mm) within which ends count as the same point: what
// rounding in files and flattening leave.
const meetMM = 0.0005

// Join joins loose lines to outlines. The order of drawing decides where it
// has a choice, so that the same drawing always gives the same.
//
//  1. Ends at the same point (within 0.0005 mm) join where exactly two meet;
//     where four or more of an even number meet, each goes on as straight as
//     it can; where an odd number meets, none joins and the place is noted.
//  2. Ends that are still loose join the nearest other loose end of their
//     group within the gap (mm), the nearest pairs first.
func Join(lines []Line, gap float64) *Joined {
	j := &joiner{lines: lines, gap: gap, meet: min(meetMM, gap), out: &Joined{}}
	j.out.joiner = j
	j.findNodes()
	j.dropDoubles()
	j.linkNodes()
	j.grid = nil // the largest part of the memory
	j.walk()
	j.closeAtBranches()
	(&bridger{j}).bridgeGaps()
	return j.out
}

// joiner joins lines to chains. Line i has two ends, 2i where it starts and
// 2i+1 where it stops.
type joiner struct {
	lines []Line
	gap   float64
	meet  float64
	out   *Joined

	node    []int32    // by end: the point at which it lies
	grid    *gridIndex // of the nodes
	first   []int32    // by node: the first end there
	degree  []int32    // by node: how many ends
	after   []int32    // by end: the next end at the same node
	link    []int32    // by end: the end that it joins, or -1
	dropped []bool     // by line

	chains []chain
	runs   []int32 // the ends at which chains enter their lines, chain after chain
}

// chain is a run of lines, entered at runs[from:to].
type chain struct {
	from, to int32
	lowest   int32 // its earliest line
	closed   bool
}

func (j *joiner) end(e int32) vector.XY {
	p := j.lines[e>>1].Points
	if e&1 == 0 {
		return p[0]
	}
	return p[len(p)-1]
}

// findNodes numbers the points at which ends lie. Each node is where its
// first end lies.
func (j *joiner) findNodes() {
	n := 2 * len(j.lines)
	j.node, j.after, j.link = make([]int32, n), make([]int32, n), make([]int32, n)
	j.first, j.degree = make([]int32, 0, n/2), make([]int32, 0, n/2)
	j.dropped = make([]bool, len(j.lines))
	g := newGridIndex(4*j.meet, n)
	last := make([]int32, 0, n)
	for _, e := range nearbyOrder(n, j.end) {
		p, group := j.end(e), j.lines[e>>1].Group
		found, least := int32(-1), math.Inf(1)
		g.near(p, group, j.meet, func(k int32, distance float64) bool {
			if distance < least || distance == least && k < found {
				found, least = k, distance
			}
			return true
		})
		j.after[e], j.link[e] = -1, -1
		if found < 0 {
			found = g.add(p, group)
			j.first = append(j.first, e)
			j.degree = append(j.degree, 0)
			last = append(last, e)
		} else {
			j.after[last[found]] = e
			last[found] = e
		}
		j.node[e] = found
		j.degree[found]++
	}
	j.grid = g
}

// dropDoubles drops lines that are drawn twice, and those that have no length.
func (j *joiner) dropDoubles() {
	work := 64*len(j.lines) + 1_000_000
	for i := range int32(len(j.lines)) {
		a, b := j.node[2*i], j.node[2*i+1]
		p := &j.lines[i]
		if a == b && isSpeck(p.Points, j.meet) {
			j.drop(i, "has no length")
			continue
		}
		if j.degree[a] > j.degree[b] {
			a, b = b, a
		}
		for e := j.first[a]; e >= 0 && work > 0; e = j.after[e] {
			work--
			k := e >> 1
			if k < i && !j.dropped[k] && j.node[e^1] == b && alike(p.Points, j.lines[k].Points, j.meet) {
				j.drop(i, DrawnTwice)
				break
			}
		}
	}
}

// isSpeck says whether no point of a line is away from its start.
func isSpeck(pts []vector.XY, meet float64) bool {
	return !slices.ContainsFunc(pts, func(p vector.XY) bool { return !touch(p, pts[0], meet) })
}

func touch(p, q vector.XY, meet float64) bool {
	return math.Abs(p.X-q.X) <= meet && math.Abs(p.Y-q.Y) <= meet
}

// alike says whether two lines run through the same points.
func alike(p, q []vector.XY, meet float64) bool {
	if len(p) != len(q) {
		return false
	}
	forth, back := true, true
	for i := range p {
		forth = forth && touch(p[i], q[i], meet)
		back = back && touch(p[i], q[len(q)-1-i], meet)
		if !forth && !back {
			return false
		}
	}
	return true
}

func (j *joiner) drop(i int32, why string) {
	j.dropped[i] = true
	j.degree[j.node[2*i]]--
	j.degree[j.node[2*i+1]]--
	j.out.Dropped = append(j.out.Dropped, Dropped{&j.lines[i], why})
}

// walk follows the links to chains, each from its earliest line.
func (j *joiner) walk() {
	seen := make([]bool, len(j.lines))
	j.runs = make([]int32, 0, len(j.lines))
	for i := range int32(len(j.lines)) {
		if seen[i] || j.dropped[i] {
			continue
		}
		start, closed := j.beginning(i)
		ch := chain{from: int32(len(j.runs)), lowest: i, closed: closed}
		for e := start; e >= 0 && !seen[e>>1]; e = j.link[e^1] {
			seen[e>>1] = true
			j.runs = append(j.runs, e)
		}
		ch.to = int32(len(j.runs))
		j.chains = append(j.chains, ch)
	}
}

// beginning goes back from a line to the end at which its chain begins, or
// once round a closed one.
func (j *joiner) beginning(i int32) (start int32, closed bool) {
	start = 2 * i
	for j.link[start] >= 0 {
		start = j.link[start] ^ 1
		if start>>1 == i {
			return 2 * i, true
		}
	}
	return start, false
}

// head and tail are the ends at which a chain begins and stops.
func (j *joiner) head(ch *chain) int32 { return j.runs[ch.from] }
func (j *joiner) tail(ch *chain) int32 { return j.runs[ch.to-1] ^ 1 }

// closeAtBranches closes chains that come back to the branch at which they
// begin: the outline is whole, something else only hangs on to it.
func (j *joiner) closeAtBranches() {
	for i := range j.chains {
		ch := &j.chains[i]
		if n := j.node[j.head(ch)]; !ch.closed && n == j.node[j.tail(ch)] {
			ch.closed = true
			j.degree[n] -= 2
		}
	}
}

// Outlines gives the outlines one by one. Those of a single line share its
// points.
func (o *Joined) Outlines(yield func(Outline) bool) {
	j := o.joiner
	t := tracer{j: j}
	for i := range j.chains {
		ch := &j.chains[i]
		if !yield(Outline{Points: t.trace(ch), Closed: ch.closed, First: &j.lines[ch.lowest]}) {
			return
		}
	}
}

// Len is the number of outlines.
func (o *Joined) Len() int { return len(o.joiner.chains) }

// tracer gives the points of chains.
type tracer struct {
	j      *joiner
	buffer flatten.Buffer
}

// trace gives the points of a chain, or nil where a closed one has no area.
func (t *tracer) trace(ch *chain) []vector.XY {
	run := t.j.runs[ch.from:ch.to]
	single := len(run) == 1 && run[0]&1 == 0
	var path []vector.XY
	if single {
		path = t.j.lines[run[0]>>1].Points
	} else {
		path = t.connect(run, t.buffer.Free())
	}
	for least := 1; ch.closed && len(path) > least && touch(path[0], path[len(path)-1], t.j.meet); {
		path = path[:len(path)-1]
	}
	switch {
	case ch.closed && len(path) < 3:
		return nil
	case single:
		return path
	}
	return t.buffer.Keep(path)
}

// connect appends the points of lines, one after the other.
func (t *tracer) connect(run []int32, path []vector.XY) []vector.XY {
	for _, e := range run {
		pts := t.j.lines[e>>1].Points
		for k := range pts {
			p := pts[k]
			if e&1 == 1 {
				p = pts[len(pts)-1-k]
			}
			if k == 0 && len(path) > 0 && touch(p, path[len(path)-1], t.j.meet) {
				continue
			}
			path = append(path, p)
		}
	}
	return path
}
