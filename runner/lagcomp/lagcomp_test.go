package lagcomp_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/recipe/brush"
	"mahlstick/runner/lagcomp"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

func at(x, y, press float64) stroke.Point {
	p := plane.At(x, y)
	return stroke.Point{X: p.X, Y: p.Y, Press: press, Width: 0.2 + 0.4*press}
}

// swelling is a lag that grows with the press.
func swelling(t testing.TB) brush.Lag {
	t.Helper()
	lag, err := brush.NewLag([]brush.Trail{{Press: 1, Lag: 0.7}, {Press: 2.5, Lag: 1.9}, {Press: 4, Lag: 2.6}})
	if err != nil {
		t.Fatal(err)
	}
	return lag
}

func TestWithoutLagNothingMoves(t *testing.T) {
	points := []stroke.Point{at(10, 10, 0), at(20, 10, 2), at(20, 30, 0)}
	for i, s := range lagcomp.AxisPath(points, brush.Lag{}) {
		if s.Mark != points[i] || s.Axis != (plane.Point{X: points[i].X, Y: points[i].Y}) || s.MarkRests {
			t.Errorf("step %d: %+v", i, s)
		}
	}
	dab := []stroke.Point{at(10, 10, 2)}
	if got := lagcomp.AxisPath(dab, brush.ConstantLag(3)); len(got) != 1 || got[0].Mark != dab[0] || got[0].Axis.X != dab[0].X {
		t.Errorf("a dab is led to %+v", got)
	}
}

// Along a straight line the axis is ahead by the lag at the press, at
// the ends it stands over the mark with the lightest touch.
func TestStraight(t *testing.T) {
	lag := swelling(t)
	steps := lagcomp.AxisPath([]stroke.Point{at(10, 10, 0.5), at(30, 10, 3)}, lag)
	for i, s := range steps {
		ahead := plane.MM(s.Axis.X - s.Mark.X)
		want := lag.At(s.Mark.Press)
		if i == 0 || i == len(steps)-1 {
			want = 0
			if s.Mark.Press != 0 || !s.MarkRests {
				t.Errorf("an end is %+v", s)
			}
		}
		if math.Abs(ahead-want) > 2e-4 || s.Axis.Y != s.Mark.Y {
			t.Errorf("step %d is %.4f mm ahead, want %.4f", i, ahead, want)
		}
	}
	// Down, led out, a step where the lag bends at 1 and at 2.5 mm, the end, the
	// same two, up.
	if len(steps) != 8 {
		t.Errorf("%d steps", len(steps))
	}
}

// Points that lie on the way make no step of their own.
func TestNoNeedlessSteps(t *testing.T) {
	var points []stroke.Point
	for i := range 101 {
		points = append(points, at(10+0.5*float64(i), 10, 2))
	}
	// Down, led out, few between, the end, brought back.
	if steps := lagcomp.AxisPath(points, brush.ConstantLag(2)); len(steps) > 8 {
		t.Errorf("%d steps along a straight line", len(steps))
	}
}

// The axis of a mark on a circle goes on the circle of √(R²+λ²): a right
// angle stands between the arm and the radius (Euclid I.47).
func TestCircle(t *testing.T) {
	const radius, trail, n = 5.0, 3.0, 90
	var points []stroke.Point
	for i := range n + 1 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
		points = append(points, at(40+radius*cos, 40+radius*sin, 2))
	}
	steps := lagcomp.AxisPath(points, brush.ConstantLag(trail))
	want := math.Sqrt(radius*radius + trail*trail)
	for _, s := range steps[3 : len(steps)-3] {
		// A chord of the flattened circle lies 0.003 mm inside it, and the mark
		// may cut its corners by 0.005 mm.
		if r := math.Hypot(plane.MM(s.Axis.X)-40, plane.MM(s.Axis.Y)-40); math.Abs(r-want) > 0.01 {
			t.Fatalf("the axis is %.4f mm from the centre, want %.4f", r, want)
		}
	}
	if len(steps) > 2*n+4 {
		t.Errorf("%d steps for %d points", len(steps), n)
	}
}

// At a corner the axis swings round the mark by the lag.
func TestCornerIsSwung(t *testing.T) {
	steps := lagcomp.AxisPath([]stroke.Point{at(10, 10, 2), at(30, 10, 2), at(30, 30, 2)}, brush.ConstantLag(2))
	swung := 0
	for _, s := range steps[2 : len(steps)-1] {
		x, y := plane.MM(s.Mark.X), plane.MM(s.Mark.Y)
		if d := math.Hypot(x-30, y-10); d < 0.02 {
			swung++
			if arm := math.Hypot(plane.MM(s.Axis.X)-x, plane.MM(s.Axis.Y)-y); math.Abs(arm-2) > 2e-4 {
				t.Errorf("the arm is %.4f mm long", arm)
			}
		}
	}
	if swung < 8 {
		t.Errorf("the corner of 90° is swung in %d steps", swung)
	}
}

