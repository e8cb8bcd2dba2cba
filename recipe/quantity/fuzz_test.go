package quantity_test

import (
	"math"
	"testing"

	"mahlstick/recipe/quantity"
	"mahlstick/recipe/source"
)

// For any text in a cell: nothing panics, every place lies in the cell,
// what is accepted prints so that it reads the same again, and a fix that can
// be applied is no dead end.
func FuzzQuantity(f *testing.F) {
	for _, text := range []string{
		"8 mm", "8mm", "2,4 mm", "1,234 mm", "1.234,5 mm", "1\u202f234,5 mm", "1'234", "½ in", "1 1/2″", "2.40 ± 0.05 mm", "(2.40 +/- 0.05) mm",
		"2.40(5) mm", "2.40 mm ± 2 %", "1 in ± 0.5 mm", "−14.3°", "0.2/mm", "0.2 1/mm", "900 mm/min", "3 mm/s^2", "15 %", "15 ± 2 %", "1e-3 m",
		"8", "8 MM", "8 mm wide", "eight", "", "±", "5'", "- 3⁄8 in", "1e999 mm", "(0.20 ± 0.05)/mm", "2.(5) mm", "1½(5)", "0 ± 0 mm", "-0",
		"1e-15(1) mm", "9.99999999999999999 ± 1e-14 µm", "8 mm²·s⁻¹·g⁻¹", "1/2(3) in",
	} {
		f.Add(text, uint8(1))
	}
	wants := []quantity.Want{
		{Any: true}, quantity.Of(quantity.Length), quantity.Of(quantity.Pure), quantity.Of(quantity.Angle),
		{Dim: quantity.Length, Unit: quantity.Inch, Header: true, Resolution: quantity.New(0.02, quantity.MM)},
	}
	f.Fuzz(func(t *testing.T, text string, which uint8) {
		want := wants[int(which)%len(wants)]
		seen := map[string]bool{}
		for !seen[text] { // one fault at a time is fixed
			seen[text] = true
			file := source.New("a.md", []byte("|"+text+"|"))
			at := file.Place(1, 1+len(text))
			q, list := quantity.Parse(text, at, want)
			if len(list) == 0 {
				printsAgain(t, q, at, want)
				quantity.Header(text, at)
				return
			}
			for _, p := range list {
				if p.Code == "" || p.Message == "" || p.Fix.None() || p.Place.Start < at.Start || p.Place.End > at.End || p.Place.Start > p.Place.End {
					t.Fatalf("%q: %+v", text, p)
				}
			}
			fixed, ok := list[0].Fixed()
			if !ok {
				return
			}
			text = string(fixed[1 : len(fixed)-1])
		}
		t.Fatalf("the fixes of %q go round in a circle", text)
	})
}

// printsAgain checks that a quantity, and its double, is read as it is
// printed.
func printsAgain(t *testing.T, q quantity.Quantity, at source.Place, want quantity.Want) {
	again, list := quantity.Parse(q.String(), at, want)
	if len(list) > 0 || !again.Equal(q) || again.String() != q.String() {
		t.Fatalf("%q is printed %q, which reads as %q %v", at.Text(), q, again, list)
	}
	if x := math.Abs(q.Number()); max(x, q.U(q.Unit())) > 1e14 || x < 1e-14 {
		return // twice of it might be beyond the bounds
	}
	double, err := quantity.Add(q, q)
	if err != nil {
		t.Fatal(err)
	}
	rounded, list := quantity.Parse(double.String(), at, want)
	if len(list) > 0 || rounded.Unit() != q.Unit() {
		t.Fatalf("twice %q is printed %q: %v", at.Text(), double, list)
	}
}
