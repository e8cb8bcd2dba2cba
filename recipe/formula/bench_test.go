package formula_test

import (
	"fmt"
	"strings"
	"testing"

	"mahlstick/recipe/formula"
	"mahlstick/recipe/source"
)

// recipeOf writes n formulas of the kind that recipes have.
func recipeOf(n int) string {
	var b strings.Builder
	for i := range n {
		switch i % 5 {
		case 0:
			fmt.Fprintf(&b, "reading%d = 2.%d0 ± 0.05 mm\n", i, i%10)
		case 1:
			fmt.Fprintf(&b, "half%d = reading%d / 2 + fine_sable.widest_mark * 0.01\n", i, i-1)
		case 2:
			fmt.Fprintf(&b, "slant%d = sqrt(half%d^2 + fine_sable.safe_press^2)\n", i, i-1)
		case 3:
			fmt.Fprintf(&b, "taper%d = asin(half%d / slant%d)\n", i, i-2, i-1)
		default:
			fmt.Fprintf(&b, "feed%d = taper%d > 10*deg ? 0.8 * 750*mm/min : 900*mm/min\n", i, i-1)
		}
	}
	return b.String()
}

// 2,000 formulas read, checked, worked out and shown.
func BenchmarkRecipe(b *testing.B) {
	text := recipeOf(2000)
	scope := fineSable(b)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		made, list := lines(source.New("a.md", []byte(text)))
		_, more := formula.Evaluate(made, scope, 1)
		if len(list)+len(more) > 0 {
			b.Fatal(list, more)
		}
	}
}

func BenchmarkParse(b *testing.B) {
	text := recipeOf(2000)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		if _, list := lines(source.New("a.md", []byte(text))); len(list) > 0 {
			b.Fatal(list)
		}
	}
}

// 100,000 widths along a stroke.
func BenchmarkAlong(b *testing.B) {
	a := compile(b, "0.4*mm + fine_sable.widest_mark * sin(180*deg*along)^2 / (1 + abs(bend)*mm) + tremor(3, 0.05*mm)", fineSable(b))
	b.ReportAllocs()
	for b.Loop() {
		for i := range 100_000 {
			along := float64(i) / 100_000
			if _, err := a.WidthAt(0, along, along*60, 60, 0.01); err != nil {
				b.Fatal(err)
			}
		}
	}
}
