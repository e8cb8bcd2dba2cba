package cutting_test

import (
	"math"
	"testing"

	"github.com/peterstace/simplefeatures/geom"
	"pgregory.net/rapid"

	"mahlstick/runner/contour"
	"mahlstick/runner/cutting"
	"mahlstick/runner/drawing"
	"mahlstick/runner/vector"
)

func xy(x, y float64) vector.XY { return vector.XY{X: x, Y: y} }

func rect(x0, y0, x1, y1 float64) []vector.XY {
	return []vector.XY{xy(x0, y0), xy(x1, y0), xy(x1, y1), xy(x0, y1)}
}

func circle(x, y, r float64, n int) []vector.XY {
	var out []vector.XY
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		out = append(out, xy(x+r*c, y+r*s))
	}
	return out
}

func areaOf(points []vector.XY) float64 {
	sum := 0.0
	for i, p := range points {
		sum += p.Cross(points[(i+1)%len(points)]) / 2
	}
	return sum
}

// total is the area of contours as they are by the non-zero rule, holes
// clockwise.
func total(list []cutting.Contour) float64 {
	sum := 0.0
	for _, c := range list {
		sum += areaOf(c.Points)
	}
	return sum
}

func cutAll(t interface{ Fatal(...any) }, list []cutting.Contour, clips ...*drawing.Clip) cutting.Result {
	for i := range list {
		list[i].Clips, list[i].Shape = clips, i
	}
	out, ok := cutting.Cut(list, cutting.Options{})
	if !ok {
		t.Fatal("too tangled")
	}
	return out
}

func shape(group int, rule contour.FillRule, rings ...[]vector.XY) []cutting.Contour {
	var out []cutting.Contour
	for _, r := range rings {
		out = append(out, cutting.Contour{Identity: contour.Identity{Group: group, Rule: rule}, Points: r, Closed: true})
	}
	return out
}

// Areas against closed forms: a disc less half, a ring whose hole stays a hole, a
// clip within a hole, outlines that only nesting makes holes, and two clips.
func TestCutShapes(t *testing.T) {
	const n = 720
	disc := float64(n) / 2 * math.Sin(2*math.Pi/n) // area of the polygon in the unit circle
	left := drawing.ClipToBox(vector.Box{Min: xy(-50, -50), Max: xy(0, 50)})
	small := drawing.ClipToBox(vector.Box{Min: xy(-1, -1), Max: xy(1, 1)})
	round := &drawing.Clip{Shapes: []drawing.ClipShape{{Rings: [][]vector.XY{circle(0, 0, 5, n)}, Rule: contour.NonZero}}}
	ringClip := &drawing.Clip{Shapes: []drawing.ClipShape{{Rings: [][]vector.XY{circle(0, 0, 5, n), circle(0, 0, 3, n)}, Rule: contour.EvenOdd}}}
	twoDiscs := &drawing.Clip{Shapes: []drawing.ClipShape{{Rings: [][]vector.XY{circle(0, 0, 5, n)}, Rule: contour.NonZero}, {Rings: [][]vector.XY{circle(0, 0, 3, n)}, Rule: contour.NonZero}}}
	for name, c := range map[string]struct {
		drawn []cutting.Contour
		clips []*drawing.Clip
		want  float64
	}{
		"half a disc":            {shape(1, contour.NonZero, circle(0, 0, 10, n)), []*drawing.Clip{left}, 50 * disc},
		"half a ring":            {shape(1, contour.EvenOdd, circle(0, 0, 10, n), circle(0, 0, 4, n)), []*drawing.Clip{left}, 42 * disc},
		"half a ring by nesting": {shape(0, contour.Unstated, circle(0, 0, 10, n), circle(0, 0, 4, n)), []*drawing.Clip{left}, 42 * disc},
		"within a hole":          {shape(0, contour.Unstated, circle(0, 0, 10, n), circle(0, 0, 4, n)), []*drawing.Clip{small}, 0},
		"within a hole, by rule": {shape(1, contour.EvenOdd, circle(0, 0, 10, n), circle(0, 0, 4, n)), []*drawing.Clip{small}, 0},
		"island in the hole":     {shape(0, contour.Unstated, circle(0, 0, 10, n), circle(0, 0, 4, n), circle(0, 0, 2, n)), []*drawing.Clip{left}, 44 * disc},
		"round clip":             {shape(1, contour.NonZero, rect(-9, -9, 9, 9)), []*drawing.Clip{round}, 25 * disc},
		"clip with a hole":       {shape(1, contour.NonZero, rect(-9, -9, 9, 9)), []*drawing.Clip{ringClip}, 16 * disc},
		"clip of two shapes":     {shape(1, contour.NonZero, rect(-9, -9, 9, 9)), []*drawing.Clip{twoDiscs}, 25 * disc},
		"two clips":              {shape(1, contour.NonZero, rect(-9, -9, 9, 9)), []*drawing.Clip{round, left}, 12.5 * disc},
		"within a round clip":    {shape(1, contour.NonZero, rect(-2, -2, 2, 2)), []*drawing.Clip{round}, 16},
		"far beyond the sheet":   {shape(1, contour.NonZero, rect(-5e5, -5e5, 5e5, 5e5)), []*drawing.Clip{small}, 4},
		"two squares, each cut":  {append(shape(1, contour.NonZero, rect(-9, -9, 9, 9)), shape(2, contour.NonZero, rect(-9, 20, 9, 30))...), []*drawing.Clip{left}, 162 + 90},
	} {
		got := cutAll(t, c.drawn, c.clips...)
		if a := total(got.Contours); math.Abs(a-c.want) > 0.01 {
			t.Errorf("%s: %.4f mm² are left, want %.4f", name, a, c.want)
		}
		if c.want == 0 && (got.Gone == 0 || len(got.Contours) > 0) {
			t.Errorf("%s: %+v", name, got)
		}
	}
}

