package proof

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// timeFrom is the time of a program's moves after it has stopped at a place.
func timeFrom(t *testing.T, timing Timing, from, text string) float64 {
	t.Helper()
	p := program(t, "%s\nG4 P0\n%s", from, text)
	sum, counts := 0.0, false
	for i, s := range p.Seconds(timing) {
		if counts {
			sum += s
		}
		counts = counts || p.Moves[i].Kind == Dwell
	}
	return sum
}

func axesOf(xFeed, yFeed, zFeed, xa, ya, za, corner float64) Timing {
	return Timing{Travel: 6000, Acceleration: 100, Corner: corner, Axes: [3]AxisMotion{{xFeed, xa}, {yFeed, ya}, {zFeed, za}}}
}

// Closed forms of trapezoids and triangles (L. Biagiotti, C. Melchiorri,
// Trajectory Planning for Automatic Machines and Robots, 2008, chapter 3; the
// numbers are worked out by hand), where an axis sets the pace.
func TestAxisTimes(t *testing.T) {
	alike := axesOf(3000, 3000, 600, 100, 100, 100, 0)
	unlike := axesOf(3000, 600, 300, 200, 50, 40, 0)
	for name, c := range map[string]struct {
		text   string
		timing Timing
		want   float64
	}{
		"trapezoid: d/v + v/a":            {"G1 X100 F900", alike, 100.0/15 + 0.15},
		"triangle: 2√(d/a)":               {"G1 X1 F900", alike, 0.2},
		"just reached":                    {"G1 X2.25 F900", alike, 0.3},
		"two axes share the way":          {"G1 X100 Y100 F6000", alike, 100.0/50 + 0.5},
		"Y is the slow one":               {"G1 X30 Y40 F6000", unlike, 40.0/10 + 10.0/50},
		"Y is slow, and never reaches it": {"G1 X0.3 Y0.4 F6000", unlike, 2 * math.Sqrt(0.4/50)},
		"X alone":                         {"G1 X100 F3000", unlike, 100.0/50 + 50.0/200},
		"Z alone":                         {"G1 Z20 F6000", unlike, 20.0/5 + 5.0/40},
		"Z holds up a slope":              {"G1 X100 Z10 F6000", unlike, 10.0/5 + 50.0/200},
		"a rapid at the travel feed":      {"G0 X500", axesOf(60000, 60000, 600, 100, 100, 100, 0), 500.0/100 + 1},
		"a rapid held up by X":            {"G0 X500", alike, 500.0/50 + 0.5},
		"stop at each corner":             {"G1 X100 F900\nY100", alike, 2 * (100.0/15 + 0.15)},
		"there and back":                  {"G1 X100 F900\nX0", axesOf(3000, 3000, 600, 100, 100, 100, 0.05), 2 * (100.0/15 + 0.15)},
		// The circle has R = 0.05 sin(45°) / (1 - sin(45°)) = 0.120711 mm; both axes
		// together pull with √2 times the acceleration of one.
		"round a corner": {"G1 X100 F900\nY100", axesOf(3000, 3000, 600, 100, 100, 100, 0.05),
			2 * trapezoid(100, 0, math.Sqrt(math.Sqrt2*100*0.05*math.Sqrt(0.5)/(1-math.Sqrt(0.5))), 15, 100)},
	} {
		t.Run(name, func(t *testing.T) {
			near(t, "seconds", timeFrom(t, c.timing, "G0 X0 Y0 Z0", c.text), c.want, 1e-9)
		})
	}
}

