package proof

import (
	"math"
	"strings"
	"testing"
)

func TestWidth(t *testing.T) {
	b, err := NewBrush([]Rung{{0.5, 0.48}, {2, 1.08}, {4, 1.08}, {5, 2.4}})
	if err != nil {
		t.Fatal(err)
	}
	for press, want := range map[float64]float64{
		-0.001: 0, 0: 0, 0.25: 0.24, 0.5: 0.48, 1.25: 0.78, 2: 1.08, 3: 1.08, 4.5: 1.74, 5: 2.4, 9: 2.4,
	} {
		near(t, "width", b.Width(press), want, 1e-12)
	}
	touch, err := NewBrush([]Rung{{0, 0.3}, {2, 1}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "touch", touch.Width(0), 0.3, 0)
	near(t, "above the paper", touch.Width(-1e-9), 0, 0)
	deep, err := NewBrush([]Rung{{1, 0}, {2, 1}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "no mark yet", deep.Width(0.5), 0, 0)
}

func TestBrushRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		rungs []Rung
		want  string
	}{
		"none":           {nil, "no rung"},
		"falling width":  {[]Rung{{0, 1}, {1, 0.9}}, "rung 2 falls"},
		"equal presses":  {[]Rung{{1, 1}, {1, 2}}, "rung 2 is not deeper"},
		"negative press": {[]Rung{{-1, 1}}, "rung 1"},
		"no number":      {[]Rung{{0, math.NaN()}}, "rung 1"},
		"endless":        {[]Rung{{0, 1}, {math.Inf(1), 2}}, "rung 2"},
	} {
		if _, err := NewBrush(c.rungs); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// F. N. Fritsch, R. E. Carlson, SIAM J. Numer. Anal. 17 (1980) 238, data
// RPN 14: no curve through them may fall or pass 0.999994. A natural spline
// reaches 1.09900 at 11, Akima's 1.09837.
func TestSmoothNeverFalls(t *testing.T) {
	rungs := []Rung{{7.99, 0}, {8.09, 2.76429e-5}, {8.19, 4.37498e-2}, {8.7, 0.169183}, {9.2, 0.469428},
		{10, 0.943740}, {12, 0.998636}, {15, 0.999919}, {20, 0.999994}}
	b, err := NewBrush(rungs)
	if err != nil {
		t.Fatal(err)
	}
	s := b.Smooth()
	last := 0.0
	for i := range 20001 {
		p := 7.99 + 12.01*float64(i)/20000
		w := s.Width(p)
		if w < last || w > 0.999994 {
			t.Fatalf("width %g after %g at press %g", w, last, p)
		}
		last = w
	}
	for _, r := range rungs {
		near(t, "rung", s.Width(r.Press), r.Width, 1e-12)
	}
	// Another monotone curve through them, with Fritsch and Butland's slopes
	// (1984), gives 0.7602476 at 9.6 and 0.9860434 at 11; straight lines give
	// 0.7066 and 0.9712.
	near(t, "between", s.Width(9.6), 0.7602476, 0.03)
	near(t, "between", s.Width(11), 0.9860434, 0.015)
}

// A parabola is met exactly in the middle and within the pieces' length.
func TestSmoothOnParabola(t *testing.T) {
	var rungs []Rung
	for i := range 7 {
		p := float64(i)
		rungs = append(rungs, Rung{p, 0.2 + 0.3*p + 0.05*p*p})
	}
	b, err := NewBrush(rungs)
	if err != nil {
		t.Fatal(err)
	}
	s := b.Smooth()
	for i := 100; i <= 500; i++ {
		p := float64(i) / 100
		near(t, "width", s.Width(p), 0.2+0.3*p+0.05*p*p, 0.05/smoothParts/smoothParts/4+1e-12)
	}
	if two, _ := NewBrush(rungs[:2]); two.Smooth() != two {
		t.Error("two rungs are a straight line already")
	}
}

// The bends of a way are the rungs between its ends, in order.
func TestBends(t *testing.T) {
	b, err := NewBrush([]Rung{{0, 0}, {1, 1}, {2, 3}, {4, 4}})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		from, to float64
		want     []float64
	}{
		{0, 4, []float64{0.25, 0.5}}, {4, 0, []float64{0.5, 0.75}}, {1, 2, nil}, {1.5, 1.5, nil}, {0.5, 1.5, []float64{0.5}}, {3, 9, []float64{1.0 / 6}},
	} {
		var got []float64
		b.bends(c.from, c.to, func(s float64) { got = append(got, s) })
		if len(got) != len(c.want) {
			t.Errorf("%v to %v: %v", c.from, c.to, got)
			continue
		}
		for i := range got {
			near(t, "share", got[i], c.want[i], 1e-12)
		}
	}
}
