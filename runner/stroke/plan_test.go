package stroke_test

import (
	"fmt"
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/recipe/model"
	"mahlstick/runner/contour"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
	"mahlstick/runner/stroke"
)

func plan(t interface{ Fatalf(string, ...any) }, drawn stroke.Drawn, l *model.Layer) *stroke.Plan {
	p, problems := stroke.Make(drawn, l, stroke.Options{})
	if len(problems) > 0 {
		t.Fatalf("%v", problems)
	}
	return p
}

func capsule(x1, y1, r1, x2, y2, r2 float64) []plane.Point {
	// The edges touch both circles where their common tangents do.
	d := math.Hypot(x2-x1, y2-y1)
	a := math.Atan2(y2-y1, x2-x1) * 180 / math.Pi
	b := math.Acos((r1-r2)/d) * 180 / math.Pi
	return ring(append(arcOf(x2, y2, r2, a-b, a+b), arcOf(x1, y1, r1, a+b, a+360-b)...)...)
}

func disc(x, y, r float64) []plane.Point { return ring(arcOf(x, y, r, 0, 359.9)...) }

// TestShapes paints simple shapes with an ideal round brush and has pixels
// compare what is painted with what was drawn.
func TestShapes(t *testing.T) {
	star := ring(0, 20, -4.5, 6.2, -19, 6.2, -7.3, -2.4, -11.8, -16.2, 0, -7.6, 11.8, -16.2, 7.3, -2.4, 19, 6.2, 4.5, 6.2)
	for _, tt := range []struct {
		name                string
		widest, px          float64
		rings               [][]plane.Point
		mains, corner, lane int
		coverage, spill     float64
	}{
		// Shapes that the brush paints along their axis. A stroke with two ends
		// is one gesture, whatever its ends are.
		{"round ends", 8, 0.02, [][]plane.Point{capsule(0, 5, 2, 12, 5, 2)}, 1, 0, 0, 0.999, 0.001},
		{"unequal round ends", 11, 0.02, [][]plane.Point{capsule(0, 0, 5, 12, 0, 2)}, 1, 0, 0, 0.999, 0.001},
		{"pointed ends", 8, 0.02, [][]plane.Point{ring(0, 0, 10, -1, 20, 0, 10, 1)}, 1, 0, 0, 0.999, 0.001},
		{"square ends", 8, 0.02, [][]plane.Point{ring(0, 0, 20, 0, 20, 6, 0, 6)}, 1, 4, 0, 0.999, 0.001},
		{"slanted ends", 8, 0.02, [][]plane.Point{ring(0, 0, 20, 0, 24, 4, 4, 4)}, 1, 2, 0, 0.999, 0.001},
		{"one end pointed, one square", 8, 0.02, [][]plane.Point{ring(0, 0, 20, 2, 0, 4)}, 1, 2, 0, 0.999, 0.001},
		{"house", 8, 0.02, [][]plane.Point{ring(0, 0, 20, 0, 22, 2, 20, 4, 0, 4)}, 1, 4, 0, 0.999, 0.001},
		{"bent", 8, 0.02, [][]plane.Point{ring(0, 0, 12, 0, 12, 4, 4, 4, 4, 12, 0, 12)}, 1, 5, 0, 0.999, 0.001},
		{"square", 8, 0.02, [][]plane.Point{ring(0, 0, 4, 0, 4, 4, 0, 4)}, 1, 2, 0, 0.999, 0.001},
		{"dot", 8, 0.02, [][]plane.Point{disc(0, 0, 3)}, 1, 0, 0, 0.999, 0.001},
		{"ring", 8, 0.02, [][]plane.Point{disc(0, 0, 10), disc(0, 0, 6)}, 1, 0, 0, 0.999, 0.001},
		{"tee", 8, 0.02, [][]plane.Point{ring(-8, 0, -1, 0, -1, -8, 1, -8, 1, 0, 8, 0, 8, 2, -8, 2)}, 2, 6, 0, 0.999, 0.001},
		{"cross", 8, 0.02, [][]plane.Point{ring(-1, -1, -1, -6, 1, -6, 1, -1, 6, -1, 6, 1, 1, 1, 1, 6, -1, 6, -1, 1, -6, 1, -6, -1)}, 2, 8, 0, 0.999, 0.001},
		// Wider than the brush.
		{"wide disc", 2.4, 0.05, [][]plane.Point{disc(0, 0, 20)}, 0, 0, 10, 0.998, 0.002},
		{"wide square", 2.4, 0.05, [][]plane.Point{ring(0, 0, 20, 0, 20, 20, 0, 20)}, 0, 4, -1, 0.998, 0.002},
		{"wide star", 2.4, 0.05, [][]plane.Point{star}, 5, 0, -1, 0.998, 0.002},
		{"wide ring", 2.4, 0.05, [][]plane.Point{disc(0, 0, 20), disc(0, 0, 10)}, 0, 0, -1, 0.998, 0.002},
		{"a little too wide", 2.4, 0.02, [][]plane.Point{capsule(0, 0, 1.21, 12, 0, 1.21)}, 1, 0, 0, 0.98, 0.001}, // 0.01 mm bare along the edge is within the tolerance,
		{"wide in the middle", 2.4, 0.02, [][]plane.Point{ring(0, 0, 10, -2, 20, 0, 10, 2)}, 2, 2, -1, 0.998, 0.002},
	} {
		t.Run(tt.name, func(t *testing.T) {
			touched := [3]int{tt.mains, tt.corner, tt.lane}
			joined := [3]int{tt.mains, 0, tt.lane} // lanes take in the corners on their way
			if tt.lane == 0 {
				joined[0] = 1 // one contact
			}
			for corners, want := range map[model.Cornering][3]int{model.Touch: touched, model.Joined: joined} {
				l := layerWith(0, tt.widest)
				l.Corners = corners
				drawn, p := planTurned(t, tt.rings, l, want)
				v := judge(drawn.Regions, p.Gestures, widthOf(l), tt.px)
				if v.coverage < tt.coverage || v.spill > tt.spill || v.p99 > max(0.02, tt.px)+1e-9 || v.worst > max(0.04, 1.5*tt.px) {
					t.Errorf("%+v", v)
				}
			}
		})
	}
}