// A chain of short moves in a line takes as long as one move, also where the
// places are rounded to the decimals of a program and the feed is repeated.
func TestChainOfShortMoves(t *testing.T) {
	timing := axesOf(3000, 3000, 600, 150, 120, 80, 0.05)
	random := rand.New(rand.NewPCG(3, 9))
	for range 40 {
		x, y, z := 20+180*random.Float64(), 180*random.Float64(), 3*random.Float64()
		n := 5 + random.IntN(2000)
		var text strings.Builder
		for i := 1; i <= n; i++ {
			s := float64(i) / float64(n)
			fmt.Fprintf(&text, "G1 X%.3f Y%.3f Z%.3f F900\n", x*s, y*s, z*s)
		}
		one := timeFrom(t, timing, "G0 X0 Y0 Z0", fmt.Sprintf("G1 X%.3f Y%.3f Z%.3f F900", x, y, z))
		chain := timeFrom(t, timing, "G0 X0 Y0 Z0", text.String())
		if off := math.Abs(chain/one - 1); off > 0.001 {
			t.Errorf("%d moves to %.3f, %.3f, %.3f take %.6f s, one %.6f s: %.3f %% off", n, x, y, z, chain, one, 100*off)
		}
	}
}

// wayTime drives along a polyline in steps of a fixed length and integrates the
// time: forwards as fast as can be reached, backwards as fast as can be braked.
// It knows limits by place only; it shares no code with what it checks.
func wayTime(points []Point, feed, step, corner float64, accelerate, fastest [3]float64) float64 {
	parts := func(d Point) [3]float64 { return [3]float64{math.Abs(d.X), math.Abs(d.Y), math.Abs(d.Z)} }
	least := func(d Point, of [3]float64) float64 {
		v := math.Inf(1)
		for i, p := range parts(d) {
			if p > 0 {
				v = math.Min(v, of[i]/p)
			}
		}
		return v
	}
	var squares, lengths, rates []float64 // limits of v² at the nodes; of the steps: length and acceleration
	var before Point
	for i := 1; i < len(points); i++ {
		d := Point{points[i].X - points[i-1].X, points[i].Y - points[i-1].Y, points[i].Z - points[i-1].Z}
		length := math.Sqrt(d.X*d.X + d.Y*d.Y + d.Z*d.Z)
		u := Point{d.X / length, d.Y / length, d.Z / length}
		v := math.Min(feed, least(u, fastest))
		at := v * v
		if i == 1 {
			at = 0
		} else {
			// The corner by angles: q between the legs, the circle within both.
			q := math.Pi - math.Acos(math.Max(-1, math.Min(1, u.X*before.X+u.Y*before.Y+u.Z*before.Z)))
			near := math.Min(length, lengths[len(lengths)-1]*math.Round(float64(legSteps(points[i-2], points[i-1], step)))) / 2
			r := math.Min(corner*math.Sin(q/2)/(1-math.Sin(q/2)), near*math.Tan(q/2))
			in := Point{u.X - before.X, u.Y - before.Y, u.Z - before.Z}
			if size := math.Sqrt(in.X*in.X + in.Y*in.Y + in.Z*in.Z); size > 0 {
				at = math.Min(at, r*least(Point{in.X / size, in.Y / size, in.Z / size}, accelerate))
			}
			at = math.Min(at, squares[len(squares)-1])
			squares = squares[:len(squares)-1]
		}
		n := legSteps(points[i-1], points[i], step)
		squares = append(squares, at)
		for range n {
			lengths, rates = append(lengths, length/float64(n)), append(rates, least(u, accelerate))
			squares = append(squares, v*v)
		}
		before = u
	}
	squares[len(squares)-1] = 0
	for i := range lengths {
		squares[i+1] = math.Min(squares[i+1], squares[i]+2*rates[i]*lengths[i])
	}
	for i := len(lengths) - 1; i >= 0; i-- {
		squares[i] = math.Min(squares[i], squares[i+1]+2*rates[i]*lengths[i])
	}
	sum := 0.0
	for i, d := range lengths {
		sum += 2 * d / (math.Sqrt(squares[i]) + math.Sqrt(squares[i+1]))
	}
	return sum
}

func legSteps(a, b Point, step float64) int {
	return int(math.Ceil(math.Sqrt((a.X-b.X)*(a.X-b.X)+(a.Y-b.Y)*(a.Y-b.Y)+(a.Z-b.Z)*(a.Z-b.Z)) / step))
}

