package decode_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/contour"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/decode"
	"mahlstick/runner/vector"
)

// group writes groups of a DXF file, given as code and value in turn.
func groups(pairs ...any) string {
	var b strings.Builder
	for i := 0; i < len(pairs); i += 2 {
		fmt.Fprintf(&b, "%3v\n%v\n", pairs[i], pairs[i+1])
	}
	return b.String()
}

// sections puts entities into a file in mm, between what else is given.
func dxf(before, entities string) *source.File {
	return source.New("test.dxf", []byte(groups(0, "SECTION", 2, "HEADER", 9, "$INSUNITS", 70, 4, 0, "ENDSEC")+before+
		groups(0, "SECTION", 2, "ENTITIES")+entities+groups(0, "ENDSEC", 0, "EOF")))
}

func blocks(text string) string {
	return groups(0, "SECTION", 2, "BLOCKS") + text + groups(0, "ENDSEC")
}

func block(name string, entities string) string {
	return groups(0, "BLOCK", 2, name, 70, 0, 10, 0, 20, 0, 30, 0) + entities + groups(0, "ENDBLK")
}

func layers(text string) string {
	return groups(0, "SECTION", 2, "TABLES", 0, "TABLE", 2, "LAYER") + text + groups(0, "ENDTAB", 0, "ENDSEC")
}

func wantCodes(t *testing.T, f *source.File, opt drawing.Options, want ...string) problem.List {
	t.Helper()
	d, problems := decode.Drawing(f, opt)
	var got []string
	for _, p := range problems {
		got = append(got, string(p.Code))
		if p.Fix.None() || p.Message == "" || strings.HasSuffix(p.Message, ".") {
			t.Errorf("%v has no fix or an untidy message (%q)", p, p.Fix.Advice)
		}
	}
	if !slices.Equal(got, want) {
		t.Errorf("problems %v, want %v", problems, want)
	}
	if d == nil {
		t.Fatal("no drawing")
	}
	return problems
}

// close says that a contour has points near those given, in order.
func nearPoints(t *testing.T, got []vector.XY, want ...vector.XY) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("points %v, want %v", got, want)
	}
	for i := range got {
		if math.Abs(got[i].X-want[i].X) > 1e-9 || math.Abs(got[i].Y-want[i].Y) > 1e-9 {
			t.Fatalf("points %v, want %v", got, want)
		}
	}
}

// The file was written by a general-purpose library (ezdxf 0.18.1); lengths
// by closed form, given with the unit of the file, the millimetre.
func TestSmallFile(t *testing.T) {
	opt := drawing.Options{Tolerance: 1e-7}
	d := read(t, load(t, "small_r2000.dxf"), opt)
	if d.UnitName != "mm" || d.UnitFrom != "the file ($INSUNITS 4)" {
		t.Errorf("unit %q from %q", d.UnitName, d.UnitFrom)
	}
	want := []float64{
		50 + 5.268365543018513, // a line and the Bézier curve that begins at its end
		66.81517061334489, 62.83185307179586, 6.981317007977318, 6.283185307179586,
		48.44224110273838, 2.4141593605555682, 31.41592653589793,
	}
	if len(d.Contours) != len(want) {
		t.Fatalf("%d contours, want %d", len(d.Contours), len(want))
	}
	for i, c := range d.Contours {
		if math.Abs(length(c)-want[i]) > 1e-6 {
			t.Errorf("contour %d: length %v, want %v", i, length(c), want[i])
		}
	}
	arc := d.Contours[3].Points // ARC from 350 to 10 degrees about (50, 50), radius 20
	middle := arc[len(arc)/2]
	if math.Abs(middle.X-70) > 1e-4 || math.Abs(middle.Y-50) > 0.1 {
		t.Errorf("the arc runs through %v, want (70, 50)", middle)
	}
	mirrored := d.Contours[4].Points // arbitrary axis algorithm: centre (10, 5), extrusion (0, 0, -1)
	nearPoints(t, []vector.XY{mirrored[0], mirrored[len(mirrored)-1]}, vector.XY{X: -14, Y: 5}, vector.XY{X: -10, Y: 9})
	ellipse := d.Contours[6].Points // centre (1, 2), long axis (3, 4), ratio 0.5, 0 to π/4
	nearPoints(t, []vector.XY{ellipse[0], ellipse[len(ellipse)-1]}, vector.XY{X: 4, Y: 6}, vector.XY{X: 1.707106781186548, Y: 5.889087296526011})
}

