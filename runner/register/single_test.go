package register_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/register"
	"mahlstick/runner/vector"
)

// placedAbout places a picture with the only mark at 105, 105 mm, changed
// about the mark's centre by a matrix with the columns x and y.
func placedAbout(x, y vector.XY) problem.List {
	k := newDesk("reeds.dxf").add(disc(100, 100, 20)).add(square(150, 150, 8))
	k.change(func(p vector.XY) vector.XY {
		q := vector.XY{X: p.X - 150, Y: p.Y - 150}
		return vector.XY{X: x.X*q.X + y.X*q.Y, Y: x.Y*q.X + y.Y*q.Y}
	})
	sheet := &model.Sheet{Width: 1000, Height: 1000}
	_, _, problems := register.Place(k.d, layer(), []model.Mark{{Name: "corner", X: 500, Y: 500, Size: 8, Place: recipeFile.Place(0, 7)}}, sheet)
	return problems
}

func turned(degrees float64) (x, y vector.XY) {
	s, c := math.Sincos(degrees * math.Pi / 180)
	return vector.XY{X: c, Y: s}, vector.XY{X: -s, Y: c}
}

// A single mark that is turned, scaled, stretched or skewed with its drawing
// is refused with the figure; one that is true within the bounds, a quarter
// turn aside, is not.
func TestSingleMarkOutOfTrue(t *testing.T) {
	for _, degrees := range []float64{0.21, -0.21, 5, -30, 44.9, 90.5} {
		p := placedAbout(turned(degrees))
		if len(p) != 1 || p[0].Code != problem.MarkOutOfTrue || !strings.Contains(p[0].Fix.Advice, "second mark") {
			t.Errorf("turned by %g degrees: %s", degrees, errors(p))
		}
	}
	if p := placedAbout(turned(-5)); !strings.Contains(errors(p), "is turned by -5 degrees") {
		t.Errorf("turned by -5 degrees: %s", errors(p))
	}
	for _, degrees := range []float64{0, 0.19, -0.19, 90, 180.1, -90} {
		if p := placedAbout(turned(degrees)); len(p) > 0 {
			t.Errorf("turned by %g degrees: %s", degrees, errors(p))
		}
	}
	for _, c := range []struct {
		name string
		x, y vector.XY
		want string // "" for none
	}{
		{"0.6 % larger", vector.XY{X: 1.006}, vector.XY{Y: 1.006}, "is 0.60 % larger than 8 mm"},
		{"0.6 % smaller", vector.XY{X: 0.994}, vector.XY{Y: 0.994}, "is 0.60 % smaller than 8 mm"},
		{"0.4 % larger", vector.XY{X: 1.004}, vector.XY{Y: 1.004}, ""},
		{"stretched by 0.8 %", vector.XY{X: 1.004}, vector.XY{Y: 0.996}, "is 8.032 mm wide and 7.968 mm high"},
		{"stretched by 0.8 % the other way, and turned", vector.XY{Y: 0.996}, vector.XY{X: -1.004}, "is 8.032 mm wide and 7.968 mm high"},
		{"stretched by 0.4 %", vector.XY{X: 1.002}, vector.XY{Y: 0.998}, ""},
		{"skewed by 0.6 %", vector.XY{X: 1, Y: 0.003}, vector.XY{X: 0.003, Y: 1}, "has corners of 89.7 degrees"},
		{"skewed by 0.4 %", vector.XY{X: 1, Y: 0.002}, vector.XY{X: 0.002, Y: 1}, ""},
	} {
		p := placedAbout(c.x, c.y)
		if (c.want == "") != (len(p) == 0) || !strings.Contains(errors(p), c.want) {
			t.Errorf("%s: got %s, want %q", c.name, errors(p), c.want)
		}
	}
}

// Every turn is measured as it is, quarter turns aside.
func TestTurnOfSingleMark(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		degrees := rapid.Float64Range(-720, 720).Draw(t, "degrees")
		off := math.Abs(math.Remainder(degrees, 90)) // of the nearest quarter turn
		if math.Abs(off-0.2) < 1e-6 {
			t.Skip("on the bound")
		}
		if p := placedAbout(turned(degrees)); p.HasErrors() != (off > 0.2) {
			t.Errorf("turned by %g degrees: %s", degrees, errors(p))
		}
	})
}

// Two marks turn the drawing, so that none of them need be true.
func TestTwoMarksNeedNotBeTrue(t *testing.T) {
	k := newDesk("reeds.dxf").add(disc(100, 100, 20)).add(square(15, 15, 8)).add(square(195, 15, 8)).change(moved(3, 0, 0))
	p, _, problems := register.Place(k.d, layer(), []model.Mark{threeMarks[0], threeMarks[1]}, a4)
	if len(problems) > 0 || math.Abs(p.TurnDeg+3) > 1e-9 {
		t.Errorf("turn %g: %s", p.TurnDeg, errors(problems))
	}
}
