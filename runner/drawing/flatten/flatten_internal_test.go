package flatten

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/runner/drawing/affine"
	"mahlstick/runner/vector"
)

func near9(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %.12g, want %.12g", what, got, want)
	}
}

func newPen(tolerance float64) *Pen { return &Pen{Tolerance: tolerance, Room: 1 << 30} }

func nurbs(degree int, knots []float64, weights []float64, points ...vector.XY) *bspline {
	s := &bspline{degree: degree, knots: knots}
	for i, p := range points {
		w := 1.0
		if weights != nil {
			w = weights[i]
		}
		s.control = append(s.control, weighted{p.X * w, p.Y * w, w})
	}
	return s
}

// at evaluates the curve at u.
func (s *bspline) at(u float64) vector.XY {
	p, n := s.degree, len(s.control)
	i := p
	for i < n-1 && s.knots[i+1] <= u {
		i++
	}
	var d [maxDegree + 1]weighted
	copy(d[:p+1], s.control[i-p:i+1])
	for k := 1; k <= p; k++ {
		for m := p; m >= k; m-- {
			low, high := s.knots[i-p+m], s.knots[i+m-k+1]
			d[m] = mix(d[m-1], d[m], (u-low)/(high-low))
		}
	}
	return d[p].point()
}

// Source: L. Piegl, W. Tiller, The NURBS Book, example 2.3 (numbering from
// memory; values recomputed).
func TestBasisFunctions(t *testing.T) {
	want := []float64{0, 0, 1.0 / 8, 6.0 / 8, 1.0 / 8, 0, 0, 0}
	for i, w := range want {
		points := make([]vector.XY, len(want))
		points[i].X = 1
		s := nurbs(2, []float64{0, 0, 0, 1, 2, 3, 4, 4, 5, 5, 5}, nil, points...)
		near9(t, "basis function", s.at(2.5).X, w, 1e-12)
	}
}

// Source: The NURBS Book, example 4.1 (as above).
func TestRationalPoints(t *testing.T) {
	s := nurbs(2, []float64{0, 0, 0, 1, 2, 3, 3, 3}, []float64{1, 4, 1, 1, 1},
		vector.XY{X: 0, Y: 0}, vector.XY{X: 1, Y: 1}, vector.XY{X: 3, Y: 2}, vector.XY{X: 4, Y: 1}, vector.XY{X: 5, Y: -1})
	p := s.at(1)
	near9(t, "x at 1", p.X, 7.0/5, 1e-9)
	near9(t, "y at 1", p.Y, 6.0/5, 1e-9)
	p = s.at(1.5)
	near9(t, "x at 1.5", p.X, 2.363636364, 1e-9)
	near9(t, "y at 1.5", p.Y, 1.545454545, 1e-9)
}

// The circle of nine points. Source: The NURBS Book, chapter 7.
func circleOfNine() *bspline {
	h := math.Sqrt(0.5)
	return nurbs(2, []float64{0, 0, 0, 0.25, 0.25, 0.5, 0.5, 0.75, 0.75, 1, 1, 1}, []float64{1, h, 1, h, 1, h, 1, h, 1},
		vector.XY{X: 1, Y: 0}, vector.XY{X: 1, Y: 1}, vector.XY{X: 0, Y: 1}, vector.XY{X: -1, Y: 1}, vector.XY{X: -1, Y: 0}, vector.XY{X: -1, Y: -1}, vector.XY{X: 0, Y: -1}, vector.XY{X: 1, Y: -1}, vector.XY{X: 1, Y: 0})
}

func TestNurbsCircle(t *testing.T) {
	s := circleOfNine()
	for i := range 1001 {
		p := s.at(float64(i) / 1000)
		near9(t, "radius", math.Hypot(p.X, p.Y), 1, 1e-14)
	}
	p := s.at(0.125)
	near9(t, "angle at 1/8", math.Atan2(p.Y, p.X), math.Pi/4, 1e-14)
	p = s.at(0.1)
	near9(t, "x at 0.1", p.X, 0.81382604, 1e-8)
	near9(t, "y at 0.1", p.Y, 0.58110858, 1e-8)
	near9(t, "angle at 0.1", math.Atan2(p.Y, p.X)*180/math.Pi, 35.5286, 1e-4)

	// As flattened: all corners on the circle, chords within the tolerance.
	r := newPen(0.001)
	if !r.follow(s) || !Same(r.Points[0], r.Points[len(r.Points)-1]) {
		t.Fatal("the circle does not close")
	}
	for i, p := range r.Points {
		near9(t, "radius of a corner", math.Hypot(p.X, p.Y), 1, 1e-9)
		if i > 0 {
			q := r.Points[i-1]
			if m := math.Hypot((p.X+q.X)/2, (p.Y+q.Y)/2); m < 1-0.001 {
				t.Errorf("a chord is %g mm inside", 1-m)
			}
		}
	}
}

