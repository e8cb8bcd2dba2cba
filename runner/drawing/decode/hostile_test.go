package decode_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"mahlstick/recipe/source"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/decode"
)

func circleAt(x any) string { return groups(0, "CIRCLE", 10, x, 20, 0, 40, 5) }

// hostileCases are wrong files, each by what comes before the entities, the
// entities, and the code of the one problem that they have.
type hostileCases map[string]struct{ before, entities, code string }

func (cases hostileCases) run(t *testing.T) {
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			_, problems := decode.Drawing(dxf(c.before, c.entities), drawing.Options{})
			if len(problems) != 1 || string(problems[0].Code) != c.code {
				t.Fatalf("problems %v, want %s alone", problems, c.code)
			}
			if p := problems[0]; p.Fix.None() || p.Place.Line() < 7 && c.before == "" {
				t.Errorf("%v, fix %q", p, p.Fix.Advice)
			}
		})
	}
}

// Blocks that would be copied without end.
func TestHostileBlocks(t *testing.T) {
	bomb := block("b0", circleAt(1))
	for i := 1; i <= 9; i++ {
		bomb += block(fmt.Sprint("b", i), strings.Repeat(groups(0, "INSERT", 2, fmt.Sprint("b", i-1), 10, 0, 20, 0), 10))
	}
	deep := block("d0", circleAt(1))
	for i := 1; i <= 40; i++ {
		deep += block(fmt.Sprint("d", i), groups(0, "INSERT", 2, fmt.Sprint("d", i-1), 10, 0, 20, 0))
	}
	hostileCases{
		"block in itself":      {blocks(block("a", groups(0, "INSERT", 2, "A", 10, 0, 20, 0))), groups(0, "INSERT", 2, "a", 10, 0, 20, 0), "block-in-itself"},
		"blocks in each other": {blocks(block("a", groups(0, "INSERT", 2, "b")) + block("b", groups(0, "INSERT", 2, "a"))), groups(0, "INSERT", 2, "a"), "block-in-itself"},
		"copies of copies":     {blocks(bomb), groups(0, "INSERT", 2, "b9", 10, 0, 20, 0), "too-large"},
		"nested 40 deep":       {blocks(deep), groups(0, "INSERT", 2, "d40", 10, 0, 20, 0), "too-deep"},
		"1e12 copies":          {blocks(block("a", circleAt(0))), groups(0, "INSERT", 2, "a", 70, 1000000, 71, 1000000, 44, 1, 45, 1), "too-large"},
		"huge array":           {blocks(block("a", circleAt(0))), groups(0, "INSERT", 2, "a", 70, "9007199254740992", 71, 3), "too-large"},
		"negative array":       {blocks(block("a", circleAt(0))), groups(0, "INSERT", 2, "a", 70, -5, 71, 2), "bad-count"},
		"too many points":      {blocks(block("a", circleAt(0))), groups(0, "INSERT", 2, "a", 70, 900, 71, 900, 44, 1, 45, 1), "too-large"},
		"no such block":        {"", groups(0, "INSERT", 2, "a", 10, 0, 20, 0), "no-such-block"},
		"huge scale":           {blocks(block("a", circleAt(0))), groups(0, "INSERT", 2, "a", 41, "1e308", 42, "1e308"), "beyond-reach"},
		"block without end":    {groups(0, "SECTION", 2, "BLOCKS", 0, "BLOCK", 2, "a", 0, "ENDSEC"), "", "damaged-drawing"},
	}.run(t)
}

