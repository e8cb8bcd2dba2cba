package runner_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"mahlstick/recipe/problem"
)

// dxfWide is a DXF in mm of one LWPOLYLINE; a vertex is x, y and the widths at the ends
// of the segment after it.
func dxfWide(closed int, vertices ...[4]float64) string {
	var b strings.Builder
	fmt.Fprintf(&b, "0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n8\nart\n90\n%d\n70\n%d\n", len(vertices), closed)
	for _, v := range vertices {
		fmt.Fprintf(&b, "10\n%g\n20\n%g\n40\n%g\n41\n%g\n", v[0], v[1], v[2], v[3])
	}
	return b.String() + "0\nENDSEC\n0\nEOF\n"
}

// dxfWideHeavy is the same as POLYLINE and VERTEX, of one width.
func dxfWideHeavy(width float64, points ...[2]float64) string {
	var b strings.Builder
	fmt.Fprintf(&b, "0\nSECTION\n2\nENTITIES\n0\nPOLYLINE\n8\nart\n66\n1\n70\n0\n40\n%g\n41\n%g\n", width, width)
	for _, p := range points {
		fmt.Fprintf(&b, "0\nVERTEX\n8\nart\n10\n%g\n20\n%g\n", p[0], p[1])
	}
	return b.String() + "0\nSEQEND\n8\nart\n0\nENDSEC\n0\nEOF\n"
}

// A polyline with a width ends flat and has pointed corners: as a shape where it is wider
// than the brush, and with a warning where one stroke paints it and they are more
// than a hundredth of the layer. That DXF draws it so is common practice, no source.
func TestWidePolylines(t *testing.T) {
	const w, r = 10.0, 5.0
	cells := map[string]string{"unit": "mm"}
	bent := 10 * math.Hypot(20, 20)
	for _, c := range []struct {
		name, drawing string
		want          float64 // mm²
	}{
		{"flat", dxfWide(0, [4]float64{40, 40, w, w}, [4]float64{70, 40, w, w}), 300},
		{"of vertices", dxfWideHeavy(w, [2]float64{40, 40}, [2]float64{70, 40}), 300},
		{"pointed", dxfWide(0, [4]float64{40, 40, w, w}, [4]float64{70, 40, w, w}, [4]float64{70, 70, w, w}), 600},
		{"slanted", dxfWideHeavy(w, [2]float64{40, 40}, [2]float64{70, 40}, [2]float64{90, 60}), 300 + bent},
		{"closed", dxfWide(1, [4]float64{40, 40, w, w}, [4]float64{80, 40, w, w}, [4]float64{80, 60, w, w}, [4]float64{40, 60, w, w}), 50*30 - 30*10},
		{"back at its start", dxfWide(0, [4]float64{40, 40, w, w}, [4]float64{80, 40, w, w}, [4]float64{80, 60, w, w}, [4]float64{40, 60, w, w}, [4]float64{40, 40, w, w}),
			50*30 - 30*10 - (1-math.Pi/4)*r*r},
	} {
		result, problems := sized(t, "a.dxf", c.drawing, "", cells)
		if result == nil || math.Abs(drawnArea(result)-c.want) > 0.1 || hasCode(problems, problem.RoundedLines) {
			got := 0.0
			if result != nil {
				got = drawnArea(result)
			}
			t.Errorf("%s: %.3f mm², want %.3f; %v", c.name, got, c.want, problems)
		}
	}
	for _, c := range []struct {
		name, drawing string
		want          bool
	}{
		{"flat ends", dxfWide(0, [4]float64{40, 40, 2, 2}, [4]float64{60, 40, 2, 2}), true},                                                    // pi of 40 mm²
		{"a narrow line", dxfWide(0, [4]float64{40, 40, 0.4, 0.4}, [4]float64{100, 40, 0.4, 0.4}), false},                                      // 0.13 of 24 mm²
		{"one end flat", dxfWide(0, [4]float64{40, 40, 0.3, 2}, [4]float64{60, 40, 2, 2}), true},                                               // pi/2 of 23 mm²
		{"two points", dxfWide(0, [4]float64{40, 40, 0.3, 2}, [4]float64{60, 40, 2, 0.3}, [4]float64{80, 40, 0, 0}), false},                    // 0.07 of 46 mm²
		{"an arrow", dxfWide(0, [4]float64{40, 40, 0.4, 0.4}, [4]float64{50, 40, 2, 0.3}, [4]float64{53, 40, 0, 0}), true},                     // 1.2 of 7 mm²
		{"a square", dxfWide(1, [4]float64{40, 40, 2, 2}, [4]float64{46, 40, 2, 2}, [4]float64{46, 46, 2, 2}, [4]float64{40, 46, 2, 2}), true}, // 4 - pi of 48 mm²
	} {
		if result, problems := sized(t, "a.dxf", c.drawing, "", cells); result == nil || hasCode(problems, problem.RoundedLines) != c.want {
			t.Errorf("%s: %v", c.name, problems)
		}
	}
}
