package register_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/contour"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/decode"
	"mahlstick/runner/plane"
	"mahlstick/runner/register"
	"mahlstick/runner/vector"
)

// desk puts together drawings, each contour with a line of its own as place.
type desk struct {
	file *source.File
	d    *drawing.Drawing
}

func newDesk(name string) *desk {
	f := source.New(name, []byte(strings.Repeat("contour\n", 400)))
	return &desk{f, &drawing.Drawing{File: f, UnitName: "mm", UnitMM: 1, Layers: []string{"0"}}}
}

func (k *desk) add(c drawing.Contour) *desk {
	start := 8 * len(k.d.Contours)
	c.Place = k.file.Place(start, start+7)
	if c.Layer == "" {
		c.Layer = "0"
	}
	k.d.Contours = append(k.d.Contours, c)
	return k
}

func square(x, y, size float64) drawing.Contour { return rectangle(x, y, size, size) }

func rectangle(x, y, w, h float64) drawing.Contour {
	return drawing.Contour{Closed: true, Points: []vector.XY{
		{X: x - w/2, Y: y - h/2}, {X: x + w/2, Y: y - h/2}, {X: x + w/2, Y: y + h/2}, {X: x - w/2, Y: y + h/2},
	}}
}

func disc(x, y, r float64) drawing.Contour {
	c := drawing.Contour{Closed: true}
	for i := range 60 {
		s, co := math.Sincos(float64(i) * math.Pi / 30)
		c.Points = append(c.Points, vector.XY{X: x + r*co, Y: y + r*s})
	}
	return c
}

func (k *desk) change(f func(vector.XY) vector.XY) *desk {
	for i := range k.d.Contours {
		c := &k.d.Contours[i]
		points := make([]vector.XY, len(c.Points))
		for j, p := range c.Points {
			points[j] = f(p)
		}
		c.Points = points
	}
	return k
}

func scaled(s float64) func(vector.XY) vector.XY {
	return func(p vector.XY) vector.XY { return vector.XY{X: s * p.X, Y: s * p.Y} }
}

func moved(degrees, dx, dy float64) func(vector.XY) vector.XY {
	s, c := math.Sincos(degrees * math.Pi / 180)
	return func(p vector.XY) vector.XY { return vector.XY{X: c*p.X - s*p.Y + dx, Y: s*p.X + c*p.Y + dy} }
}

var (
	recipeFile = source.New("heron.md", []byte(strings.Repeat("| row |\n", 20)))
	a4         = &model.Sheet{Width: 210, Height: 297, Margin: 8}
	oneMark    = []model.Mark{{Name: "corner", X: 15, Y: 15, Size: 8, Place: recipeFile.Place(0, 7)}}
	threeMarks = []model.Mark{
		{Name: "a", X: 15, Y: 15, Size: 8, Place: recipeFile.Place(0, 7)},
		{Name: "b", X: 195, Y: 15, Size: 8, Place: recipeFile.Place(8, 15)},
		{Name: "c", X: 15, Y: 282, Size: 8, Place: recipeFile.Place(16, 23)},
	}
)

func layer() *model.Layer {
	return &model.Layer{Name: "reeds", Drawing: "reeds.dxf", DrawingPlace: recipeFile.Place(80, 87), Place: recipeFile.Place(80, 87)}
}

func errors(list problem.List) string {
	var out []string
	for _, p := range list {
		out = append(out, p.String())
	}
	return strings.Join(out, "\n")
}