// arm is a brush whose mark is held by a rigid arm: it goes along the arm only,
// by the share of the axis's way that points along it, less what the arm
// grows. An arm without length has no direction: it grows behind the axis. It
// shares nothing with AxisPath: the motion is integrated by the midpoint rule
// (Runge, second order).
type arm struct {
	x, y float64 // of the mark
	lag  func(press float64) float64
}

func (a *arm) pull(h0, h1 [2]float64, p0, p1 float64, visit func(x, y, dx, dy, press float64)) {
	n := int(math.Ceil(max(math.Hypot(h1[0]-h0[0], h1[1]-h0[1]), math.Abs(p1-p0))/0.005)) + 1
	slope := func(x, y, t float64) (float64, float64) {
		hx, hy := h0[0]+t*(h1[0]-h0[0]), h0[1]+t*(h1[1]-h0[1])
		dx, dy := hx-x, hy-y
		d := math.Hypot(dx, dy)
		if d < 1e-9 {
			return 0, 0
		}
		dx, dy = dx/d, dy/d
		const dt = 1e-6
		grown := (a.lag(p0+(t+dt)*(p1-p0)) - a.lag(p0+t*(p1-p0))) / dt
		along := (h1[0]-h0[0])*dx + (h1[1]-h0[1])*dy - grown
		return along * dx, along * dy
	}
	if way := math.Hypot(h1[0]-h0[0], h1[1]-h0[1]); a.lag(p0) < 1e-4 && way > 0 {
		a.x, a.y = h0[0]-a.lag(p0)*(h1[0]-h0[0])/way, h0[1]-a.lag(p0)*(h1[1]-h0[1])/way
	}
	for i := range n {
		t, dt := float64(i)/float64(n), 1/float64(n)
		mx, my := slope(a.x, a.y, t)
		mx, my = slope(a.x+mx*dt/2, a.y+my*dt/2, t+dt/2)
		a.x, a.y = a.x+mx*dt, a.y+my*dt
		hx, hy := h0[0]+(t+dt)*(h1[0]-h0[0]), h0[1]+(t+dt)*(h1[1]-h0[1])
		d := math.Hypot(hx-a.x, hy-a.y)
		visit(a.x, a.y, (hx-a.x)/max(d, 1e-9), (hy-a.y)/max(d, 1e-9), p0+(t+dt)*(p1-p0))
	}
}

// follow paints with a rigid arm, from the step where the brush has been led
// out to the one before it is brought back.
func follow(steps []lagcomp.Step, lag func(float64) float64, visit func(x, y, dx, dy, press float64)) {
	mm := func(p plane.Point) [2]float64 { return [2]float64{plane.MM(p.X), plane.MM(p.Y)} }
	begin, end := 0, len(steps)-1
	for steps[begin+1].MarkRests && steps[begin+1].Mark.X == steps[0].Mark.X && steps[begin+1].Mark.Y == steps[0].Mark.Y {
		begin++
	}
	for steps[end-1].MarkRests && steps[end-1].Mark.X == steps[end].Mark.X && steps[end-1].Mark.Y == steps[end].Mark.Y {
		end--
	}
	first := steps[begin]
	a := arm{x: plane.MM(first.Mark.X), y: plane.MM(first.Mark.Y), lag: lag}
	for i := begin + 1; i <= end; i++ {
		a.pull(mm(steps[i-1].Axis), mm(steps[i].Axis), steps[i-1].Mark.Press, steps[i].Mark.Press, visit)
	}
}

// uncorrected is the way of an axis that follows the drawing itself, the mark
// behind it.
func uncorrected(points []stroke.Point, lag func(float64) float64, visit func(x, y, dx, dy, press float64)) {
	mm := func(p stroke.Point) [2]float64 { return [2]float64{plane.MM(p.X), plane.MM(p.Y)} }
	h0, h1 := mm(points[0]), mm(points[1])
	d := math.Hypot(h1[0]-h0[0], h1[1]-h0[1])
	l := lag(points[0].Press)
	a := arm{x: h0[0] - l*(h1[0]-h0[0])/d, y: h0[1] - l*(h1[1]-h0[1])/d, lag: lag}
	for i := 1; i < len(points); i++ {
		a.pull(mm(points[i-1]), mm(points[i]), points[i-1].Press, points[i].Press, visit)
	}
}