// What was written is what is read, through the other half of the package.
func TestWrittenIsRead(t *testing.T) {
	d := read(t, load(t, "everything.dxf"), drawing.Options{})
	if d.UnitName != "cm" || d.UnitMM != 10 || !slices.Equal(d.Layers, []string{"0", "mark", "reeds"}) {
		t.Errorf("unit %v, layers %v", d.UnitName, d.Layers)
	}
	nearPoints(t, d.Contours[0].Points, vector.XY{X: 11, Y: 11}, vector.XY{X: 19, Y: 11}, vector.XY{X: 19, Y: 19}, vector.XY{X: 11, Y: 19})
	wide := d.Contours[5]
	if wide.Closed || !slices.Equal(wide.Widths, []float64{1, 2, 0}) {
		t.Errorf("widths %v", wide.Widths)
	}
	if n := len(d.Contours); n != 8 {
		t.Errorf("%d contours, want 8", n)
	}
}

func TestUnits(t *testing.T) {
	line := groups(0, "LINE", 10, 0, 20, 0, 11, 10, 21, 0)
	file := func(units string) *source.File {
		head := ""
		if units != "" {
			head = groups(0, "SECTION", 2, "HEADER", 9, "$INSUNITS", 70, units, 9, "$MEASUREMENT", 70, 1, 0, "ENDSEC")
		}
		return source.New("test.dxf", []byte(head+groups(0, "SECTION", 2, "ENTITIES")+line+groups(0, "ENDSEC", 0, "EOF")))
	}
	cm, in := model.Unit{Name: "cm", MM: 10}, model.Unit{Name: "in", MM: 25.4}
	overruled := cm
	overruled.Override = true
	// Source of the codes: DXF Reference, $INSUNITS. Lengths of 10 units.
	for _, c := range []struct {
		units  string
		recipe model.Unit
		code   string
		mm     float64
	}{
		{"5", model.Unit{}, "", 100},
		{"1", model.Unit{}, "", 254},
		{"2", model.Unit{}, "", 3048},
		{"4", model.Unit{}, "", 10},
		{"6", model.Unit{}, "", 10000},
		{"13", model.Unit{}, "", 0.01},
		{"14", model.Unit{}, "", 1000},
		{"9", model.Unit{}, "", 0.254},
		{"10", model.Unit{}, "", 9144},
		{"5", cm, "", 100},
		{"0", cm, "", 100},
		{"", in, "", 254},
		{"1", overruled, "", 100},
		{"260", overruled, "", 100},
		{"5", in, "unit-clash", 0},
		{"0", model.Unit{}, "no-unit", 0},
		{"", model.Unit{}, "no-unit", 0},
		{"21", model.Unit{}, "unknown-unit", 0},
		{"260", cm, "unknown-unit", 0},
		{"-1", model.Unit{}, "unknown-unit", 0},
		{"mm", model.Unit{}, "unknown-unit", 0},
	} {
		if c.code != "" {
			wantCodes(t, file(c.units), drawing.Options{Unit: c.recipe}, c.code)
			continue
		}
		d := read(t, file(c.units), drawing.Options{Unit: c.recipe})
		if got := length(d.Contours[0]); math.Abs(got-c.mm) > 1e-9*c.mm {
			t.Errorf("%q and %v: %v mm, want %v", c.units, c.recipe, got, c.mm)
		}
	}
	problems := wantCodes(t, file("0"), drawing.Options{}, "no-unit")
	for _, want := range []string{"if mm: 10 x 0 mm", "if cm: 100 x 0 mm", "if in: 254 x 0 mm", "$MEASUREMENT suggests a metric unit"} {
		if !strings.Contains(problems[0].Message, want) {
			t.Errorf("%q does not say %q", problems[0].Message, want)
		}
	}
	problems = wantCodes(t, file("5"), drawing.Options{Unit: in}, "unit-clash")
	if p := problems[0]; !strings.Contains(p.Message, "cm") || !strings.Contains(p.Message, "in") || !strings.Contains(p.Fix.Advice, "write: in, not as the file says") || len(p.Related) != 1 {
		t.Errorf("%v, fix %q", p, p.Fix.Advice)
	}
	d := read(t, file("1"), drawing.Options{Unit: overruled})
	if d.UnitFrom != "the recipe, against the file, which says in ($INSUNITS 1)" {
		t.Errorf("unit from %q", d.UnitFrom)
	}
}

