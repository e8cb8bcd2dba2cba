package runner_test

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"mahlstick/runner"
	"mahlstick/runner/stage"
	"mahlstick/runner/stroke"
)

// laneColumns are the cells of the recipe about wide places, and what comes of
// them.
type laneColumns struct {
	lanes, angle, margin, edges string
	way, narrower               float64 // degrees, mm
}

// The columns of the recipe about wide places change the programs as they say:
// read back, the lanes run at the angle and keep the margin, and the picture is
// painted whole every time.
func TestLanes(t *testing.T) {
	for _, c := range []laneColumns{
		{"follow", "", "", "", 0, 0}, {"follow", "", "", "first", 0, 0}, {"straight", "30°", "", "last", 30, 0},
		{"straight", "-45°", "0.3 mm", "first", -45, 0.3}, {"both", "90°", "0.2 mm", "", 90, 0.2},
	} {
		t.Run(c.cells(" "), func(t *testing.T) {
			r := mustRun(t, c.recipe(t), runner.Options{})
			if r.Failed() {
				t.Error("a check fails")
			}
			c.check(t, r.Layers[0])
		})
	}
}

func (c laneColumns) cells(between string) string {
	return strings.Join([]string{c.lanes, c.angle, c.margin, c.edges}, between)
}

// recipe is a lesson with the columns in its table of layers.
func (c laneColumns) recipe(t *testing.T) string {
	_, demo := heron(t)
	recipe := filepath.Join(filepath.Dir(filepath.Dir(demo)), "guide", "07-wide-and-thin.md")
	rewrite(t, recipe, func(line string) string {
		switch {
		case strings.HasPrefix(line, "| layer |"):
			line += " lanes | lane angle | lane margin | edges |"
		case strings.HasPrefix(line, "|-------|----"):
			line += "---|---|---|---|"
		case strings.HasPrefix(line, "| cat   |"):
			line += " " + c.cells(" | ") + " |"
		}
		return line
	})
	return recipe
}

func (c laneColumns) check(t *testing.T, l stage.Proven) {
	if l.Cover.Coverage < 0.997 || l.Cover.Excess > 0.006 {
		t.Errorf("covers %.2f %%, spills %.2f %%", 100*l.Cover.Coverage, 100*l.Cover.Excess)
	}
	if want := min(l.Model.Brush.WidestMark-c.narrower, l.Model.Brush.WidestPainted()); math.Abs(l.Measures.Widest-want) > 0.003 {
		t.Errorf("the widest mark is %.3f mm, want %.3f", l.Measures.Widest, want)
	}
	lanes, atAngle := 0, 0
	for i, s := range l.Motion.Strokes {
		if s.Kind != stroke.Lane || len(s.Moves) != 4 {
			continue
		}
		lanes++
		from, to := l.Measures.Strokes[i].From, l.Measures.Strokes[i].To
		way := math.Atan2(to.Y-from.Y, to.X-from.X) * 180 / math.Pi
		if off := math.Mod(way-c.way+720, 180); off < 1 || off > 179 {
			atAngle++
		}
	}
	if c.lanes == "follow" && atAngle > 3 || c.lanes != "follow" && (atAngle < 10 || atAngle < lanes*9/10) {
		t.Errorf("%d of %d lanes of two points run at %g°", atAngle, lanes, c.way)
	}
}

// A square with a narrow arm is painted with lanes and a stroke: the program
// paints the stroke first, or last, as the recipe says.
func TestEdges(t *testing.T) {
	for _, c := range []struct {
		edges string
		first stroke.Kind
	}{{"", stroke.Lane}, {"last", stroke.Lane}, {"first", stroke.Main}} {
		studio, recipe := pond(t)
		shape := `<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="148mm" viewBox="0 0 210 148"><rect x="11" y="129" width="8" height="8"/>` +
			`<path d="M60 60h20v9h50v1.2h-50v9.8h-20z"/></svg>`
		if err := os.WriteFile(filepath.Join(studio, "pond", "flag.svg"), []byte(shape), 0o644); err != nil {
			t.Fatal(err)
		}
		text, err := os.ReadFile(recipe)
		if err != nil {
			t.Fatal(err)
		}
		head, _, _ := strings.Cut(string(text), "## Layers")
		body := head + "## Layers\n\n| layer | drawing | brush | ink | edges |\n|---|---|---|---|---|\n| flag | [flag](flag.svg) | [sable](../brushes/sable.md) | moss | " + c.edges + " |\n"
		if err := os.WriteFile(recipe, []byte(body), 0o644); err != nil {
			t.Fatal(err)
		}
		l := mustRun(t, recipe, runner.Options{}).Layers[0]
		var kinds []stroke.Kind
		for _, s := range l.Motion.Strokes {
			if s.Kind == stroke.Corner {
				continue
			}
			if n := len(kinds); n == 0 || kinds[n-1] != s.Kind {
				kinds = append(kinds, s.Kind)
			}
		}
		if len(kinds) != 2 || kinds[0] != c.first {
			t.Errorf("edges %q: painted in the order %v", c.edges, kinds)
		}
		if l.Cover.Coverage < 0.99 {
			t.Errorf("edges %q: covers %.2f %%", c.edges, 100*l.Cover.Coverage)
		}
	}
}
