package cutting_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/runner/contour"
	"mahlstick/runner/cutting"
	"mahlstick/runner/drawing"
	"mahlstick/runner/vector"
)

// sides are the least and the greatest x and y of rings, and area is that of them
// together, holes clockwise.
func sides(rings [][]vector.XY) (box vector.Box, area float64) {
	box = vector.Empty()
	for _, ring := range rings {
		box = box.Union(vector.Bounds(ring))
		area += areaOf(ring)
	}
	return box, area
}

// stretchedTo gives what a line covers that was drawn along points and then stretched.
func stretchedTo(t interface{ Fatal(...any) }, points []vector.XY, width float64, closed bool, look contour.Look) [][]vector.XY {
	after := make([]vector.XY, len(points))
	for i, p := range points {
		after[i] = look.Stretch.At(p)
	}
	rings, ok := cutting.AsDrawn(after, width, closed, look)
	if !ok {
		t.Fatal("nothing is left of it")
	}
	return rings
}

// What a stretched line covers is the image of the stroke of SVG 2, 13.5.3 (from memory):
// its area is that of the stroke, as these maps keep areas, and its sides lie where
// those of a parallelogram, an ellipse or a mitred frame do.
func TestStretched(t *testing.T) {
	var (
		wide   = contour.Stretch{XX: 2, YY: 0.5}
		skewed = contour.Stretch{XX: 1, XY: 1, YY: 1}
		mirror = contour.Stretch{XX: -2, YY: 0.5}
		turned = contour.Stretch{XY: -0.5, YX: 2}
		bar    = []vector.XY{xy(0, 0), xy(9, 0)}
		elbow  = []vector.XY{xy(0, 0), xy(9, 0), xy(9, 9)}
	)
	const flat, sq, round = contour.FlatEnds, contour.SquareEnds, contour.RoundEnds
	for _, c := range []struct {
		name    string
		points  []vector.XY
		closed  bool
		ends    contour.Ends
		corners contour.Corners
		stretch contour.Stretch
		area    float64
		box     [4]float64
		rings   int
	}{
		{"a bar", bar, false, flat, 0, wide, 36, [4]float64{0, -1, 18, 1}, 1},
		{"across", []vector.XY{xy(0, 0), xy(0, 9)}, false, flat, 0, wide, 36, [4]float64{-4, 0, 4, 4.5}, 1},
		{"a parallelogram", bar, false, flat, 0, skewed, 36, [4]float64{-2, -2, 11, 2}, 1},
		{"with square ends", bar, false, sq, 0, skewed, 52, [4]float64{-4, -2, 13, 2}, 1},
		{"with round ends", bar, false, round, 0, wide, 36 + 4*math.Pi, [4]float64{-4, -1, 22, 1}, 1},
		{"round ends, skewed", bar, false, round, 0, skewed, 36 + 4*math.Pi, [4]float64{-2 * math.Sqrt2, -2, 9 + 2*math.Sqrt2, 2}, 1},
		{"mirrored", elbow, false, flat, contour.PointedCorners, mirror, 72, [4]float64{-22, -1, 0, 4.5}, 1},
		{"turned", elbow, false, flat, contour.PointedCorners, turned, 72, [4]float64{-4.5, 0, 1, 22}, 1},
		{"cut off", elbow, false, flat, contour.CutCorners, wide, 70, [4]float64{0, -1, 22, 4.5}, 1},
		{"a round corner", elbow, false, flat, contour.RoundCorners, wide, 68 + math.Pi, [4]float64{0, -1, 22, 4.5}, 1},
		{"a frame", rect(0, 0, 9, 9), true, flat, contour.PointedCorners, skewed, 13*13 - 5*5, [4]float64{-4, -2, 22, 11}, 2},
		{"an ellipse", circle(0, 0, 7, 3000), true, round, contour.PointedCorners, wide, math.Pi * (81 - 25), [4]float64{-18, -4.5, 18, 4.5}, 2},
	} {
		rings := stretchedTo(t, c.points, 4, c.closed, contour.Look{Ends: c.ends, Corners: c.corners, Reach: 4, Stretch: c.stretch})
		box, area := sides(rings)
		got := [4]float64{box.Min.X, box.Min.Y, box.Max.X, box.Max.Y}
		if math.Abs(area-c.area) > 0.03 || len(rings) != c.rings {
			t.Errorf("%s: %.4f mm² in %d rings, want %.4f", c.name, area, len(rings), c.area)
		}
		for i := range got {
			if math.Abs(got[i]-c.box[i]) > 0.0011 { // arcs are chords
				t.Errorf("%s: sides %.4f, want %.4f", c.name, got, c.box)
				break
			}
		}
	}
}

