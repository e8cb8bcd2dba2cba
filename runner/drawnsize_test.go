package runner_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"mahlstick/recipe/problem"
	"mahlstick/runner"
	"mahlstick/runner/plane"
)

// sized runs a recipe on A5 landscape with a margin of 8 mm that paints one
// drawing with these cells, and one mark if there is one.
func sized(t *testing.T, name, drawing, mark string, cells map[string]string) (*runner.Result, problem.List) {
	t.Helper()
	studio, recipe := pond(t)
	if err := os.WriteFile(filepath.Join(studio, "pond", name), []byte(drawing), 0o644); err != nil {
		t.Fatal(err)
	}
	head, rule, row := "| layer | drawing | brush | ink |", "|---|---|---|---|", "| lens | ["+name+"]("+name+") | [sable](../brushes/sable.md) | moss |"
	for _, word := range []string{"unit", "drawn size", "offset x", "offset y", "drawing layer", "cut to", "outlines", "width", "faults", "inside", "covered", "bare"} {
		if text, ok := cells[word]; ok {
			head, rule, row = head+" "+word+" |", rule+"---|", row+" "+text+" |"
		}
	}
	if mark != "" {
		mark = "## Registration\n\n| mark | x | y | size |\n|---|---|---|---|\n" + mark + "\n\n"
	}
	body := "# Lens\n\n## Sheet\n\n| sheet | |\n|---|---|\n| size | A5 landscape |\n| margin | 8 mm |\n\n## Machine\n\n[bench](../machines/bench.md)\n\n" +
		mark + "## Layers\n\n" + head + "\n" + rule + "\n" + row + "\n"
	if err := os.WriteFile(recipe, []byte(body), 0o644); err != nil {
		t.Fatal(err)
	}
	r, problems, err := runner.Run(recipe, runner.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r, problems
}

// extent is the box around the contours of the first layer, in mm.
func extent(t *testing.T, r *runner.Result) [4]float64 {
	t.Helper()
	box := plane.Empty()
	for _, c := range r.Layers[0].Contours {
		box = box.Union(plane.Bounds(c.Points))
	}
	x0, y0 := box.Min.MM()
	x1, y1 := box.Max.MM()
	return [4]float64{x0, y0, x1, y1}
}

func hasCode(list problem.List, code problem.Code) bool {
	for _, p := range list {
		if p.Code == code {
			return true
		}
	}
	return false
}

// lightest is the width in mm of the lightest mark of the brush of sized.
func lightest(t *testing.T) float64 {
	t.Helper()
	r, problems := sized(t, "leaf.svg", leaf(""), "", map[string]string{"drawn size": "90 mm wide"})
	if r == nil {
		t.Fatal(problems)
	}
	width, _ := r.Layers[0].Model.Brush.Curve.Range()
	return width
}

// leaf is an SVG of a page of 40 x 20 units, with a diamond from (10, 5) to (30,
// 15) on it, and more.
func leaf(more string) string {
	return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20"><path d="M10 10L20 5L30 10L20 15Z"/>` + more + `</svg>`
}

// dxfLines is a DXF without a unit, of closed outlines.
func dxfOutlines(outlines ...[][2]float64) string {
	var b strings.Builder
	b.WriteString("0\nSECTION\n2\nENTITIES\n")
	for _, s := range outlines {
		fmt.Fprintf(&b, "0\nLWPOLYLINE\n8\nart\n90\n%d\n70\n1\n", len(s))
		for _, p := range s {
			fmt.Fprintf(&b, "10\n%.4f\n20\n%.4f\n", p[0], p[1])
		}
	}
	return b.String() + "0\nENDSEC\n0\nEOF\n"
}

func diamond(x, y, w, h float64) [][2]float64 {
	return [][2]float64{{x, y + h/2}, {x + w/2, y}, {x + w, y + h/2}, {x + w/2, y + h}}
}

func box(x, y, w, h float64) [][2]float64 {
	return [][2]float64{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}
}

// A drawn size decides how large the page is or, without one, what is drawn, and
// where it lies.
func TestDrawnSize(t *testing.T) {
	offset := map[string]string{"offset x": "50 mm", "offset y": "30 mm"}
	// Centred; the margins are wider by half the lightest mark.
	wide := func(w, h, right float64) [4]float64 {
		k := (194 - 2*lightest(t)/2) / 194
		return [4]float64{105 - w/2*k + right, 74 - h/2*k, 105 + w/2*k + right, 74 + h/2*k}
	}
	far := dxfOutlines(diamond(1e7, -3e6, 100, 50))
	for _, c := range []struct {
		name, drawing, size string
		more                map[string]string
		want                [4]float64 // of the contours, mm
	}{
		{"leaf.svg", leaf(""), "120 mm wide", nil, [4]float64{30, 15, 90, 45}},
		{"leaf.svg", leaf(""), "12 cm  Wide", offset, [4]float64{80, 45, 140, 75}},
		{"leaf.svg", leaf(""), "90 mm high", nil, [4]float64{45, 22.5, 135, 67.5}},
		{"leaf.svg", leaf(""), "to the margins", nil, wide(194./2, 194./4, 0)},
		{"leaf.svg", leaf(""), "to the margins", map[string]string{"offset x": "1 mm"}, wide(194./2, 194./4, 1)},
		{"leaf.svg", leaf(""), "50 %", map[string]string{"unit": "cm"}, [4]float64{50, 25, 150, 75}},
		{"leaf.svg", strings.Replace(leaf(""), "viewBox", `width="40cm" height="20cm" viewBox`, 1), "0.5", nil, [4]float64{50, 25, 150, 75}},
		{"lens.dxf", dxfOutlines(diamond(-700, 400, 100, 50)), "120 mm wide", offset, [4]float64{50, 30, 170, 90}},
		{"lens.dxf", dxfOutlines(diamond(-700, 400, 100, 50)), "to the margins", nil, wide(194, 97, 0)},
		{"lens.dxf", dxfOutlines(diamond(200, 100, 100, 50)), "0.5", map[string]string{"unit": "mm"}, [4]float64{100, 50, 150, 75}},
		{"far.dxf", far, "to the margins", nil, wide(194, 97, 0)},
		{"far.dxf", far, "100 %", map[string]string{"unit": "mm", "offset x": "-9999950 mm", "offset y": "3000020 mm"}, [4]float64{50, 20, 150, 70}},
	} {
		cells := map[string]string{"drawn size": c.size}
		for word, text := range c.more {
			cells[word] = text
		}
		r, problems := sized(t, c.name, c.drawing, "", cells)
		if r == nil {
			t.Errorf("%s, %s: %v", c.name, c.size, problems)
			continue
		}
		got := extent(t, r)
		for i := range got {
			if math.Abs(got[i]-c.want[i]) > 0.0001 {
				t.Errorf("%s, %s %v: from %v, want %v", c.name, c.size, c.more, got, c.want)
				break
			}
		}
		if r.Failed() || r.Layers[0].Cover.Coverage < 0.99 {
			t.Errorf("%s, %s: coverage %v", c.name, c.size, r.Layers[0].Cover.Coverage)
		}
	}
}

// Layers of one drawing meet: without a page, the size is that of all layers.
func TestDrawnSizeOfOneLayer(t *testing.T) {
	both := dxfOutlines(diamond(0, 0, 100, 50), diamond(100, 50, 100, 50))
	both = strings.Replace(both, "8\nart", "8\nother", 1)
	r, problems := sized(t, "both.dxf", both, "", map[string]string{"drawn size": "to the margins", "drawing layer": "art"})
	if r == nil {
		t.Fatal(problems)
	}
	if got, want := extent(t, r), [4]float64{105, 74}; math.Abs(got[0]-want[0]) > 0.001 || math.Abs(got[1]-want[1]) > 0.001 {
		t.Errorf("from %v, want %v", got, want)
	}
}

// A mark decides over a drawn size, which is said where they disagree.
func TestDrawnSizeAndMark(t *testing.T) {
	// The mark has 2 units; at 4 mm a unit it has its 8 mm.
	marked := leaf(`<path d="M2 18h2v-2h-2z"/>`)
	const mark = "| corner | 15 mm | 15 mm | 8 mm |"
	for size, warned := range map[string]bool{"160 mm wide": false, "150 mm wide": true, "20 mm high": true, "to the margins": true} {
		r, problems := sized(t, "leaf.svg", marked, mark, map[string]string{"drawn size": size})
		if r == nil {
			t.Fatal(size, problems)
		}
		if got := extent(t, r); math.Abs(got[2]-got[0]-80) > 0.001 || math.Abs(got[0]-43) > 0.001 {
			t.Errorf("%s: from %v", size, got)
		}
		if hasCode(problems, problem.SizeByMark) != warned {
			t.Errorf("%s: %v", size, problems)
		}
	}
}

// With a mark it does not matter how far a drawing lies from its zero, to the
// accuracy of its own numbers.
func TestFarFromZero(t *testing.T) {
	const mark = "| corner | 15 mm | 15 mm | 8 mm |"
	want := [4]float64{40, 20, 140, 70}
	for _, far := range [][2]float64{{29e6, -29e6}, {5e9, 1e7}, {3.25e10, 5.5e9}} {
		at := func(x, y float64) (float64, float64) { return x + far[0], y + far[1] }
		x, y := at(11, 11)
		u, v := at(40, 20)
		r, problems := sized(t, "far.dxf", dxfOutlines(box(x, y, 8, 8), diamond(u, v, 100, 50)), mark, map[string]string{"unit": "mm"})
		if r == nil {
			t.Errorf("%v: %v", far, problems)
			continue
		}
		got := extent(t, r)
		for i := range got {
			if math.Abs(got[i]-want[i]) > 0.0002 {
				t.Errorf("%v: from %v, want %v", far, got, want)
				break
			}
		}
	}
	_, problems := sized(t, "far.dxf", dxfOutlines(diamond(29e6, 0, 100, 50)), "", map[string]string{"unit": "mm"})
	if !hasCode(problems, problem.BeyondReach) {
		t.Error(problems)
	}
}

// What is no size is refused at its place.
func TestWrongDrawnSize(t *testing.T) {
	for text, code := range map[string]problem.Code{
		"120 mm": problem.UnknownWord, "wide": problem.UnknownWord, "to the edges": problem.UnknownWord, "0 mm wide": problem.OutOfRange,
		"-5 %": problem.OutOfRange, "0": problem.OutOfRange, "20 m high": problem.OutOfRange, "12 g wide": problem.WrongDimension, "50 % wide": problem.WrongDimension,
		"1e9": problem.OutOfRange, "50 %": problem.NoUnit,
	} {
		r, problems := sized(t, "leaf.svg", leaf(""), "", map[string]string{"drawn size": text})
		if r != nil || !hasCode(problems, code) {
			t.Errorf("%q: %v", text, problems)
		}
	}
}

func short(v float64) string { return fmt.Sprintf("%g", v) }
