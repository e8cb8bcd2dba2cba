package covering

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/runner/contour"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
	"mahlstick/runner/register"
	"mahlstick/runner/stroke"
	"mahlstick/runner/vector"
)

// square is a square of a side (mm) with its lower left corner at x, y.
func square(x, y, side float64) []plane.Point {
	return []plane.Point{plane.At(x, y), plane.At(x+side, y), plane.At(x+side, y+side), plane.At(x, y+side)}
}

func cover(above int, later bool, points []plane.Point) register.Cover {
	return register.Cover{Contour: register.Contour{Identity: contour.Identity{Shape: above}, Points: points, Closed: true}, Later: later}
}

// cutSquares cuts squares, drawn in order, by covers.
func cutSquares(t *testing.T, shapes [][]plane.Point, covers []register.Cover, trap float64) (Drawn, Hidden) {
	t.Helper()
	var contours []region.Contour
	for i, s := range shapes {
		contours = append(contours, region.Contour{Identity: contour.Identity{Shape: i}, Points: s})
	}
	built, problems := region.Build(contours, region.Options{Strokes: true})
	if problems.HasErrors() {
		t.Fatal(problems)
	}
	list, problems := Covers(covers, region.Options{})
	if problems.HasErrors() {
		t.Fatal(problems)
	}
	drawn, hidden, problems := Cut(Drawn{Regions: built}, list, Options{Trap: trap, Tolerance: 0.02})
	if problems.HasErrors() {
		t.Fatal(problems)
	}
	return drawn, hidden
}

// Areas by closed form, in mm².
func TestCut(t *testing.T) {
	ten := square(0, 0, 10)
	quarter := math.Pi / 4
	for _, c := range []struct {
		name   string
		covers []register.Cover
		trap   float64
		want   float64
	}{
		{"nothing on it", nil, 0, 100},
		{"drawn before", []register.Cover{cover(0, false, square(0, 0, 5))}, 0, 100},
		{"on a corner", []register.Cover{cover(1, false, square(5, 5, 10))}, 0, 75},
		{"inside", []register.Cover{cover(1, false, square(4, 4, 2))}, 0, 96},
		{"two that overlap", []register.Cover{cover(1, false, square(5, 5, 10)), cover(1, false, square(4, 4, 4))}, 0, 75 - 7},
		{"all of it", []register.Cover{cover(1, false, square(-1, -1, 12))}, 0.5, 0},
		{"the same square", []register.Cover{cover(1, true, square(0, 0, 10))}, 0.5, 0},
		{"the same square, nearly", []register.Cover{cover(1, true, square(0.001, 0.001, 10))}, 0.5, 0},
		{"aside", []register.Cover{cover(1, false, square(10, 0, 10))}, 0.5, 100},
		// The square runs on by 1 mm, but only under what a later layer paints. A
		// convex corner of what shows is rounded under the cover.
		{"trap", []register.Cover{cover(1, true, square(5, -1, 20))}, 1, 60},
		{"trap at a corner", []register.Cover{cover(1, true, square(5, 5, 10))}, 1, 75 + 5 + 4},
		{"trap in a hole", []register.Cover{cover(1, true, square(3, 3, 4))}, 1, 84 + 12},
		{"no trap under paper", []register.Cover{cover(1, false, square(5, -1, 20))}, 1, 50},
		{"paper beside ink", []register.Cover{cover(1, false, square(5, -1, 6)), cover(1, true, square(5, 5, 6))}, 1, 50 + 5},
	} {
		drawn, hidden := cutSquares(t, [][]plane.Point{ten}, c.covers, c.trap)
		if got := drawn.Regions.Drawn(); math.Abs(got-c.want) > 0.01 {
			t.Errorf("%s: %.3f mm², want %.3f", c.name, got, c.want)
		}
		if math.Abs(hidden.Area-(100-c.want)) > 0.01 || (hidden.Whole == 1) != (c.want == 0) {
			t.Errorf("%s: hidden %+v", c.name, hidden)
		}
	}
	// Around a convex corner of what shows the trap is round.
	drawn, _ := cutSquares(t, [][]plane.Point{ten}, []register.Cover{cover(1, true, square(2, -1, 20)), cover(1, true, square(-1, 2, 20))}, 1)
	if want := 4 + 2 + 2 + quarter; math.Abs(drawn.Regions.Drawn()-want) > 0.01 {
		t.Errorf("a corner: %.3f mm², want %.3f", drawn.Regions.Drawn(), want)
	}
}

