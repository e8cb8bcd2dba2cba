package runner_test

import (
	"math"
	"strings"
	"testing"

	"mahlstick/recipe/problem"
	"mahlstick/runner/stroke"
)

// Closed outlines are shapes or lines as the layer says, areas against closed
// forms; a line along one is painted in one contact.
func TestOutlines(t *testing.T) {
	svg := func(body string) string {
		return `<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="140mm" viewBox="0 0 200 140">` + body + `</svg>`
	}
	const unfilled = `<circle cx="70" cy="70" r="30" fill="none" stroke="black" stroke-width="1"/>`
	const both = `<circle cx="70" cy="70" r="30" stroke="black" stroke-width="1"/>`
	lines := "0\nSECTION\n2\nENTITIES\n"
	for i, p := range box(40, 40, 60, 40) {
		q := box(40, 40, 60, 40)[(i+1)%4]
		lines += "0\nLINE\n8\nart\n10\n" + short(p[0]) + "\n20\n" + short(p[1]) + "\n11\n" + short(q[0]) + "\n21\n" + short(q[1]) + "\n"
	}
	lines += "0\nENDSEC\n0\nEOF\n"
	wide := strings.Replace(dxfOutlines(box(40, 40, 60, 40)), "70\n1\n", "70\n1\n43\n1.0\n", 1)
	disc, ring := math.Pi*900, math.Pi*60
	// The outline of a box as a line of 1 mm: round corners outside.
	frame := 200. - 4*(1-math.Pi/4)*0.25 - 0
	for _, c := range []struct {
		name, file, drawing, outlines, width string
		want                                 float64
		line                                 bool
	}{
		{"unfilled, as today", "a.svg", svg(unfilled), "", "", ring, true},
		{"unfilled, shapes", "a.svg", svg(unfilled), "shapes", "", disc, false},
		{"unfilled, lines", "a.svg", svg(unfilled), "lines", "", ring, true},
		{"filled and stroked, shapes", "a.svg", svg(both), "shapes", "", disc, false},
		{"filled and stroked, lines", "a.svg", svg(both), "lines", "", ring, true},
		{"filled, lines", "a.svg", svg(`<circle cx="70" cy="70" r="30"/>`), "lines", "1 mm", ring, true},
		{"loose lines that close, as today", "a.dxf", lines, "", "", 2400, false},
		{"loose lines that close, lines", "a.dxf", lines, "lines", "1 mm", frame, true},
		{"a wide outline, as today", "a.dxf", wide, "", "", frame, true},
		{"a wide outline, shapes", "a.dxf", wide, "shapes", "", 2400, false},
	} {
		cells := map[string]string{"bare": "allow"}
		if c.outlines != "" {
			cells["outlines"] = c.outlines
		}
		if c.width != "" {
			cells["width"] = c.width
		}
		if c.file == "a.dxf" {
			cells["unit"] = "mm"
		}
		r, problems := sized(t, c.file, c.drawing, "", cells)
		if r == nil {
			t.Errorf("%s: %v", c.name, problems)
			continue
		}
		plan := r.Layers[0].Plan
		if math.Abs(plan.Drawn-c.want) > 0.005*c.want {
			t.Errorf("%s: %.2f mm² are drawn, want %.2f", c.name, plan.Drawn, c.want)
		}
		if n := plan.Count(stroke.Line); c.line && (n != 1 || len(plan.Gestures) != 1) || !c.line && n != 0 {
			t.Errorf("%s: %d lines", c.name, n)
		}
		warned := hasCode(problems, problem.OutlineWidth)
		if thin := c.outlines == "" && c.line && c.file == "a.dxf"; warned != thin {
			t.Errorf("%s: %v", c.name, problems)
		}
	}
	if r, problems := sized(t, "a.dxf", lines, "", map[string]string{"unit": "mm", "outlines": "lines"}); r != nil || !hasCode(problems, problem.OpenContour) {
		t.Error(problems)
	}
}