// planTurned plans a shape as drawn, where much lies along the axes and on one
// circle, and turned, where nothing does: there pixels along an edge tell true.
// want is the number of strokes, corners and lanes; -1 is any number of lanes
// but none.
func planTurned(t *testing.T, rings [][]plane.Point, l *model.Layer, want [3]int) (drawn *region.Result, p *stroke.Plan) {
	for _, angle := range []float64{0, 0.3} {
		drawn = regionsOf(turned(rings, angle)...)
		p = plan(t, stroke.Drawn{Closed: drawn}, l)
		got := [3]int{p.Count(stroke.Main), p.Count(stroke.Corner), p.Count(stroke.Lane)}
		anyLanes := want[2] < 0 && got[2] > 0
		if got[0] != want[0] || got[1] != want[1] || got[2] != want[2] && !anyLanes {
			t.Errorf("corners %v: strokes, corners, lanes %v; want %v", l.Corners, got, want)
		}
		if len(p.Remarks) > 0 || p.Painted() != drawn.Drawn() || p.UnpaintedShapes > 0 || p.Shapes != 1 {
			t.Errorf("remarks %v, painted %g of %g, bare %d of %d", p.Remarks, p.Painted(), drawn.Drawn(), p.UnpaintedShapes, p.Shapes)
		}
		pressed(t, p, l)
	}
	return drawn, p
}

// turned turns rings by an angle in radians.
func turned(rings [][]plane.Point, angle float64) [][]plane.Point {
	s, c := math.Sincos(angle)
	out := make([][]plane.Point, len(rings))
	for i, r := range rings {
		for _, p := range r {
			x, y := p.MM()
			out[i] = append(out[i], plane.At(c*x-s*y, s*x+c*y))
		}
	}
	return out
}