// off is the distance from a path.
func off(points []stroke.Point, x, y float64) float64 {
	best := math.Inf(1)
	for i := 1; i < len(points); i++ {
		ax, ay := plane.MM(points[i-1].X), plane.MM(points[i-1].Y)
		bx, by := plane.MM(points[i].X)-ax, plane.MM(points[i].Y)-ay
		t := 0.0
		if l := bx*bx + by*by; l > 0 {
			t = min(max(((x-ax)*bx+(y-ay)*by)/l, 0), 1)
		}
		best = min(best, math.Hypot(x-ax-t*bx, y-ay-t*by))
	}
	return best
}

// rms is the root of the mean square of what a run is off the path.
func rms(points []stroke.Point, run func(visit func(x, y, dx, dy, press float64))) float64 {
	sum, n := 0.0, 0
	last := [2]float64{math.Inf(1), 0}
	run(func(x, y, _, _, _ float64) {
		if math.Hypot(x-last[0], y-last[1]) < 0.05 { // evenly along the mark
			return
		}
		last = [2]float64{x, y}
		d := off(points, x, y)
		sum += d * d
		n++
	})
	return math.Sqrt(sum / float64(max(n, 1)))
}

// wave draws a random smooth stroke with a corner, as an axis gives it: points
// every few tenths of a millimetre, the press swelling and fading.
func wave(t *rapid.T) []stroke.Point {
	var points []stroke.Point
	heading := rapid.Float64Range(0, 6.28).Draw(t, "heading")
	swing := rapid.Float64Range(-0.12, 0.12).Draw(t, "bend")
	turn := rapid.Float64Range(-2.6, 2.6).Draw(t, "corner")
	deep := rapid.Float64Range(0.5, 4).Draw(t, "press")
	x, y := 60.0, 60.0
	const n = 160
	for i := range n + 1 {
		share := float64(i) / n
		points = append(points, at(x, y, deep*math.Sin(math.Pi*share)))
		if i == n/2 {
			heading += turn
		}
		heading += swing * math.Sin(5*share) // radii down to about 2 mm
		x, y = x+0.25*math.Cos(heading), y+0.25*math.Sin(heading)
	}
	return points
}

// A rigid arm that knows nothing of the correction paints the mark where it was
// drawn: within 0.05 mm (root mean square), at least five times better than
// with the axis on the drawing; and a lag that is measured wrong by some
// moves the mark by no more than that.
func TestMarkFollowsTheDrawing(t *testing.T) {
	lag := swelling(t)
	rapid.Check(t, func(t *rapid.T) {
		points := wave(t)
		steps := lagcomp.AxisPath(points, lag)
		led := rms(points, func(v func(x, y, dx, dy, press float64)) { follow(steps, lag.At, v) })
		bare := rms(points, func(v func(x, y, dx, dy, press float64)) { uncorrected(points, lag.At, v) })
		wrong := rms(points, func(v func(x, y, dx, dy, press float64)) {
			follow(steps, func(p float64) float64 { return 1.2 * lag.At(p) }, v)
		})
		if led > 0.05 || bare > 0.02 && led > bare/5 {
			t.Fatalf("off by %.4f mm, uncorrected by %.4f mm", led, bare)
		}
		deepest := 0.0
		for _, p := range points {
			deepest = max(deepest, p.Press)
		}
		if slip := 0.2 * lag.At(deepest); wrong > led+slip {
			t.Fatalf("with a lag wrong by %.4f mm off by %.4f mm", slip, wrong)
		}
	})
}

// The axis is never farther from the mark than the lag, the press never more
// than the drawn one, and the marks lie on the drawn path.
func TestBounds(t *testing.T) {
	lag := swelling(t)
	rapid.Check(t, func(t *rapid.T) {
		points := wave(t)
		deepest := 0.0
		for _, p := range points {
			deepest = max(deepest, p.Press)
		}
		steps := lagcomp.AxisPath(points, lag)
		for i, s := range steps {
			x, y := plane.MM(s.Mark.X), plane.MM(s.Mark.Y)
			arm := math.Hypot(plane.MM(s.Axis.X)-x, plane.MM(s.Axis.Y)-y)
			if arm > lag.At(s.Mark.Press)+2e-4 || s.Mark.Press > deepest || s.Mark.Press < 0 || off(points, x, y) > 0.0052 {
				t.Fatalf("step %d: %+v, arm %.4f mm, off by %.4f mm", i, s, arm, off(points, x, y))
			}
		}
		first, last := steps[0], steps[len(steps)-1]
		if first.Axis != (plane.Point{X: points[0].X, Y: points[0].Y}) || last.Axis != (plane.Point{X: points[len(points)-1].X, Y: points[len(points)-1].Y}) {
			t.Fatal("the brush does not come down and lift over the ends of the mark")
		}
	})
}

