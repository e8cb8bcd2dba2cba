package axis

import (
	"math/rand/v2"
	"testing"

	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

// outlines traces the border of a set of unit squares, inside to the left,
// and returns one region for each part that hangs together by edges. Where
// squares only touch in a corner, the rings touch there.
func outlines(filled func(x, y int) bool, w, h int, scale int32) []region.Region {
	g := &squares{filled: filled, w: w, h: h, part: make([]int, w*h), seen: map[squareEdge]bool{}}
	parts := 0
	for i := range w * h {
		if x, y := i%w, i/w; g.at(x, y) && g.part[i] == 0 {
			parts++
			g.flood(x, y, parts)
		}
	}
	out := make([]region.Region, parts)
	for i := range (w + 1) * (h + 1) * 4 {
		e := squareEdge{i / 4 % (w + 1), i / 4 / (w + 1), i % 4}
		if !g.isBorder(e) || g.seen[e] {
			continue
		}
		x, y := e.left()
		r := &out[g.part[y*w+x]-1]
		ring := g.trace(e, scale)
		r.Rings = append(r.Rings, ring)
		if last := len(r.Rings) - 1; plane.Area2(ring) > 0 {
			r.Rings[0], r.Rings[last] = r.Rings[last], r.Rings[0]
		}
	}
	return out
}

// squares is a set of unit squares within w by h.
type squares struct {
	filled func(x, y int) bool
	w, h   int
	part   []int // the part that a square belongs to, from 1
	seen   map[squareEdge]bool
}

// squareEdge leads one unit from (x, y): to the right, up, to the left or down.
type squareEdge struct{ x, y, dir int }

// left and right are the squares on either side of an edge.
func (e squareEdge) left() (x, y int) {
	return e.x + [4]int{0, -1, -1, 0}[e.dir], e.y + [4]int{0, 0, -1, -1}[e.dir]
}

func (e squareEdge) right() (x, y int) {
	return e.x + [4]int{0, 0, -1, -1}[e.dir], e.y + [4]int{-1, 0, 0, -1}[e.dir]
}

func (g *squares) at(x, y int) bool {
	return x >= 0 && y >= 0 && x < g.w && y < g.h && g.filled(x, y)
}

// flood numbers all squares that hang together with one.
func (g *squares) flood(x, y, part int) {
	if !g.at(x, y) || g.part[y*g.w+x] != 0 {
		return
	}
	g.part[y*g.w+x] = part
	g.flood(x+1, y, part)
	g.flood(x-1, y, part)
	g.flood(x, y+1, part)
	g.flood(x, y-1, part)
}

func (g *squares) isBorder(e squareEdge) bool {
	lx, ly := e.left()
	rx, ry := e.right()
	return g.at(lx, ly) && !g.at(rx, ry)
}

// trace follows the border from an edge until it comes back.
func (g *squares) trace(e squareEdge, scale int32) []plane.Point {
	dx, dy := [4]int{1, 0, -1, 0}, [4]int{0, 1, 0, -1}
	var ring []plane.Point
	for !g.seen[e] {
		g.seen[e] = true
		ring = append(ring, plane.Point{X: int32(e.x) * scale, Y: int32(e.y) * scale})
		n := squareEdge{e.x + dx[e.dir], e.y + dy[e.dir], 0}
		for _, turn := range []int{1, 0, 3} {
			if n.dir = (e.dir + turn) % 4; g.isBorder(n) {
				break
			}
		}
		e = n
	}
	return ring
}

func TestDiagramOfSquares(t *testing.T) {
	var b Builder
	var done buildCounts
	for seed := range uint64(4000) {
		rng := rand.New(rand.NewPCG(seed, 2))
		w, h := 1+rng.IntN(12), 1+rng.IntN(12)
		full := 0.4 + 0.6*rng.Float64()
		grid := make([]bool, w*h)
		for i := range grid {
			grid[i] = rng.Float64() < full
		}
		scale := []int32{1, 2, 3, 1000, 12345}[rng.IntN(5)]
		for _, r := range outlines(func(x, y int) bool { return grid[y*w+x] }, w, h, scale) {
			if err := b.build(r); err != nil {
				t.Fatalf("seed %d: %v: %v", seed, err, r.Rings)
			}
			check(t, &b.diagram)
			done.add(b.diagram.counts)
			if t.Failed() {
				t.Fatalf("seed %d: %v", seed, r.Rings)
			}
		}
	}
	t.Logf("%+v", done)
}

func (w *buildCounts) add(o buildCounts) {
	w.cells += o.cells
	w.tests += o.tests
	w.exact += o.exact
	w.along += o.along
}