// pressed checks what no gesture may do.
func pressed(t interface{ Fatalf(string, ...any) }, p *stroke.Plan, l *model.Layer) {
	for _, g := range p.Gestures {
		if len(g.Points) == 0 {
			t.Fatalf("a gesture without points")
		}
		for i, q := range g.Points {
			if !(q.Press >= 0 && q.Press <= l.Brush.SafePress) {
				t.Fatalf("pressed %g mm", q.Press)
			}
			if i > 0 && q == g.Points[i-1] {
				t.Fatalf("point %v twice", q)
			}
		}
	}
}

// TestWideChoices fills shapes wider than the brush in every way that a recipe
// can choose; pixels compare what is painted with what was drawn, and no mark is
// wider than the margin lets it.
func TestWideChoices(t *testing.T) {
	star := ring(0, 20, -4.5, 6.2, -19, 6.2, -7.3, -2.4, -11.8, -16.2, 0, -7.6, 11.8, -16.2, 7.3, -2.4, 19, 6.2, 4.5, 6.2)
	shapes := map[string][][]plane.Point{
		"disc": {disc(0, 0, 20)}, "square": {ring(0, 0, 40, 0, 40, 40, 0, 40)}, "star": {star}, "ring": {disc(0, 0, 20), disc(0, 0, 11)},
	}
	for name, rings := range shapes {
		drawn := regionsOf(rings...)
		for _, lanes := range []model.Lanes{model.Follow, model.Straight, model.Both} {
			for _, margin := range []float64{0, 0.4} {
				l := layerWith(0, 2.4)
				l.Lanes, l.LaneAngle, l.LaneMargin = lanes, 30, margin
				p := plan(t, stroke.Drawn{Closed: drawn}, l)
				pressed(t, p, l)
				if widest := widestOf(p); math.Abs(widest-(2.4-margin)) > 1e-6 || p.Count(stroke.Lane) == 0 {
					t.Errorf("%s, %v, margin %g: %d lanes, the widest mark %g mm", name, lanes, margin, p.Count(stroke.Lane), widest)
				}
				if v := judge(drawn.Regions, p.Gestures, widthOf(l), 0.05); v.coverage < 0.998 || v.spill > 0.002 || v.worst > 0.08 {
					t.Errorf("%s, %v, margin %g: %+v", name, lanes, margin, v)
				}
			}
		}
	}
}

// widestOf is the width of a plan's widest mark in mm.
func widestOf(p *stroke.Plan) float64 {
	widest := 0.0
	for _, g := range p.Gestures {
		for _, q := range g.Points {
			widest = max(widest, q.Width)
		}
	}
	return widest
}

// TestHatching: straight lanes at an angle, and one around them.
func TestHatching(t *testing.T) {
	for _, angle := range []float64{0, 45, 90, 100} {
		l := layerWith(0, 2.4)
		l.Lanes, l.LaneAngle = model.Straight, angle
		drawn := regionsOf(disc(30, 30, 20), disc(35, 30, 7))
		p := plan(t, stroke.Drawn{Closed: drawn}, l)
		straight, round := 0, 0
		for _, g := range p.Gestures {
			a, b := g.Points[0], g.Points[len(g.Points)-1]
			if g.Kind != stroke.Lane || len(g.Points) > 2 {
				round++
				continue
			}
			straight++
			way := math.Atan2(float64(b.Y-a.Y), float64(b.X-a.X)) * 180 / math.Pi
			if off := math.Mod(way-angle+720, 180); off > 0.5 && off < 179.5 {
				t.Errorf("angle %g: a lane runs at %g degrees", angle, way)
			}
		}
		if straight < 20 || round != 2 {
			t.Errorf("angle %g: %d straight lanes, %d round ones", angle, straight, round)
		}
		if v := judge(drawn.Regions, p.Gestures, widthOf(l), 0.05); v.coverage < 0.998 || v.spill > 0.002 || v.worst > 0.08 {
			t.Errorf("angle %g: %+v", angle, v)
		}
	}
}

