package runner_test

import (
	"math"
	"strings"
	"testing"

	"mahlstick/runner"
	"mahlstick/runner/stroke"
)

// A layer that asks for the widest mark leaves the brush its reserve: no Z of
// the program is deeper, the proof holds it to that, and what stays bare is
// listed as held back. With a reserve of 0 mm it is pressed to the safe press.
func TestReserveOfPress(t *testing.T) {
	for _, row := range []string{"", "| reserve | 0 mm |", "| reserve | 1 mm |"} {
		studio, _ := pond(t)
		recipe := oneLayer(t, studio, "lines", "leave", `<path d="M20 63h50" fill="none" stroke="black" stroke-linecap="round" stroke-width="4"/>`)
		rewrite(t, recipe, func(line string) string {
			if row != "" && strings.HasPrefix(line, "| safe press") {
				return line + "\n" + row
			}
			return line
		})
		r := mustRun(t, recipe, runner.Options{})
		l := r.Layers[0]
		brush := l.Model.Brush
		// bed ± 0.15 mm, touch ± 0.1 mm; a reserve that is stated replaces that
		want := map[string]float64{"": 2 * math.Hypot(0.1, r.Job.Machine.Bed/math.Sqrt(3)), "| reserve | 1 mm |": 1}[row]
		if math.Abs(brush.Reserve-want) > 1e-12 || r.Failed() {
			t.Errorf("%q: reserve %g, want %g", row, brush.Reserve, want)
		}
		if deepest := -l.Measures.Lowest; deepest > 8-want || deepest < 8-want-0.002 {
			t.Errorf("%q: pressed %g mm, want %g", row, deepest, 8-want)
		}
		held, area := 0, 0.0
		for _, m := range l.Remarks {
			if m.Reason == stroke.HeldBack {
				held++
				area += m.Area
			}
		}
		// J. Steiner's formula for the area around a curve.
		around := func(w float64) float64 { return 50*w + math.Pi*w*w/4 }
		bare := around(4) - around(brush.WidestPainted())
		if held != map[bool]int{true: 1}[want > 0] || math.Abs(area-bare) > 0.05 || math.Abs(l.Plan.Drawn-l.Painted-bare) > 0.05 {
			t.Errorf("%q: %d places held back, %.2f mm², want %.2f", row, held, area, bare)
		}
	}
}
