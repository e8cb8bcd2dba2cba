package stroke

import (
	"math"
	"testing"

	"mahlstick/runner/plane"
)

// chords cuts a curve, given by its point and its curvature (1/mm) at u, into
// chords that leave it by no more than sag (mm), as drawings are read.
func chords(at func(u float64) (x, y float64), bend func(u float64) float64, from, to, sag float64) ([]plane.Point, []float64) {
	var points []plane.Point
	var us []float64
	add := func(u float64) {
		x, y := at(u)
		p := plane.At(x, y)
		if n := len(points); n == 0 || points[n-1] != p {
			points, us = append(points, p), append(us, u)
		}
	}
	u := from
	for u < to {
		add(u)
		// The chord's length for the greater curvature at its two ends.
		long := math.Sqrt(8 * sag / max(math.Abs(bend(u)), 1e-3))
		x, y := at(u)
		step := (to - from) / 4
		for {
			x2, y2 := at(u + step)
			k := max(math.Abs(bend(u)), math.Abs(bend(u+step)), math.Abs(bend(u+step/2)), 1e-3)
			if math.Hypot(x2-x, y2-y) <= min(long, math.Sqrt(8*sag/k)) {
				break
			}
			step *= 0.97
		}
		u += step
	}
	add(to)
	return points, us
}

// TestBendOfCurves compares the bend of a line that was read as chords with
// the curvature of the curve, by formula.
func TestBendOfCurves(t *testing.T) {
	circle := func(r float64) (func(float64) (float64, float64), func(float64) float64) {
		return func(u float64) (float64, float64) { s, c := math.Sincos(u); return 50 + r*c, 50 + r*s },
			func(float64) float64 { return 1 / r }
	}
	type curve struct {
		name     string
		at       func(float64) (float64, float64)
		bend     func(float64) float64
		from, to float64
		off      float64 // 1/mm
	}
	var all []curve
	for _, r := range []float64{1, 3, 6, 12, 18, 34, 200} {
		at, bend := circle(r)
		all = append(all, curve{"circle", at, bend, 0.3, 0.3 + min(5, 100/r), max(0.0025, 0.004/r)})
	}
	all = append(all,
		// An ellipse of axes a and b has curvature ab/(a² sin² + b² cos²)^1.5.
		curve{"ellipse", func(u float64) (float64, float64) { s, c := math.Sincos(u); return 20 * c, 12 * s },
			func(u float64) float64 {
				s, c := math.Sincos(u)
				return 240 / math.Pow(400*s*s+144*c*c, 1.5)
			}, 0, 6, 0.0025},
		// y = 3 sin(x/4): y" / (1+y'²)^1.5.
		curve{"sine", func(u float64) (float64, float64) { return u, 3 * math.Sin(u/4) },
			func(u float64) float64 {
				return -3. / 16 * math.Sin(u/4) / math.Pow(1+9./16*math.Pow(math.Cos(u/4), 2), 1.5)
			}, 0, 60, 0.033}, // at the inflections, its ends, chords are long
		// The parabola y = x²/20: 1/10 (1+x²/100)^-1.5.
		curve{"parabola", func(u float64) (float64, float64) { return u, u * u / 20 },
			func(u float64) float64 { return 0.1 / math.Pow(1+u*u/100, 1.5) }, -25, 25, 0.0015},
	)
	for _, c := range all {
		for _, sag := range []float64{0.0005, 0.001, 0.005} {
			points, us := chords(c.at, c.bend, c.from, c.to, sag)
			worst := worstBend(newTrack(points), us, c.bend)
			t.Logf("%s of %.3g 1/mm, sag %g: off by %.5f 1/mm", c.name, c.bend(c.from), sag, worst)
			if worst > c.off {
				t.Errorf("%s of %.3g 1/mm, sag %g: off by %.5f 1/mm", c.name, c.bend(c.from), sag, worst)
			}
		}
	}
}

// worstBend is by how much the bend of a track is off the curvature, at its
// points and at places between, whose parameters are us.
func worstBend(tr *track, us []float64, bend func(float64) float64) float64 {
	worst := 0.0
	for i, u := range us {
		for _, share := range []float64{0, 0.3, 0.5} {
			s := tr.from[i]
			if i+1 < len(us) {
				s += share * (tr.from[i+1] - s)
				u = us[i] + share*(us[i+1]-us[i])
			}
			if s < bendReach || s > tr.length-bendReach {
				continue // averaged over what lies inside
			}
			worst = max(worst, math.Abs(tr.bend(s)-bend(u)))
		}
	}
	return worst
}

// TestBendOfBalancedChords: a curve is read as chords that lie on either side
// of it, but begin and end on it; its bend does not show that.
func TestBendOfBalancedChords(t *testing.T) {
	for _, r := range []float64{2, 6, 12, 18, 30} {
		const sag = 0.001
		n := math.Ceil(2 * r / math.Sqrt(8*r*2*sag))
		var points []plane.Point
		for i := 0.0; i <= n; i++ {
			out := sag
			if i == 0 || i == n {
				out = 0
			}
			s, c := math.Sincos(0.2 + 2*i/n)
			points = append(points, plane.At(50+(r+out)*c, 50+(r+out)*s))
		}
		tr := newTrack(points)
		for s := 0.0; s <= tr.length; s += 200 {
			if b := tr.bend(s) * r; math.Abs(b-1) > 0.012 {
				t.Errorf("an arc of %g mm: bend %.4f times its own, %.2f mm along", r, b, s/plane.PerMM)
				break
			}
		}
	}
}

// TestBendOfCorners: straight lines do not bend, but for half a millimetre to
// either side of a corner; there the whole turn is counted.
func TestBendOfCorners(t *testing.T) {
	for _, degrees := range []float64{-120, -90, -20, 20, 45, 90, 150} {
		sin, cos := math.Sincos(degrees * math.Pi / 180)
		tr := newTrack([]plane.Point{plane.At(0, 0), plane.At(20, 0), plane.At(20+10*cos, 10*sin)})
		sum := 0.0
		const step = 0.01
		for s := 0.0; s < 30; s += step {
			b := tr.bend(s * plane.PerMM)
			if math.Abs(s-20) > 0.5 && b != 0 && math.Abs(b) > 1e-9 {
				t.Fatalf("a corner of %g degrees bends the line by %g at %g mm", degrees, b, s)
			}
			sum += b * step
		}
		if math.Abs(sum-degrees*math.Pi/180) > 0.01 {
			t.Errorf("a corner of %g degrees turns by %g", degrees, sum*180/math.Pi)
		}
	}
	for _, short := range [][]plane.Point{{plane.At(0, 0)}, {plane.At(0, 0), plane.At(9, 0)}, {plane.At(0, 0), plane.At(0.1, 0), plane.At(0.1, 0.0001)}} {
		if tr := newTrack(short); math.IsNaN(tr.bend(0)) || math.IsNaN(tr.bend(tr.length)) {
			t.Errorf("%v: no bend", short)
		}
	}
	// From a straight line into an arc without a corner: never beyond the
	// arc's own.
	points := []plane.Point{plane.At(0, 0)}
	for u := 0.0; u < 2; u += 0.05 {
		points = append(points, plane.At(20+10*math.Sin(u), 10-10*math.Cos(u)))
	}
	tr := newTrack(points)
	for s := 0.0; s < 38; s += 0.01 {
		if b := tr.bend(s * plane.PerMM); b < -1e-6 || b > 0.101 || s < 18 && b > 1e-9 || s > 22 && b < 0.099 {
			t.Fatalf("%g mm along a line that runs into an arc of 10 mm: bend %g", s, b)
		}
	}
}