func TestThinPlaces(t *testing.T) {
	// 20 mm long; the width falls from 2 mm to 0.1 mm at one end.
	taper := ring(0, 0, 20, 0.95, 20, 1.05, 0, 2)
	hair := ring(0, 10, 30, 10, 30, 10.1, 0, 10.1)
	speck := ring(50, 50, 50.01, 50, 50.01, 50.01)
	flat := ring(60, 60, 70, 60)
	for _, hairlines := range []bool{false, true} {
		l := layerWith(0.4, 4)
		l.Hairlines, l.Brush.Thinnest = hairlines, 0.6
		drawn := regionsOf(taper, hair, speck, flat)
		p := plan(t, stroke.Drawn{Closed: drawn}, l)
		got := ""
		for _, r := range p.Remarks {
			got += fmt.Sprintf("%d %v %.1f mm %.2f wide; ", r.Shape, r.Reason, r.Length, r.Width)
		}
		// Of the taper the last (0.4-0.1)/(2-0.1)*20 = 3.2 mm are too thin, and
		// the branches into the two corners of its end.
		want := "0 too thin 3.8 mm 0.25 wide; 1 too thin 30.2 mm 0.10 wide; 2 too small 0.0 mm 0.01 wide; 3 too small 0.0 mm 0.00 wide; "
		bare, refused := 3, drawn.Shapes[1].Area+0.25*3.2
		if hairlines {
			want = "0 too thin 3.8 mm 0.25 wide; 0 not promised 5.2 mm 0.35 wide; 1 too thin 30.2 mm 0.10 wide; 1 not promised 29.9 mm 0.10 wide; 2 too small 0.0 mm 0.01 wide; 3 too small 0.0 mm 0.00 wide; "
			bare, refused = 2, 0
		}
		if got != want {
			t.Errorf("hairlines %v:\n%s, want\n%s", hairlines, got, want)
		}
		if p.Shapes != 4 || p.UnpaintedShapes != bare {
			t.Errorf("hairlines %v: %d of %d shapes are bare, want %d", hairlines, p.UnpaintedShapes, p.Shapes, bare)
		}
		if r := p.Refused[stroke.TooThin]; math.Abs(r-refused) > 0.1 {
			t.Errorf("hairlines %v: %g mm² refused, want about %g", hairlines, r, refused)
		}
		pressed(t, p, l)
		for _, g := range p.Gestures {
			for _, q := range g.Points {
				if g.Shape == 1 && q.Press != 0 {
					t.Errorf("a hairline is pressed %g mm", q.Press)
				}
			}
		}
	}
}

// TestHairlineEndsWhereTheShapeDoes: the round mark of the lightest touch does
// not overshoot the tip.
func TestHairlineEndsWhereTheShapeDoes(t *testing.T) {
	l := layerWith(0.4, 4)
	p := plan(t, stroke.Drawn{Closed: regionsOf(ring(0, 0, 20, 1, 0, 2))}, l)
	most := 0.0
	for _, g := range p.Gestures {
		for _, q := range g.Points {
			most = max(most, plane.MM(q.X)+q.Width/2)
		}
	}
	if most < 19.9 || most > 20.02 {
		t.Errorf("the mark ends at %g mm, the shape at 20", most)
	}
}

func TestOverlappingShapesStayApart(t *testing.T) {
	l := layerWith(0, 8)
	p := plan(t, stroke.Drawn{Closed: regionsOf(ring(0, 4, 10, 4, 10, 6, 0, 6), ring(4, 0, 6, 0, 6, 10, 4, 10))}, l)
	if p.Count(stroke.Main) != 2 || p.Drawn != 40 {
		t.Errorf("%d strokes, %g mm²", p.Count(stroke.Main), p.Drawn)
	}
}

