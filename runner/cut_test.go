package runner_test

import (
	"math"
	"strings"
	"testing"

	"mahlstick/recipe/problem"
	"mahlstick/runner"
)

// drawnArea is the area that the first layer draws, in mm².
func drawnArea(r *runner.Result) float64 { return r.Layers[0].Plan.Drawn }

// What reaches over the page, over a clip or over the margins is cut off, and
// the rest is painted: areas against closed forms.
func TestCutTo(t *testing.T) {
	// A page of 160 x 80 mm; its lower left corner is 20 mm right and up.
	svg := func(body string) string {
		return `<svg xmlns="http://www.w3.org/2000/svg" width="160mm" height="80mm" viewBox="0 0 160 80">` + body + `</svg>`
	}
	on := map[string]string{"offset x": "20 mm", "offset y": "20 mm"}
	const clips = `<clipPath id="c"><circle cx="80" cy="40" r="30"/></clipPath><clipPath id="b"><rect x="10" y="10" width="20" height="20"/></clipPath>` +
		`<clipPath id="two" clip-path="url(#c)"><rect width="80" height="80"/></clipPath><clipPath id="box" clipPathUnits="objectBoundingBox"><path d="M0 0H1L0 1z"/></clipPath>` +
		`<clipPath id="odd"><path clip-rule="evenodd" d="M20 20h40v40h-40zM30 30h20v20h-20z"/></clipPath>`
	// A square of 40 mm, moved by 60, 50, under a clip of 10 mm in its middle.
	const clippedBlock = "0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n2\nb\n10\n0\n20\n0\n0\nSOLID\n8\nart\n10\n0\n20\n0\n11\n40\n21\n0\n12\n0\n22\n40\n13\n40\n23\n40\n0\nENDBLK\n0\nENDSEC\n" +
		"0\nSECTION\n2\nENTITIES\n0\nINSERT\n8\nart\n102\n{ACAD_XDICTIONARY\n360\n2A\n102\n}\n2\nb\n10\n60\n20\n50\n0\nENDSEC\n" +
		"0\nSECTION\n2\nOBJECTS\n0\nDICTIONARY\n5\n2A\n3\nACAD_FILTER\n360\n2B\n0\nDICTIONARY\n5\n2B\n3\nSPATIAL\n360\n2C\n" +
		"0\nSPATIAL_FILTER\n5\n2C\n10\n15\n20\n15\n10\n25\n20\n15\n10\n25\n20\n25\n10\n15\n20\n25\n71\n1\n" +
		"40\n1\n40\n0\n40\n0\n40\n0\n40\n0\n40\n1\n40\n0\n40\n0\n40\n0\n40\n0\n40\n1\n40\n0\n40\n1\n40\n0\n40\n0\n40\n0\n40\n0\n40\n1\n40\n0\n40\n0\n40\n0\n40\n0\n40\n1\n40\n0\n" +
		"0\nENDSEC\n0\nEOF\n"
	clippedLine := strings.NewReplacer(
		"0\nSOLID\n8\nart\n10\n0\n20\n0\n11\n40\n21\n0\n12\n0\n22\n40\n13\n40\n23\n40\n", "0\nLINE\n8\nart\n10\n-30\n20\n20\n11\n70\n21\n20\n",
		"10\n15\n20\n15\n10\n25\n20\n15\n10\n25\n20\n25\n10\n15\n20\n25\n", "10\n0\n20\n20\n10\n20\n20\n0\n10\n40\n20\n20\n10\n20\n20\n40\n",
	).Replace(clippedBlock)
	m := lightest(t) / 2 // what is left out at each margin
	for _, c := range []struct {
		name, file, drawing, cut string
		want                     float64
	}{
		{"a disc half off the page", "a.svg", svg(`<circle cx="0" cy="40" r="20"/>`), "page", math.Pi * 200},
		{"a ring, a hole", "a.svg", svg(`<path fill-rule="evenodd" d="M-40 0h80v80h-80zM-20 20h40v40h-40z"/>`), "page", 40*80 - 20*40},
		{"a disc under a round clip", "a.svg", svg(clips + `<rect clip-path="url(#c)" width="160" height="80"/>`), "clip", math.Pi * 900},
		{"a page cuts at clips too", "a.svg", svg(clips + `<rect clip-path="url(#c)" width="160" height="80"/>`), "page", math.Pi * 900},
		{"a rectangular clip", "a.svg", svg(clips + `<circle clip-path="url(#b)" cx="10" cy="10" r="15"/>`), "clip", math.Pi * 225 / 4},
		{"a clip on a clip", "a.svg", svg(clips + `<rect clip-path="url(#two)" width="160" height="80"/>`), "clip", math.Pi * 450},
		{"a clip in shares of the shape", "a.svg", svg(clips + `<rect clip-path="url(#box)" x="20" y="20" width="60" height="40"/>`), "clip", 1200},
		{"a clip with a hole", "a.svg", svg(clips + `<rect clip-path="url(#odd)" width="160" height="80"/>`), "clip", 1200},
		{"an inner picture", "a.svg", svg(`<svg x="20" y="20" width="40" height="40"><circle r="40"/></svg>`), "clip", math.Pi * 400},
		{"a stroke along the edge of the page", "a.svg", svg(`<rect width="160" height="80" fill="none" stroke="black" stroke-width="4" stroke-linejoin="round"/>`), "page", 160*80 - 156*76},
		{"a line over the edge", "a.svg", svg(`<path d="M-20 40H40" fill="none" stroke="black" stroke-width="4" stroke-linecap="round"/>`), "page", 160 + math.Pi*2},
		{"two copies under clips of their own", "a.svg", svg(`<clipPath id="l"><path d="M0 0H80V80H0z"/></clipPath><clipPath id="r"><path d="M80 0H160V80H80z"/></clipPath>` +
			`<rect id="k" width="160" height="80" clip-path="url(#l)"/><rect width="160" height="80" clip-path="url(#r)"/>`), "clip", 160 * 80},
		{"a copy of a block under a clip", "a.dxf", clippedBlock, "clip", 100},
		// A line of 2 mm under a clip that is a diamond 40 mm wide; its ends are round.
		{"a line under a diamond", "a.dxf", clippedLine, "clip", 38*2 + math.Pi},
		{"an outline over the margins", "a.dxf", dxfOutlines(box(-12, -12, 80, 80), box(-2, -2, 40, 40)), "margins", (60-m)*(60-m) - (30-m)*(30-m)},
	} {
		cells := map[string]string{"cut to": c.cut, "offset x": on["offset x"], "offset y": on["offset y"]}
		if c.file == "a.dxf" {
			cells["unit"] = "mm"
			if c.drawing == clippedLine {
				cells["width"] = "2 mm"
			}
			delete(cells, "offset x")
			delete(cells, "offset y")
		}
		r, problems := sized(t, c.file, c.drawing, "", cells)
		if r == nil {
			t.Errorf("%s: %v", c.name, problems)
			continue
		}
		if got := drawnArea(r); math.Abs(got-c.want) > 0.001*c.want {
			t.Errorf("%s: %.2f mm² are drawn, want %.2f", c.name, got, c.want)
		}
		if hasCode(problems, problem.ClippedShape) || r.Failed() || r.Layers[0].Cover.Excess > 0.02 {
			t.Errorf("%s: %v, spill %v", c.name, problems, r.Layers[0].Cover.Excess)
		}
	}
}