// A solid is an area even where outlines are lines; one with its edge is an area and
// a line.
func TestSolidAndItsEdge(t *testing.T) {
	solid := "0\nSOLID\n8\nart\n"
	for i, k := range [...]int{0, 1, 3, 2} {
		p := box(40, 40, 60, 40)[k]
		solid += short(float64(10+i)) + "\n" + short(p[0]) + "\n" + short(float64(20+i)) + "\n" + short(p[1]) + "\n"
	}
	alone := "0\nSECTION\n2\nENTITIES\n" + solid + "0\nENDSEC\n0\nEOF\n"
	edged := strings.Replace(dxfOutlines(box(40, 40, 60, 40)), "0\nENDSEC", solid+"0\nENDSEC", 1)
	for file, lines := range map[string]int{alone: 0, edged: 1} {
		want := 2400 + float64(lines)*(200-4*(1-math.Pi/4)*0.25)
		r, problems := sized(t, "a.dxf", file, "", map[string]string{"unit": "mm", "outlines": "lines", "width": "1 mm", "bare": "allow"})
		if r == nil || r.Layers[0].Plan.Count(stroke.Line) != lines || math.Abs(r.Layers[0].Plan.Drawn-want) > 1 {
			t.Errorf("%d lines: %v", lines, problems)
		}
	}
}

// The fault of one element loses that element, or a part of it; everything else
// is painted, and refuse makes it an error.
func TestFaults(t *testing.T) {
	good := `<path d="M10 10L20 5L30 10L20 15Z"/>`
	svg := func(more string) string {
		return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20">` + good + more + `</svg>`
	}
	circle := "0\nCIRCLE\n8\nart\n10\n%\n20\n80\n40\n10\n"
	dxf := strings.Replace(dxfOutlines(diamond(20, 20, 60, 30)), "0\nENDSEC", strings.Replace(circle, "%", "x", 1)+"0\nENDSEC", 1)
	missing := strings.Replace(dxfOutlines(diamond(20, 20, 60, 30)), "0\nENDSEC", "0\nINSERT\n8\nart\n2\nnone\n10\n0\n20\n0\n0\nENDSEC", 1)
	for _, c := range []struct {
		name, file, drawing string
		code                problem.Code
		want                float64 // mm² at 4 mm a unit, or as it is
	}{
		{"a copy of what is missing", "a.svg", svg(`<use href="#none"/>`), problem.NoSuchBlock, 1600},
		{"a copy of itself", "a.svg", svg(`<g id="g"><use href="#g"/></g>`), problem.BlockInItself, 1600},
		{"a path that ends early", "a.svg", svg(`<path d="M32 2h4v4h-4v-4M 3 3 L"/>`), problem.BadValue, 1600 + 256},
		{"a fault inside a path", "a.svg", svg(`<path d="M32 2h4v4h-4x9z M 0 0 h40v20h-40z"/>`), problem.BadValue, 1600 + 256},
		{"a corner without its y", "a.svg", svg(`<polygon points="32,2 36,2 36,6 32,6 9"/>`), problem.BadValue, 1600 + 256},
		{"a bad length", "a.svg", svg(`<circle r="1x"/>`), problem.BadValue, 1600},
		{"a bad value", "a.dxf", dxf, problem.BadValue, 900},
		{"a missing block", "a.dxf", missing, problem.NoSuchBlock, 900},
	} {
		cells := map[string]string{"drawn size": "160 mm wide"}
		if c.file == "a.dxf" {
			cells = map[string]string{"unit": "mm"}
		}
		r, problems := sized(t, c.file, c.drawing, "", cells)
		if r == nil || !hasCode(problems, c.code) || problems.HasErrors() {
			t.Errorf("%s: %v", c.name, problems)
			continue
		}
		if got := drawnArea(r); math.Abs(got-c.want) > 0.01 {
			t.Errorf("%s: %.2f mm² are drawn, want %.2f", c.name, got, c.want)
		}
		cells["faults"] = "refuse"
		if r, problems := sized(t, c.file, c.drawing, "", cells); r != nil || !hasCode(problems, c.code) {
			t.Errorf("%s, refused: %v", c.name, problems)
		}
	}
	cut := dxfOutlines(diamond(20, 20, 60, 30))
	for name, text := range map[string]string{"a.dxf": cut[:len(cut)-30], "a.svg": svg("")[:90]} {
		if r, problems := sized(t, name, text, "", map[string]string{"unit": "mm"}); r != nil || !problems.HasErrors() {
			t.Errorf("%s, cut off: %v", name, problems)
		}
	}
}