// Where the brush is pressed and where it is lifted, the mark does not move,
// however the lag grows with the press.
func TestEndsStayPut(t *testing.T) {
	lag := swelling(t)
	points := []stroke.Point{at(20, 20, 3.5), at(40, 20, 3.2)}
	steps := lagcomp.AxisPath(points, lag)
	for _, end := range [][]lagcomp.Step{steps[:5], steps[len(steps)-5:]} {
		for i := 1; i < len(end); i++ {
			p, q := end[i-1], end[i]
			for k := range 21 {
				t0 := float64(k) / 20
				press := p.Mark.Press + t0*(q.Mark.Press-p.Mark.Press)
				ahead := plane.MM(p.Axis.X) + t0*plane.MM(q.Axis.X-p.Axis.X) - plane.MM(p.Mark.X)
				if p.Mark.X == q.Mark.X && math.Abs(ahead-lag.At(press)) > 2e-4 {
					t.Errorf("at a press of %.3f mm the axis is %.4f mm ahead, the lag %.4f mm", press, ahead, lag.At(press))
				}
			}
		}
	}
}

// teardrop says whether a spot is painted by a mark whose belly is a disc and
// whose toe trails behind it (common practice, no source).
func teardrop(sx, sy, x, y, dx, dy, width float64) bool {
	u, v := (sx-x)*dx+(sy-y)*dy, -(sx-x)*dy+(sy-y)*dx
	r := width / 2
	if u >= 0 {
		return u*u+v*v <= r*r
	}
	toe := 1.6 * r
	return u > -toe && math.Abs(v) <= r/2*(1+math.Cos(math.Pi*u/toe))
}

// A run visits the places, directions and presses of a mark, in order.
type run func(visit func(x, y, dx, dy, press float64))

// paint returns the pixels that a mark of teardrops paints, on a square grid of
// side pixels (mm each).
func (r run) paint(pixel float64, side int) []bool {
	out := make([]bool, side*side)
	last := [2]float64{math.Inf(1), 0}
	r(func(x, y, dx, dy, press float64) {
		if math.Hypot(x-last[0], y-last[1]) < pixel/2 {
			return
		}
		last = [2]float64{x, y}
		w := 0.2 + 0.4*press
		for row := int((y - w) / pixel); row <= int((y+w)/pixel); row++ {
			for col := int((x - w) / pixel); col <= int((x+w)/pixel); col++ {
				if !out[row*side+col] && teardrop((float64(col)+0.5)*pixel, (float64(row)+0.5)*pixel, x, y, dx, dy, w) {
					out[row*side+col] = true
				}
			}
		}
	})
	return out
}

// agreement is the share of the pixels set in either that are set in both.
func agreement(a, b []bool) float64 {
	both, either := 0, 0
	for i := range a {
		if a[i] || b[i] {
			either++
		}
		if a[i] && b[i] {
			both++
		}
	}
	return float64(both) / float64(either)
}

// With a mark that is no disc, the area painted by the led brush agrees with
// that of the same mark drawn along the path itself in more than 99.5 %.
func TestTeardropCoversTheSameArea(t *testing.T) {
	lag := swelling(t)
	var points []stroke.Point
	for i := range 161 {
		s := float64(i) / 160
		points = append(points, at(5+25*s, 12+4*math.Sin(6*s), 0.6+2.8*math.Sin(math.Pi*s)))
	}
	points = append(points, at(22, 22, 1)) // back by a sharp corner
	const pixel, side = 0.04, 1000
	ideal := run(func(visit func(x, y, dx, dy, press float64)) {
		for i := 1; i < len(points); i++ {
			a, b := points[i-1], points[i]
			ax, ay, bx, by := plane.MM(a.X), plane.MM(a.Y), plane.MM(b.X), plane.MM(b.Y)
			d := math.Hypot(bx-ax, by-ay)
			for k := range 400 {
				t := float64(k) / 400
				visit(ax+t*(bx-ax), ay+t*(by-ay), (bx-ax)/d, (by-ay)/d, a.Press+t*(b.Press-a.Press))
			}
		}
	}).paint(pixel, side)
	led := run(func(v func(x, y, dx, dy, press float64)) { follow(lagcomp.AxisPath(points, lag), lag.At, v) }).paint(pixel, side)
	bare := run(func(v func(x, y, dx, dy, press float64)) { uncorrected(points, lag.At, v) }).paint(pixel, side)
	withLead, without := agreement(led, ideal), agreement(bare, ideal)
	if withLead < 0.995 || without > 0.9 {
		t.Errorf("compensated, the areas agree in %.2f %%, uncompensated in %.2f %%", 100*withLead, 100*without)
	}
	t.Logf("compensated %.3f %%, uncompensated %.2f %%", 100*withLead, 100*without)
}