// Without cut to, shapes are whole, with a warning; a page that is not there is
// an error, and so is a cut that leaves nothing.
func TestNotCut(t *testing.T) {
	clipped := leaf(`<clipPath id="c"><circle cx="20" cy="10" r="2"/></clipPath><path clip-path="url(#c)" d="M20 6h14v6h-14z"/>`)
	r, problems := sized(t, "leaf.svg", clipped, "", map[string]string{"drawn size": "to the margins"})
	if r == nil || !hasCode(problems, problem.ClippedShape) {
		t.Error(problems)
	}
	for _, c := range []struct {
		drawing, name string
		cells         map[string]string
		code          problem.Code
	}{
		{dxfOutlines(diamond(50, 50, 50, 50)), "a.dxf", map[string]string{"unit": "mm", "cut to": "page"}, problem.NoPage},
		{dxfOutlines(diamond(50, 50, 50, 50)), "a.dxf", map[string]string{"unit": "mm", "cut to": "margins", "offset x": "400 mm"}, problem.NothingToPaint},
		{dxfOutlines(diamond(50, 50, 50, 50)), "a.dxf", map[string]string{"unit": "mm", "cut to": "edges"}, problem.UnknownWord},
	} {
		if r, problems := sized(t, c.name, c.drawing, "", c.cells); r != nil || !hasCode(problems, c.code) {
			t.Errorf("%v: %v", c.cells, problems)
		}
	}
}
