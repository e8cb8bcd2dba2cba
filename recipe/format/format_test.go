package format_test

import (
	"math"
	"strings"
	"testing"

	"mahlstick/recipe/format"
)

func TestNumbers(t *testing.T) {
	const plain, page = format.Plain, format.Page
	for _, c := range []struct{ got, want string }{
		{plain.Fixed(-0.001, 2), "0.00"},
		{plain.Fixed(-0.006, 2), "-0.01"},
		{page.Fixed(-12.5, 2), "−12.50"},
		{page.Fixed(math.Copysign(0, -1), 0), "0"},
		{plain.Number(1200, 0), "1200"},
		{plain.Number(1200, 2), "1200"},
		{plain.Number(0.50, 2), "0.5"},
		{plain.Number(-0.0004, 3), "0"},
		{page.Number(-100, 3), "−100"},
		{plain.Signed(0.12, 2), "+0.12"},
		{plain.Signed(-0.12, 2), "-0.12"},
		{plain.Signed(0.001, 2), "0.00"},

		{plain.Length(0), "0 mm"},
		{plain.Length(0.0032), "0.003 mm"},
		{plain.Length(0.25), "0.25 mm"},
		{plain.Length(9.996), "10.0 mm"},
		{plain.Length(30), "30.0 mm"},
		{plain.Length(99.96), "100 mm"},
		{plain.Length(450.4), "450 mm"},
		{plain.Length(999.4), "999 mm"},
		{plain.Length(999.6), "1.00 m"},
		{plain.Length(23456), "23.5 m"},
		{page.Length(-1250), "−1.25\u00a0m"},
		{plain.Area(0.031), "0.03 mm²"},
		{plain.Area(1234.5), "1234 mm²"},
		{plain.Share(0.99987), "99.99 %"},
		{page.Share(0), "0.00\u00a0%"},
		{plain.Feed(1200), "1200 mm/min"},
		{plain.Feed(0.5), "0.5 mm/min"},
		{plain.Place(-0.001, 12.3456), "X 0.00, Y 12.35 mm"},

		{plain.Duration(0), "0.0 s"},
		{plain.Duration(8.46), "8.5 s"},
		{plain.Duration(59.94), "59.9 s"},
		{plain.Duration(59.96), "1 min 0 s"},
		{plain.Duration(309), "5 min 9 s"},
		{plain.Duration(3599.6), "1 h 0 min"},
		{plain.Duration(7500), "2 h 5 min"},
		{page.Duration(309), "5\u00a0min\u00a09\u00a0s"},

		{format.Count(0, "stroke"), "0 strokes"},
		{format.Count(1, "corner touch"), "1 corner touch"},
		{format.Count(2, "corner touch"), "2 corner touches"},
		{format.Count(2, "entry"), "2 entries"},
		{format.Count(2, "day"), "2 days"},
		{format.Strokes(51, 0, 0), "51 strokes"},
		{format.Strokes(51, 3, 0), "51 strokes and 3 check marks"},
		{format.Strokes(51, 0, 1), "51 strokes and 1 register mark"},
		{format.Strokes(51, 3, 2), "51 strokes, 3 check marks and 2 register marks"},
		{format.Either([]string{"a", "b", "c"}), "a, b or c"},
		{format.List(nil), ""},
		{format.List([]string{"a"}), "a"},
		{format.List([]string{"a", "b", "c"}), "a, b and c"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

// No size falls between two ways of writing, and the terminal gets ASCII only
// but for the sign of a square.
func TestEverySize(t *testing.T) {
	for v := 1e-6; v < 1e8; v *= 1.013 {
		for _, x := range []float64{v, -v} {
			for _, text := range []string{format.Plain.Length(x), format.Plain.Area(x), format.Plain.Number(x, 3), format.Plain.Share(x)} {
				number, _, _ := strings.Cut(text, " ")
				if strings.HasSuffix(number, ".") || number == "-0" || strings.HasPrefix(number, "-0") && strings.Trim(number, "-0.") == "" {
					t.Fatalf("%g is written as %q", x, text)
				}
				if strings.ContainsFunc(strings.TrimSuffix(text, "²"), func(r rune) bool { return r > 126 }) {
					t.Fatalf("%g is written as %q, not in ASCII", x, text)
				}
			}
		}
		if text := format.Plain.Length(v); v >= 0.0005 && strings.Trim(text, "0. m") == "" {
			t.Fatalf("%g mm is written as %q", v, text)
		}
	}
}

func TestRanges(t *testing.T) {
	for want, numbers := range map[string][]int{"": nil, "3": {3}, "3, 5": {3, 5}, "1 to 2": {1, 2}, "1, 7 to 9, 12": {1, 7, 8, 9, 12}} {
		if got := format.Ranges(numbers); got != want {
			t.Errorf("%v are %q, want %q", numbers, got, want)
		}
	}
}

// What is not printed as 0 has another digit than 0.
func TestPrinted(t *testing.T) {
	for _, v := range []float64{0, 0.0004999, -0.0002, 0.0005, 0.0013, -0.7, 3, 12345} {
		if got, want := format.Printed(v), strings.ContainsAny(format.Plain.Length(v), "123456789"); got != want {
			t.Errorf("%v, written %s: printed %t", v, format.Plain.Length(v), got)
		}
	}
}