func TestNoCurve(t *testing.T) {
	if _, problems := stroke.Make(stroke.Drawn{}, &model.Layer{Name: "reeds", Brush: &model.Brush{}}, stroke.Options{}); len(problems) != 1 || problems[0].Code != "no-brush-curve" {
		t.Errorf("%v", problems)
	}
}

// scribble draws rings of a few corners anywhere on 40 mm.
var scribble = rapid.Custom(func(t *rapid.T) []plane.Point {
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) plane.Point {
		return plane.At(rapid.Float64Range(0, 40).Draw(t, "x"), rapid.Float64Range(0, 40).Draw(t, "y"))
	}), 3, 9).Draw(t, "points")
})

// TestAnyScribble paints random outlines that cross themselves and each other:
// all that was drawn is covered, nothing is spilt, no press is too deep, and
// the number of workers makes no difference.
func TestAnyScribble(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := layerWith(0, rapid.SampledFrom([]float64{1.5, 6, 60}).Draw(t, "widest"))
		l.Overlap = rapid.SampledFrom([]float64{0, 0.15, 0.6}).Draw(t, "overlap")
		l.Lanes = rapid.SampledFrom([]model.Lanes{model.Follow, model.Straight, model.Both}).Draw(t, "lanes")
		l.Corners = rapid.SampledFrom([]model.Cornering{model.Joined, model.Touch}).Draw(t, "corners")
		l.LaneMargin = rapid.SampledFrom([]float64{0, 0.3}).Draw(t, "margin")
		l.LaneAngle = rapid.SampledFrom([]float64{0, 90, 33, -120}).Draw(t, "angle")
		rings := rapid.SliceOfN(scribble, 1, 2).Draw(t, "rings")
		contours := make([]region.Contour, len(rings))
		for i := range rings {
			contours[i] = region.Contour{Identity: contour.Identity{Shape: i}, Points: rings[i]}
		}
		drawn, problems := region.Build(contours, region.Options{})
		if len(problems) > 0 {
			t.Fatalf("%v", problems)
		}
		p := plan(t, stroke.Drawn{Closed: drawn}, l)
		pressed(t, p, l)
		if p.Drawn != drawn.Drawn() || math.Abs(p.Painted()+p.Refused[stroke.TooSmall]+p.Refused[stroke.TooThin]-p.Drawn) > 1e-9 {
			t.Fatalf("drawn %g, painted %g, refused %v", p.Drawn, p.Painted(), p.Refused)
		}
		one, _ := stroke.Make(stroke.Drawn{Closed: drawn}, l, stroke.Options{Workers: 1})
		eight, _ := stroke.Make(stroke.Drawn{Closed: drawn}, l, stroke.Options{Workers: 8})
		if !reflect.DeepEqual(one, eight) || !reflect.DeepEqual(one, p) {
			t.Fatalf("one worker and eight make different plans")
		}
		for range 150 {
			x, y := rapid.Float64Range(-1, 41).Draw(t, "px"), rapid.Float64Range(-1, 41).Draw(t, "py")
			depth := depthIn(drawn.Regions, x, y)
			if off := offPaint(p.Gestures, widthOf(l), x, y); depth > 0.035 && off > 0 || depth < -0.035 && off < 0 {
				t.Fatalf("(%g, %g) lies %g mm inside the shape and %g mm off the paint", x, y, depth, off)
			}
		}
	})
}

// depthIn is how far (x, y) mm lies inside the nearest region, negative
// outside.
func depthIn(regions []region.Region, x, y float64) float64 {
	best := math.Inf(-1)
	for _, r := range regions {
		in, off := false, math.Inf(1)
		for _, ring := range r.Rings {
			for i, p := range ring {
				ax, ay := p.MM()
				bx, by := ring[(i+1)%len(ring)].MM()
				if (ay <= y) != (by <= y) && x < ax+(y-ay)*(bx-ax)/(by-ay) {
					in = !in
				}
				s := ((x-ax)*(bx-ax) + (y-ay)*(by-ay)) / ((bx-ax)*(bx-ax) + (by-ay)*(by-ay))
				s = math.Max(0, math.Min(1, s))
				off = math.Min(off, math.Hypot(ax+s*(bx-ax)-x, ay+s*(by-ay)-y))
			}
		}
		if !in {
			off = -off
		}
		best = math.Max(best, off)
	}
	return best
}

