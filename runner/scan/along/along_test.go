package along_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"mahlstick/runner/scan/along"
	"mahlstick/runner/scan/scene"
)

const touchMark, sheetWidth, sheetHeight = 0.2, 70.0, 60.0

// waves is a painting of waves: a program, and what it asks for with a cone of a
// half-angle in degrees.
func waves(layer int, rows []float64, angle float64) (string, []along.Stroke) {
	var text strings.Builder
	var strokes []along.Stroke
	for i, y := range rows {
		fmt.Fprintf(&text, "(stroke %d)\nG0 X8 Y%.3f\nZ2.5\n", i+1, y)
		s := along.Stroke{Layer: layer, Number: i + 1}
		for k := 0; k <= 270; k++ {
			t := float64(k) / 270
			x, press := 8+54*t, 0.6+1.2*math.Sin(math.Pi*t)*(1+0.3*math.Sin(9*t+float64(i)))
			w := y + 1.5*math.Sin(5*t)
			fmt.Fprintf(&text, "G1 X%.3f Y%.3f Z-%.3f\n", x, w, press)
			s.Marks = append(s.Marks, along.Mark{X: x, Y: w, Width: touchMark + 2*math.Tan(angle*math.Pi/180)*press})
		}
		text.WriteString("Z2.5\n")
		strokes = append(strokes, s)
	}
	return text.String(), strokes
}

// usual is a usual scanner.
func usual(dpi float64, seed uint64) scene.Scanner {
	return scene.Scanner{DPI: dpi, Turn: 1, ErrorX: 0.003, ErrorY: -0.003, Blur: 0.8, Noise: 0.01, Falloff: 0.1, Border: 3, Lid: 0.2, Seed: seed}
}

func look(t testing.TB, scanner scene.Scanner, strokes []along.Stroke, layers ...scene.Layer) *along.Result {
	t.Helper()
	sheet, err := scene.Paint(sheetWidth, sheetHeight, layers...)
	if err != nil {
		t.Fatal(err)
	}
	return along.Measure(scanner.Look(sheet), 25.4/scanner.DPI, strokes)
}

var fourRows = []float64{8, 22, 36, 50}

// What is measured of waves is as wide as the cone that painted them, and where they
// were asked for: within 0.03 mm at 600 dpi, 0.05 mm at 300 (root mean square).
func TestWidths(t *testing.T) {
	for _, c := range []struct{ dpi, most float64 }{{600, 0.03}, {300, 0.05}} {
		program, strokes := waves(0, fourRows, 12)
		const deeper, further = 0.1, 13 // what was painted in truth
		r := look(t, usual(c.dpi, 1), strokes, scene.Layer{Program: program, Ink: scene.Indigo, Deep: deeper,
			Brush: scene.Brush{Width: scene.Cone(touchMark, further, 0)}})
		var width, offset, n, within float64
		for _, p := range r.Of(0) {
			press := (p.Asked - touchMark) / (2 * math.Tan(12*math.Pi/180))
			want := touchMark + 2*math.Tan(further*math.Pi/180)*(press+deeper)
			width += (p.Width - want) * (p.Width - want)
			offset += p.Offset * p.Offset
			if math.Abs(p.Width-want) < 2*p.U {
				within++
			}
			n++
		}
		width, offset = math.Sqrt(width/n), math.Sqrt(offset/n)
		t.Logf("%g dpi: %.0f of %d places, widths within %.4f mm, offsets %.4f, %.0f %% within two of their doubt", c.dpi, n, len(r.Places), width, offset, 100*within/n)
		if n < 0.9*float64(len(r.Places)) || width > c.most || offset > c.most || within < 0.85*n {
			t.Errorf("%g dpi: %.0f of %d places, widths within %.4f mm, offsets %.4f, %.0f within two of their doubt", c.dpi, n, len(r.Places), width, offset, within)
		}
		for _, s := range r.Strokes {
			if s.Missing || s.Doubled || s.Gaps != nil {
				t.Errorf("a whole stroke: %+v", s)
			}
		}
	}
}

// Strokes that went wrong are found by number, and no other.
func TestMishaps(t *testing.T) {
	program, strokes := waves(0, fourRows, 12)
	r := look(t, usual(300, 2), strokes, scene.Layer{Program: program, Ink: scene.Moss, Brush: scene.Brush{Width: scene.Cone(touchMark, 12, 0)},
		Mishaps: []scene.Mishap{{Stroke: 1, Missing: true}, {Stroke: 2, Missing: true, From: 0.5, To: 0.6}, {Stroke: 4, Again: true, ShiftY: 0.5}}})
	for i, want := range []along.Verdict{{Missing: true}, {Gaps: []along.Gap{{}}}, {}, {Doubled: true}} {
		got := r.Strokes[i]
		if got.Missing != want.Missing || len(got.Gaps) != len(want.Gaps) || got.Doubled != want.Doubled {
			t.Errorf("stroke %d: %+v", i+1, got)
		}
	}
	// A tenth of the moments of painting: of some 56 mm of way, at a place of usual width.
	if g := r.Strokes[1].Gaps; len(g) == 1 && (math.Abs(g[0].To-g[0].From-5) > 2) {
		t.Errorf("the gap is from %.1f to %.1f mm", g[0].From, g[0].To)
	}
}

