package svg

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"mahlstick/runner/vector"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %.12g, want %.12g", what, got, want)
	}
}

func (c *arc) at(t float64) vector.XY {
	sin, cos := math.Sincos(t)
	return vector.XY{X: c.centre.X + cos*c.u.X + sin*c.v.X, Y: c.centre.Y + cos*c.u.Y + sin*c.v.Y}
}

// Source: SVG 2, appendix B.2 and figure arcs01, W3C; centres recomputed. The
// values stand in testdata/svg/arcs.json.
func TestEndpointArcs(t *testing.T) {
	data, err := os.ReadFile("../testdata/svg/arcs.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct{ Rows [][]float64 }
	if err := json.Unmarshal(data, &file); err != nil || len(file.Rows) != 8 {
		t.Fatal(err, len(file.Rows))
	}
	for _, v := range file.Rows {
		a, b := vector.XY{X: v[0], Y: v[1]}, vector.XY{X: v[7], Y: v[8]}
		c, ok := endpointArc(a, v[2], v[3], v[4], v[5] == 1, v[6] == 1, b)
		if !ok {
			t.Fatalf("%v is no arc", v)
		}
		near(t, "rx", math.Hypot(c.u.X, c.u.Y), v[10], 1e-5)
		near(t, "ry", math.Hypot(c.v.X, c.v.Y), v[11], 1e-5)
		near(t, "cx", c.centre.X, v[12], 1e-5)
		near(t, "cy", c.centre.Y, v[13], 1e-5)
		degrees := c.start * 180 / math.Pi
		near(t, "start", math.Remainder(degrees-v[14], 360), 0, 1e-4)
		near(t, "sweep", c.sweep*180/math.Pi, v[15], 1e-4)
		p, q := c.at(c.start), c.at(c.start+c.sweep)
		near(t, "start x", p.X, a.X, 1e-9)
		near(t, "start y", p.Y, a.Y, 1e-9)
		near(t, "end x", q.X, b.X, 1e-9)
		near(t, "end y", q.Y, b.Y, 1e-9)
	}
}

// Source: SVG 2, section 9.3.9: numbers need no blank between them where none
// is needed to tell them apart.
func TestScanNumbers(t *testing.T) {
	for text, want := range map[string][]float64{
		"100-200":       {100, -200},
		"0.6.5":         {0.6, 0.5},
		"1e2-3":         {100, -3},
		"1.5e-1.5":      {0.15, 0.5},
		"-.5-.25":       {-0.5, -0.25},
		"+3":            {3},
		"1 , 2":         {1, 2},
		"7e":            {7},
		"\n 1\t2\r\n 3": {1, 2, 3},
	} {
		s := &scanner{text: text}
		var got []float64
		for !s.atEnd() {
			v, ok := s.number()
			if !ok {
				break
			}
			got = append(got, v)
			s.skipComma()
		}
		if len(got) != len(want) {
			t.Errorf("%q: %v, want %v", text, got, want)
			continue
		}
		for i := range got {
			near(t, text, got[i], want[i], 1e-15)
		}
	}
}

// CSS Values and Units Level 4, absolute lengths.
func TestLengths(t *testing.T) {
	for text, mm := range map[string]float64{
		"96px": 25.4, "72pt": 25.4, "1in": 25.4, "2.54cm": 25.4, "25.4mm": 25.4, "6pc": 25.4, "101.6q": 25.4,
		"1": 0.26458333333333, "1pt": 0.35277777777778, " 96 ": 25.4, "9.6e1PX": 25.4,
	} {
		l, ok := parseLength(text)
		if !ok {
			t.Errorf("%q is no length", text)
		}
		near(t, text, l.px(0)*pxMM, mm, 1e-12)
	}
	if l, ok := parseLength("50%"); !ok || l.px(300) != 150 {
		t.Errorf("50%% is %v", l.px(300))
	}
	for _, text := range []string{"", "px", "1em", "2ex", "1,5mm", "1 mm", "five"} {
		if l, ok := parseLength(text); ok {
			t.Errorf("%q was read as %+v", text, l)
		}
	}
}

// Source: SVG 1.1, section 7.5 and 7.6.
func TestTransforms(t *testing.T) {
	for _, c := range []struct {
		text string
		want vector.XY // of (10, 20)
	}{
		{"", vector.XY{X: 10, Y: 20}},
		{"translate(5)", vector.XY{X: 15, Y: 20}},
		{"translate(5,-5)scale(2)", vector.XY{X: 25, Y: 35}},
		{"scale(2, 3)", vector.XY{X: 20, Y: 60}},
		{"rotate(90)", vector.XY{X: -20, Y: 10}},
		{"rotate(90 10 20)", vector.XY{X: 10, Y: 20}},
		{"rotate(180,0,0) , translate( 1 1 )", vector.XY{X: -11, Y: -21}},
		{"matrix(1 2 3 4 5 6)", vector.XY{X: 75, Y: 106}},
		{"skewX(45)", vector.XY{X: 30, Y: 20}},
		{"skewY(45)", vector.XY{X: 10, Y: 30}},
	} {
		m, _, _, ok := parseTransform(c.text)
		if !ok {
			t.Errorf("%q is no transform", c.text)
		}
		p := m.At(vector.XYZ{X: 10, Y: 20})
		near(t, c.text, p.X, c.want.X, 1e-12)
		near(t, c.text, p.Y, c.want.Y, 1e-12)
	}
	for _, text := range []string{"translate", "translate(", "translate()", "rotate(1,2)", "scale(a)", "matrix(1,2,3)", "turn(3)", "translate(1 2 3)", "matrix(1 2 3 4 5 6 7)"} {
		if _, _, _, ok := parseTransform(text); ok {
			t.Errorf("%q was taken as a transform", text)
		}
	}
}

// Source: SVG 2, section 8.2.
func TestFit(t *testing.T) {
	box := viewBox{10, 20, 100, 50}
	for aspect, want := range map[string]vector.XY{ // of the box's first corner in 200 x 200
		"":                    {X: 0, Y: 50},
		"xMinYMin":            {X: 0, Y: 0},
		"xMaxYMax":            {X: 0, Y: 100},
		"none":                {X: 0, Y: 0},
		"xMidYMid slice":      {X: -100, Y: 0},
		"xMinYMid slice":      {X: 0, Y: 0},
		"defer xMaxYMin meet": {X: 0, Y: 0},
	} {
		m := box.fit(aspect, 200, 200)
		p := m.At(vector.XYZ{X: 10, Y: 20})
		near(t, aspect, p.X, want.X, 1e-12)
		near(t, aspect, p.Y, want.Y, 1e-12)
	}
}