// A round line reaches in each direction as far as its points and the image of the disc
// that moves along it: the support function of a Minkowski sum (R. Schneider, "Convex
// Bodies: The Brunn-Minkowski Theory", section 1.7; from memory). However strong the
// stretch, arcs stay within the tolerance.
func TestStretchedReach(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		factor := math.Exp(rapid.Float64Range(-3, 3).Draw(r, "factor")) // up to 20
		stretch := contour.Stretch{XX: factor, XY: factor * rapid.Float64Range(-2, 2).Draw(r, "skew"), YY: 1 / factor}
		if rapid.Bool().Draw(r, "mirrored") {
			stretch.XX, stretch.YX = -stretch.XX, -stretch.YX
		}
		sin, cos := math.Sincos(rapid.Float64Range(0, 7).Draw(r, "turn"))
		stretch = stretch.Turned(cos, sin)
		var points []vector.XY
		for range rapid.IntRange(2, 6).Draw(r, "points") {
			points = append(points, xy(rapid.Float64Range(-9, 9).Draw(r, "x"), rapid.Float64Range(-9, 9).Draw(r, "y")))
		}
		width := rapid.Float64Range(0.5, 6).Draw(r, "width")
		if vector.Distance(points[0], points[1]) < 0.1 {
			return
		}
		rings := stretchedTo(r, points, width, false, contour.Look{Stretch: stretch})
		sin, cos = math.Sincos(rapid.Float64Range(0, 7).Draw(r, "direction"))
		u := xy(cos, sin)
		got, want := math.Inf(-1), math.Inf(-1)
		for _, ring := range rings {
			for _, p := range ring {
				got = max(got, p.Dot(u))
			}
		}
		for _, p := range points {
			want = max(want, stretch.At(p).Dot(u))
		}
		want += width / 2 * math.Hypot(stretch.XX*u.X+stretch.YX*u.Y, stretch.XY*u.X+stretch.YY*u.Y)
		// Chords of arcs that no sheet has room for lie a share of the radius inside, and
		// tips that are thinner than the grid's step are lost.
		most := stretch.Most()
		within := 0.0012 + 1e-5*width/2*most + 1e-8*most*most*most/width
		if math.Abs(got-want) > within {
			r.Fatalf("reaches %.5f, want %.5f", got, want)
		}
	})
}

// A stretched line is cut off where it shows, and is left out where it does not reach.
func TestCutStretched(t *testing.T) {
	look := contour.Look{Ends: contour.FlatEnds, Stretch: contour.Stretch{XX: 4, YY: 0.25}}
	line := func(x float64) []cutting.Contour {
		return []cutting.Contour{{Identity: contour.Identity{Look: look}, Points: []vector.XY{xy(x, -5), xy(x, 5)}, Widths: []float64{2, 2}}}
	}
	clip := drawing.ClipToBox(vector.Box{Min: xy(0, -9), Max: xy(20, 9)})
	for x, want := range map[float64]float64{0: 40, -3: 10, -3.9: 1, 3: 70, 18.5: 55} { // 8 wide, 10 high
		if result := cutAll(t, line(x), clip); math.Abs(total(result.Contours)-want) > 0.001 || result.Cut != 1 {
			t.Errorf("at %g: %.4f mm², want %.4f", x, total(result.Contours), want)
		}
	}
	if result := cutAll(t, line(-4.1), clip); result.Gone != 1 {
		t.Errorf("beyond the clip: %+v", result)
	}
	if result := cutAll(t, line(10), clip); result.Cut+result.Gone != 0 || result.Contours[0].Widths == nil {
		t.Errorf("within the clip: %+v", result)
	}
}