func TestOneMarkMovesTheDrawing(t *testing.T) {
	k := newDesk("reeds.dxf").add(disc(60, 50, 20)).add(square(-100, -200, 8)).add(drawing.Contour{
		Points: []vector.XY{{X: 0, Y: 0}, {X: 10, Y: 0}}, Widths: []float64{1, 2}, Identity: contour.Identity{Rule: contour.EvenOdd, Group: 3},
	})
	k.d.Contours[0].Points = disc(-50, -150, 20).Points
	l := layer()
	l.OffsetX, l.OffsetY = 0.25, -0.5
	p, contours, problems := register.Place(k.d, l, oneMark, a4)
	if len(problems) > 0 {
		t.Fatal(errors(problems))
	}
	// The mark's middle goes to (15, 15), the rest with it, and the offsets on
	// top: +115.25, +214.5.
	if got, want := contours[0].Points[0], plane.At(-30+115.25, -150+214.5); got != want {
		t.Errorf("first point at %v, want %v", got, want)
	}
	if got := p.Apply(vector.XY{X: 1, Y: 2}); got != (vector.XY{X: 116.25, Y: 216.5}) {
		t.Errorf("placement puts (1, 2) at %v", got)
	}
	line := contours[1]
	if line.Closed || line.Shape != 1 || line.Widths[1] != 2 || line.Group != 3 || line.Rule != contour.EvenOdd || line.Place != k.d.Contours[2].Place {
		t.Errorf("open line came through as %+v", line)
	}
	if len(contours) != 2 || p.MarksOut != 1 {
		t.Errorf("%d contours left, %d of marks; want 2 and 1", len(contours), p.MarksOut)
	}
	m := p.Marks[0]
	if m.Name != "corner" || math.Abs(m.Measured-8) > 1e-9 || m.OffX != 0 || m.OffY != 0 || p.TurnDeg != 0 || p.RMS != 0 {
		t.Errorf("mark found as %+v, turn %v, rms %v", m, p.TurnDeg, p.RMS)
	}
}

// Marks of one size, in any order in the file, in a drawing that was moved and
// turned in any way, are told apart and bring it back.
func TestThreeMarksTurnTheDrawing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		degrees := rapid.Float64Range(-180, 180).Draw(t, "turn")
		dx, dy := rapid.Float64Range(-500, 500).Draw(t, "dx"), rapid.Float64Range(-500, 500).Draw(t, "dy")
		order := rapid.Permutation([]int{0, 1, 2}).Draw(t, "order")
		k := newDesk("reeds.dxf")
		for _, i := range order {
			k.add(square(threeMarks[i].X, threeMarks[i].Y, 8))
		}
		k.add(disc(100, 100, 20)).change(moved(degrees, dx, dy))
		p, contours, problems := register.Place(k.d, layer(), threeMarks, a4)
		if problems.HasErrors() {
			t.Fatal(errors(problems))
		}
		if p.RMS > 1e-9 || math.Abs(p.TurnDeg+degrees) > 1e-9 && math.Abs(math.Abs(p.TurnDeg)-180) > 1e-6 {
			t.Fatalf("turn %v and rms %v for a drawing turned by %v", p.TurnDeg, p.RMS, degrees)
		}
		x, y := contours[0].Points[0].MM()
		if math.Abs(x-120) > 0.0001 || math.Abs(y-100) > 0.0001 {
			t.Fatalf("the disc's first point lies at %v, %v", x, y)
		}
	})
}

// everywhere is one width (mm) for all lines.
type everywhere float64

func (w everywhere) WidthAt(int, float64, float64, float64, float64) (float64, error) {
	return float64(w), nil
}

// A line that is stretched unevenly is a shape, turned with its drawing, unless the layer
// gives the width: here a disc that became an ellipse of half axes 8 and 2 mm.
func TestStretchedLinesTurn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		degrees := rapid.Float64Range(-180, 180).Draw(t, "turn")
		wide := drawing.Contour{Points: []vector.XY{{X: 99.9995, Y: 100}, {X: 100.0005, Y: 100}}, Widths: []float64{8, 8}}
		turn := moved(degrees, 0, 0)
		c := turn(vector.XY{X: 1})
		wide.Look.Stretch = contour.Stretch{XX: 2, YY: 0.5}.Turned(c.X, c.Y)
		k := newDesk("reeds.dxf")
		for _, m := range threeMarks {
			k.add(square(m.X, m.Y, 8))
		}
		k.add(wide).change(moved(degrees, 30, 40))
		_, contours, problems := register.Place(k.d, layer(), threeMarks, a4)
		if problems.HasErrors() || len(contours) != 1 || contours[0].Widths != nil || !contours[0].Filled {
			t.Fatalf("%+v\n%s", contours, errors(problems))
		}
		box := plane.Bounds(contours[0].Points)
		x0, y0 := box.Min.MM()
		x1, y1 := box.Max.MM()
		for i, off := range []float64{x0 - 92, y0 - 98, x1 - 108, y1 - 102} {
			if math.Abs(off) > 0.002 {
				t.Fatalf("turned by %v: side %d is off by %v mm", degrees, i, off)
			}
		}
		l := layer()
		l.Width = everywhere(1)
		if _, contours, problems = register.Place(k.d, l, threeMarks, a4); problems.HasErrors() || len(contours) != 1 || contours[0].Widths == nil {
			t.Fatalf("with a width of the layer: %+v\n%s", contours, errors(problems))
		}
	})
}