// star is a simple polygon around a point.
func star(r *rapid.T, label string, least, most float64) []vector.XY {
	n := rapid.IntRange(3, 40).Draw(r, label+" corners")
	x, y := rapid.Float64Range(-30, 30).Draw(r, label+" x"), rapid.Float64Range(-30, 30).Draw(r, label+" y")
	var out []vector.XY
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * (float64(i) + 0.3) / float64(n))
		d := rapid.Float64Range(least, most).Draw(r, label+" distance")
		out = append(out, xy(x+d*c, y+d*s))
	}
	return out
}

func polygon(rings ...[]vector.XY) geom.Geometry {
	var lines []geom.LineString
	for _, ring := range rings {
		var flat []float64
		for _, p := range append(ring[:len(ring):len(ring)], ring[0]) {
			flat = append(flat, p.X, p.Y)
		}
		lines = append(lines, geom.NewLineString(geom.NewSequence(flat, geom.DimXY)))
	}
	return geom.NewPolygon(lines).AsGeometry()
}

// What is left of any shape with a hole has the area of the intersection that a
// library of another kind finds, to the rounding of the grid along its edges.
func TestCutAreaProperty(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		outer := star(r, "outer", 5, 40)
		hole := make([]vector.XY, len(outer))
		centre := vector.XY{}
		for _, p := range outer {
			centre = centre.Plus(p.Times(1 / float64(len(outer))))
		}
		k := rapid.Float64Range(0.1, 0.6).Draw(r, "hole")
		holed := rapid.Bool().Draw(r, "holed") && len(outer) > 6
		for i, p := range outer {
			hole[i] = centre.Toward(p, k)
		}
		rings := [][]vector.XY{outer}
		if holed && polygon(outer, hole).Validate() == nil {
			rings = append(rings, hole)
		}
		clip := star(r, "clip", 5, 40)
		if rapid.Bool().Draw(r, "upright") {
			b := vector.Bounds(clip)
			clip = rect(b.Min.X, b.Min.Y, b.Max.X, b.Max.Y)
		}
		rule, group := contour.EvenOdd, 1
		if rapid.Bool().Draw(r, "nested") {
			rule, group = contour.Unstated, 0
		}
		common, err := geom.Intersection(polygon(rings...), polygon(clip))
		if err != nil {
			r.Skip()
		}
		got := cutAll(r, shape(group, rule, rings...), &drawing.Clip{Shapes: []drawing.ClipShape{{Rings: [][]vector.XY{clip}, Rule: contour.NonZero}}})
		edges := 0.0
		for _, ring := range append(rings, clip) {
			for i, p := range ring {
				edges += vector.Distance(p, ring[(i+1)%len(ring)])
			}
		}
		left := total(got.Contours)
		if got.Cut+got.Gone == 0 { // kept as it was drawn
			left = polygon(rings...).Area()
		}
		if a := left; math.Abs(a-common.Area()) > 0.0002*edges {
			r.Fatalf("%.6f mm² are left, want %.6f", a, common.Area())
		}
	})
}