// The Bézier approximation of a quarter circle errs by at most 2.7253e-4 of
// the radius, outside. Closed form of the cubic with handles 4(√2-1)/3.
func TestBezierQuarter(t *testing.T) {
	k := 4 * (math.Sqrt2 - 1) / 3
	s := nurbs(3, []float64{0, 0, 0, 0, 1, 1, 1, 1}, nil, vector.XY{X: 1, Y: 0}, vector.XY{X: 1, Y: k}, vector.XY{X: k, Y: 1}, vector.XY{X: 0, Y: 1})
	largest, at := 0.0, 0.0
	for i := range 100_001 {
		u := float64(i) / 100_000
		p := s.at(u)
		e := math.Hypot(p.X, p.Y) - 1
		if e < -1e-12 {
			t.Fatalf("inside the circle at %v", u)
		}
		if u < 0.5 && e > largest {
			largest, at = e, u
		}
	}
	near9(t, "largest error", largest, 2.7253e-4, 1e-7)
	near9(t, "its parameter", at, 0.2113, 1e-4)
}

func pathLength(path []vector.XY) float64 {
	sum := 0.0
	for i := 1; i < len(path); i++ {
		sum += math.Hypot(path[i].X-path[i-1].X, path[i].Y-path[i-1].Y)
	}
	return sum
}

// Arc lengths in closed form: a parabola, and the cubic (0,0)(1,2)(3,2)(4,0).
// Chords within t of a curve are shorter by about 8t²/3 for each of theirs.
func TestSplineLength(t *testing.T) {
	for _, c := range []struct {
		s    *bspline
		want float64
	}{
		{nurbs(2, []float64{0, 0, 0, 1, 1, 1}, nil, vector.XY{X: 0, Y: 0}, vector.XY{X: 1, Y: 1}, vector.XY{X: 2, Y: 0}), math.Sqrt2 + math.Asinh(1)},
		{nurbs(3, []float64{0, 0, 0, 0, 1, 1, 1, 1}, nil, vector.XY{X: 0, Y: 0}, vector.XY{X: 1, Y: 2}, vector.XY{X: 3, Y: 2}, vector.XY{X: 4, Y: 0}), 5.2683655430},
	} {
		r := newPen(1e-8)
		r.follow(c.s)
		near9(t, "length", pathLength(r.Points), c.want, 1e-7)
	}
}

// Chord counts from the sagitta r(1 - cos(t/2)), closed form.
func TestChords(t *testing.T) {
	for _, c := range []struct {
		r    float64
		want int
	}{{50, 158}, {10, 71}, {1, 23}} {
		if got := chords(2*math.Pi, c.r, 0.01); got != c.want {
			t.Errorf("radius %v: %d chords, want %d", c.r, got, c.want)
		}
	}
}

// Source: DXF Reference, LWPOLYLINE code 42. Centre, radius and a point of
// the arc, recomputed in two ways.
func TestBulge(t *testing.T) {
	m := affine.Scale(1)
	for _, c := range []struct {
		q              vector.XYZ
		bulge          float64
		centre, passes vector.XY
		radius, sweep  float64
	}{
		{vector.XYZ{X: 10}, 1, vector.XY{X: 5, Y: 0}, vector.XY{X: 5, Y: -5}, 5, 180},
		{vector.XYZ{X: 10}, math.Tan(22.5 * math.Pi / 180), vector.XY{X: 5, Y: 5}, vector.XY{X: 5, Y: -2.0710678}, 7.0710678, 90},
		{vector.XYZ{X: 10}, 0.5, vector.XY{X: 5, Y: 3.75}, vector.XY{X: 5, Y: -2.5}, 6.25, 106.2602047},
		{vector.XYZ{X: 8}, 2, vector.XY{X: 4, Y: -3}, vector.XY{X: 4, Y: -8}, 5, 253.7397953},
		{vector.XYZ{X: 10}, -1, vector.XY{X: 5, Y: 0}, vector.XY{X: 5, Y: 5}, 5, -180},
	} {
		k, sweep := bulge(&m, vector.XYZ{}, c.q, c.bulge)
		near9(t, "centre x", k.centre.X, c.centre.X, 1e-7)
		near9(t, "centre y", k.centre.Y, c.centre.Y, 1e-7)
		near9(t, "radius", k.longAxis(), c.radius, 1e-7)
		near9(t, "sweep", sweep*180/math.Pi, c.sweep, 1e-7)
		p := k.at(sweep / 2)
		near9(t, "middle x", p.X, c.passes.X, 1e-7)
		near9(t, "middle y", p.Y, c.passes.Y, 1e-7)
	}
}