// A stretched line that is thinner than the grid is no shape: it stays a line, with a
// warning at the first of many.
func TestStretchedLinesStay(t *testing.T) {
	k := newDesk("reeds.dxf")
	for y := range 3 {
		c := drawing.Contour{Points: []vector.XY{{X: 50, Y: 50 + float64(y)}, {X: 60, Y: 50 + float64(y)}}, Widths: []float64{1e-6, 1e-6}}
		c.Look = contour.Look{Ends: contour.FlatEnds, Stretch: contour.Stretch{XX: 2, YY: 0.5}}
		k.add(c)
	}
	_, contours, problems := register.Place(k.d, layer(), nil, a4)
	if len(contours) != 3 || contours[0].Widths == nil || !contours[0].Look.Stretch.None() {
		t.Errorf("%+v", contours)
	}
	if len(problems) != 1 || problems[0].Code != problem.StretchedWidth || problems[0].Severity != problem.Warning || problems[0].Place != k.d.Contours[0].Place {
		t.Error(errors(problems))
	}
}

// Two marks of one size fit the right way round and upside down; the smaller
// turn is meant.
func TestTwoMarksTakeTheSmallerTurn(t *testing.T) {
	marks := []model.Mark{threeMarks[0], threeMarks[1]}
	k := newDesk("reeds.dxf").add(square(195, 15, 8)).add(square(15, 15, 8)).add(disc(100, 100, 20)).change(moved(0.5, 0, 0))
	p, _, problems := register.Place(k.d, layer(), marks, a4)
	if len(problems) > 0 || math.Abs(p.TurnDeg+0.5) > 1e-9 {
		t.Errorf("turn %v\n%s", p.TurnDeg, errors(problems))
	}
	// A drawing that is really upside down is turned, and said to be, when the
	// marks can be told apart.
	marks[1].Size = 6
	k = newDesk("reeds.dxf").add(square(195, 15, 6)).add(square(15, 15, 8)).add(disc(100, 100, 20)).change(moved(180, 0, 0))
	p, _, problems = register.Place(k.d, layer(), marks, a4)
	if len(problems) != 1 || problems[0].Code != "large-turn" || math.Abs(math.Abs(p.TurnDeg)-180) > 1e-9 {
		t.Errorf("turn %v\n%s", p.TurnDeg, errors(problems))
	}
}

func TestMarkOnItsDrawingLayer(t *testing.T) {
	marks := []model.Mark{oneMark[0]}
	marks[0].DrawingLayer = "Register"
	on := func(c drawing.Contour, layer string) drawing.Contour { c.Layer = layer; return c }
	k := newDesk("reeds.dxf").
		add(on(square(100, 100, 8), "ink")). // as large as the mark, but art
		add(on(disc(50, 50, 5), "register")).
		add(on(square(15, 15, 8), "register"))
	k.d.Layers = []string{"ink", "register"}
	_, contours, problems := register.Place(k.d, layer(), marks, a4)
	if len(problems) > 0 || len(contours) != 2 {
		t.Errorf("%d contours left, want 2: the disc is no mark\n%s", len(contours), errors(problems))
	}
	l := layer()
	l.DrawingLayer = "INK"
	_, contours, problems = register.Place(k.d, l, marks, a4)
	if len(problems) > 0 || len(contours) != 1 || contours[0].Shape != 0 {
		t.Errorf("%d contours left, want only the one on the layer to paint\n%s", len(contours), errors(problems))
	}
}

