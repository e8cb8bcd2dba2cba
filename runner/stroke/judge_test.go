package stroke_test

import (
	"math"
	"testing"

	"mahlstick/runner/stroke"
)

// The judge is checked first, with areas that are known.

func dabOf(x, y, r float64) stroke.Gesture {
	return stroke.Gesture{Points: []stroke.Point{{X: int32(x * 10000), Y: int32(y * 10000), Press: r}}}
}

func strokeOf(x1, y1, r1, x2, y2, r2 float64) stroke.Gesture {
	g := dabOf(x1, y1, r1)
	g.Points = append(g.Points, dabOf(x2, y2, r2).Points...)
	return g
}

func double(press float64) float64 { return 2 * press }

// TestPixelsInDisc: OEIS A000328, points of the square lattice within r of the
// origin.
func TestPixelsInDisc(t *testing.T) {
	for r, want := range map[float64]int{1: 5, 2: 13, 3: 29, 4: 49, 5: 81, 10: 317, 20: 1257, 100: 31417} {
		b := newBitmap(-0.5, -0.5, 250, 250, 1)
		b.paint(dabOf(120, 120, r), double)
		if n := b.count(); n != want {
			t.Errorf("radius %g: %d pixels, want %d", r, n, want)
		}
	}
	// The same sequence for a mark of 2.8 mm.
	for px, want := range map[float64]int{0.1: 613, 0.05: 2453} {
		b := newBitmap(-px/2, -px/2, 4, 4, px)
		b.paint(dabOf(2, 2, 1.4000001), double)
		if n := b.count(); n != want {
			t.Errorf("%g mm pixels: %d, want %d", px, n, want)
		}
	}
}

func TestPaintedAreas(t *testing.T) {
	for _, tt := range []struct {
		name     string
		gestures []stroke.Gesture
		area     float64
		edge     float64 // mm
	}{
		// J. Steiner's formula A + L r + π r².
		{"stroke 10 mm, 2.8 wide", []stroke.Gesture{strokeOf(2, 2.013, 1.4, 11.2, 5.932, 1.4)}, 10*2.8 + math.Pi*1.4*1.4, 28.8},
		// Area of a capsule with unequal ends, by its tangents.
		{"unequal capsule", []stroke.Gesture{strokeOf(6, 6.1, 5, 17.5, 9.53, 2)}, 132.192029, 46.7},
		// Two discs of radius 1, 1 apart, less their lens 2π/3 - √3/2.
		{"two discs", []stroke.Gesture{dabOf(2, 2.01, 1), dabOf(2.8, 2.61, 1)}, 2*math.Pi - 1.228370, 10},
		// Two strokes 10 mm long and 2 wide, square to each other: 4 mm² double.
		{"crossing strokes", []stroke.Gesture{strokeOf(2, 5, 1, 10, 11, 1), strokeOf(9, 4, 1, 3, 12, 1)}, 42.283185, 50},
	} {
		const px = 0.02
		b := newBitmap(0, 0, 25, 16, px)
		for _, g := range tt.gestures {
			b.paint(g, double)
		}
		got := float64(b.count()) * px * px
		if math.Abs(got-tt.area) > px*px*math.Sqrt(tt.edge/px) {
			t.Errorf("%s: %.4f mm², want %.4f", tt.name, got, tt.area)
		}
		// The distances agree: every hundredth pixel.
		for k := 0; k < len(b.on); k += 97 {
			x, y := b.centre(k%b.w, k/b.w)
			if off := offPaint(tt.gestures, double, x, y); (off < 0) != b.on[k] && math.Abs(off) > 1e-9 {
				t.Fatalf("%s: (%g, %g) is %g mm off the paint, pixel %v", tt.name, x, y, off, b.on[k])
			}
		}
	}
}

func TestDrawnAreas(t *testing.T) {
	const px = 0.02
	drawn, _ := frames(regionsOf(disc(0, 0, 10), disc(1, 2, 4)).Regions, px)
	for _, r := range regionsOf(disc(0, 0, 10), disc(1, 2, 4)).Regions {
		drawn.fill(r)
	}
	if got, want := float64(drawn.count())*px*px, 84*math.Pi; math.Abs(got-want) > 0.02 {
		t.Errorf("%.4f mm², want %.4f", got, want)
	}
}