// offPaint is how far (x, y) mm lies off the marks of the gestures, negative
// on them. Between two points the middle of the mark and its width change
// evenly, so the distance to its rim is convex along the stretch: halving
// thirds finds the least.
func offPaint(gestures []stroke.Gesture, width func(float64) float64, x, y float64) float64 {
	best := math.Inf(1)
	for _, g := range gestures {
		for i := range g.Points {
			a := g.Points[max(i-1, 0)]
			b := g.Points[i]
			ra, rb := width(a.Press)/2, width(b.Press)/2
			ax, ay, bx, by := plane.MM(a.X), plane.MM(a.Y), plane.MM(b.X), plane.MM(b.Y)
			if math.Hypot(ax-x, ay-y)-math.Hypot(bx-ax, by-ay)-math.Max(ra, rb) > best {
				continue
			}
			rim := func(t float64) float64 {
				return math.Hypot(ax+t*(bx-ax)-x, ay+t*(by-ay)-y) - ra - t*(rb-ra)
			}
			lo, hi := 0.0, 1.0
			for range 60 {
				if m, n := lo+(hi-lo)/3, hi-(hi-lo)/3; rim(m) < rim(n) {
					hi = n
				} else {
					lo = m
				}
			}
			best = math.Min(best, rim(lo))
		}
	}
	return best
}

// TestRefusedAreBarePixels: what is refused as too thin is what pixels find
// bare.
func TestRefusedAreBarePixels(t *testing.T) {
	for _, tt := range []struct {
		name string
		ring []plane.Point
	}{
		{"wedge", ring(0, 0, 20, 1, 0, 2)},
		{"sharp wedge", ring(0, 0, 30, 0.4, 0, 0.8)},
		{"blunt wedge", ring(0, 0, 3, 3, 0, 6)},
		{"taper", ring(0, 0, 20, 0.95, 20, 1.05, 0, 2)},
		{"waist", ring(0, 0, 10, 0.9, 20, 0, 20, 2, 10, 1.1, 0, 2)},
		{"star", ring(0, 4, -0.4, 0.6, -4, 0, -0.4, -0.6, 0, -4, 0.4, -0.6, 4, 0, 0.4, 0.6)},
		{"tail with a round end", append(ring(0, 0, 12, 0.9), append(ring(12.07, 0.93, 12.1, 1, 12.07, 1.07), ring(12, 1.1, 0, 2)...)...)},
		// Thin branches meet before they reach an axis that is painted.
		{"teeth", ring(0, 0, 3.5, 0, 3.5, 2.2, 2.625, 3.2, 1.75, 2.2, 0.875, 3.2, 0, 2.2)},
		{"hook", ring(0, 0, 8, 0.8, 8.1, -5, 8.2, 1.2, 0, 2)},
	} {
		l := layerWith(0.5, 8)
		if tt.name == "teeth" {
			l, l.Tolerance = layerWith(2, 6), 0.005
		}
		l.Hairlines = false
		drawn := regionsOf(turned([][]plane.Point{tt.ring}, 0.3)...)
		p := plan(t, stroke.Drawn{Closed: drawn}, l)
		v := judge(drawn.Regions, p.Gestures, widthOf(l), 0.005)
		refused, found := p.Refused[stroke.TooThin], (1-v.coverage)*p.Drawn
		t.Logf("%s: %.4f mm² refused, %.4f bare", tt.name, refused, found)
		if refused == 0 || math.Abs(refused-found) > 0.02*refused+0.005 {
			t.Errorf("%s: %.4f mm² refused, %.4f mm² bare", tt.name, refused, found)
		}
	}
}
