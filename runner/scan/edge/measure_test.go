package edge_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"mahlstick/runner/scan/edge"
	"mahlstick/runner/vector"
)

const pixel = 25.4 / 600

// stripe is a mark along x from -1/2 width to 1/2 width about y = off, blurred: the light of a blurred
// edge is the normal distribution's integral (closed form). It lies on paper, and right of
// under there is another ink.
func stripe(width, off, blur, noise float64, ink, under float32) edge.Field {
	r := rand.New(rand.NewPCG(1, 2))
	step := func(d float64) float64 { return 0.5 * (1 + math.Erf(d/blur/math.Sqrt2)) }
	return func(p vector.XY) ([3]float32, bool) {
		in := step(p.Y-off+width/2) - step(p.Y-off-width/2)
		v := 1 - float32(in)*(1-ink)
		v = v*under + float32(noise*r.NormFloat64())
		return [3]float32{v, v, v}, math.Abs(p.X) < 10 && math.Abs(p.Y) < 10
	}
}

func line(width float64) edge.Line {
	return edge.Line{Across: vector.XY{Y: 1}, Reach: width + 1, Search: 0.4, Along: 4, Pixel: pixel, Blur: 0.8 * pixel}
}

// The width and the place of a blurred stripe are known by closed form.
func TestStripe(t *testing.T) {
	for _, c := range []struct {
		width, off float64
		ink, under float32
	}{{2, 0, 0.1, 1}, {0.8, 0.2, 0.3, 1}, {0.4, -0.1, 0.1, 1}, {1, 0, 0.2, 0.5}} {
		m := edge.Measure(stripe(c.width, c.off, 0.8*pixel, 0.01, c.ink, c.under), line(c.width))
		if m.Why != edge.None || math.Abs(m.Width()-c.width) > 0.005 || math.Abs(m.Middle()-c.off) > 0.005 || m.U > 0.02 {
			t.Errorf("%+v: %+v %s", c, m, m.Why)
		}
	}
}

// A mark that is thinner than the blur shows no plateau; with the light of its ink known, its
// width is right.
func TestThinStripe(t *testing.T) {
	l := line(0.12)
	l.Core = [3]float32{0.1, 0.1, 0.1}
	m := edge.Measure(stripe(0.12, 0.05, 0.8*pixel, 0.005, 0.1, 1), l)
	if m.Why != edge.None || math.Abs(m.Width()-0.12) > 0.01 || math.Abs(m.Middle()-0.05) > 0.01 {
		t.Errorf("%+v", m)
	}
}

// What cannot be measured is refused by its reason.
func TestWhy(t *testing.T) {
	good := stripe(1, 0, 0.8*pixel, 0.01, 0.1, 1)
	far, covered := line(1), line(1)
	far.At = vector.XY{X: 9, Y: 0}
	covered.Free = func(float64) bool { return false }
	smeared := func(p vector.XY) ([3]float32, bool) {
		v, _ := good(p)
		if p.Y > 0 { // the ink runs out over a millimetre
			s := float32(0.1 + 0.9*min(1, p.Y/1.2))
			v = [3]float32{s, s, s}
		}
		return v, true
	}
	wide := line(1)
	wide.Reach = 3
	for name, c := range map[string]struct {
		field edge.Field
		line  edge.Line
		want  edge.Why
	}{
		"paper":   {stripe(0.0001, 0, pixel, 0.005, 1, 1), line(1), edge.NoMark},
		"off":     {good, far, edge.OffScan},
		"covered": {good, covered, edge.Covered},
		"smeared": {smeared, wide, edge.Smeared},
		"wide":    {stripe(6, 0, pixel, 0.005, 0.1, 1), line(1), edge.NotAlone},
	} {
		if m := edge.Measure(c.field, c.line); m.Why != c.want {
			t.Errorf("%s: %s", name, m.Why)
		}
	}
}