// Lines over a wash are measured where the wash lies under all of them.
func TestOverAnotherInk(t *testing.T) {
	var wash strings.Builder
	ground := along.Stroke{Layer: 0, Number: 1}
	wash.WriteString("(stroke 1)\nG0 X35 Y20\nG1 Z-1\nY40\nZ2.5\n")
	for y := 20.0; y <= 40; y++ {
		ground.Marks = append(ground.Marks, along.Mark{X: 35, Y: y, Width: 20})
	}
	program, lines := waves(1, []float64{30}, 12)
	r := look(t, usual(300, 3), append([]along.Stroke{ground}, lines...),
		scene.Layer{Program: wash.String(), Ink: scene.Straw, Brush: scene.Brush{Width: func(float64) float64 { return 20 }}},
		scene.Layer{Program: program, Ink: scene.Indigo, Brush: scene.Brush{Width: scene.Cone(touchMark, 12, 0)}})
	over, edge := 0, 0
	for _, p := range r.Places {
		if p.Layer != 1 {
			continue
		}
		d := math.Abs(p.At.X - 35)
		switch {
		case p.State == along.Measured && math.Abs(p.Width-p.Asked) > 0.05:
			t.Errorf("at x %.1f: %.3f mm, should be %.3f", p.At.X, p.Width, p.Asked)
		case p.State == along.Measured && d < 8:
			over++
		case p.State == along.Hidden && d > 9.5 && d < 10.5:
			edge++
		}
	}
	if over < 20 || edge < 2 {
		t.Errorf("%d places over the wash, %d hidden at its edge", over, edge)
	}
}

// A mark that trails begins where it was asked for, and ends short.
func TestEnds(t *testing.T) {
	text := "(stroke 1)\nG0 X10 Y30\nG1 Z-2\nX50\nZ2.5\n"
	width := touchMark + 2*math.Tan(12*math.Pi/180)*2
	s := along.Stroke{Number: 1, Marks: []along.Mark{{X: 10, Y: 30, Width: width}, {X: 50, Y: 30, Width: width}}}
	const lag = 0.3
	r := look(t, usual(600, 5), []along.Stroke{s}, scene.Layer{Program: text, Ink: scene.Black,
		Brush: scene.Brush{Width: scene.Cone(touchMark, 12, 0), Lag: scene.Proportional(lag, 2)}})
	for _, e := range r.Ends {
		if e.State != along.Measured || e.First || math.Abs(e.Beyond+lag) > 0.03 {
			if e.First && math.Abs(e.Beyond) < 0.05 { // it came down there
				continue
			}
			t.Errorf("%+v, should end %.2f mm short", e, lag)
		}
	}
}

// A line on a wash that was painted narrower than asked, or not at all, is not measured
// by the wash's edges, and was not painted twice. Beside the wash, where the line's ink
// and paper are seen, it is.
func TestWashNarrowerThanAsked(t *testing.T) {
	line := along.Stroke{Layer: 0, Number: 1, Marks: []along.Mark{{X: 10, Y: 20, Width: 0.9}, {X: 60, Y: 20, Width: 0.9}}}
	band := along.Stroke{Layer: 1, Number: 1, Marks: []along.Mark{{X: 20, Y: 20, Width: 4}, {X: 60, Y: 20, Width: 4}}}
	free := along.Stroke{Layer: 0, Number: 2, Marks: []along.Mark{{X: 10, Y: 50, Width: 0.9}, {X: 60, Y: 50, Width: 0.9}}}
	second := along.Stroke{Layer: 1, Number: 2, Marks: []along.Mark{{X: 10, Y: 40, Width: 4}, {X: 60, Y: 40, Width: 4}}}
	wide := func(w float64) scene.Brush { return scene.Brush{Width: func(float64) float64 { return w }} }
	const under = "(stroke 1)\nG0 X10 Y20\nG1 Z-1\nX60\nZ2.5\n(stroke 2)\nG0 X10 Y50\nG1 Z-1\nX60\nZ2.5\n"
	const over = "(stroke 1)\nG0 X20 Y20\nG1 Z-1\nX60\nZ2.5\n(stroke 2)\nG0 X10 Y40\nG1 Z-1\nX60\nZ2.5\n"
	for _, c := range []struct {
		name    string
		width   float64
		missing bool
		least   int // places of the line on the band
	}{
		{"as asked", 4, false, 60},
		{"narrower", 2, false, 0},
		{"missing", 4, true, 0},
	} {
		for _, inks := range [][2]scene.Ink{{scene.Indigo, scene.Indigo}, {scene.Straw, scene.Moss}, {scene.Indigo, scene.Straw}} {
			wash := scene.Layer{Program: over, Ink: inks[1], Brush: wide(c.width)}
			if c.missing {
				wash.Mishaps = []scene.Mishap{{Stroke: 1, Missing: true}}
			}
			r := look(t, usual(300, 6), []along.Stroke{line, free, band, second}, scene.Layer{Program: under, Ink: inks[0], Brush: wide(0.9)}, wash)
			on, off := places(t, r, fmt.Sprintf("%s, %v", c.name, inks))
			if on < c.least || c.least == 0 && on > 0 || off < 10 {
				t.Errorf("%s, %v: %d places on the band, %d beside it", c.name, inks, on, off)
			}
			if r.Strokes[0].Doubled || r.Strokes[0].Missing {
				t.Errorf("%s, %v: %+v", c.name, inks, r.Strokes[0])
			}
		}
	}
}

// places counts those of the line that were measured on the band and beside it, and wants
// the line's width of each.
func places(t *testing.T, r *along.Result, name string) (on, off int) {
	t.Helper()
	for _, p := range r.Of(0) {
		if math.Abs(p.Width-0.9) > 0.1 {
			t.Errorf("%s: at %.1f mm of stroke %d %.3f mm", name, p.Way, p.Stroke, p.Width)
		}
		switch {
		case p.Stroke != 1:
		case p.At.X > 22:
			on++
		default:
			off++
		}
	}
	return on, off
}
