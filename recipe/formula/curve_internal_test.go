package formula

import (
	"math"
	"testing"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/source"
)

// curvedBrush has a bent curve without uncertainty.
func curvedBrush(t testing.TB) *Brush {
	t.Helper()
	curve, err := brush.Fit([]brush.Mark{{Press: 1, Width: 0.8}, {Press: 2, Width: 1.7}, {Press: 3.5, Width: 2.6}}, 5, 3.2, 0.2)
	if err != nil {
		t.Fatal(err)
	}
	return &Brush{Name: "wide", Curve: curve}
}

// The width at a mark is as sure as the mark; between marks both neighbours
// count; the press asked adds its own doubt by the slope.
func TestCurveUncertainty(t *testing.T) {
	curve, err := brush.Fit([]brush.Mark{{Press: 1, Width: 0.8, UWidth: 0.05}, {Press: 2, Width: 1.6, UWidth: 0.05}}, 4, 3.2, 0)
	if err != nil {
		t.Fatal(err)
	}
	scope := Values{"wide": OfBrush(&Brush{Name: "wide", Curve: curve}),
		"press": OfQuantity(quantity.Measured(1.5, quantity.MM, 0.1, quantity.Reading{File: "p"}))}
	for text, want := range map[string]float64{
		"width_at(wide, 1*mm)":                            0.05,
		"width_at(wide, 1.5*mm)":                          0.05 / math.Sqrt2,
		"width_at(wide, press)":                           math.Hypot(0.05/math.Sqrt2, 0.8*0.1),
		"width_at(wide, 1*mm) - width_at(wide, 1*mm)":     0,
		"press_for(wide, 0.8*mm)":                         0.05 / 0.8,
		"press_for(wide, width_at(wide, press)) - press":  0,
		"width_at(wide, press_for(wide, 1*mm))":           0,
		"width_at(wide, 1.5*mm) - width_at(wide, 1.2*mm)": math.Hypot(0.05*0.3, 0.05*0.3),
	} {
		f, _ := Parse("x", text, source.Place{})
		results, list := Evaluate([]*Formula{f}, scope, 1)
		if len(list) > 0 {
			t.Errorf("%s: %v", text, list)
			continue
		}
		q, _ := results[0].Value.Quantity()
		if got := q.U(quantity.MM); math.Abs(got-want) > 1e-9 {
			t.Errorf("%s has u = %v, want %v", text, got, want)
		}
	}
}

// A width taken from the curve remembers the cells that were measured: at a
// mark it is that reading, and their difference is sure.
func TestCurveRemembersReadings(t *testing.T) {
	curve, err := brush.Fit([]brush.Mark{{Press: 1, Width: 0.8, UWidth: 0.05}}, 4, 3.2, 0)
	if err != nil {
		t.Fatal(err)
	}
	widths := []quantity.Quantity{
		quantity.New(0, quantity.MM),
		quantity.Measured(0.8, quantity.MM, 0.05, quantity.Reading{File: "brush.md", Offset: 10}),
		quantity.Measured(3.2, quantity.MM, 0.05, quantity.Reading{File: "brush.md", Offset: 20}),
	}
	scope := Values{"wide": OfBrush(&Brush{Name: "wide", Curve: curve, Widths: widths}), "widest": OfQuantity(widths[2])}
	f, _ := Parse("x", "width_at(wide, 4*mm) - widest", source.Place{})
	results, list := Evaluate([]*Formula{f}, scope, 1)
	if len(list) > 0 {
		t.Fatal(list)
	}
	if q, _ := results[0].Value.Quantity(); q.Number() != 0 || q.Uncertain() {
		t.Errorf("got %v", q)
	}
}
