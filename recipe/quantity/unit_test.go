package quantity_test

import (
	"math"
	"testing"

	"mahlstick/recipe/quantity"
)

func near(got, want, relative float64) bool {
	return math.Abs(got-want) <= relative*math.Abs(want)
}

// The inch: NIST Metric Style Guide, LC 1137; NIST SP 811 (2008), appendix B;
// the yard and pound agreement of 1959. The pixel and the point: CSS Values
// and Units 4, absolute lengths. The degree: BIPM SI Brochure, 9th ed. (2019),
// table 8. Speeds follow from them.
func TestConversions(t *testing.T) {
	for _, c := range []struct {
		text     string
		unit     string
		want     float64
		relative float64
	}{
		{"36 in", "mm", 914.4, 0},
		{"8.5 in", "mm", 215.9, 0},
		{"11 in", "mm", 279.4, 0},
		{"14 in", "mm", 355.6, 0},
		{"900 mm/min", "mm/s", 15, 0},
		{"900 mm/min", "m/s", 0.015, 0},
		{"60 in/min", "mm/min", 1524, 0},
		{"60 in/min", "mm/s", 25.4, 0},
		{"14.28109573597082 deg", "rad", 0.2492521413852136, 1e-15},
		{"180 deg", "rad", math.Pi, 0},
		{"96 px", "mm", 25.4, 0},
		{"72 pt", "mm", 25.4, 0},
		{"1 px", "mm", 0.2645833333333333, 1e-15},
		{"1 pt", "mm", 0.3527777777777778, 1e-15},
		{"1 m/s²", "mm/min²", 3.6e6, 0},
		{"2 h", "s", 7200, 0},
		{"1 kg", "mg", 1e6, 0},
		{"15 %", "", 0.15, 0},
		{"1 in²", "mm²", 645.16, 0},
		{"1/in", "1/mm", 1 / 25.4, 1e-16},
	} {
		unit := quantity.One
		if c.unit != "" {
			var err error
			if unit, err = quantity.ParseUnit(c.unit); err != nil {
				t.Fatal(err)
			}
		}
		q := must(t, c.text)
		if got := q.In(unit); !near(got, c.want, c.relative) {
			t.Errorf("%s in %s is %v, want %v", c.text, c.unit, got, c.want)
		}
		if got := q.In(q.Unit()); got != q.Number() {
			t.Errorf("%s in its own unit is %v", c.text, got)
		}
	}
	if !math.IsNaN(must(t, "8 mm").In(quantity.Second)) {
		t.Error("a length has no value in seconds")
	}
}

// In binary 8.5 times 25.4 is 215.89999999999998; what is printed is 215.9.
func TestNoNoise(t *testing.T) {
	letter, err := quantity.Multiply(quantity.New(8.5, quantity.One), quantity.New(25.4, quantity.MM))
	if err != nil || letter.String() != "215.9 mm" {
		t.Errorf("got %v %v", letter, err)
	}
	sum, _ := quantity.Add(quantity.New(0.1, quantity.MM), quantity.New(0.2, quantity.MM))
	if d, _ := quantity.Subtract(sum, quantity.New(0.3, quantity.MM)); d.Number() != 0 || sum.String() != "0.3 mm" {
		t.Errorf("0.1 + 0.2 is %v, less 0.3 is %v", sum, d)
	}
}

// Every unit that is printed can be read again, in both spellings.
func TestUnitsRoundTrip(t *testing.T) {
	var list []quantity.Unit
	for _, help := range quantity.Units() {
		u, ok := quantity.UnitByWord(help.Formula)
		if !ok || u.String() != help.Symbol || u.Dim() != help.Dim {
			t.Errorf("%s in a formula is %v", help.Formula, u)
		}
		for _, spelling := range help.Cells {
			if v, err := quantity.ParseUnit(spelling); err != nil || v != u {
				t.Errorf("%q in a cell is %v %v, want %v", spelling, v, err, u)
			}
		}
		list = append(list, u)
	}
	for _, u := range list {
		for _, v := range list {
			for _, n := range []int{-12, -3, -2, -1, 1, 2, 10} {
				p, ok := v.Power(n)
				if !ok {
					t.Fatalf("%v to the power %d", v, n)
				}
				if w, ok := u.Times(p); ok { // else an exponent is beyond 12
					readsAgain(t, w)
				}
			}
		}
	}
}

func readsAgain(t *testing.T, u quantity.Unit) {
	for _, text := range []string{u.String(), u.Spelling()} {
		if again, err := quantity.ParseUnit(text); text != "" && (err != nil || again != u) {
			t.Errorf("%q reads as %v %v", text, again, err)
		}
	}
}

func TestUnitsRefused(t *testing.T) {
	for _, text := range []string{"mm in", "mm·in", "mm^13", "mm^", "mm/", "/", "mm²³⁴", "mm/s·g", "x", "mm%", "", "1", "mm**", "m^0", "°C", "rpm"} {
		if u, err := quantity.ParseUnit(text); err == nil {
			t.Errorf("%q reads as %v", text, u)
		}
	}
}

func TestDimensions(t *testing.T) {
	for d, want := range map[quantity.Dim]string{
		quantity.Pure: "a plain number", quantity.Length: "a length", quantity.Angle: "an angle", quantity.Area: "an area",
		quantity.Acceleration: "an acceleration", {Mass: 1, Length: -2}: "a mass/length²", {Length: 1, Time: -1, Mass: -1}: "a length·mass⁻¹·time⁻¹",
	} {
		if got := d.WithArticle(); got != want {
			t.Errorf("%v is %q, want %q", d, got, want)
		}
	}
	if _, ok := quantity.Area.Root(2); !ok {
		t.Error("an area has a root")
	}
	if _, ok := quantity.Length.Root(2); ok {
		t.Error("a length has no root")
	}
	if _, ok := (quantity.Dim{Length: 12}).Times(quantity.Length); ok {
		t.Error("exponents are bounded")
	}
}