// Abramowitz, Stegun 17.3 (DLMF 19): the perimeter of the ellipse with half
// axes 10 and 5 is 4·10·E(0.75).
func TestEllipsePerimeter(t *testing.T) {
	r := newPen(1e-7)
	r.round(&conic{vector.XY{X: 100, Y: 100}, vector.XY{X: 10, Y: 0}, vector.XY{X: 0, Y: 5}}, 0)
	near9(t, "perimeter", pathLength(append(r.Points, r.Points[0])), 48.44224110, 1e-6)
}

// distanceTo is the distance of p from a polyline.
func distanceTo(p vector.XY, path []vector.XY) float64 {
	best := math.Inf(1)
	for i := 1; i < len(path); i++ {
		a, b := path[i-1], path[i]
		dx, dy := b.X-a.X, b.Y-a.Y
		q, s := dx*dx+dy*dy, 0.0
		if q > 0 {
			s = min(1, max(0, ((p.X-a.X)*dx+(p.Y-a.Y)*dy)/q))
		}
		best = min(best, math.Hypot(p.X-a.X-s*dx, p.Y-a.Y-s*dy))
	}
	return best
}

// Every point of a spline lies within the tolerance of its chords, whatever
// its degree, knots and weights.
func TestSplinesWithinTolerance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		degree := rapid.IntRange(1, 6).Draw(t, "degree")
		n := degree + 1 + rapid.IntRange(0, 6).Draw(t, "more")
		clamped := rapid.Bool().Draw(t, "clamped")
		s := &bspline{degree: degree}
		u := 0.0
		for i := range n + degree + 1 {
			inside := i > degree && i < n
			if clamped && inside || !clamped {
				u += rapid.Float64Range(0.01, 2).Draw(t, "step")
			} else if clamped && i == n {
				u += 1
			}
			s.knots = append(s.knots, u)
		}
		rational := rapid.Bool().Draw(t, "rational")
		for range n {
			w := 1.0
			if rational {
				w = rapid.Float64Range(0.2, 5).Draw(t, "weight")
			}
			x, y := rapid.Float64Range(-20, 20).Draw(t, "x"), rapid.Float64Range(-20, 20).Draw(t, "y")
			s.control = append(s.control, weighted{x * w, y * w, w})
		}
		tolerance := rapid.SampledFrom([]float64{0.001, 0.005}).Draw(t, "tolerance")
		r := newPen(tolerance)
		if !r.follow(s) {
			t.Fatal("the spline breaks off")
		}
		for i := range 60 {
			v := s.knots[degree] + (s.knots[n]-s.knots[degree])*float64(i)/59
			if i == 59 {
				v = math.Nextafter(s.knots[n], 0)
			}
			if d := distanceTo(s.at(v), r.Points); d > tolerance*1.01+1e-7 {
				t.Fatalf("%v mm off at %v", d, v)
			}
		}
	})
}

