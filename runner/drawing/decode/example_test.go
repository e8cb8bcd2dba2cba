package decode_test

import (
	"bytes"
	"fmt"

	"mahlstick/recipe/source"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/decode"
	"mahlstick/runner/drawing/dxfwrite"
	"mahlstick/runner/vector"
)

// Loose lines become an outline, a text is skipped, and what was read is
// listed.
func ExampleDrawing() {
	file := source.New("reeds.dxf", []byte(groups(
		0, "SECTION", 2, "HEADER", 9, "$INSUNITS", 70, 5, 0, "ENDSEC",
		0, "SECTION", 2, "ENTITIES",
		0, "LINE", 8, "straw", 10, 1, 20, 1, 11, 3, 21, 1,
		0, "LINE", 8, "straw", 10, 1, 20, 1, 11, 2, 21, 5,
		0, "LINE", 8, "straw", 10, 3, 20, 1, 11, 2, 21, 5,
		0, "TEXT", 8, "notes", 10, 0, 20, 0, 1, "palest first",
		0, "ENDSEC", 0, "EOF")))
	d, problems := decode.Drawing(file, drawing.Options{})
	fmt.Println(len(problems), "problems; a unit is", d.UnitMM, "mm, from", d.UnitFrom)
	for _, c := range d.Contours {
		fmt.Println(c.Place, c.Layer, c.Closed, c.Points)
	}
	for _, c := range d.Skipped {
		fmt.Println(c.N, c.What, c.Why)
	}
	// Output:
	// 0 problems; a unit is 10 mm, from the file ($INSUNITS 5)
	// reeds.dxf:16:1 straw true [{10 10} {30 10} {20 50}]
	// 1 TEXT text is not painted
}

// An open line is reported with both ends, the gap and how to fix it.
func Example_openProblems() {
	file := source.New("bird.dxf", []byte(groups(
		0, "SECTION", 2, "HEADER", 9, "$INSUNITS", 70, 4, 0, "ENDSEC",
		0, "SECTION", 2, "ENTITIES",
		0, "LWPOLYLINE", 90, 4, 70, 0, 10, 0, 20, 0, 10, 20, 20, 0, 10, 20, 20, 10, 10, 0, 20, "0.12",
		0, "ENDSEC", 0, "EOF")))
	d, _ := decode.Drawing(file, drawing.Options{})
	for _, p := range d.OpenProblems(nil) {
		fmt.Println(p)
		fmt.Println(p.Fix.Advice)
	}
	// Output:
	// bird.dxf:16:1: this line is open: from (0, 0) mm to (0, 0.12) mm, 0.12 mm apart [open-contour]
	// close it in the drawing, or state a gap of 0.13 mm for the layer
}

func Example_writing() {
	var b bytes.Buffer
	err := dxfwrite.Write(&b, dxfwrite.File{
		Unit:   "cm",
		Layers: []string{"mark", "straw"},
		Entities: []dxfwrite.Entity{
			dxfwrite.Square("mark", vector.XY{X: 1.5, Y: 1.5}, 0.8),
			dxfwrite.Circle{Layer: "straw", Centre: vector.XY{X: 10, Y: 14}, Radius: 3},
		},
	})
	d, _ := decode.Drawing(source.New("new.dxf", b.Bytes()), drawing.Options{Layer: "straw"})
	low, high, _ := d.Bounds()
	fmt.Printf("%v; %s: from (%.2f, %.2f) mm to (%.2f, %.2f) mm\n", err, d.Contours[0].Layer, low.X, low.Y, high.X, high.Y)
	// Output:
	// <nil>; straw: from (70.00, 110.00) mm to (130.00, 170.00) mm
}

func Example_suggestUnit() {
	// A mark of 8 mm was drawn in centimetres and is read as inches.
	d := &drawing.Drawing{UnitName: "in", UnitMM: 25.4}
	s, ok := d.SuggestUnit(0.8 * 25.4 / 8)
	fmt.Println(ok, s.Factor, s.Unit)
	// Output:
	// true 2.54 times too large cm
}