// The outline of a stroke covers what its discs sweep: areas against closed
// forms, and against pixels.
func TestOutline(t *testing.T) {
	area := func(c cutting.Contour) float64 {
		return total(cutAll(t, []cutting.Contour{c}, drawing.ClipToBox(vector.Box{Min: xy(-50, -50), Max: xy(0, 50)})).Contours)
	}
	line := func(widths []float64, points ...vector.XY) cutting.Contour {
		return cutting.Contour{Points: points, Widths: widths}
	}
	// Cut where it is two wide and goes straight on: 10 x 2 and half a disc.
	if got, want := area(line([]float64{2, 2}, xy(-10, 0), xy(10, 0))), 20+math.Pi/2; math.Abs(got-want) > 0.01 {
		t.Errorf("straight: %.4f, want %.4f", got, want)
	}
	// From 2 wide at -10 to 4 wide at 10, so 3 wide at 0; the tangents lean by
	// asin(1/20) and the disc's end is more than half by as much.
	sin := 1.0 / 20
	lean := math.Asin(sin)
	want := 0.0
	{ // by integration over x
		const steps = 200_000
		for i := range steps {
			x := -11 + 11*(float64(i)+0.5)/steps
			h := 0.0
			if touch := -10 - sin; x < touch {
				h = math.Sqrt(max(0, 1-(x+10)*(x+10)))
			} else {
				h = math.Cos(lean) + (x-touch)*math.Tan(lean)
			}
			want += 2 * h * 11 / steps
		}
	}
	if got := area(line([]float64{2, 4}, xy(-10, 0), xy(10, 0))); math.Abs(got-want) > 0.01 {
		t.Errorf("growing: %.4f, want %.4f", got, want)
	}
	closed := line([]float64{2, 2, 2, 2}, rect(-10, -10, 10, 10)...)
	closed.Closed = true
	// Half of a square frame of sides 20, 2 wide, with round corners.
	if got, want := area(closed), 80-2+math.Pi/2; math.Abs(got-want) > 0.01 {
		t.Errorf("frame: %.4f, want %.4f", got, want)
	}
}

// The outline of any stroke covers what pixels count.
func TestOutlineProperty(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		n := rapid.IntRange(2, 8).Draw(r, "points")
		var points []vector.XY
		var widths []float64
		even := rapid.Bool().Draw(r, "even")
		for range n {
			points = append(points, xy(rapid.Float64Range(-10, 10).Draw(r, "x"), rapid.Float64Range(-10, 10).Draw(r, "y")))
			widths = append(widths, rapid.Float64Range(0.5, 6).Draw(r, "width"))
			if even {
				widths[len(widths)-1] = widths[0]
			}
		}
		closed := n > 2 && rapid.Bool().Draw(r, "closed")
		clip := vector.Box{Min: xy(-6, -7), Max: xy(8, 5)}
		result := cutAll(r, []cutting.Contour{{Points: points, Widths: widths, Closed: closed}}, drawing.ClipToBox(clip))
		if result.Cut == 0 {
			return
		}
		got := total(result.Contours)
		const step = 0.1
		count := 0
		sin, cos := math.Sincos(0.5) // askew, or a straight side falls on a whole row
		for i := -300; i < 300; i++ {
			for j := -300; j < 300; j++ {
				p := xy(step*(cos*float64(i)-sin*float64(j)), step*(sin*float64(i)+cos*float64(j)))
				if clip.Holds(vector.Box{Min: p, Max: p}) && swept(p, points, widths, closed) {
					count++
				}
			}
		}
		want := float64(count) * step * step
		if math.Abs(got-want) > 0.3*float64(n)+0.01*want {
			r.Fatalf("%.3f mm², pixels count %.3f", got, want)
		}
	})
}