// Arcs and ellipses stay within the tolerance, and a whole turn has the area
// of its curve.
func TestConicsWithinTolerance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		axis := rapid.Float64Range(-50, 50)
		c := conic{u: vector.XY{X: axis.Draw(t, "ux"), Y: axis.Draw(t, "uy")}, v: vector.XY{X: axis.Draw(t, "vx"), Y: axis.Draw(t, "vy")}}
		tolerance := rapid.SampledFrom([]float64{0.001, 0.005}).Draw(t, "tolerance")
		start, sweep := rapid.Float64Range(-7, 7).Draw(t, "start"), rapid.Float64Range(-6.28, 6.28).Draw(t, "sweep")
		r := newPen(tolerance)
		r.to(c.at(start))
		r.sweep(&c, start, sweep)
		r.to(c.at(start + sweep))
		for i := range 40 {
			if d := distanceTo(c.at(start+sweep*float64(i)/39), r.Points); d > tolerance*1.0001+1e-9 {
				t.Fatalf("the curve is %v mm off", d)
			}
		}
		want := math.Pi * (c.u.X*c.v.Y - c.u.Y*c.v.X)
		if math.Abs(want) < 0.01 {
			return // nearly a line: its points do not tell their parameter
		}
		r = newPen(tolerance)
		r.round(&c, start)
		area := 0.0
		for i, p := range r.Points {
			q := r.Points[(i+1)%len(r.Points)]
			area += (p.X*q.Y - p.Y*q.X) / 2
			// Corners lie outside by at most two thirds of the tolerance.
			if d := distanceTo(vector.XY{X: (p.X + q.X) / 2, Y: (p.Y + q.Y) / 2}, turnOf(&c, p, q)); d > tolerance {
				t.Fatalf("a chord is %v mm off", d)
			}
		}
		if math.Abs(area-want) > 1e-6*math.Abs(want)+1e-9 {
			t.Fatalf("area %v, want %v", area, want)
		}
	})
}

// turnOf gives points of the conic near two of its corners.
func turnOf(c *conic, p, q vector.XY) []vector.XY {
	det := c.u.X*c.v.Y - c.u.Y*c.v.X
	angle := func(p vector.XY) float64 {
		x, y := p.X-c.centre.X, p.Y-c.centre.Y
		return math.Atan2((c.u.X*y-c.u.Y*x)/det, (x*c.v.Y-y*c.v.X)/det)
	}
	a, b := angle(p), angle(q)
	for b < a-math.Pi {
		b += 2 * math.Pi
	}
	for b > a+math.Pi {
		b -= 2 * math.Pi
	}
	out := make([]vector.XY, 21)
	for i := range out {
		out[i] = c.at(a + (b-a)*float64(i)/20)
	}
	return out
}

func TestSplineThroughPoints(t *testing.T) {
	// The parameter is the length of the chords, so points on a straight
	// line give a straight line whatever their distances.
	line := through([]vector.XY{{X: 0, Y: 0}, {X: 1, Y: 2}, {X: 4, Y: 8}, {X: 5, Y: 10}}, false, nil, nil)
	for _, b := range line {
		for _, p := range b {
			near9(t, "off the line", p.Y-2*p.X, 0, 1e-12)
		}
	}
	// A closed spline through the corners of a square turns a quarter at
	// each: by symmetry its tangents there are those of the circle.
	square := through([]vector.XY{{X: 1, Y: 0}, {X: 0, Y: 1}, {X: -1, Y: 0}, {X: 0, Y: -1}}, true, nil, nil)
	if len(square) != 4 {
		t.Fatalf("%d curves", len(square))
	}
	for _, b := range square {
		near9(t, "tangent", (b[1].X-b[0].X)*b[0].X+(b[1].Y-b[0].Y)*b[0].Y, 0, 1e-12)
		near9(t, "handles", math.Hypot(b[1].X-b[0].X, b[1].Y-b[0].Y), math.Hypot(b[3].X-b[2].X, b[3].Y-b[2].Y), 1e-12)
	}
	// First and second derivatives go on at every point.
	points := []vector.XY{{X: 0, Y: 0}, {X: 3, Y: 1}, {X: 4, Y: 5}, {X: 9, Y: 5}, {X: 9, Y: 0}}
	start := vector.XY{X: 0, Y: 1}
	curves := through(points, false, &start, nil)
	near9(t, "start direction", curves[0][1].X-curves[0][0].X, 0, 1e-12)
	for i := 1; i < len(curves); i++ {
		a, b := curves[i-1], curves[i]
		h := math.Hypot(points[i].X-points[i-1].X, points[i].Y-points[i-1].Y)
		k := math.Hypot(points[i+1].X-points[i].X, points[i+1].Y-points[i].Y)
		near9(t, "slope x", (a[3].X-a[2].X)/h, (b[1].X-b[0].X)/k, 1e-12)
		near9(t, "bend x", (a[1].X-2*a[2].X+a[3].X)/(h*h), (b[0].X-2*b[1].X+b[2].X)/(k*k), 1e-12)
		near9(t, "bend y", (a[1].Y-2*a[2].Y+a[3].Y)/(h*h), (b[0].Y-2*b[1].Y+b[2].Y)/(k*k), 1e-12)
	}
	last := curves[len(curves)-1]
	near9(t, "bend at the free end", last[1].X-2*last[2].X+last[3].X, 0, 1e-12)
}