func TestLayers(t *testing.T) {
	table := layers(groups(0, "LAYER", 2, "Reed Bed", 70, 0, 62, 7, 0, "LAYER", 2, "off", 70, 0, 62, -3, 0, "LAYER", 2, "Gr\\U+00FCn", 70, 0, 62, 3))
	circle := func(layer string) string {
		return groups(0, "CIRCLE", 8, layer, 10, 0, 20, 0, 40, 5)
	}
	f := dxf(table, circle("REED BED")+circle("off")+circle("mark")+circle("Gr\\u+00fcn"))
	at := source.New("recipe.md", []byte("red bed")).Place(0, 7)

	d := read(t, f, drawing.Options{Layer: "reed bed", KeepLayers: []string{"Mark"}})
	if len(d.Contours) != 2 || d.Contours[0].Layer != "Reed Bed" || d.Contours[1].Layer != "mark" {
		t.Errorf("contours %+v", d.Contours)
	}
	if d := read(t, f, drawing.Options{Layer: "GRÜN"}); len(d.Contours) != 1 || d.Contours[0].Layer != "Grün" {
		t.Errorf("layers %v", d.Layers)
	}
	problems := wantCodes(t, f, drawing.Options{Layer: "red bed", LayerPlace: at}, "no-such-layer")
	if problems[0].Fix.Advice != "write: Reed Bed" || problems[0].Place != at {
		t.Errorf("%v, fix %q", problems[0], problems[0].Fix.Advice)
	}
	problems = wantCodes(t, f, drawing.Options{Layer: "something else"}, "no-such-layer")
	if !strings.Contains(problems[0].Fix.Advice, "Grün, Reed Bed, mark, off") {
		t.Errorf("fix %q", problems[0].Fix.Advice)
	}
	wantCodes(t, f, drawing.Options{Layer: "off"}, "layer-hidden")
}

// Widths run along each segment; where they jump at a corner they do so over
// a thousandth of a millimetre.
func TestWidths(t *testing.T) {
	f := dxf("", groups(0, "LWPOLYLINE", 90, 3, 70, 0,
		10, 0, 20, 0, 40, 1, 41, 3,
		10, 10, 20, 0, 40, 0.5, 41, 0.5,
		10, 10, 20, 8))
	d := read(t, f, drawing.Options{})
	c := d.Contours[0]
	nearPoints(t, c.Points, vector.XY{}, vector.XY{X: 10}, vector.XY{X: 10, Y: 0.001}, vector.XY{X: 10, Y: 8})
	if !slices.Equal(c.Widths, []float64{1, 3, 0.5, 0.5}) {
		t.Errorf("widths %v", c.Widths)
	}
	// On an arc they grow with its length.
	f = dxf("", groups(0, "LWPOLYLINE", 90, 2, 70, 0, 10, 0, 20, 0, 42, 1, 40, 2, 41, 4, 10, 10, 20, 0))
	c = read(t, f, drawing.Options{}).Contours[0]
	if len(c.Widths) != len(c.Points) || len(c.Points) < 50 {
		t.Fatalf("%d points, %d widths", len(c.Points), len(c.Widths))
	}
	for i, w := range c.Widths {
		if want := 2 + 2*float64(i)/float64(len(c.Widths)-1); math.Abs(w-want) > 1e-12 {
			t.Errorf("width %v, want %v", w, want)
		}
	}
	// A closed one may jump at its start.
	f = dxf("", groups(0, "LWPOLYLINE", 90, 3, 70, 1, 10, 0, 20, 0, 40, 1, 41, 2, 10, 10, 20, 0, 40, 2, 41, 2, 10, 10, 20, 10, 40, 2, 41, 2))
	c = read(t, f, drawing.Options{}).Contours[0]
	if !c.Closed || !slices.Equal(c.Widths, []float64{1, 2, 2, 2}) {
		t.Errorf("closed %v, widths %v at %v", c.Closed, c.Widths, c.Points)
	}
	// A constant width is scaled with its block.
	f = dxf(blocks(block("b", groups(0, "LWPOLYLINE", 90, 2, 70, 0, 43, 0.7, 10, 0, 20, 0, 10, 5, 20, 0))),
		groups(0, "INSERT", 2, "B", 10, 0, 20, 0, 41, -2, 42, 2))
	if c := read(t, f, drawing.Options{}).Contours[0]; math.Abs(c.Widths[0]-1.4) > 1e-12 || c.Points[1].X != -10 {
		t.Errorf("widths %v at %v", c.Widths, c.Points)
	}
	wantCodes(t, dxf("", groups(0, "LWPOLYLINE", 90, 2, 43, -1, 10, 0, 20, 0, 10, 5, 20, 0)), drawing.Options{}, "bad-value")
}

