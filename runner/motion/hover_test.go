package motion_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/runner/motion"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// Where a hover height is stated, the lowering feed begins there; the brush
// travels there to a near stroke, and higher to one that is far or in the margin.
func TestHover(t *testing.T) {
	b := newBench()
	b.machine.Hover = 2.5
	line := func(x, y float64) stroke.Gesture { return gesture(b.at(x, y, 1), b.at(x+10, y, 1)) }
	beside := line(100, 4) // in the margin, where tape may lie
	beside.Kind = stroke.Check
	p, problems := b.make(line(30, 50), line(60, 50), line(60, 150), beside, line(100, 10))
	if problems.HasErrors() {
		t.Fatal(problems)
	}
	if p.Hover != 25000 || p.Safe != 50000 {
		t.Fatalf("hovers at %d, travels at %d", p.Hover, p.Safe)
	}
	mm := func(x, y, z float64, feed int32) motion.Move {
		return motion.Move{X: plane.Snap(x), Y: plane.Snap(y), Z: plane.Snap(z), Feed: feed}
	}
	high := func(x, y float64) []motion.Move {
		return []motion.Move{mm(x, y, 5, 0), mm(x, y, 2.5, 0), mm(x, y, -1, 300), mm(x+10, y, -1, 900), mm(x+10, y, 2.5, 300)}
	}
	low := func(x, y float64) []motion.Move {
		return []motion.Move{mm(x, y, 2.5, 0), mm(x, y, -1, 300), mm(x+10, y, -1, 900), mm(x+10, y, 2.5, 300)}
	}
	for i, want := range [][]motion.Move{high(30, 50), low(60, 50), high(60, 150), high(100, 4), high(100, 10)} {
		if got := p.Strokes[i].Moves; !slices.Equal(got, want) {
			t.Errorf("stroke %d\n%v\nwant\n%v", i+1, got, want)
		}
	}
}

// A hover height changes how the brush gets to a stroke, and nothing of the
// stroke. At the safe height it changes no move at all.
func TestHoverLeavesTheStrokes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := newBench()
		all := gestures(t, b)
		without, _ := b.make(all...)
		b.machine.Hover = rapid.SampledFrom([]float64{2, 2.5, 3.0004, 5}).Draw(t, "hover")
		with, _ := b.make(all...)
		if b.machine.Hover == 5 {
			for i := range with.Strokes {
				if !slices.Equal(with.Strokes[i].Moves, without.Strokes[i].Moves) {
					t.Fatalf("stroke %d differs with the safe height as hover", i+1)
				}
			}
		}
		at := motion.Move{X: with.Rest.X, Y: with.Rest.Y, Z: with.Safe}
		for i, s := range with.Strokes {
			plain := without.Strokes[i].Moves
			begin := slices.IndexFunc(s.Moves, func(v motion.Move) bool { return v.Feed != 0 })
			if !slices.Equal(s.Moves[begin:len(s.Moves)-1], plain[1:len(plain)-1]) {
				t.Fatalf("stroke %d is painted differently", i+1)
			}
			if last := s.Moves[len(s.Moves)-1]; last.Z != with.Hover {
				t.Fatalf("stroke %d lifts to %d", i+1, last.Z)
			}
			travel := math.Hypot(plane.MM(s.Moves[0].X-at.X), plane.MM(s.Moves[0].Y-at.Y))
			if z := s.Moves[0].Z; z != with.Safe && (z != with.Hover || travel > 50) {
				t.Fatalf("travels %v mm to stroke %d at %d", travel, i+1, z)
			}
			at = s.Moves[len(s.Moves)-1]
		}
	})
}