// Random paths take the time of a step-by-step integration within 0.5 %.
func TestTimeAgainstIntegration(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 77))
	worst := 0.0
	for trial := range 60 {
		corner := []float64{0, 0.02, 0.05, 0.2}[random.IntN(4)]
		a := [3]float64{40 + 300*random.Float64(), 40 + 300*random.Float64(), 30 + 100*random.Float64()}
		f := [3]float64{600 + 3000*random.Float64(), 600 + 3000*random.Float64(), 200 + 600*random.Float64()}
		feed := 300 + 3000*random.Float64()
		points := []Point{{}}
		size := math.Exp(3 * random.Float64()) // legs of some 0.5 to 10 mm
		turn := 2 * math.Pi * random.Float64()
		var text strings.Builder
		fmt.Fprintf(&text, "G1 F%.3f ", feed)
		for range 2 + random.IntN(60) {
			// Turns too sharp to be one straight run, mostly gentle ones.
			turn += (0.3 + 1.5*random.Float64()*random.Float64()) * float64(1-2*random.IntN(2))
			last, length := points[len(points)-1], size*(0.5+random.Float64())/2
			p := Point{last.X + length*math.Cos(turn), last.Y + length*math.Sin(turn), last.Z + 0.1*length*(random.Float64()-0.5)}
			points = append(points, p)
			fmt.Fprintf(&text, "X%.6f Y%.6f Z%.6f\n", p.X, p.Y, p.Z)
		}
		timing := Timing{Corner: corner, Axes: [3]AxisMotion{{f[0], a[0]}, {f[1], a[1]}, {f[2], a[2]}}}
		got := timeFrom(t, timing, "G0 X0 Y0 Z0", text.String())
		want := wayTime(points, feed/60, 0.005, corner, a, [3]float64{f[0] / 60, f[1] / 60, f[2] / 60})
		off := math.Abs(got/want - 1)
		worst = max(worst, off)
		if off > 0.005 {
			t.Errorf("path %d of %d moves, corner %g: %.4f s, integrated %.4f s, %.2f %% off", trial, len(points)-1, corner, got, want, 100*off)
		}
	}
	t.Logf("at most %.3f %% off", 100*worst)
}

// A circle in chords is gone round as the circle is: with the axes' speeds and
// accelerations at each place, within 2 % of the law of the circle.
func TestCircleInChords(t *testing.T) {
	for _, c := range []struct{ radius, chord, a float64 }{{10, 0.05, 100}, {3, 0.02, 150}, {40, 1, 60}, {1, 0.05, 100}} {
		timing := Timing{Corner: 0.05, Axes: [3]AxisMotion{{6000, c.a}, {6000, c.a}, {600, c.a}}}
		n := int(2 * math.Pi * c.radius / c.chord)
		var text strings.Builder
		text.WriteString("G1 F6000 ")
		for i := 1; i <= n; i++ {
			s, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			fmt.Fprintf(&text, "X%.4f Y%.4f\n", c.radius*cos, c.radius*s)
		}
		got := timeFrom(t, timing, fmt.Sprintf("G0 X%.4f Y0 Z0", c.radius), text.String())
		// On the circle the pull to the centre is limited by the axis that has
		// most of it, and so is the change of speed.
		const steps = 100_000
		squares := make([]float64, steps+1)
		ds := 2 * math.Pi * c.radius / steps
		most := func(i int) float64 {
			s, cos := math.Sincos(2 * math.Pi * float64(i) / steps)
			return c.a / math.Max(math.Abs(s), math.Abs(cos))
		}
		for i := 1; i <= steps; i++ {
			squares[i] = math.Min(math.Min(100*100, most(i)*c.radius), squares[i-1]+2*most(i)*ds)
		}
		squares[steps] = 0
		want := 0.0
		for i := steps - 1; i >= 0; i-- {
			squares[i] = math.Min(squares[i], squares[i+1]+2*most(i)*ds)
			want += 2 * ds / (math.Sqrt(squares[i]) + math.Sqrt(squares[i+1]))
		}
		if off := math.Abs(got/want - 1); off > 0.02 {
			t.Errorf("radius %g in chords of %g mm: %.4f s, the circle %.4f s, %.2f %% off", c.radius, c.chord, got, want, 100*off)
		} else {
			t.Logf("radius %g: %.2f %% off", c.radius, 100*off)
		}
	}
}