func TestWhatCountsAsASquare(t *testing.T) {
	sides := square(15, 15, 8)
	var halved drawing.Contour
	halved.Closed = true
	for i, p := range sides.Points {
		q := sides.Points[(i+1)%4]
		halved.Points = append(halved.Points, p, vector.XY{X: (p.X + q.X) / 2, Y: (p.Y + q.Y) / 2})
	}
	clockwise := drawing.Contour{Closed: true}
	for i := range sides.Points {
		clockwise.Points = append(clockwise.Points, sides.Points[3-i])
	}
	open := square(15, 15, 8)
	open.Closed = false
	cut := drawing.Contour{Closed: true, Points: []vector.XY{{X: 11, Y: 11.5}, {X: 11.5, Y: 11}, {X: 19, Y: 11}, {X: 19, Y: 19}, {X: 11, Y: 19}}}
	for _, test := range []struct {
		name string
		c    drawing.Contour
		is   bool
	}{
		{"square", sides, true},
		{"points on its sides", halved, true},
		{"clockwise", clockwise, true},
		{"a little too large", square(15, 15, 8.04), true},
		{"too large", square(15, 15, 8.06), false},
		{"rectangle of the same area", rectangle(15, 15, 8.2, 64/8.2), false},
		{"disc of the same area", disc(15, 15, 8/math.Sqrt(math.Pi)), false},
		{"open", open, false},
		{"a corner cut off", cut, false},
		{"three points", drawing.Contour{Closed: true, Points: sides.Points[:3]}, false},
		{"two points", drawing.Contour{Closed: true, Points: sides.Points[:2]}, false},
		{"no points", drawing.Contour{Closed: true}, false},
		{"no numbers", drawing.Contour{Closed: true, Points: []vector.XY{{X: math.NaN()}, {}, {X: 1}, {Y: 1}}}, false},
	} {
		k := newDesk("reeds.dxf").add(disc(100, 100, 20)).add(test.c)
		_, _, problems := register.Place(k.d, layer(), oneMark, a4)
		if is := !problems.HasErrors(); is != test.is {
			t.Errorf("%s: taken for a mark: %v, want %v\n%s", test.name, is, test.is, errors(problems))
		}
	}
}

func TestMarksAreNotPainted(t *testing.T) {
	k := newDesk("reeds.dxf").add(disc(100, 100, 20)).add(square(15, 15, 8)).add(square(15, 15, 8)).add(square(15, 15, 4))
	p, contours, problems := register.Place(k.d, layer(), oneMark, a4)
	if len(contours) != 1 || p.MarksOut != 3 || len(problems) != 1 || problems[0].Code != "inside-mark" {
		t.Errorf("%d contours left, %d of marks\n%s", len(contours), p.MarksOut, errors(problems))
	}
}

// A file that states its unit is overruled only in so many words.
func TestUnitMistakeInAFile(t *testing.T) {
	square := "  0\nLWPOLYLINE\n  8\n0\n 90\n4\n 70\n1\n"
	for _, p := range [][2]string{{"1.1", "1.1"}, {"1.9", "1.1"}, {"1.9", "1.9"}, {"1.1", "1.9"}} {
		square += " 10\n" + p[0] + "\n 20\n" + p[1] + "\n"
	}
	f := source.New("reeds.dxf", []byte("  0\nSECTION\n  2\nHEADER\n  9\n$INSUNITS\n 70\n1\n  0\nENDSEC\n"+
		"  0\nSECTION\n  2\nENTITIES\n"+square+"  0\nENDSEC\n  0\nEOF\n"))
	d, problems := decode.Drawing(f, drawing.Options{})
	if problems.HasErrors() {
		t.Fatal(errors(problems))
	}
	_, _, problems = register.Place(d, layer(), oneMark, a4)
	want := "heron.md:11:1: the mark \"corner\" measures 20.32 mm in reeds.dxf where 8 mm is stated, 2.54 times too large; the drawing's numbers are likely cm, not in [mark-unit]"
	if errors(problems) != want || problems[0].Fix.Advice != "in the column unit of this layer, write: cm, not as the file says" {
		t.Errorf("got  %s (%s)\nwant %s", errors(problems), problems[0].Fix.Advice, want)
	}
}

func TestTooManyMarks(t *testing.T) {
	k := newDesk("reeds.dxf").add(disc(100, 100, 20))
	var marks []model.Mark
	for i := range 9 {
		k.add(square(15, 15+20*float64(i), 8))
		marks = append(marks, model.Mark{Name: fmt.Sprint(i), X: 15, Y: 15 + 20*float64(i), Size: 8})
	}
	if _, _, problems := register.Place(k.d, layer(), marks, a4); len(problems) != 1 || problems[0].Code != "too-many-marks" {
		t.Errorf("nine marks of one size: %s", errors(problems))
	}
	for i := range marks {
		marks[i].Size = 6 + float64(i)
		k.d.Contours[1+i].Points = square(marks[i].X, marks[i].Y, marks[i].Size).Points
	}
	if p, _, problems := register.Place(k.d, layer(), marks, a4); len(problems) > 0 || p.RMS > 1e-9 {
		t.Errorf("nine marks of nine sizes: %s", errors(problems))
	}
}

