package runner_test

import (
	"math"
	"testing"

	"mahlstick/recipe/problem"
)

// A stroke that is stretched unevenly with its line covers the image of what it covered
// before (SVG 2, 13.5.3: a stroke is made in the coordinates of its element; from memory):
// its area is that times the determinant, and it reaches as far as the image does. A
// stroke that keeps its width stays a line, and so does every line of a layer that gives
// the width.
func TestStretchedStrokes(t *testing.T) {
	const (
		bar    = `<path d="M20 10h15" fill="none" stroke="black" stroke-width="4" `
		frame  = `<rect x="15" y="10" width="30" height="20" fill="none" stroke="black" stroke-width="1" `
		double = `<g transform="scale(2 1)">`
		under  = `<rect x="30" y="10" width="60" height="40" fill="black"/>`
	)
	for _, c := range []struct {
		name, body string
		cells      map[string]string
		area       float64    // mm², 0 for lines
		box        [4]float64 // mm, the page's lower left corner at 0, 0
	}{
		{"along", double + bar + `/></g>`, nil, 120, [4]float64{40, 68, 70, 72}},
		{"across", double + `<path d="M20 10v15" stroke="black" stroke-width="4"/></g>`, nil, 120, [4]float64{36, 55, 44, 70}},
		{"with square ends", double + bar + `stroke-linecap="square"/></g>`, nil, 152, [4]float64{36, 68, 74, 72}},
		{"with round ends", double + bar + `stroke-linecap="round"/></g>`, nil, 120 + 8*math.Pi, [4]float64{36, 68, 74, 72}},
		{"a disc", double + `<path d="M20 10h0" stroke="black" stroke-width="8" stroke-linecap="round"/></g>`, nil, 32 * math.Pi, [4]float64{32, 66, 48, 74}},
		// x goes to x - y, where y is 8 to 12.
		{"skewed", `<g transform="skewX(-45)">` + `<path d="M40 10h15" stroke="black" stroke-width="4"/></g>`, nil, 60, [4]float64{28, 68, 47, 72}},
		{"an ellipse", double + `<circle cx="30" cy="30" r="12" fill="none" stroke="black" stroke-width="2"/></g>`, nil, 2 * math.Pi * (169 - 121), [4]float64{34, 37, 86, 63}},
		{"a thin frame", double + frame + `/></g>`, nil, 2 * (31*21 - 29*19), [4]float64{29, 49.5, 91, 70.5}},
		{"with cut corners", double + frame + `stroke-linejoin="bevel"/></g>`, nil, 2 * (31*21 - 29*19 - 4*0.125), [4]float64{29, 49.5, 91, 70.5}},
		{"mirrored and turned", `<g transform="translate(100 20) rotate(90) scale(-1 .5)">` + `<path d="M0 10h-15" stroke="black" stroke-width="8"/></g>`, nil, 60, [4]float64{93, 45, 97, 60}},
		{"in an inner picture", `<svg x="30" y="20" width="80" height="20" viewBox="0 0 40 20" preserveAspectRatio="none">` + bar + `/></svg>`, nil, 120, [4]float64{70, 48, 100, 52}},
		{"cut off at the page", double + `<path d="M-9 10h25" stroke="black" stroke-width="4"/></g>`, map[string]string{"cut to": "page"}, 128, [4]float64{0, 68, 32, 72}},
		{"cut off at a clip", `<clipPath id="c"><rect x="43.2" y="0" width="20" height="80"/></clipPath><g clip-path="url(#c)">` + double + `<path d="M20 10v15" stroke="black" stroke-width="4"/></g></g>`,
			map[string]string{"cut to": "clip"}, 12, [4]float64{43.2, 55, 44, 70}},
		{"hides", under + double + `<path d="M20 20v15" stroke="white" stroke-width="4"/></g>`, map[string]string{"covered": "leave"}, 2400 - 120, [4]float64{30, 30, 90, 70}},
		{"partly hidden", double + bar + `/></g><rect x="60" y="0" width="20" height="20" fill="white"/>`, map[string]string{"covered": "leave"}, 80, [4]float64{40, 68, 60, 72}},
		{"outlines as lines", double + frame + `/></g>`, map[string]string{"outlines": "lines"}, 2 * (31*21 - 29*19), [4]float64{29, 49.5, 91, 70.5}},
		{"not stretched", double + `<path d="M20 10h15" stroke="black" stroke-width="1" vector-effect="non-scaling-stroke" stroke-linecap="round"/></g>`, nil, 0, [4]float64{40, 70, 70, 70}},
		{"by the layer's width", double + bar + `/></g>`, map[string]string{"width": "1 mm"}, 0, [4]float64{40, 70, 70, 70}},
	} {
		cells := map[string]string{"offset x": "20 mm", "offset y": "20 mm"}
		for word, text := range c.cells {
			cells[word] = text
		}
		drawing := `<svg xmlns="http://www.w3.org/2000/svg" width="160mm" height="80mm" viewBox="0 0 160 80">` + c.body + `</svg>`
		r, problems := sized(t, "a.svg", drawing, "", cells)
		if r == nil {
			t.Errorf("%s: %v", c.name, problems)
			continue
		}
		l := &r.Layers[0]
		if c.area == 0 != (len(l.Regions.Regions) == 0) || c.area > 0 && math.Abs(drawnArea(r)-c.area) > 0.1 {
			t.Errorf("%s: %.3f mm² in %d regions, want %.3f", c.name, drawnArea(r), len(l.Regions.Regions), c.area)
		}
		if l.Cover.Coverage < 0.985 || l.Cover.Excess > 0.015 {
			t.Errorf("%s: covers %.4f, spills %.4f of what is drawn", c.name, l.Cover.Coverage, l.Cover.Excess)
		}
		if hasCode(problems, problem.StretchedWidth) || hasCode(problems, problem.FlatEnds) || hasCode(problems, problem.RoundedLines) {
			t.Errorf("%s: %v", c.name, problems)
		}
		if c.cells["covered"] != "" {
			continue
		}
		box := extent(t, r)
		for i := range box {
			if math.Abs(box[i]-20-c.box[i]) > 0.0015 {
				t.Errorf("%s: drawn at %.3f, want %.3f from the corner of the page at 20, 20", c.name, box, c.box)
				break
			}
		}
	}
}