// A line is a band with round ends; under a cover it becomes the shape that shows.
func TestCutLines(t *testing.T) {
	line := stroke.OpenLine{Points: []plane.Point{plane.At(0, 0), plane.At(20, 0)}}
	wide, taper := line, line
	wide.Widths, taper.Widths = []float64{2, 2}, []float64{0, 2}
	covers, _ := Covers([]register.Cover{cover(1, true, square(10, -5, 30))}, region.Options{})
	cut := func(l stroke.OpenLine, trap float64) (Drawn, Hidden) {
		drawn, hidden, problems := Cut(Drawn{&region.Result{}, []stroke.OpenLine{l}}, covers, Options{Trap: trap, Tolerance: 0.02})
		if problems.HasErrors() {
			t.Fatal(problems)
		}
		return drawn, hidden
	}
	for _, c := range []struct {
		line stroke.OpenLine
		trap float64
		want float64
	}{{wide, 0, 20 + math.Pi/2}, {wide, 1, 22 + math.Pi/2}, {taper, 0, 5}} {
		drawn, hidden := cut(c.line, c.trap)
		if got := drawn.Regions.Drawn(); math.Abs(got-c.want) > 0.02 || len(drawn.Lines) > 0 || hidden.Shapes != 1 {
			t.Errorf("%.3f mm², want %.3f; %d lines, %+v", got, c.want, len(drawn.Lines), hidden)
		}
	}
	for trap, want := range map[float64]plane.Point{0: plane.At(10, 0), 1.5: plane.At(11.5, 0)} {
		drawn, _ := cut(line, trap)
		if len(drawn.Lines) != 1 || drawn.Lines[0].Points[len(drawn.Lines[0].Points)-1] != want {
			t.Errorf("trap %g: %v", trap, drawn.Lines)
		}
	}
	// One whose width the layer gives becomes a shape too, unless it is narrower than
	// what is left out.
	for width, want := range map[float64]float64{2: 20 + math.Pi/2, 0: 0, 0.03: 0} {
		opt := Options{Tolerance: 0.02, Width: func(*stroke.OpenLine) float64 { return width }}
		drawn, _, _ := Cut(Drawn{&region.Result{}, []stroke.OpenLine{line}}, covers, opt)
		if got := drawn.Regions.Drawn(); math.Abs(got-want) > 0.02 || len(drawn.Lines) == 0 != (want > 0) {
			t.Errorf("a width of %g from the layer: %.3f mm², want %.3f; %d lines", width, got, want, len(drawn.Lines))
		}
	}
	far := stroke.OpenLine{Points: []plane.Point{plane.At(0, 0), plane.At(5, 0)}, Widths: []float64{1, 1}}
	if drawn, hidden := cut(far, 0); len(drawn.Lines) != 1 || hidden != (Hidden{}) {
		t.Errorf("a line under nothing: %v", drawn)
	}
	// A line that covers.
	bar := register.Cover{Contour: register.Contour{Identity: contour.Identity{Shape: 1}, Points: []plane.Point{plane.At(5, -20), plane.At(5, 20)}, Widths: []float64{1, 1}}}
	if drawn, _ := cutSquares(t, [][]plane.Point{square(0, 0, 10)}, []register.Cover{bar}, 0); math.Abs(drawn.Regions.Drawn()-90) > 0.01 {
		t.Errorf("under a bar: %.3f mm²", drawn.Regions.Drawn())
	}
}

// randomRing has corners on a lattice, in any order: it may cross itself.
func randomRing(t *rapid.T, name string) []plane.Point {
	var ring []plane.Point
	for range rapid.IntRange(3, 8).Draw(t, name+" corners") {
		ring = append(ring, plane.Point{X: int32(rapid.IntRange(0, 40).Draw(t, "x")) * 2500, Y: int32(rapid.IntRange(0, 40).Draw(t, "y")) * 2500})
	}
	return ring
}

// Point by point: what is painted is what shows and, with a trap, what of the shape
// is near it under covers of later layers.
func TestCutEverywhere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shape := regionOf(randomRing(t, "shape"))
		if len(shape) == 0 {
			return
		}
		j := judge{t: t, whole: ringsOf(shape), covers: randomCovers(t), trap: rapid.SampledFrom([]float64{0, 0.3, 1}).Draw(t, "trap")}
		drawn, _, problems := Cut(Drawn{Regions: &region.Result{Regions: shape, Shapes: []region.Shape{{Area: area(shape), Regions: len(shape)}}}}, j.covers, Options{Trap: j.trap, Tolerance: 0.0002})
		if problems.HasErrors() {
			t.Fatal(problems)
		}
		j.painted = ringsOf(drawn.Regions.Regions)
		for range 40 {
			p := plane.Point{X: int32(rapid.IntRange(0, 100_000).Draw(t, "px")), Y: int32(rapid.IntRange(0, 100_000).Draw(t, "py"))}
			if !nearEdge(p, j.whole, j.covers) {
				j.point(p)
			}
		}
	})
}

func randomCovers(t *rapid.T) []Cover {
	var covers []Cover
	for i := range rapid.IntRange(1, 4).Draw(t, "covers") {
		covers = append(covers, Cover{above: 1, later: rapid.Bool().Draw(t, "later"), box: plane.Empty()})
		for _, r := range regionOf(randomRing(t, "cover")) {
			covers[i].rings = append(covers[i].rings, r.Rings...)
			covers[i].box = covers[i].box.Union(plane.Bounds(r.Rings[0]))
		}
	}
	return covers
}