// Values that no drawing has.
func TestHostileValues(t *testing.T) {
	hostileCases{
		"1e308":              {"", circleAt("1e308"), "beyond-reach"},
		"1e309":              {"", circleAt("1e309"), "bad-value"},
		"nan":                {"", circleAt("nan"), "bad-value"},
		"inf":                {"", circleAt("-inf"), "bad-value"},
		"comma":              {"", circleAt("1,5"), "bad-value"},
		"nothing":            {"", circleAt(""), "bad-value"},
		"11 m":               {"", groups(0, "LINE", 10, 0, 20, 0, 11, 11000, 21, 0), "beyond-reach"},
		"radius 0":           {"", groups(0, "CIRCLE", 10, 0, 20, 0, 40, 0), "bad-value"},
		"radius -1":          {"", groups(0, "ARC", 10, 0, 20, 0, 40, -1), "bad-value"},
		"radius 1e300":       {"", groups(0, "CIRCLE", 10, 0, 20, 0, 40, "1e300"), "beyond-reach"},
		"radius 1e9":         {"", groups(0, "ARC", 10, 0, 20, 0, 40, "1e9", 50, 0, 51, 1), "beyond-reach"},
		"angle 1e308":        {"", groups(0, "ARC", 10, 0, 20, 0, 40, "nan", 50, "1e308", 51, "-1e308"), "bad-value"},
		"no extrusion":       {"", groups(0, "CIRCLE", 10, 0, 20, 0, 40, 1, 210, 0, 220, 0, 230, 0), "bad-value"},
		"ellipse ratio 0":    {"", groups(0, "ELLIPSE", 10, 0, 20, 0, 11, 5, 21, 0, 40, 0), "bad-value"},
		"ellipse turns":      {"", groups(0, "ELLIPSE", 10, 0, 20, 0, 11, 5, 21, 0, 40, 0.5, 41, "1e300"), "bad-value"},
		"ellipse no normal":  {"", groups(0, "ELLIPSE", 10, 0, 20, 0, 11, 5, 21, 0, 40, 0.5, 230, 0), "bad-value"},
		"negative vertices":  {"", groups(0, "LWPOLYLINE", 90, -1, 10, 0, 20, 0), "bad-count"},
		"missing vertices":   {"", groups(0, "LWPOLYLINE", 90, 50000000, 10, 0, 20, 0), "bad-count"},
		"vertex out of time": {"", groups(0, "POLYLINE", 70, 0, 0, "VERTEX", 10, "x", 20, 0), "bad-value"},
		"huge bulge":         {"", groups(0, "LWPOLYLINE", 90, 2, 10, 0, 20, 0, 42, "1e300", 10, 1, 20, 0), "beyond-reach"},
	}.run(t)
}

// Splines that are none.
func TestHostileSplines(t *testing.T) {
	spline := func(degree any, knots string, more string) string {
		return groups(0, "SPLINE", 70, 8, 71, degree) + knots + groups(10, 0, 20, 0, 10, 1, 20, 1, 10, 2, 20, 0) + more
	}
	knots := func(values ...any) string {
		var b strings.Builder
		for _, v := range values {
			b.WriteString(groups(40, v))
		}
		return b.String()
	}
	hostileCases{
		"spline degree 0":     {"", spline(0, knots(0, 0, 1, 1), ""), "bad-spline"},
		"spline degree 99":    {"", spline(99, knots(0, 0, 1, 1), ""), "bad-spline"},
		"spline degree 1.5":   {"", spline(1.5, knots(0, 0, 1, 1), ""), "bad-value"},
		"few control points":  {"", spline(3, knots(0, 0, 0, 1, 1, 1), ""), "bad-spline"},
		"few knots":           {"", spline(2, knots(0, 0, 0, 1, 1), ""), "bad-spline"},
		"falling knots":       {"", spline(2, knots(0, 0, 0, 1, 1, 0), ""), "bad-spline"},
		"equal knots":         {"", spline(2, knots(1, 1, 1, 1, 1, 1), ""), "bad-spline"},
		"knots 1e308":         {"", spline(2, knots("-1e308", "-1e308", "-1e308", "1e308", "1e308", "1e308"), ""), "bad-spline"},
		"weight 0":            {"", spline(2, knots(0, 0, 0, 1, 1, 1), groups(41, 1, 41, 0, 41, 1)), "bad-spline"},
		"weight -1":           {"", spline(2, knots(0, 0, 0, 1, 1, 1), groups(41, 1, 41, -1, 41, 1)), "bad-spline"},
		"two weights":         {"", spline(2, knots(0, 0, 0, 1, 1, 1), groups(41, 1, 41, 1)), "bad-spline"},
		"counted knots":       {"", spline(2, knots(0, 0, 0, 1, 1, 1), groups(72, 7)), "bad-count"},
		"spline far away":     {"", spline(2, knots(0, 0, 0, 1, 1, 1), groups(10, "1e300", 20, 0))[:0] + groups(0, "SPLINE", 71, 1) + knots(0, 0, 1, 1) + groups(10, 0, 20, 0, 10, "1e300", 20, 0), "beyond-reach"},
		"fit points far away": {"", groups(0, "SPLINE", 71, 3, 11, 0, 21, 0, 11, "1e300", 21, 0), "beyond-reach"},
		"broken spline":       {"", groups(0, "SPLINE", 71, 1) + knots(0, 0, 1, 1, 2, 2) + groups(10, 0, 20, 0, 10, 1, 20, 0, 10, 5, 20, 0, 10, 6, 20, 0), "bad-spline"},
	}.run(t)
}

