package along_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"mahlstick/runner/scan/along"
	"mahlstick/runner/scan/raster"
	"mahlstick/runner/scan/scene"
	"mahlstick/runner/vector"
)

// decoded is a scan as the reader has it, whose place is known.
type decoded struct {
	image        *raster.Image
	from, ex, ey vector.XY // the pixel of the sheet's corner, and how far a mm goes
}

func (d decoded) At(p vector.XY) ([3]float32, bool) {
	at := d.from.Plus(d.ex.Times(p.X)).Plus(d.ey.Times(p.Y))
	return d.image.At(at.X, at.Y)
}

// A sheet A4 at 600 dpi, with 15 m of strokes measured all along.
func BenchmarkA4(b *testing.B) {
	var text strings.Builder
	var strokes []along.Stroke
	for i := range 75 {
		y := 10 + 3.7*float64(i)
		fmt.Fprintf(&text, "(stroke %d)\nG0 X5 Y%.3f\nZ2.5\n", i+1, y)
		s := along.Stroke{Number: i + 1}
		for k := range 401 {
			x, press := 5+float64(k)/2, 1+0.8*math.Sin(float64(k)/15+float64(i))
			fmt.Fprintf(&text, "G1 X%.3f Y%.3f Z-%.3f F900\n", x, y, press)
			s.Marks = append(s.Marks, along.Mark{X: x, Y: y, Width: touchMark + 2*math.Tan(12*math.Pi/180)*press})
		}
		text.WriteString("Z2.5\n")
		strokes = append(strokes, s)
	}
	sheet, err := scene.Paint(210, 297, scene.Layer{Program: text.String(), Brush: scene.Brush{Width: scene.Cone(touchMark, 12, 0)}, Ink: scene.Indigo})
	if err != nil {
		b.Fatal(err)
	}
	scanner := usual(600, 1)
	data, err := scanner.JPEG(sheet, 85)
	if err != nil {
		b.Fatal(err)
	}
	image, err := raster.Decode(data)
	if err != nil {
		b.Fatal(err)
	}
	pixel := func(x, y float64) vector.XY {
		px, py := scanner.Pixel(sheet, x, y)
		return vector.XY{X: px, Y: py}
	}
	from := pixel(0, 0)
	light := decoded{image, from, pixel(1, 0).Minus(from), pixel(0, 1).Minus(from)}
	b.ReportAllocs()
	for b.Loop() {
		r := along.Measure(light, 25.4/600, strokes)
		b.ReportMetric(float64(len(r.Of(0))), "places")
	}
}
