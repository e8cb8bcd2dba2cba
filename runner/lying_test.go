package runner_test

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/recipe/problem"
	"mahlstick/runner"
)

// tilted is a bed that is tilted and bowed: its height (mm) at a place, A4.
type tilted struct{ tiltX, tiltY, bowX, bowY float64 }

func (b tilted) at(x, y float64) float64 {
	u, v := x/105-1, y/148.5-1
	return b.tiltX*u/2 + b.tiltY*v/2 + b.bowX*(1-u*u) + b.bowY*(1-v*v)
}

// flatness is a table of nine touches, without errors.
func (b tilted) flatness() string {
	out := "\n## Flatness\n\n| x | y | height |\n|---|---|---|\n"
	for _, x := range []float64{6, 105, 204} {
		for _, y := range []float64{6, 148.5, 291} {
			out += fmt.Sprintf("| %g mm | %g mm | %.4f ± 0.01 mm |\n", x, y, b.at(x, y)-b.at(12, 12))
		}
	}
	return out
}

// Whatever a sheet is moved, turned and grown, before a layer or within it, and however
// the bed is tilted and bowed: a program stays within the reach, on the sheet within
// its margins, and nowhere below the safe press at the true surface; or the job is
// refused with what to do. The true sheet and the true bed are those of the test.
func TestSheetAndBed(t *testing.T) {
	painted, refused := 0, 0
	rapid.Check(t, func(rt *rapid.T) {
		l := drawLying(rt)
		r, problems, err := runner.Run(l.recipe(t), runner.Options{})
		if err != nil {
			rt.Fatal(err)
		}
		if r == nil {
			refused++
			for _, p := range problems {
				if !p.Place.Known() || p.Fix.Advice == "" {
					rt.Fatalf("refused without a place or what to do: %v", p)
				}
			}
			return
		}
		painted++
		l.check(t, rt, r, slices.ContainsFunc(problems, func(p problem.Problem) bool { return p.Code == problem.BeyondHeights }))
	})
	t.Logf("%d painted, %d refused", painted, refused)
	if painted < 10 {
		t.Errorf("only %d jobs were not refused", painted)
	}
}

// lying is a sheet on a bed, moved before the second layer or within it.
type lying struct {
	sheet driedSheet
	bed   tilted
	from  int // stroke; 0 or 1 for all of the layer
}

func drawLying(t *rapid.T) lying {
	within := func(most float64, name string) float64 { return rapid.Float64Range(-most, most).Draw(t, name) }
	return lying{
		driedSheet{turn: within(5*math.Pi/180, "turn"), growX: 1 + within(0.005, "growth"), growY: 1 + within(0.005, "growth"),
			shiftX: within(20, "shift"), shiftY: within(20, "shift"), tipX: within(3, "tip"), tipY: within(3, "tip")},
		tilted{within(1.5, "tilt"), within(1.5, "tilt"), within(1.5, "bow"), within(1.5, "bow")},
		rapid.IntRange(0, dried).Draw(t, "from"),
	}
}

// dried is how many strokes the second layer of driedStudio has.
const dried = 35

// recipe writes the job.
func (l lying) recipe(t testing.TB) string {
	seating := l.sheet.table([]string{"one", "two", "three", "four"}, func() float64 { return 0 })
	if l.from > 1 {
		seating = strings.Replace(seating, "| layer | mark | x | y | zero |\n|---", "| layer | from | mark | x | y | zero |\n|---|---", 1)
		seating = strings.ReplaceAll(strings.Replace(seating, "| key |", fmt.Sprintf("| key | %d |", l.from), 1), "\n|  |", "\n|  |  |")
	}
	recipe := driedStudio(t, l.sheet, "grain", "\n## Seating\n"+seating+l.bed.flatness())
	text, err := os.ReadFile(recipe)
	if err != nil {
		t.Fatal(err)
	}
	text = []byte(strings.Replace(string(text), "| growth |", "| touch-off x | 12 mm |\n| touch-off y | 12 mm |\n| growth |", 1))
	if err := os.WriteFile(recipe, text, 0o644); err != nil {
		t.Fatal(err)
	}
	return recipe
}

// check holds the programs of the second layer against the true sheet and bed.
func (l lying) check(t testing.TB, rt *rapid.T, r *runner.Result, warned bool) {
	programs := map[string]driedSheet{string(r.Layers[1].Program): l.sheet}
	if l.from > 1 {
		programs[string(r.Layers[1].Program)] = driedSheet{growX: 1, growY: 1, tipX: l.sheet.tipX, tipY: l.sheet.tipY}
		programs[string(r.GoesOn[0].Program)] = l.sheet
	}
	strokes := 0
	for program, lies := range programs {
		for _, stroke := range strokesOf(t, []byte(program)) {
			strokes++
			for _, at := range stroke {
				checkPlace(rt, at, lies, l.bed, warned)
			}
		}
	}
	if strokes != dried {
		rt.Fatalf("%d strokes, not %d", strokes, dried)
	}
	for _, c := range r.Checks {
		if !c.OK {
			rt.Fatalf("%s: %+v", c.Program, c)
		}
	}
}

// checkPlace holds one place of the axis against the true sheet and the true bed.
// warned says that the job warned of heights that were not touched.
func checkPlace(t *rapid.T, at axesAt, s driedSheet, b tilted, warned bool) {
	const (
		safe, margin = 5.0, 8.0
		half         = 0.4   // of the lines' width
		slack        = 0.035 // of the tolerance, readings and rounding
		followed     = 0.012 // of Z to the surface, and a last decimal
	)
	if at.x < 0 || at.y < 0 || at.x > 300 || at.y > 400 {
		t.Fatalf("X%.3f Y%.3f is out of reach", at.x, at.y)
	}
	x, y := s.painted(at.x, at.y)
	if low, right, up := margin+half-slack, 210-margin-half+slack, 297-margin-half+slack; x < low || y < low || x > right || y > up {
		t.Fatalf("paints at %.3f, %.3f on the sheet", x, y)
	}
	bedX, bedY := at.x+s.tipX, at.y+s.tipY
	if bedX < 0 || bedY < 0 || bedX > 210 || bedY > 297 { // beyond the sheet at its stops
		if !warned {
			t.Fatalf("%.1f, %.1f on the bed was not touched, and nothing warns of it", bedX, bedY)
		}
		return
	}
	if press := b.at(bedX, bedY) - b.at(12, 12) - at.z; press > safe+followed {
		t.Fatalf("pressed %.3f mm at %.1f, %.1f on the bed", press, bedX, bedY)
	}
}
