package doubt_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/measure"
	"mahlstick/recipe/model"
	"mahlstick/runner/doubt"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// marks are those of a brush that flattens, with the standard uncertainty of each.
func marks() []brush.Mark {
	var out []brush.Mark
	for p := 0.4; p < 5; p += 0.4 {
		out = append(out, brush.Mark{Press: p, Width: 0.3 + 0.7*p - 0.03*p*p, UWidth: 0.02})
	}
	return out
}

func fitted(t *testing.T, m []brush.Mark) *brush.Curve {
	t.Helper()
	c, err := brush.Fit(m, 5.2, 0.3+0.7*5.2-0.03*5.2*5.2, 0.3)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

const shift = 0.03 // of the sheet's touch

func newBrush(t *testing.T) *model.Brush {
	c := fitted(t, marks()).Doubted(brush.Doubt{Shift: shift, Ends: [2]float64{0.02, 0.02}})
	return &model.Brush{Curve: c, SafePress: 5.2, Touch: 0.08, SafeU: 0.1, Play: 0.1, Measured: &model.Measured{Play: measure.Estimate{Value: 0.1, U: 0.04, Readings: 8}}}
}

// line is a stroke of two presses.
func line(from, to float64, width float64) stroke.Gesture {
	return stroke.Gesture{Points: []stroke.Point{
		{X: plane.Snap(10), Y: plane.Snap(10), Press: from, Width: width},
		{X: plane.Snap(40), Y: plane.Snap(10), Press: to, Width: width},
	}}
}

// The doubt of a width agrees with what is sampled: touch, bed, play, sheet's touch
// and readings are drawn at random (JCGM 101:2008, 7), and the curve is fitted anew
// each time.
func TestDoubtBySampling(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 5))
	b := newBrush(t)
	const bed = 0.12
	for _, press := range []float64{0.6, 1.4, 3, 4.6} {
		width, _ := b.Curve.WidthAt(press)
		l := doubt.Of([]stroke.Gesture{line(press+0.01, press, width)}, b, bed)
		got := l.Strokes[0].Parts.U()
		sum, squares, n := 0.0, 0.0, 4000
		for range n {
			m := marks()
			for i := range m {
				m[i].Width += m[i].UWidth * r.NormFloat64()
			}
			brush.Pool(m)
			c := fitted(t, m)
			at := press + b.Touch*r.NormFloat64() + bed*(2*r.Float64()-1) + 0.04*r.NormFloat64() + shift*r.NormFloat64()
			w, err := c.WidthAt(math.Min(math.Max(at, 0), 5.2))
			if err != nil {
				t.Fatal(err)
			}
			sum, squares = sum+w, squares+w*w
		}
		mean := sum / float64(n)
		want := math.Sqrt(squares/float64(n) - mean*mean)
		if math.Abs(got/want-1) > 0.06 {
			t.Errorf("at %g mm: %.4f mm, sampled %.4f mm", press, got, want)
		}
	}
}

// The chance of missing, and of pressing too deep, agree with what is sampled; the
// bed's band counts as normal, which is close as long as it is not most of it.
func TestChancesBySampling(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 9))
	b := newBrush(t)
	const bed = 0.08
	for _, press := range []float64{0.02, 0.08, 0.15, 0.2, 5.0, 5.1} {
		l := doubt.Of([]stroke.Gesture{line(press, press, 0.4)}, b, bed)
		missed, deeper, n := 0, 0, 40000
		for range n {
			height := b.Touch*r.NormFloat64() + bed*(2*r.Float64()-1)
			if press+height < 0 {
				missed++
			}
			if press+height > b.SafePress+b.SafeU*r.NormFloat64() {
				deeper++
			}
		}
		s := l.Strokes[0]
		if want := float64(missed) / float64(n); math.Abs(s.Missing-want) > 0.012 {
			t.Errorf("at %g mm: missing %.4f, sampled %.4f", press, s.Missing, want)
		}
		if want := float64(deeper) / float64(n); math.Abs(s.Deeper-want) > 0.012 {
			t.Errorf("at %g mm: too deep %.4f, sampled %.4f", press, s.Deeper, want)
		}
	}
}

// Where marks spread, their doubt at the layer's feed agrees with what is sampled.
func TestSpreadBySampling(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	b := newBrush(t)
	spread := measure.Spread{Slowest: 300, Fastest: 2400, Root: measure.Estimate{Value: 0.09, U: 0.02, Readings: 12}}
	b.Spreading = &model.Spreading{Spread: spread, Feed: 1200, Painted: 300, Curve: b.Curve}
	l := doubt.Of([]stroke.Gesture{line(2, 2, 1.5)}, b, 0)
	measured, _ := b.Curve.WidthAt(2)
	sum, squares, n := 0.0, 0.0, 20000
	for range n {
		s := spread
		s.Root.Value += s.Root.U * r.NormFloat64()
		w := s.At(measured, 1200, 300)
		sum, squares = sum+w, squares+w*w
	}
	mean := sum / float64(n)
	if got, want := l.Strokes[0].Parts[doubt.Feed], math.Sqrt(squares/float64(n)-mean*mean); math.Abs(got/want-1) > 0.03 {
		t.Errorf("%.4f mm, sampled %.4f mm", got, want)
	}
}

// The tail of the normal distribution, against the standard library's; and
// of strokes as wide as the greatest safe width 5 of 100 are pressed too deep.
func TestTails(t *testing.T) {
	for z := -6.0; z <= 6; z += 0.01 {
		if got, want := doubt.Above(z), math.Erfc(z/math.Sqrt2)/2; math.Abs(got-want) > 7.5e-8 {
			t.Fatalf("above %g: %g, want %g", z, got, want)
		}
	}
	b := newBrush(t)
	l := doubt.Of(nil, b, 0.1)
	widest, _ := b.Curve.PressFor(l.Widest)
	s := doubt.Of([]stroke.Gesture{line(widest, widest, 3)}, b, 0.1).Strokes
	if len(s) != 1 || s[0].Number != 1 || math.Abs(s[0].Deeper-0.05) > 1e-6 {
		t.Errorf("%+v", s)
	}
}

// The most doubtful come first; check marks do not count, but have their numbers.
func TestOrder(t *testing.T) {
	b := newBrush(t)
	check := line(1, 1, 1)
	check.Kind = stroke.Check
	l := doubt.Of([]stroke.Gesture{check, line(3, 3, 2.1), line(0.05, 0.05, 0.33), line(1, 0, 1), {}}, b, 0.1)
	if len(l.Strokes) != 3 || l.Strokes[0].Number != 3 || l.Strokes[2].Number != 2 {
		t.Errorf("%+v", l.Strokes)
	}
	if most, without := l.Strokes[2].Parts.Most(); most != doubt.Touch || !(without < l.Strokes[2].Parts.U()) || most.String() != "touching off" {
		t.Errorf("%v %g", most, without)
	}
}