func TestHatchAndItsOutline(t *testing.T) {
	square := groups(10, 0, 20, 0, 10, 20, 20, 0, 10, 20, 20, 20, 10, 0, 20, 20)
	hatch := groups(0, "HATCH", 8, "fill", 10, 0, 20, 0, 30, 0, 2, "SOLID", 70, 1, 71, 0, 91, 2,
		92, 3, 72, 0, 73, 1, 93, 4) + square + groups(97, 0,
		92, 1, 93, 2,
		72, 2, 10, 10, 20, 10, 40, 4, 50, 0, 51, 90, 73, 1,
		72, 2, 10, 10, 20, 10, 40, 4, 50, 0, 51, 270, 73, 0,
		97, 0, 75, 0, 76, 1, 98, 1, 10, 1, 20, 1)
	outline := groups(0, "LWPOLYLINE", 8, "lines", 90, 4, 70, 1) + square
	circle := groups(0, "CIRCLE", 8, "lines", 10, 10, 20, 10, 40, 4)
	d := read(t, dxf("", outline+hatch+circle), drawing.Options{})
	if len(d.Contours) != 2 {
		t.Fatalf("%d contours, want the two of the hatch", len(d.Contours))
	}
	for _, c := range d.Contours {
		if c.Layer != "fill" || c.Group != 1 || c.Rule != contour.EvenOdd {
			t.Errorf("layer %s, group %d, rule %d", c.Layer, c.Group, c.Rule)
		}
	}
	if i := slices.IndexFunc(d.Skipped, func(c drawing.Count) bool { return c.Why == "drawn twice" }); i < 0 || d.Skipped[i].N != 2 {
		t.Errorf("skipped: %v", d.Skipped)
	}
	// Where the outline's layer is kept for marks, it stays.
	d = read(t, dxf("", outline+hatch), drawing.Options{KeepLayers: []string{"lines"}})
	if len(d.Contours) != 3 {
		t.Errorf("%d contours, want 3", len(d.Contours))
	}
}