func TestCheckLayers(t *testing.T) {
	place := func(name string, size float64) register.Placement {
		k := newDesk(name + ".dxf").add(disc(100, 100, 20)).add(square(15, 15, size))
		l := layer()
		l.Name = name
		p, _, problems := register.Place(k.d, l, oneMark, a4)
		if len(problems) > 0 {
			t.Fatal(errors(problems))
		}
		return p
	}
	if got := register.CheckLayers([]register.Placement{place("reeds", 8), place("bird", 8.015)}); len(got) > 0 {
		t.Error(errors(got))
	}
	got := register.CheckLayers([]register.Placement{place("reeds", 8), place("water", 8), place("bird", 8.03)})
	want := `bird.dxf:2:1: the mark "corner" is 8.03 mm on the layer "bird", but 8 mm on the layer "reeds": the two are drawn to different scales [mark-sizes-differ]`
	if errors(got) != want {
		t.Errorf("got  %s\nwant %s", errors(got), want)
	}
	if got := register.CheckLayers(nil); got != nil {
		t.Error(errors(got))
	}
}

func TestLayersWithoutMarks(t *testing.T) {
	place := func(file string) register.Placement {
		p, _, problems := register.Place(newDesk(file).add(disc(100, 100, 20)).d, layer(), nil, a4)
		if len(problems) > 0 {
			t.Fatal(errors(problems))
		}
		return p
	}
	if got := register.CheckLayers([]register.Placement{place("reeds.dxf")}); len(got) > 0 {
		t.Errorf("one drawing alone has nothing to be laid over: %s", errors(got))
	}
	if got := register.CheckLayers([]register.Placement{place("reeds.dxf"), place("reeds.dxf")}); len(got) > 0 {
		t.Errorf("two layers of one drawing lie as they were drawn: %s", errors(got))
	}
	got := register.CheckLayers([]register.Placement{place("reeds.dxf"), place("bird.dxf"), place("water.dxf")})
	want := "heron.md:11:1: no register mark is stated, so bird.dxf and reeds.dxf meet only if both are drawn in the sheet's coordinates [no-registration]"
	if errors(got) != want || got.HasErrors() {
		t.Errorf("got  %s\nwant %s", errors(got), want)
	}
}

func BenchmarkPlace(b *testing.B) {
	k := newDesk("reeds.dxf").add(square(15, 15, 8))
	for i := range 300 {
		k.add(disc(20+float64(i%20)*9, 30+float64(i/20)*15, 4))
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, _, problems := register.Place(k.d, layer(), oneMark, a4); problems.HasErrors() {
			b.Fatal(errors(problems))
		}
	}
}

// A drawing made of squares of the mark's size costs no more a square than one
// of discs.
func BenchmarkManySquares(b *testing.B) {
	for _, n := range []int{1000, 100_000} {
		f := source.New("reeds.dxf", make([]byte, n))
		d := &drawing.Drawing{File: f, UnitName: "mm", UnitMM: 1}
		for i := range n {
			c := square(float64(i%300)*8, float64(i/300)*8, 8)
			c.Place = f.Place(i, i+1)
			d.Contours = append(d.Contours, c)
		}
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, _, problems := register.Place(d, layer(), threeMarks, a4); problems[0].Code != "ambiguous-mark" {
					b.Fatal(errors(problems))
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/contour")
		})
	}
}

func ExamplePlace() {
	k := newDesk("reeds.dxf").add(square(-100, -100, 8)).add(disc(-20, 0, 30))
	p, contours, problems := register.Place(k.d, layer(), oneMark, a4)
	fmt.Printf("moved by %g mm, %g mm; %d contour left; problems: %d\n", p.DX, p.DY, len(contours), len(problems))
	// Output: moved by 115 mm, 115 mm; 1 contour left; problems: 0
}