// Hatches without a boundary.
func TestHostileHatches(t *testing.T) {
	hatch := func(paths any, rest string) string {
		return groups(0, "HATCH", 10, 0, 20, 0, 30, 0, 2, "SOLID", 70, 1, 71, 0, 91, paths) + rest + groups(75, 0, 76, 1)
	}
	hostileCases{
		"hatch counts":       {"", hatch(2, groups(92, 2, 72, 0, 73, 1, 93, 3, 10, 0, 20, 0, 10, 1, 20, 0, 10, 1, 20, 1)), "bad-count"},
		"hatch vertices":     {"", hatch(1, groups(92, 2, 72, 0, 73, 1, 93, -3, 10, 0, 20, 0, 10, 1, 20, 0, 10, 1, 20, 1)), "bad-count"},
		"hatch edge kind":    {"", hatch(1, groups(92, 0, 93, 1, 72, 9)), "bad-value"},
		"hatch open":         {"", hatch(1, groups(92, 0, 93, 1, 72, 1, 10, 0, 20, 0, 11, 5, 21, 0)), "open-boundary"},
		"hatch no radius":    {"", hatch(1, groups(92, 0, 93, 1, 72, 2, 10, 0, 20, 0, 40, 0, 50, 0, 51, 360, 73, 1)), "bad-value"},
		"hatch far away":     {"", hatch(1, groups(92, 2, 72, 0, 73, 1, 93, 3, 10, 0, 20, 0, 10, "1e9", 20, 0, 10, 1, 20, 1)), "beyond-reach"},
		"hatch spline knots": {"", hatch(1, groups(92, 0, 93, 1, 72, 4, 94, 3, 73, 0, 74, 0, 95, 5, 96, 1, 40, 0, 10, 0, 20, 0)), "bad-count"},
	}.run(t)
}

// Sections out of order.
func TestHostileSections(t *testing.T) {
	hostileCases{
		"entities twice":     {groups(0, "SECTION", 2, "ENTITIES", 0, "ENDSEC"), "", "damaged-drawing"},
		"section in section": {"", groups(0, "SECTION"), "damaged-drawing"},
		"name of section":    {groups(0, "SECTION", 8, "x"), "", "damaged-drawing"},
		"words":              {"these are words\n", "", "damaged-drawing"},
	}.run(t)
}

// An array of arrays may be large as long as it is not too large.
func TestManyCopies(t *testing.T) {
	line := groups(0, "LINE", 10, 0, 20, 0, 11, 0.5, 21, 0.5)
	copies := groups(0, "INSERT", 2, "a", 70, 300, 71, 300, 44, 1, 45, 1)
	d := read(t, dxf(blocks(block("a", line)), copies), drawing.Options{})
	if len(d.Contours) != 90_000 || d.LooseEnds != 180_000 || len(d.Loose) != 10_000 {
		t.Errorf("%d contours, %d loose ends", len(d.Contours), d.LooseEnds)
	}
	if list := d.OpenProblems(nil); len(list) != 1 || !strings.Contains(list[0].Message, "all 90000 lines are open") {
		t.Errorf("%d problems", len(list))
	}
	// Where some are closed, the open ones are slips.
	d = read(t, dxf(blocks(block("a", line)), copies+groups(0, "CIRCLE", 10, -9, 20, -9, 40, 5)), drawing.Options{})
	if list := d.OpenProblems(nil); len(list) != 51 || !strings.Contains(list[50].Message, "89950 further") {
		t.Errorf("%d problems", len(list))
	}
}

