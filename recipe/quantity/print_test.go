package quantity_test

import (
	"fmt"
	"math"
	"testing"

	"mahlstick/recipe/quantity"
	"mahlstick/recipe/source"
)

func measured(x, u float64, unit quantity.Unit) quantity.Quantity {
	return quantity.Measured(x, unit, u, quantity.Reading{File: "a.md", Offset: 1})
}

// Rounding by ISO 80000-1:2009, annex B, rule A, to the second digit of the
// uncertainty as JCGM 100:2008, 7.2.6 has it. The last two rows of the first
// group are results of its examples H.1 and H.3 before they were rounded.
func TestPrintedWithUncertainty(t *testing.T) {
	for _, c := range []struct {
		x, u float64
		want string
	}{
		{14.281096, 0.548918, "14.28 ± 0.55 mm"},
		{2.8, 0.105335, "2.80 ± 0.11 mm"},
		{10.057, 0.0996, "10.06 ± 0.10 mm"},
		{50.000838, 0.00003171, "50.000838 ± 0.000032 mm"},
		{-0.171203790, 0.002877598, "−0.1712 ± 0.0029 mm"},
		{0.125, 0.1, "0.12 ± 0.10 mm"}, // a tie goes to the even digit
		{0.375, 0.1, "0.38 ± 0.10 mm"},
		{-0.001, 0.5, "0.00 ± 0.50 mm"},
		{0, 0.5, "0.00 ± 0.50 mm"},
		{1234.5, 15, "1234 ± 15 mm"},
		{1234.5, 150, "1230 ± 150 mm"},
		{1235, 150, "1240 ± 150 mm"},
		{12345678, 1500, "12345700 ± 1500 mm"},
		{12, 1500, "0 ± 1500 mm"},
		{1e-20, 1e-21, "1e-20 ± 1e-21 mm"},
		{1, 1e-17, "1 ± 1e-17 mm"},
	} {
		if got := measured(c.x, c.u, quantity.MM).String(); got != c.want {
			t.Errorf("%v ± %v is printed %q, want %q", c.x, c.u, got, c.want)
		}
	}
}

func TestPrintedExact(t *testing.T) {
	for x, want := range map[float64]string{
		0: "0", math.Copysign(0, -1): "0", 8: "8", 8.5 * 25.4: "215.9", 1.0 / 3: "0.333333", 2.0 / 3: "0.666667", 1e6: "1000000", 1234567: "1234567",
		1e14: "100000000000000", 1e15: "1e15", 1.25e20: "1.25e20", 1e-5: "0.00001", 1.5e-7: "1.5e-7", -2.5: "−2.5", 0.00012345678: "0.000123457",
		123456.5: "123456", 123457.5: "123458", 99999.96: "100000", 0.99999999: "1",
	} {
		if got := quantity.New(x, quantity.One).String(); got != want {
			t.Errorf("%v is printed %q, want %q", x, got, want)
		}
	}
}

func TestShortKeepsGuardDigits(t *testing.T) {
	q := measured(14.281096, 0.548918, quantity.Degree)
	if q.Short() != "14.2811°" || must(t, "2.40 ± 0.05 mm").Short() != "2.40 mm" || must(t, "1½ in").Short() != "1½ in" {
		t.Errorf("got %q", q.Short())
	}
}

func ExampleQuantity_String() {
	width := quantity.Measured(2.4, quantity.MM, 0.05, quantity.Reading{File: "brush.md", Offset: 40})
	half, _ := quantity.Divide(width, quantity.New(2, quantity.One))
	again, _ := quantity.Add(half, half)
	nothing, _ := quantity.Subtract(again, width)
	fmt.Println(half)
	fmt.Println(again)
	fmt.Println(nothing)
	// Output:
	// 1.200 ± 0.025 mm
	// 2.400 ± 0.050 mm
	// 0 mm
}

func ExampleParse() {
	for _, text := range []string{"2,40 +/- 0,05 mm", "8½″", "1'250 mm/min", "8", "1,234 mm"} {
		f := source.New("brush.md", []byte(text))
		q, problems := quantity.Parse(text, f.Place(0, len(text)), quantity.Of(quantity.Length))
		if len(problems) == 0 {
			fmt.Printf("%s is %s, %.2f mm\n", text, q, q.In(quantity.MM))
		}
		for _, p := range problems {
			fmt.Printf("%s; %s\n", p.Message, p.Fix.Advice)
		}
	}
	// Output:
	// 2,40 +/- 0,05 mm is 2.40 ± 0.05 mm, 2.40 mm
	// 8½″ is 8½ in, 215.90 mm
	// "1'250 mm/min" is a speed, but a length is expected; write a length, such as 8 mm
	// "8" has no unit; a length is expected; did you mean 8 mm?
	// "1,234 mm" can be read in two ways; did you mean 1.234 mm or 1234 mm?
}