// swept reports whether a point lies in a disc that moves along a line: by the
// distance to 400 discs for each segment.
func swept(p vector.XY, points []vector.XY, widths []float64, closed bool) bool {
	last := len(points) - 1
	if closed {
		last++
	}
	for i := range last {
		j := (i + 1) % len(points)
		way, _ := vector.ToSegment(p, points[i], points[j])
		if way.Length() > max(widths[i], widths[j])/2 {
			continue
		}
		if widths[i] == widths[j] {
			return true
		}
		for k := range 401 {
			s := float64(k) / 400
			if vector.Distance(p, points[i].Toward(points[j], s)) <= (widths[i]+s*(widths[j]-widths[i]))/2 {
				return true
			}
		}
	}
	return false
}

// Lines are parted: what is left is as long as what lies within, and shorter by
// what the layer asks for at each cut end.
func TestCutLines(t *testing.T) {
	box := drawing.ClipToBox(vector.Box{Min: xy(0, 0), Max: xy(10, 10)})
	zigzag := []vector.XY{xy(-5, 5), xy(5, 5), xy(5, 15), xy(8, 15), xy(8, 5), xy(9, 5)}
	length := func(list []cutting.Contour) float64 {
		sum := 0.0
		for _, c := range list {
			for i := 1; i < len(c.Points); i++ {
				sum += vector.Distance(c.Points[i-1], c.Points[i])
			}
		}
		return sum
	}
	got := cutAll(t, []cutting.Contour{{Points: zigzag}}, box)
	if len(got.Contours) != 2 || math.Abs(length(got.Contours)-16) > 1e-9 || got.Cut != 1 {
		t.Errorf("%+v", got)
	}
	list := []cutting.Contour{{Points: zigzag, Clips: []*drawing.Clip{box}}}
	short, _ := cutting.Cut(list, cutting.Options{Shorten: func(*cutting.Contour, float64, float64) float64 { return 0.5 }})
	if math.Abs(length(short.Contours)-14.5) > 1e-9 {
		t.Errorf("%+v", short)
	}
	if gone := cutAll(t, []cutting.Contour{{Points: []vector.XY{xy(20, 0), xy(20, 5)}}}, box); gone.Gone != 1 || len(gone.Contours) > 0 {
		t.Errorf("%+v", gone)
	}
}

// What runs along the edge of a clip belongs to it, however it was rounded; what runs
// beside it does not.
func TestCutAlongEdge(t *testing.T) {
	triangle := &drawing.Clip{Shapes: []drawing.ClipShape{{Rings: [][]vector.XY{{xy(0, 0), xy(10, 0), xy(5, 8)}}, Rule: contour.NonZero}}}
	upright := drawing.ClipToBox(vector.Box{Min: xy(0, 0), Max: xy(10, 8)})
	for _, clip := range []*drawing.Clip{triangle, upright} {
		for _, c := range []struct {
			a, b vector.XY
			want float64
		}{
			{xy(0, 0), xy(10, 0), 10},
			{xy(0, -1e-13), xy(10, -1e-13), 10},
			{xy(0, -0.0001), xy(10, 1e-13), 10},
			{xy(-3, -1e-13), xy(12, -1e-13), 10},
			{xy(2, 1e-13), xy(7, -1e-13), 5},
			{xy(0, -0.01), xy(10, -0.01), 0},
			{xy(12, -1e-13), xy(14, -1e-13), 0},
		} {
			got := cutAll(t, []cutting.Contour{{Points: []vector.XY{c.a, c.b}}}, clip)
			length := 0.0
			for _, k := range got.Contours {
				length += vector.Distance(k.Points[0], k.Points[len(k.Points)-1])
			}
			if math.Abs(length-c.want) > 0.001 {
				t.Errorf("%v to %v: %v mm are left, not %v", c.a, c.b, length, c.want)
			}
		}
	}
}