func TestManyProblems(t *testing.T) {
	for _, refuse := range []bool{false, true} {
		_, problems := decode.Drawing(dxf("", strings.Repeat(circleAt("x"), 10_000)), drawing.Options{RefuseFaults: refuse})
		if n := len(problems); n != 101 || problems[n-1].Code != "too-many-problems" || problems.HasErrors() != refuse {
			t.Errorf("refuse %v: %d problems, the last %v", refuse, n, problems[n-1])
		}
	}
}

// Names without end cost neither memory nor a flood of warnings.
func TestManyNames(t *testing.T) {
	var lines, kinds strings.Builder
	for i := range 20_000 {
		lines.WriteString(groups(0, "LINE", 8, i, 10, 0, 20, 0, 11, 1, 21, i%7))
		kinds.WriteString(groups(0, fmt.Sprint("KIND", i), 10, 0))
	}
	wantCodes(t, dxf("", lines.String()), drawing.Options{}, "too-large")
	d, problems := decode.Drawing(dxf("", kinds.String()), drawing.Options{})
	if len(problems) > 110 || len(d.Skipped) > 10_001 {
		t.Errorf("%d problems, %d kinds skipped", len(problems), len(d.Skipped))
	}
	if n := len(d.Skipped); d.Skipped[n-1].What != "other things" && d.Skipped[0].What != "other things" {
		t.Errorf("skipped: %+v", d.Skipped[n-1])
	}
}

// A wide gap in a crowd of loose ends is refused, not puzzled out.
func TestGapTooWide(t *testing.T) {
	var b strings.Builder
	for i := range 3000 {
		x := float64(i%55) * 0.02
		y := float64(i/55) * 0.02
		b.WriteString(groups(0, "LINE", 10, x, 20, y, 11, x+0.011, 21, y+0.004))
	}
	wantCodes(t, dxf("", b.String()), drawing.Options{Gap: 5}, "gap-too-wide")
}

// Wherever a file is cut off, a message says so. Only what follows EOF may be
// missing.
func TestCutOff(t *testing.T) {
	for _, name := range []string{"everything.dxf", "small_r2000.dxf", "blocks_nested-R12.dxf", "hatch_edges-R2000.dxf", "lines-R12-binary.dxf", "splines-R2000-binary.dxf"} {
		data := load(t, name).Data
		end := bytes.LastIndex(data, []byte("EOF")) + 3
		step := 1000
		if len(data) < 12_000 {
			step = 1
		}
		for n := 0; n < end; n += step {
			_, problems := decode.Drawing(source.New(name, data[:n]), inMM)
			if !problems.HasErrors() {
				t.Errorf("%s cut off after %d of %d bytes: no error", name, n, len(data))
			}
		}
	}
}

func TestNoDrawing(t *testing.T) {
	for name, data := range map[string]string{
		"nothing":    "",
		"words":      "Dear painter,\n\nthis is a letter.\n",
		"picture":    "\x89PNG\r\n\x1a\n....",
		"closed":     "AC1027\x00\x00\x00",
		"two bytes":  "\xff\xfe0\x00\n\x00",
		"printed":    "%PDF-1.7\n",
		"zeros":      strings.Repeat("\x00", 100_000),
		"code alone": "0",
	} {
		problems := wantCodes(t, source.New(name, []byte(data)), drawing.Options{}, "not-a-drawing")
		if problems[0].Place.Line() != 1 {
			t.Errorf("%s: %v", name, problems[0])
		}
	}
	wantCodes(t, source.New("mostly zeros", []byte("0\nSECTION\n"+strings.Repeat("\x00", 10_000_000))), drawing.Options{}, "cut-off-drawing")
	wantCodes(t, source.New("too large", make([]byte, drawing.MaxBytes+1)), drawing.Options{}, "too-large")
}
