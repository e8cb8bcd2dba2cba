package motion_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/runner/motion"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// between is the distance in mm of a place from a straight move, and the Z there.
func between(a, b, p motion.Move) (off, z float64) {
	dx, dy := plane.MM(b.X-a.X), plane.MM(b.Y-a.Y)
	x, y := plane.MM(p.X-a.X), plane.MM(p.Y-a.Y)
	t := 0.0
	if n := dx*dx + dy*dy; n > 0 {
		t = math.Max(0, math.Min(1, (x*dx+y*dy)/n))
	}
	return math.Hypot(x-t*dx, y-t*dy), plane.MM(a.Z) + t*plane.MM(b.Z-a.Z)
}

// Where the machine states how many blocks it reads a second, no move asks for
// more, and the edge of the mark stays where it was within half the tolerance.
func TestBlocksASecond(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := newBench()
		x, y, turn, press := 60.0, 120.0, 0.0, 1.0
		var points []stroke.Point
		for range rapid.IntRange(2, 150).Draw(t, "points") {
			points = append(points, b.at(x, y, press))
			turn += rapid.Float64Range(-0.3, 0.3).Draw(t, "turn")
			step := rapid.Float64Range(0.02, 0.8).Draw(t, "step")
			x, y = x+step*math.Cos(turn), y+step*math.Sin(turn)
			press = math.Max(0.2, math.Min(4, press+rapid.Float64Range(-0.1, 0.1).Draw(t, "press")))
		}
		plain, problems := b.make(gesture(points...))
		if problems.HasErrors() {
			t.Skip("off the sheet")
		}
		b.machine.Blocks = rapid.SampledFrom([]int{10, 40, 200}).Draw(t, "blocks")
		few, _ := b.make(gesture(points...))
		was, is := plain.Strokes[0].Moves, few.Strokes[0].Moves
		if len(was)-len(is) != few.Blocks.Merged {
			t.Fatalf("%d moves of %d, %d merged", len(is), len(was), few.Blocks.Merged)
		}
		for i := 2; i < len(is); i++ {
			d := math.Sqrt(math.Pow(plane.MM(is[i].X-is[i-1].X), 2) + math.Pow(plane.MM(is[i].Y-is[i-1].Y), 2) + math.Pow(plane.MM(is[i].Z-is[i-1].Z), 2))
			if rate := float64(is[i].Feed) / 60 / d; rate > float64(b.machine.Blocks)*(1+1e-9) && is[i].Feed > 1 {
				t.Fatalf("move %d of %.4f mm at %d asks for %.1f blocks a second", i, d, is[i].Feed, rate)
			}
		}
		k := 2
		for _, v := range was[2:] {
			for k < len(is)-1 && (is[k-1] == v || !onWayTo(is[k-1], is[k], v, b.layer.Tolerance)) {
				k++
			}
			off, z := between(is[k-1], is[k], v)
			widthNow, _ := b.layer.Brush.Curve.WidthAt(math.Max(0, -z))
			widthWas, _ := b.layer.Brush.Curve.WidthAt(math.Max(0, -plane.MM(v.Z)))
			if v.Z <= 0 && off+math.Abs(widthNow-widthWas)/2 > b.layer.Tolerance/2+0.0005 {
				t.Fatalf("%+v is %.4f mm off, %.4f mm instead of %.4f mm wide", v, off, widthNow, widthWas)
			}
		}
	})
}

func onWayTo(a, b, p motion.Move, tolerance float64) bool {
	off, _ := between(a, b, p)
	past := math.Hypot(plane.MM(b.X-p.X), plane.MM(b.Y-p.Y)) == 0 && b.Z != p.Z
	return off <= tolerance/2+0.0005 && !past
}
