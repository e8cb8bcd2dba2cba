package runner_test

import (
	"math"
	"strings"
	"testing"

	"mahlstick/recipe/problem"
)

// What a DXF wipes out is left bare where the layer leaves what is covered, and
// pointed out elsewhere; what is drawn after it is painted. Areas against closed
// forms.
func TestWipeout(t *testing.T) {
	solid := func(x, y, w, h float64) string {
		return "0\nSOLID\n8\nart\n10\n" + short(x) + "\n20\n" + short(y) + "\n11\n" + short(x+w) + "\n21\n" + short(y) + "\n12\n" + short(x) + "\n22\n" + short(y+h) + "\n13\n" + short(x+w) + "\n23\n" + short(y+h) + "\n"
	}
	// A pixel of 20 x 10 mm from 50, 45 on.
	const pixel = "0\nWIPEOUT\n8\nart\n10\n50\n20\n45\n11\n20\n21\n0\n12\n0\n22\n10\n13\n1\n23\n1\n"
	for _, c := range []struct {
		name, boundary string
		hidden         float64
	}{
		{"all of it", "", 200},
		{"a rectangle", "71\n1\n91\n2\n14\n-0.5\n24\n-0.5\n14\n0.0\n24\n0.0\n", 50},
		{"a triangle, its upper corner at the left", "71\n2\n91\n4\n14\n-0.5\n24\n-0.5\n14\n-0.5\n24\n0.5\n14\n0.5\n24\n0.5\n14\n-0.5\n24\n-0.5\n", 100},
	} {
		file := "0\nSECTION\n2\nENTITIES\n" + solid(40, 40, 60, 40) + pixel + c.boundary + solid(110, 40, 10, 10) + "0\nENDSEC\n0\nEOF\n"
		cells := map[string]string{"unit": "mm", "covered": "leave"}
		r, problems := sized(t, "a.dxf", file, "", cells)
		if r == nil || math.Abs(drawnArea(r)-(2500-c.hidden)) > 1 || hasCode(problems, problem.HiddenShape) {
			t.Errorf("%s: %v", c.name, problems)
		}
		if c.name == "all of it" { // and what is drawn later lies on top of it
			r, problems := sized(t, "a.dxf", strings.Replace(file, "0\nENDSEC", solid(50, 45, 10, 10)+"0\nENDSEC", 1), "", cells)
			if r == nil || math.Abs(drawnArea(r)-2400) > 1 {
				t.Errorf("painted again: %v", problems)
			}
		}
		delete(cells, "covered")
		r, problems = sized(t, "a.dxf", file, "", cells)
		if r == nil || math.Abs(drawnArea(r)-2500) > 1 || !hasCode(problems, problem.HiddenShape) {
			t.Errorf("%s, painted: %v", c.name, problems)
		}
	}
}

// A line whose one width the layer gives ends at the edge of what is wiped out, as one with a width
// of its own does: a band with one round end, 1 mm wide and 20 mm long. One whose width
// varies is parted there.
func TestWipedOutLines(t *testing.T) {
	const file = "0\nSECTION\n2\nENTITIES\n0\nLINE\n8\nart\n10\n30\n20\n50\n11\n60\n21\n50\n" +
		"0\nWIPEOUT\n8\nart\n10\n50\n20\n45\n11\n20\n21\n0\n12\n0\n22\n10\n13\n1\n23\n1\n0\nENDSEC\n0\nEOF\n"
	cells := map[string]string{"unit": "mm", "covered": "leave"}
	for _, c := range []struct {
		width string
		lines int
		area  float64
	}{{"1 mm", 0, 20 + math.Pi/8}, {"`1*mm`", 0, 20 + math.Pi/8}, {"`1*mm + 0.5*mm*along`", 1, 0}} {
		cells["width"] = c.width
		r, problems := sized(t, "a.dxf", file, "", cells)
		if r == nil || len(r.Layers[0].Lines) != c.lines || c.area > 0 && math.Abs(drawnArea(r)-c.area) > 0.02 {
			t.Errorf("%s: %v", c.width, problems)
		}
	}
}