// A line that meets the edge of a clip with a corner ends there like one that crosses
// it: shortened on both sides, wherever its points begin.
func TestCutAtCorners(t *testing.T) {
	box := drawing.ClipToBox(vector.Box{Min: xy(0, 0), Max: xy(10, 10)})
	within := []vector.XY{xy(0, 5), xy(10, 5)} // the rest lies outside
	loop := append(within, xy(15, 8), xy(15, 20), xy(-5, 20), xy(-5, 5))
	for turn := range loop {
		points := append(append([]vector.XY{}, loop[turn:]...), loop[:turn]...)
		for _, closed := range []bool{true, false} {
			if !closed && turn == 1 {
				continue // the line across the box is the one that is not there
			}
			list := []cutting.Contour{{Points: points, Closed: closed, Clips: []*drawing.Clip{box}}}
			got, _ := cutting.Cut(list, cutting.Options{Lines: true, Shorten: func(*cutting.Contour, float64, float64) float64 { return 0.5 }})
			want := 9.0
			if !closed && (turn == 0 || turn == 2) {
				want = 9.5 // it begins or ends at the edge of itself
			}
			if len(got.Contours) != 1 {
				t.Fatalf("from %d, closed %v: %+v", turn, closed, got)
			}
			p := got.Contours[0].Points
			if length := vector.Distance(p[0], p[len(p)-1]); math.Abs(length-want) > 1e-9 {
				t.Errorf("from %d, closed %v: %v mm are left, not %v", turn, closed, length, want)
			}
		}
	}
}

// A circle that touches the edges of a clip from inside stays whole, though its points
// were rounded.
func TestCutTouchingCircle(t *testing.T) {
	round := circle(5, 5, 5.0015, 90)
	for _, clip := range []*drawing.Clip{
		drawing.ClipToBox(vector.Box{Min: xy(0, 0), Max: xy(10, 10)}),
		{Shapes: []drawing.ClipShape{{Rings: [][]vector.XY{{xy(0, 0), xy(10, 0), xy(10, 10), xy(5, 11), xy(0, 10)}}, Rule: contour.NonZero}}},
	} {
		list := []cutting.Contour{{Points: round, Closed: true, Clips: []*drawing.Clip{clip}}}
		if got, _ := cutting.Cut(list, cutting.Options{Lines: true}); len(got.Contours) != 1 || got.Cut != 0 {
			t.Errorf("%d parts, %d cut", len(got.Contours), got.Cut)
		}
	}
}

// Outside agrees with the areas of what is left by cutting.
func TestOutside(t *testing.T) {
	box := vector.Box{Min: xy(0, 0), Max: xy(10, 10)}
	for _, c := range []struct {
		name           string
		of             cutting.Contour
		outside, whole float64
	}{
		{"within", cutting.Contour{Points: rect(1, 1, 5, 5), Closed: true}, 0, 16},
		{"half", cutting.Contour{Points: rect(-2, 1, 2, 5), Closed: true}, 8, 16},
		{"beside", cutting.Contour{Points: rect(12, 1, 14, 5), Closed: true}, 8, 8},
		{"a line across", cutting.Contour{Points: []vector.XY{xy(-5, 5), xy(5, 5)}, Widths: []float64{2, 2}}, 10, 20},
		{"a line along the edge", cutting.Contour{Points: []vector.XY{xy(0, 0), xy(10, 0)}, Widths: []float64{2, 2}}, 10, 20},
		{"a line without widths", cutting.Contour{Points: []vector.XY{xy(-5, 5), xy(5, 5)}}, 0, 0},
	} {
		outside, whole := c.of.Outside(box)
		if math.Abs(outside-c.outside) > 0.06*c.whole || math.Abs(whole-c.whole) > 1e-9 {
			t.Errorf("%s: %v of %v, not %v of %v", c.name, outside, whole, c.outside, c.whole)
		}
	}
}
