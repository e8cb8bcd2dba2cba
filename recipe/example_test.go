package recipe_test

import (
	"fmt"
	"os"
	"testing/fstest"

	"mahlstick/recipe"
	"mahlstick/recipe/problem"
)

func ExampleRead() {
	studio := fstest.MapFS{
		"reeds/reeds.dxf": {Data: []byte("0\nEOF\n")},
		"reeds/reeds.md": {Data: []byte(`# Reeds
## Sheet
| sheet | |
|---|---|
| size | A5 landscape |

## Machine
| machine | |
|---|---|
| reach x | 280 mm |
| reach y | 400 mm |
| reach z | 60 mm |

## Registration
| mark | x | y | size |
|---|---|---|---|
| corner | 15 mm | 15 mm | 8 mm |

## Brush: fine sable
| brush | |
|---|---|
| widest mark | 2.40 ± 0.05 mm |
| safe press | 5.0 mm |

## Layers
| layer | drawing | brush | ink | feed |
|---|---|---|---|---|
| reeds | [reeds](reeds.dxf) | fine sable | ochre | ` + "`0.8 * 750*mm/min`" + ` |
`)},
	}
	job, problems := recipe.Read(studio, "reeds/reeds.md")
	if problems.HasErrors() {
		_ = problem.Print(os.Stdout, problems)
		return
	}
	layer := job.Layers[0]
	fmt.Printf("%s on %s, %s, %g mm/min\n", job.Title, job.Sheet.Size, layer.Ink.Hex, layer.Feed)
	press, err := layer.Brush.Curve.PressFor(1.2)
	fmt.Printf("a mark of 1.2 mm takes a press of %g mm (%v)\n", press, err)
	for _, w := range job.Workings[1:4] {
		fmt.Printf("%s = %s = %s = %s\n", w.Name, w.Formula, w.Filled, w.Result)
	}
	// Output:
	// Reeds on A5 landscape, #c08a3e, 600 mm/min
	// a mark of 1.2 mm takes a press of 2.5 mm (<nil>)
	// fine_sable.half_width = fine_sable.widest_mark / 2 = 2.40 mm / 2 = 1.200 ± 0.025 mm
	// fine_sable.slant = sqrt(fine_sable.half_width^2 + fine_sable.safe_press^2) = sqrt((1.2 mm)^2 + (5.0 mm)^2) = 5.1420 ± 0.0058 mm
	// fine_sable.taper = asin(fine_sable.half_width / fine_sable.slant) = asin(1.2 mm / 5.14198 mm) = 13.50 ± 0.27°
}
