package recipe_test

import (
	"math"
	"testing"
	"testing/fstest"

	"mahlstick/recipe"
)

// The lag of a brush is that of its swatch, else of its row; what the recipe
// states itself overrides what its linked notebook states.
func TestLag(t *testing.T) {
	const head = "# Fine sable\n## Brush\n| brush | |\n|---|---|\n| widest mark | 2.4 mm |\n| safe press | 5 mm |\n"
	const swatch = "\n## Swatch\n| press | width | lag |\n|---|---|---|\n| 1 mm | 0.6 mm | 0.4 mm |\n| 2 mm | 1.2 mm | |\n| 3 mm | 1.6 mm | 1.4 mm |\n"
	const own = "## Brush: fine sable\n[Fine sable](../brushes/fine-sable.md), shortened.\n\n| brush | |\n|---|---|\n| lag | 2 mm |\n\n## Layers"
	tests := []struct {
		name, brush, layers string
		at1, at2, at5       float64
	}{
		{"none", head, "## Layers", 0, 0, 0},
		{"a row", head + "| lag | 1.5 mm |\n", "## Layers", 1.5, 1.5, 1.5},
		{"a formula", head + "| lag | `sqrt(3^2 - 2^2) * mm` |\n", "## Layers", 2.23606797749979, 2.23606797749979, 2.23606797749979},
		{"a swatch", head + swatch, "## Layers", 0.4, 0.9, 1.4},
		{"a swatch, overridden by a row", head + swatch, own, 2, 2, 2},
		{"a row, overridden by a row", head + "| lag | 1.5 mm |\n", own, 2, 2, 2},
	}
	for _, c := range tests {
		t.Run(c.name, func(t *testing.T) {
			root := studio(t)
			root["brushes/fine-sable.md"] = &fstest.MapFile{Data: []byte(c.brush)}
			root["heron/reeds.md"] = &fstest.MapFile{Data: []byte("# Reeds\n\n## Sheet\n| sheet | |\n|---|---|\n| size | A5 landscape |\n\n## Machine\n[m](../machines/bench-router.md)\n\n## Registration\n| mark | x | y | size |\n|---|---|---|---|\n| corner | 15 mm | 15 mm | 8 mm |\n\n" +
				c.layers + "\n| layer | drawing | brush | ink | feed |\n|---|---|---|---|---|\n| reeds | [reeds](reeds.dxf) | [fine sable](../brushes/fine-sable.md) | ochre | 900 mm/min |\n")}
			job, problems := recipe.Read(root, "heron/reeds.md")
			if problems.HasErrors() {
				t.Fatal(problems)
			}
			lag := job.Layers[0].Brush.Lag
			if max(math.Abs(lag.At(1)-c.at1), math.Abs(lag.At(2)-c.at2), math.Abs(lag.At(5)-c.at5)) > 1e-12 {
				t.Errorf("the lag is %g, %g, %g mm at 1, 2, 5 mm; want %g, %g, %g", lag.At(1), lag.At(2), lag.At(5), c.at1, c.at2, c.at5)
			}
		})
	}
}
