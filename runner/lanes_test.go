package runner_test

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"mahlstick/recipe/model"
	"mahlstick/runner"
	"mahlstick/runner/stroke"
)

// The columns of the recipe about wide places change the programs as they say:
// read back, the lanes run at the angle, keep the margin, and come in the order
// that was asked for, and the picture is painted whole every time.
func TestLanes(t *testing.T) {
	for _, c := range []struct {
		lanes, angle, margin, edges string
	}{
		{"follow", "", "", ""}, {"follow", "", "", "first"}, {"straight", "30°", "", "last"},
		{"straight", "-45°", "0.3 mm", "first"}, {"both", "90°", "0.2 mm", ""},
	} {
		t.Run(strings.Join([]string{c.lanes, c.angle, c.margin, c.edges}, " "), func(t *testing.T) {
			_, demo := heron(t)
			recipe := filepath.Join(filepath.Dir(filepath.Dir(demo)), "guide", "07-wide-and-thin.md")
			text, err := os.ReadFile(recipe)
			if err != nil {
				t.Fatal(err)
			}
			var out strings.Builder
			for line := range strings.Lines(string(text)) {
				line = strings.TrimRight(line, "\n")
				switch {
				case strings.HasPrefix(line, "| layer |"):
					line += " lanes | lane angle | lane margin | edges |"
				case strings.HasPrefix(line, "|-------|----"):
					line += "---|---|---|---|"
				case strings.HasPrefix(line, "| cat   |"):
					line += " " + strings.Join([]string{c.lanes, c.angle, c.margin, c.edges}, " | ") + " |"
				}
				out.WriteString(line + "\n")
			}
			if err := os.WriteFile(recipe, []byte(out.String()), 0o644); err != nil {
				t.Fatal(err)
			}
			r := mustRun(t, recipe, runner.Options{})
			if r.Failed() {
				t.Error("a check fails")
			}
			l := r.Layers[0]
			if l.Cover.Coverage < 0.997 || l.Cover.Excess > 0.006 {
				t.Errorf("covers %.2f %%, spills %.2f %%", 100*l.Cover.Coverage, 100*l.Cover.Excess)
			}
			if want := l.Model.Brush.WidestMark - l.Model.LaneMargin; math.Abs(l.Measures.Widest-want) > 0.003 {
				t.Errorf("the widest mark is %.3f mm, want %.3f", l.Measures.Widest, want)
			}
			at, straight, lanes := 0, 0, map[int]bool{}
			for i, s := range l.Motion.Strokes {
				lanes[s.Shape] = lanes[s.Shape] || s.Kind == stroke.Lane
				from, to := l.Measures.Strokes[i].From, l.Measures.Strokes[i].To
				if s.Kind != stroke.Lane || len(s.Moves) != 4 {
					continue
				}
				at++
				way := math.Atan2(to.Y-from.Y, to.X-from.X) * 180 / math.Pi
				if off := math.Mod(way-l.Model.LaneAngle+720, 180); off < 1 || off > 179 {
					straight++
				}
			}
			if l.Model.Lanes != model.Follow && (straight < 10 || straight < at*9/10) || l.Model.Lanes == model.Follow && straight > 3 {
				t.Errorf("%d of %d lanes of two points run at %g°", straight, at, l.Model.LaneAngle)
			}
			was := map[int]stroke.Kind{}
			for _, s := range l.Motion.Strokes {
				if s.Kind != stroke.Lane && s.Kind != stroke.Main || !lanes[s.Shape] {
					continue
				}
				if before, seen := was[s.Shape]; seen && before != s.Kind && (s.Kind == stroke.Lane) != l.Model.EdgesFirst {
					t.Errorf("stroke %d, a %v, comes behind a %v", s.Number, s.Kind, before)
				}
				was[s.Shape] = s.Kind
			}
		})
	}
}