// judge compares what is painted with what should be.
type judge struct {
	t              *rapid.T
	whole, painted [][]plane.Point
	covers         []Cover
	trap           float64
}

func (j *judge) shows(p plane.Point) bool {
	return windsAround(j.whole, p) && !slices.ContainsFunc(j.covers, func(c Cover) bool { return windsAround(c.rings, p) })
}

// farFromAll reports whether a point is farther than the trap from everything that
// shows, measured to its edges: a sample of points could miss a thin part.
func (j *judge) farFromAll(p plane.Point) bool {
	rings := slices.Clone(j.whole)
	for _, c := range j.covers {
		rings = append(rings, turned(c.rings)...)
	}
	shown, _ := region.Where(rings, 1)
	for _, ring := range ringsOf(shown) {
		for i, a := range ring {
			way, _ := vector.ToSegment(p.XY(), a.XY(), ring[(i+1)%len(ring)].XY())
			if way.Length() <= 1.01*j.trap*plane.PerMM {
				return false
			}
		}
	}
	return true
}

// within reports whether something shows within a share of the trap.
func (j *judge) within(p plane.Point, share float64) bool {
	return j.trap > 0 && anyWithin(p, share*j.trap*plane.PerMM, j.shows)
}

func (j *judge) point(p plane.Point) {
	inside, shows, got := windsAround(j.whole, p), j.shows(p), windsAround(j.painted, p)
	lasting := coveredFor(p, j.covers)
	switch {
	case shows && !got:
		j.t.Fatalf("%v shows and is not painted", p)
	case !inside && got:
		j.t.Fatalf("%v is painted outside the shape", p)
	case !shows && got && (lasting || j.farFromAll(p)):
		j.t.Fatalf("%v is painted and covered, trap %g", p, j.trap)
	case inside && !got && !lasting && j.within(p, 0.9):
		j.t.Fatalf("%v is within the trap %g and not painted", p, j.trap)
	}
}

func regionOf(ring []plane.Point) []region.Region {
	regions, _ := region.Where([][]plane.Point{ring}, 1)
	return regions
}

// coveredFor reports whether a point lies under a cover that no later layer paints.
func coveredFor(p plane.Point, covers []Cover) bool {
	for _, c := range covers {
		if !c.later && windsAround(c.rings, p) {
			return true
		}
	}
	return false
}

// nearEdge reports whether a point is so near to an edge that rounding may decide.
func nearEdge(p plane.Point, whole [][]plane.Point, covers []Cover) bool {
	rings := slices.Clone(whole)
	for _, c := range covers {
		rings = append(rings, c.rings...)
	}
	for _, ring := range rings {
		for i, a := range ring {
			if way, _ := vector.ToSegment(p.XY(), a.XY(), ring[(i+1)%len(ring)].XY()); way.Length() < 40 {
				return true
			}
		}
	}
	return false
}

// anyWithin looks for a point with a property within a radius.
func anyWithin(p plane.Point, radius float64, has func(plane.Point) bool) bool {
	for ring := 1; ring <= 12; ring++ {
		r := radius * float64(ring) / 12
		for k := range 48 {
			a := 2 * math.Pi * float64(k) / 48
			if has(plane.Point{X: p.X + int32(r*math.Cos(a)), Y: p.Y + int32(r*math.Sin(a))}) {
				return true
			}
		}
	}
	return false
}

// The area of a convex polygon grown by a radius is its area, its perimeter times the
// radius, and a disc (J. Steiner, 1840).
func TestGrownBySteiner(t *testing.T) {
	for _, radius := range []float64{0.1, 1, 7} {
		regions, ok := region.Where(grown([][]plane.Point{square(0, 0, 10)}, radius*plane.PerMM), 1)
		if want := 100 + 40*radius + math.Pi*radius*radius; !ok || math.Abs(area(regions)-want) > 0.002*radius*20 {
			t.Errorf("radius %g: %.4f mm², want %.4f", radius, area(regions), want)
		}
	}
}

func ExampleCut() {
	shape, _ := region.Build([]region.Contour{{Points: square(0, 0, 10)}}, region.Options{})
	covers, _ := Covers([]register.Cover{cover(1, true, square(5, 0, 10))}, region.Options{})
	for _, trap := range []float64{0, 0.5} {
		drawn, hidden, _ := Cut(Drawn{Regions: shape}, covers, Options{Trap: trap})
		fmt.Printf("%.1f mm² shows, %.1f mm² is hidden\n", drawn.Regions.Drawn(), hidden.Area)
	}
	// Output:
	// 50.0 mm² shows, 50.0 mm² is hidden
	// 55.0 mm² shows, 45.0 mm² is hidden
}