func TestChaining(t *testing.T) {
	line := func(x1, y1, x2, y2 float64) string { return groups(0, "LINE", 10, x1, 20, y1, 11, x2, 21, y2) }
	square := line(0, 0, 10, 0) + line(10, 10, 10, 0.02) + line(10, 10, 0, 10) + line(0.03, 0, 0, 10)
	d := read(t, dxf("", square), drawing.Options{})
	if len(d.Contours) != 1 || !d.Contours[0].Closed || d.LooseEnds != 0 {
		t.Fatalf("%+v", d.Contours)
	}
	nearPoints(t, d.Contours[0].Points, vector.XY{}, vector.XY{X: 10}, vector.XY{X: 10, Y: 0.02},
		vector.XY{X: 10, Y: 10}, vector.XY{Y: 10}, vector.XY{X: 0.03})

	// With a smaller gap the two gaps stay open.
	d, _ = decode.Drawing(dxf("", square), drawing.Options{Gap: 0.01})
	if len(d.Contours) != 2 || d.LooseEnds != 4 {
		t.Errorf("%d contours, %d loose ends", len(d.Contours), d.LooseEnds)
	}
	problems := d.OpenProblems(nil)
	if len(problems) != 2 || !strings.Contains(problems[0].Message, "from (0, 0) mm to (10, 0) mm") {
		t.Errorf("%v", problems)
	}
	if math.Abs(d.Loose[1].Nearest-0.02) > 1e-9 {
		t.Errorf("loose ends %v", d.Loose)
	}

	// A tail at a corner: the square is whole, the tail is reported.
	d = read(t, dxf("", line(0, 0, 10, 0)+line(10, 0, 10, 10)+line(10, 10, 0, 10)+line(0, 10, 0, 0)+line(10, 10, 15, 15)), drawing.Options{})
	if len(d.Contours) != 2 || !d.Contours[0].Closed || d.Contours[1].Closed || len(d.Loose) != 3 || d.Loose[0].Ends != 3 {
		t.Errorf("%v, loose %v", d.Contours, d.Loose)
	}

	// Two squares that share a side cannot be separated.
	d = read(t, dxf("", line(0, 0, 10, 0)+line(10, 0, 10, 10)+line(10, 10, 0, 10)+line(0, 10, 0, 0)+
		line(10, 0, 20, 0)+line(20, 0, 20, 10)+line(20, 10, 10, 10)), drawing.Options{})
	if problems := d.OpenProblems(nil); len(problems) != 3 || len(problems[0].Related) != 2 {
		t.Errorf("%v", problems)
	}

	// Two squares that share a corner: what is inside stays inside.
	f := dxf("", line(0, 0, 10, 0)+line(10, 0, 10, 10)+line(10, 10, 0, 10)+line(0, 10, 0, 0)+
		line(10, 10, 20, 10)+line(20, 10, 20, 20)+line(20, 20, 10, 20)+line(10, 20, 10, 10))
	d, list := decode.Drawing(f, drawing.Options{})
	if len(list) != 1 || list[0].Code != "ends-crossing" || len(d.OpenProblems(nil)) != 0 {
		t.Errorf("%v", list)
	}

	// Each such point is reported with its place, and kept for the picture.
	row := ""
	for i := range 8 {
		x := float64(20 * i)
		row += line(x, 0, x+10, 10) + line(x+10, 10, x+20, 0) + line(x+20, 0, x+10, -10) + line(x+10, -10, x, 0)
	}
	d, list = decode.Drawing(dxf("", row), drawing.Options{})
	if len(list) != 1 || len(d.Crossings) != 7 || !strings.Contains(list[0].Message, "(20, 0) mm, and also at (40, 0) mm, (60, 0) mm") || !strings.Contains(list[0].Message, "and at 1 more") {
		t.Errorf("%d crossings, %v", len(d.Crossings), list)
	}

	// Lines drawn twice, and specks, are dropped.
	d = read(t, dxf("", square+square+line(5, 5, 5, 5)), drawing.Options{})
	if len(d.Contours) != 1 || len(d.Skipped) != 2 {
		t.Errorf("%d contours, skipped %v", len(d.Contours), d.Skipped)
	}
}

func TestSuggestions(t *testing.T) {
	for _, c := range []struct {
		unit         string
		mm, ratio    float64
		factor, want string
	}{
		{"in", 25.4, 2.54, "2.54 times too large", "cm"},
		{"cm", 10, 1 / 2.54, "2.54 times too small", "in"},
		{"cm", 10, 10, "10 times too large", "mm"},
		{"mm", 1, 0.1, "10 times too small", "cm"},
		{"mm", 1, 1 / 25.4, "25.4 times too small", "in"},
		{"in", 25.4, 25.4, "25.4 times too large", "mm"},
		{"mm", 1, 72 / 25.4, "72/25.4 (2.83) times too large", "pt"},
		{"mm", 1, 96 / 25.4, "96/25.4 (3.78) times too large", "px"},
		{"mm", 1, 10, "10 times too large", ""},
		{"mm", 1, 1.01, "", ""},
		{"mm", 1, 1.7, "", ""},
		{"mm", 1, -10, "", ""},
	} {
		d := &drawing.Drawing{UnitName: c.unit, UnitMM: c.mm}
		s, ok := d.SuggestUnit(c.ratio)
		if ok != (c.factor != "") || s.Factor != c.factor || s.Unit != c.want || s.Write != c.want {
			t.Errorf("%s, ratio %v: %+v %v, want %q %q", c.unit, c.ratio, s, ok, c.factor, c.want)
		}
	}
	d := read(t, dxf("", groups(0, "CIRCLE", 10, 0, 20, 0, 40, 1)), drawing.Options{})
	if s, _ := d.SuggestUnit(0.1); s.Write != "cm, not as the file says" {
		t.Errorf("write %q", s.Write)
	}
	// 21 x 29 units read as inches do not fit A4; as centimetres they do.
	inch := &drawing.Drawing{UnitName: "in", UnitMM: 25.4}
	list := inch.SuggestFit(20*25.4, 28*25.4, 210, 297)
	if len(list) != 1 || list[0].Unit != "cm" {
		t.Errorf("%+v", list)
	}
}
