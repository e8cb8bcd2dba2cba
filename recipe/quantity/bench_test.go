package quantity_test

import (
	"testing"

	"mahlstick/recipe/quantity"
	"mahlstick/recipe/source"
)

// The cells of a swatch and of a table of layers.
func BenchmarkParse(b *testing.B) {
	cells := []string{"8 mm", "2.40 ± 0.05 mm", "750 mm/min", "1'234.5 mm", "0.02 mm", "15 %", "14.3°", "2.40(5) mm", "1½ in", "100 mm/s²"}
	b.ReportAllocs()
	for b.Loop() {
		for _, text := range cells {
			if _, list := quantity.Parse(text, source.Place{}, quantity.Want{Any: true}); len(list) > 0 {
				b.Fatal(list)
			}
		}
	}
}

func BenchmarkParseUnit(b *testing.B) {
	units := []string{"mm", "mm/min", "mm/s²", "°", "1/mm", "mm/s^2", "in"}
	b.ReportAllocs()
	for b.Loop() {
		for _, text := range units {
			if _, err := quantity.ParseUnit(text); err != nil {
				b.Fatal(err)
			}
		}
	}
}
