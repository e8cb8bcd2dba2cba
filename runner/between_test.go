package runner_test

import (
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"mahlstick/recipe/problem"
	"mahlstick/runner"
	"mahlstick/runner/proof"
)

// rowsOn runs a recipe on A5 landscape with a margin of 8 mm and these rows of
// Layers, whose brushes are the sable and one that is never finer than 2 mm.
func rowsOn(t *testing.T, drawing, head string, rows ...string) (*runner.Result, problem.List) {
	t.Helper()
	studio, recipe := pond(t)
	if err := os.WriteFile(filepath.Join(studio, "pond", "p.svg"), []byte(drawing), 0o644); err != nil {
		t.Fatal(err)
	}
	body := "# Pair\n\n## Sheet\n\n| sheet | |\n|---|---|\n| size | A5 landscape |\n| margin | 8 mm |\n\n## Machine\n\n[bench](../machines/bench.md)\n\n" +
		"## Brush: fat\n\n| brush | |\n|---|---|\n| widest mark | 6 mm |\n| safe press | 8 mm |\n| touch mark | 2 mm |\n\n" +
		"## Layers\n\n" + head + "\n" + strings.Repeat("|---", strings.Count(head, "|")-1) + "|\n" + strings.Join(rows, "\n") + "\n"
	body = strings.NewReplacer("[p]", "[p](p.svg)", "[sable]", "[sable](../brushes/sable.md)").Replace(body)
	if err := os.WriteFile(recipe, []byte(body), 0o644); err != nil {
		t.Fatal(err)
	}
	r, problems, err := runner.Run(recipe, runner.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r, problems
}

// Layers that take one drawing to the margins get one size and one place,
// whatever their brushes and widths: where their lines meet in the drawing, the
// programs go to the same place.
func TestLayersOfOneDrawingMeet(t *testing.T) {
	const drawn = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20" fill="none"><path stroke="#ff0000" d="M3 4L23 9"/><path stroke="#0000ff" d="M0 14L23 9L31 16"/></svg>`
	const head = "| layer | drawing | drawing colour | brush | ink | drawn size | width |"
	for _, c := range [][2]string{
		{"| a | [p] | #ff0000 | [sable] | moss | to the margins | 1 mm |", "| b | [p] | #0000ff | fat | moss | to the margins | 5 mm |"},
		{"| b | [p] | #0000ff | fat | moss | to the margins | 3 mm |", "| a | [p] | #ff0000 | [sable] | moss | to the margins | 1 mm |"},
	} {
		r, problems := rowsOn(t, drawn, head, c[0], c[1])
		if r == nil || r.Failed() {
			t.Fatal(problems)
		}
		nearest := math.Inf(1)
		for _, p := range cornersOf(t, r, 0) {
			for _, q := range cornersOf(t, r, 1) {
				nearest = min(nearest, math.Hypot(p.x-q.x, p.y-q.y))
			}
		}
		if nearest > 0.001 {
			t.Errorf("%s: the programs go to places %g mm apart where the lines meet", c[0], nearest)
		}
	}
}

// cornersOf are the places of a program at which the brush paints.
func cornersOf(t *testing.T, r *runner.Result, layer int) (out []axesAt) {
	t.Helper()
	for _, s := range strokesOf(t, r.Layers[layer].Program) {
		for _, p := range s {
			if p.z <= 0 {
				out = append(out, p)
			}
		}
	}
	if len(out) == 0 {
		t.Fatalf("nothing is painted by layer %d", layer+1)
	}
	return out
}

// A drawing goes to the margins with what is painted of it: with the width of
// its lines, wherever it comes from, as far as the program's text shows, and no
// farther from them than it must.
func TestPaintedToTheMargins(t *testing.T) {
	svg := func(attributes, content string) string {
		return `<svg xmlns="http://www.w3.org/2000/svg" ` + attributes + ` fill="none" stroke="#000000" stroke-linecap="round" stroke-linejoin="round">` + content + `</svg>`
	}
	const page = `viewBox="0 0 40 20"`
	for _, c := range []struct{ name, drawing, width, outlines string }{
		{"width of the layer", svg(page, `<path d="M0 10H40M20 3V17"/>`), "1.5 mm", "shapes"},
		{"width of the drawing", svg(page, `<path stroke-width="0.4" d="M0 10H40M20 3V17"/>`), "", "by width"},
		{"curve", svg(page, `<path d="M5 2C-12 8 -6 30 40 3"/>`), "2 mm", "shapes"},
		{"closed line", svg(page, `<path d="M0 10C0 4 12 1 20 1S40 4 40 10S28 19 20 19S0 16 0 10Z"/>`), "1.5 mm", "lines"},
		{"formula", svg(page, `<path d="M0 10H40"/>`), "`0.5*mm + 1.7*mm*from_start/length`", "shapes"},
		{"beyond the page", svg(page, `<path d="M-3 10H41"/>`), "1 mm", "shapes"},
		{"cut at the page", svg(page, `<path d="M-3 10H41"/>`), "1 mm", "cut"},
	} {
		head, row := "| layer | drawing | brush | ink | drawn size |", "| a | [p] | [sable] | moss | to the margins |"
		if c.width != "" {
			head, row = head+" width |", row+" "+c.width+" |"
		}
		switch c.outlines {
		case "lines":
			head, row = head+" outlines |", row+" lines |"
		case "cut":
			head, row = head+" cut to |", row+" page |"
		}
		r, problems := rowsOn(t, c.drawing, head, row)
		if r == nil || r.Failed() {
			t.Errorf("%s: %v", c.name, problems)
			continue
		}
		var box proof.Rect
		for i, s := range r.Layers[0].Measures.Strokes {
			if i == 0 {
				box = s.Box
			}
			box = proof.Rect{MinX: min(box.MinX, s.Box.MinX), MinY: min(box.MinY, s.Box.MinY), MaxX: max(box.MaxX, s.Box.MaxX), MaxY: max(box.MaxY, s.Box.MaxY)}
		}
		// A5 landscape less its margins, and a step of Z where marks grow 0.5 mm a mm.
		const within = 0.002
		if box.MinX < 8-within || box.MinY < 8-within || box.MaxX > 202+within || box.MaxY > 140+within {
			t.Errorf("%s: painted from %v: past the margins", c.name, box)
		}
		if box.MaxX-box.MinX < 194-0.25 {
			t.Errorf("%s: painted from %v: %g mm wide between margins 194 mm apart", c.name, box, box.MaxX-box.MinX)
		}
	}
}

// A layer that draws a drawing at another size than the others is warned in its
// own row, with both sizes and scales; not where the sizes come to the same, and not
// where marks decide.
func TestOtherSizeOfOneDrawing(t *testing.T) {
	const drawn = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20"><path fill="#ff0000" d="M10 10L20 5V15Z"/><path fill="#0000ff" d="M20 5L30 10L20 15Z"/><path d="M6 8h1v1h-1z" fill="#00ff00"/></svg>`
	const head = "| layer | drawing | drawing colour | brush | ink | drawn size | unit |"
	row := func(name, colour, size, unit string) string {
		return "| " + name + " | [p] | " + colour + " | fat | moss | " + size + " | " + unit + " |"
	}
	for _, c := range []struct {
		sizes, units [3]string
		row          int // 0 for none
		says         string
	}{
		{[3]string{"100 mm wide", "120 mm wide", "120 mm wide"}, [3]string{}, 1,
			`on the layer "a" pond/p.svg is drawn 100 mm wide, at 2.5 mm a unit, and on the layer "b" 120 mm wide, at 3 mm a unit`},
		{[3]string{"120 mm wide", "60 mm high", "100 mm wide"}, [3]string{}, 3, `at 2.5 mm a unit, and on the layer "a" 120 mm wide, at 3 mm a unit`},
		{[3]string{"120 mm wide", "60 mm high", "12 cm wide"}, [3]string{}, 0, ""},
		{[3]string{"100 mm wide", "to the margins", "to the margins"}, [3]string{}, 1, `and on the layer "b" to the margins, at 4.8 mm a unit`},
		{[3]string{"30 %", "", ""}, [3]string{"cm", "mm", "mm"}, 1, `drawn at 30 %, at 3 mm a unit, and on the layer "b" without a drawn size, at 1 mm a unit`},
		{[3]string{"30 %", "3", "120 mm wide"}, [3]string{"cm", "mm", ""}, 0, ""},
	} {
		var list []string
		for i, name := range []string{"a", "b", "c"} {
			list = append(list, row(name, []string{"#ff0000", "#0000ff", "#00ff00"}[i], c.sizes[i], c.units[i]))
		}
		_, problems := rowsOn(t, drawn, head, list...)
		found := ofCode(problems, problem.OtherSize)
		for _, p := range found {
			// The rows of Layers begin in line 26.
			if place := p.Place.String(); !strings.Contains(place, "pond/pond.md:"+strconv.Itoa(25+c.row)+":") || !strings.Contains(p.Message, c.says) || p.Severity != problem.Warning {
				t.Errorf("%v: %s: %s", c.sizes, place, p.Message)
			}
		}
		if len(found) != min(c.row, 1) {
			t.Errorf("%v: %d warnings: %v", c.sizes, len(found), problems)
		}
	}
	const marks = "| layer | drawing | drawing colour | brush | ink | drawn size |"
	marked := strings.Replace(drawn, "</svg>", `<path d="M2 18h2v-2h-2z"/></svg>`, 1)
	_, problems := rowsOn(t, marked, marks, "| a | [p] | #ff0000 | fat | moss | 160 mm wide |", "| b | [p] | #0000ff | fat | moss | 150 mm wide |")
	if !hasCode(problems, problem.OtherSize) {
		t.Error(problems)
	}
	registered := "\n## Registration\n\n| mark | x | y | size |\n|---|---|---|---|\n| corner | 15 mm | 15 mm | 8 mm |"
	r, problems := rowsOn(t, marked, marks, "| a | [p] | #ff0000 | fat | moss | 160 mm wide |", "| b | [p] | #0000ff | fat | moss | 150 mm wide |", registered)
	if r == nil || hasCode(problems, problem.OtherSize) || !hasCode(problems, problem.SizeByMark) {
		t.Error(problems)
	}
}

func ofCode(list problem.List, code problem.Code) problem.List {
	return slices.DeleteFunc(slices.Clone(list), func(p problem.Problem) bool { return p.Code != code })
}

// What advises a smaller size names one that fits, of which three digits are the
// most that fits.
func TestLargestSizeAdvised(t *testing.T) {
	const drawn = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20"><path fill="#ff0000" d="M3 10L20 3V15Z"/><path fill="#0000ff" d="M20 4L37 10L20 16Z"/></svg>`
	const head = "| layer | drawing | drawing colour | brush | ink | unit | drawn size | offset x | offset y |"
	run := func(unit, size, x string) (*runner.Result, problem.List) {
		rest := unit + " | " + size + " | " + x + " | 8 mm |"
		return rowsOn(t, drawn, head, "| a | [p] | #ff0000 | fat | moss | "+rest, "| b | [p] | #0000ff | fat | moss | "+rest)
	}
	number := regexp.MustCompile(`write to the margins in the column drawn size and leave the offsets out, or at most ([0-9.]+)( mm wide| mm high| %); or `)
	for _, c := range []struct {
		unit, size, x string
		most          float64 // 0 where no smaller size helps
	}{
		// The right end, at 37 of 40 units, is to lie 1 mm within the margin, at 201 mm; the
		// upper one has more room.
		{"", "300 mm wide", "10 mm", 191. / 37 * 40},
		{"", "200 mm high", "10 mm", 191. / 37 * 20},
		{"cm", "90 %", "10 mm", 100 * 191. / 37 / 10},
		{"cm", "", "10 mm", 100 * 191. / 37 / 10},
		{"", "300 mm wide", "202 mm", 0},
	} {
		r, problems := run(c.unit, c.size, c.x)
		if r != nil || !hasCode(problems, problem.OffSheet) {
			t.Errorf("%+v: %v", c, problems)
			continue
		}
		for _, p := range ofCode(problems, problem.OffSheet) {
			if strings.Contains(p.Message, "if its numbers are") {
				t.Errorf("%+v: guesses another unit: %s", c, p.Message)
			}
			m := number.FindStringSubmatch(p.Fix.Advice)
			switch {
			case (m == nil) != (c.most == 0) || !strings.Contains(p.Fix.Advice, "write to the margins"):
				t.Errorf("%+v: %s", c, p.Fix.Advice)
			case m != nil:
				if got, _ := strconv.ParseFloat(m[1], 64); got > c.most || got < 0.99*c.most {
					t.Errorf("%+v: at most %s, want %g", c, m[1]+m[2], c.most)
				}
				if r, problems := run(c.unit, m[1]+m[2], c.x); r == nil {
					t.Errorf("%+v: %s does not fit: %v", c, m[1]+m[2], problems)
				}
			}
		}
	}
	if r, problems := rowsOn(t, drawn, "| layer | drawing | brush | ink | drawn size |", "| a | [p] | fat | moss | to the margins |"); r == nil {
		t.Error(problems)
	}
}
