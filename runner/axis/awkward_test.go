package axis_test

import (
	"math"
	"testing"

	"mahlstick/runner/axis"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

// A square with each side cut into 5,000 pieces has its two diagonals for an
// axis and nothing else.
func TestSquareInPieces(t *testing.T) {
	square := awkward()[2].regions[0]
	if n := len(square.Rings[0]); n != 20_000 {
		t.Fatalf("%d corners", n)
	}
	g := medial(t, square)
	if len(g.Nodes) != 5 || len(g.Edges) != 4 {
		t.Fatalf("%d nodes, %d edges", len(g.Nodes), len(g.Edges))
	}
	expectNodes(t, g, [][3]float64{{25, 25, 25}, {0, 0, 0}, {50, 0, 0}, {50, 50, 0}, {0, 50, 0}})
}

// Each of 4,000 teeth has a middle line of its own, and its two corners; the
// back has a middle line too.
func TestComb(t *testing.T) {
	g := medial(t, awkward()[0].regions[0])
	tips := 0
	for _, n := range g.Nodes {
		if math.Abs(plane.MM(n.Y)+4.95) < close && len(n.Edges) == 3 {
			tips++
		}
	}
	if tips != 4000 {
		t.Errorf("%d teeth", tips)
	}
}

func TestCircleOfManyCorners(t *testing.T) {
	g := medial(t, awkward()[1].regions[0])
	if len(g.Nodes) != 1 {
		t.Fatalf("%d nodes", len(g.Nodes))
	}
	expectNodes(t, g, [][3]float64{{0, 0, 100}})
}

// A row of squares that touch in corners is one region for each square; what
// is left between four squares round a fifth place is a ring that touches
// itself.
func TestTouchingSquares(t *testing.T) {
	square := func(x, y float64) []plane.Point {
		return ring([2]float64{x, y}, [2]float64{x + 1, y}, [2]float64{x + 1, y + 1}, [2]float64{x, y + 1})
	}
	for i := range 10 {
		g := medial(t, regionOf(square(float64(i), float64(i))))
		if len(g.Edges) != 4 {
			t.Errorf("square %d: %d edges", i, len(g.Edges))
		}
	}
	// A frame with two holes that touch each other and the frame.
	frame := ring([2]float64{0, 0}, [2]float64{2, 0}, [2]float64{4, 0}, [2]float64{4, 4}, [2]float64{0, 4})
	lower := ring([2]float64{2, 0}, [2]float64{1, 1}, [2]float64{2, 2}, [2]float64{3, 1})
	upper := ring([2]float64{2, 2}, [2]float64{1, 3}, [2]float64{2, 3.5}, [2]float64{3, 3})
	r := regionOf(frame, lower, upper)
	g := medial(t, r)
	covered(t, r, g, loss)
	// The way round is open at the foot, where the axis runs into two tips.
	tips := 0
	for _, n := range g.Nodes {
		if x, y, r := mm(n.Point); r == 0 && x == 2 && y == 0 {
			tips++
		}
	}
	if tips != 2 {
		t.Errorf("%d tips where the hole touches the frame", tips)
	}
}

// A corner inside an edge is not clean, but where edges run straight on
// through a touching corner it is.
func TestTouchOnStraightEdge(t *testing.T) {
	frame := ring([2]float64{0, 0}, [2]float64{2, 0}, [2]float64{4, 0}, [2]float64{4, 4}, [2]float64{0, 4})
	hole := ring([2]float64{2, 0}, [2]float64{1, 1}, [2]float64{2, 2}, [2]float64{3, 1})
	r := regionOf(frame, hole)
	covered(t, r, medial(t, r), loss)
	r.Rings[0] = append(append([]plane.Point{}, r.Rings[0][:1]...), r.Rings[0][2:]...)
	if _, err := axis.Medial(r, loss); err == nil {
		t.Error("a corner inside an edge goes unnoticed")
	}
}

func TestUncleanRegions(t *testing.T) {
	bow := ring([2]float64{0, 0}, [2]float64{2, 2}, [2]float64{2, 0}, [2]float64{0, 3})
	far := []plane.Point{{X: 0, Y: 0}, {X: plane.Limit + 1, Y: 0}, {X: 0, Y: 5}}
	right := ring([2]float64{0, 0}, [2]float64{0, 4}, [2]float64{4, 4}, [2]float64{4, 0})
	box := reversed(right)
	for name, r := range map[string]region.Region{
		"empty":          {},
		"two corners":    regionOf(box[:2]),
		"one point":      regionOf([]plane.Point{{}, {}, {}}),
		"crossing":       regionOf(bow),
		"clockwise":      regionOf(right),
		"hole too":       regionOf(box, ring([2]float64{1, 1}, [2]float64{2, 1}, [2]float64{1, 2})),
		"edge twice":     regionOf(box, reversed(box)),
		"rings crossing": regionOf(box, reversed(ring([2]float64{2, 2}, [2]float64{6, 2}, [2]float64{2, 6}))),
		"too far":        regionOf(far),
		"two pieces":     regionOf(box, reversed(ring([2]float64{1, 1}, [2]float64{3, 1}, [2]float64{3, 3})), ring([2]float64{2, 1.5}, [2]float64{2.5, 1.5}, [2]float64{2.5, 2})),
	} {
		if g, err := axis.Medial(r, loss); err == nil {
			t.Errorf("%s: no error, %d nodes", name, len(g.Nodes))
		}
	}
}

// Whether the corners of a square end are kept depends on what they add.
func TestCornersAreKeptByWhatTheyAdd(t *testing.T) {
	// Half a side r, a corner adds r(√2-1).
	for _, c := range []struct {
		depth float64
		nodes int
	}{{0.0195, 2}, {0.0205, 6}} {
		r := c.depth / (math.Sqrt2 - 1)
		g := medial(t, regionOf(ring([2]float64{0, -r}, [2]float64{5, -r}, [2]float64{5, r}, [2]float64{0, r})))
		if len(g.Nodes) != c.nodes {
			t.Errorf("corners that add %.4f mm: %d nodes, want %d", c.depth, len(g.Nodes), c.nodes)
		}
	}
	// A point with half the angle a at the end of a band adds h(1/sin a - 1).
	for _, degrees := range []float64{40, 60, 80} {
		s, c := math.Sincos(degrees * math.Pi / 180)
		for _, depth := range []float64{0.0195, 0.0205} {
			h := depth / (1/s - 1)
			tip := 5*h + h/s
			g := medial(t, regionOf(ring([2]float64{0, -h}, [2]float64{5*h + h*(1/s-c/s), -h}, [2]float64{tip, 0}, [2]float64{5*h + h*(1/s-c/s), h}, [2]float64{0, h})))
			kept := false
			for _, n := range g.Nodes {
				x, y, r := mm(n.Point)
				kept = kept || math.Abs(x-tip) < close && math.Abs(y) < close && r == 0
			}
			if kept != (depth > loss) {
				t.Errorf("a tip of %g degrees that adds %.4f mm: kept %t", 2*degrees, depth, kept)
			}
		}
	}
}

// Steps that are each below the tolerance do not add up: a taper in small
// steps keeps its whole length.
func TestPruningsDoNotAddUp(t *testing.T) {
	const steps, width, rise = 150, 0.1, 0.015
	var lower, upper [][2]float64
	for i := range steps {
		h := rise * float64(steps-i)
		lower = append(lower, [2]float64{width * float64(i), -h}, [2]float64{width * float64(i+1), -h})
		upper = append(upper, [2]float64{width * float64(i), h}, [2]float64{width * float64(i+1), h})
	}
	for i := range upper {
		lower = append(lower, upper[len(upper)-1-i])
	}
	r := regionOf(ring(lower...))
	covered(t, r, medial(t, r), loss)
}
