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
	part := make([]int, w*h)
	parts := 0
	at := func(x, y int) bool { return x >= 0 && y >= 0 && x < w && y < h && filled(x, y) }
	var flood func(x, y int)
	flood = func(x, y int) {
		if !at(x, y) || part[y*w+x] != 0 {
			return
		}
		part[y*w+x] = parts
		flood(x+1, y)
		flood(x-1, y)
		flood(x, y+1)
		flood(x, y-1)
	}
	for y := range h {
		for x := range w {
			if at(x, y) && part[y*w+x] == 0 {
				parts++
				flood(x, y)
			}
		}
	}
	out := make([]region.Region, parts)
	type edge struct{ x, y, dir int }
	dx, dy := [4]int{1, 0, -1, 0}, [4]int{0, 1, 0, -1}
	seen := map[edge]bool{}
	// An edge of direction dir from (x, y) has this square to its left.
	left := func(e edge) (int, int) {
		return e.x + [4]int{0, -1, -1, 0}[e.dir], e.y + [4]int{0, 0, -1, -1}[e.dir]
	}
	right := func(e edge) (int, int) {
		return e.x + [4]int{0, 0, -1, -1}[e.dir], e.y + [4]int{-1, 0, 0, -1}[e.dir]
	}
	is := func(e edge) bool {
		lx, ly := left(e)
		rx, ry := right(e)
		return at(lx, ly) && !at(rx, ry)
	}
	for y := 0; y <= h; y++ {
		for x := 0; x <= w; x++ {
			for dir := range 4 {
				e := edge{x, y, dir}
				if !is(e) || seen[e] {
					continue
				}
				var ring []plane.Point
				lx, ly := left(e)
				for !seen[e] {
					seen[e] = true
					ring = append(ring, plane.Point{X: int32(e.x) * scale, Y: int32(e.y) * scale})
					n := edge{e.x + dx[e.dir], e.y + dy[e.dir], 0}
					for _, turn := range []int{1, 0, 3} {
						n.dir = (e.dir + turn) % 4
						if is(n) {
							break
						}
					}
					e = n
				}
				r := &out[part[ly*w+lx]-1]
				r.Rings = append(r.Rings, ring)
				if last := len(r.Rings) - 1; plane.Area2(ring) > 0 {
					r.Rings[0], r.Rings[last] = r.Rings[last], r.Rings[0]
				}
			}
		}
	}
	return out
}

func TestDiagramOfSquares(t *testing.T) {
	var b Builder
	var done work
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
			done.add(b.diagram.work)
			if t.Failed() {
				t.Fatalf("seed %d: %v", seed, r.Rings)
			}
		}
	}
	t.Logf("%+v", done)
}

func (w *work) add(o work) {
	w.cells += o.cells
	w.tests += o.tests
	w.exact += o.exact
	w.along += o.along
}
