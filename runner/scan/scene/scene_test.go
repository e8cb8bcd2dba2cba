package scene_test

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"strings"
	"testing"

	"mahlstick/runner/scan/scene"
)

// line is a program of one level stroke from (5, 10) to (25, 10) at a press.
func line(press float64) string {
	return fmt.Sprintf("(stroke 1)\nG0 X5 Y10\nZ2.5\nG1 Z-%.3f F450\nX25 F900\nZ2.5 F450\n", press)
}

func paint(t testing.TB, l scene.Layer) *scene.Sheet {
	t.Helper()
	s, err := scene.Paint(30, 20, l)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// dark is how much light is missing in a column or row, in mm of full ink, and where its middle is.
func dark(img *image.NRGBA, at int, down bool, dpi float64) (width, middle float64) {
	paper := float64(img.NRGBAAt(0, 0).R) // rounded to a byte
	ink := paper - math.Round(0.94*scene.Black[0]*255)
	n := img.Rect.Dx()
	if down {
		n = img.Rect.Dy()
	}
	for i := range n {
		p := img.NRGBAAt(i, at)
		if down {
			p = img.NRGBAAt(at, i)
		}
		missing := (paper - float64(p.R)) / ink
		width += missing
		middle += missing * (float64(i) + 0.5)
	}
	return width * 25.4 / dpi, middle / width * 25.4 / dpi
}

// The width of a cone's mark at a press, 0.3 + 2 tan(12 deg) (1.5 + 0.1) mm, is a
// closed form; a blur keeps it, a scanner's error stretches it.
func TestWidth(t *testing.T) {
	want := 0.3 + 2*math.Tan(12*math.Pi/180)*1.6
	s := paint(t, scene.Layer{Program: line(1.5), Brush: scene.Brush{Width: scene.Cone(0.3, 12, 0)}, Ink: scene.Black, Deep: 0.1})
	for _, c := range []struct {
		scanner scene.Scanner
		want    float64
	}{
		{scene.Scanner{Linear: true, DPI: 600}, want},
		{scene.Scanner{Linear: true, DPI: 300, Blur: 0.8}, want},
		{scene.Scanner{Linear: true, DPI: 300, Blur: 0.8, ErrorY: 0.01}, want * 1.01},
		{scene.Scanner{Linear: true, DPI: 300, UpsideDown: true}, want},
		{scene.Scanner{Linear: true, DPI: 300, Mirrored: true}, want},
	} {
		img := c.scanner.Scan(s)
		got, middle := dark(img, img.Rect.Dx()/2, true, c.scanner.DPI)
		if math.Abs(got-c.want) > 25.4/c.scanner.DPI/8 { // a row of pixels has 8 parts
			t.Errorf("%+v: the mark is %.4f mm wide, should be %.4f", c.scanner, got, c.want)
		}
		if height := 20 * (1 + c.scanner.ErrorY); math.Abs(middle-height/2) > 0.05 {
			t.Errorf("%+v: the mark lies at %.3f mm from above", c.scanner, middle)
		}
	}
}

// A stroke from x 5 to 25 mm with a lag of 0.5 mm leaves its mark from 5 to
// 24.5 mm, each end half its width longer; a mirrored one ends at 25.5 mm.
func TestLagAndSides(t *testing.T) {
	brush := scene.Brush{Width: scene.Cone(0.3, 12, 0), Lag: func(float64) float64 { return 0.5 }}
	s := paint(t, scene.Layer{Program: line(1.5), Brush: brush, Ink: scene.Black})
	for _, c := range []struct {
		scanner scene.Scanner
		middle  float64
	}{{scene.Scanner{Linear: true, DPI: 600}, 14.75}, {scene.Scanner{Linear: true, DPI: 600, Mirrored: true}, 15.25}, {scene.Scanner{Linear: true, DPI: 600, UpsideDown: true}, 15.25}} {
		img := c.scanner.Scan(s)
		_, got := dark(img, img.Rect.Dy()/2, false, 600)
		if math.Abs(got-c.middle) > 0.03 {
			t.Errorf("%+v: the middle is at %.3f mm, should be near %.2f", c.scanner, got, c.middle)
		}
	}
}

// Where a layer lay turned and shifted, its paint is turned back on the sheet.
func TestLying(t *testing.T) {
	lying := scene.Lying{Turn: 0.01, ShiftX: 0.4, ShiftY: -0.3, GrowX: 0.01}
	s := paint(t, scene.Layer{Program: line(1.5), Brush: scene.Brush{Width: scene.Cone(0.3, 12, 0)}, Ink: scene.Black, Lying: lying})
	img := scene.Scanner{Linear: true, DPI: 600}.Scan(s)
	for _, x := range []float64{8, 14, 20} {
		// On the bed the line is Y = 10; back on the sheet, by hand.
		X := lying.ShiftX + (x*1.01*math.Cos(0.01) - 10.2*math.Sin(0.01))
		want := (10-lying.ShiftY)*math.Cos(0.01) - (X-lying.ShiftX)*math.Sin(0.01)
		_, fromAbove := dark(img, int(x*600/25.4), true, 600)
		if got := 20 - fromAbove; math.Abs(got-want) > 0.03 {
			t.Errorf("at x %g mm the line lies at y %.3f mm, should be %.3f", x, got, want)
		}
	}
}

// Coats multiply: two of an ink let its square through. A load fades.
func TestInks(t *testing.T) {
	width := scene.Cone(2, 12, 0)
	l := scene.Layer{Program: line(1), Brush: scene.Brush{Width: width}, Ink: scene.Straw}
	s, err := scene.Paint(30, 20, l, l)
	if err != nil {
		t.Fatal(err)
	}
	img := scene.Scanner{Linear: true, DPI: 300}.Scan(s)
	got := img.NRGBAAt(img.Rect.Dx()/2, img.Rect.Dy()/2)
	through := func(k int) uint8 { return uint8(0.94*255*scene.Straw[k]*scene.Straw[k] + 0.5) }
	if want := (color.NRGBA{through(0), through(1), through(2), 255}); got != want {
		t.Errorf("two coats of straw are %v, should be %v", got, want)
	}
	l.Brush.Load, l.Brush.Fade = 10, 10 // 0.4 is left after 16 of 20 mm
	img = scene.Scanner{Linear: true, DPI: 300}.Scan(paint(t, l))
	for _, c := range []struct{ x, ink float64 }{{12, 1}, {21, 0.4}} {
		got := float64(img.NRGBAAt(int(c.x*300/25.4), img.Rect.Dy()/2).B)
		// A mark of 2.4 mm goes 1.2 mm ahead of its middle: the strongest dab counts.
		if want := 0.94 * 255 * math.Pow(scene.Straw[2], min(1, c.ink+0.12)); math.Abs(got-want) > 3 {
			t.Errorf("at x %g mm blue is %.0f, should be near %.0f", c.x, got, want)
		}
	}
}

func TestMishaps(t *testing.T) {
	ink := func(m ...scene.Mishap) float64 {
		s := paint(t, scene.Layer{Program: line(1), Brush: scene.Brush{Width: scene.Cone(1, 12, 0)}, Ink: scene.Black, Mishaps: m})
		img := scene.Scanner{Linear: true, DPI: 300}.Scan(s)
		sum := 0.0
		for x := range img.Rect.Dx() {
			w, _ := dark(img, x, true, 300)
			sum += w * 25.4 / 300
		}
		return sum
	}
	whole := ink()
	if got := ink(scene.Mishap{Stroke: 1, Missing: true}); got > 0.01*whole {
		t.Errorf("%.2f mm² of ink are left of a missing stroke of %.2f", got, whole)
	}
	if got := ink(scene.Mishap{Stroke: 1, Missing: true, From: 0.4, To: 0.6}); got > 0.9*whole || got < 0.8*whole {
		t.Errorf("%.2f mm² of ink are left of a broken stroke of %.2f", got, whole)
	}
	if got := ink(scene.Mishap{Stroke: 1, Again: true, ShiftY: 3}); math.Abs(got-2*whole) > 0.02*whole {
		t.Errorf("a stroke painted twice has %.2f mm² of ink, once %.2f", got, whole)
	}
	if got := ink(scene.Mishap{Stroke: 1, Smear: 3}); got < 1.02*whole {
		t.Errorf("a smeared stroke has %.2f mm² of ink, a clean one %.2f", got, whole)
	}
	if got := ink(scene.Mishap{Stroke: 2, Missing: true}); got != whole {
		t.Errorf("a mishap of another stroke changes the ink from %.2f to %.2f mm²", whole, got)
	}
}

// Noise and falloff are as stated, and the same seed gives the same bytes.
func TestScannersFaults(t *testing.T) {
	s := paint(t, scene.Layer{Program: "(stroke 1)\nG0 X1 Y1 Z5\n", Brush: scene.Brush{Width: scene.Cone(1, 10, 0)}, Ink: scene.Black})
	scanner := scene.Scanner{Linear: true, DPI: 150, Noise: 0.01, Falloff: 0.1, Seed: 4}
	img := scanner.Scan(s)
	right, sum, squares, n := img.Rect.Dx()-3, 0.0, 0.0, 0.0
	for y := range img.Rect.Dy() {
		for x := right - 2; x <= right+2; x++ {
			v := float64(img.NRGBAAt(x, y).G) / 255
			sum, squares, n = sum+v, squares+v*v, n+1
		}
	}
	mean := sum / n
	if math.Abs(mean-0.94*0.9) > 0.006 {
		t.Errorf("the right edge is as light as %.3f, should be %.3f", mean, 0.94*0.9)
	}
	if sd := math.Sqrt(squares/n - mean*mean); math.Abs(sd-0.01) > 0.0015 {
		t.Errorf("the noise is %.4f, should be 0.01", sd)
	}
	first, _ := scanner.JPEG(s, 85)
	again, _ := scanner.JPEG(s, 85)
	if !bytes.Equal(first, again) {
		t.Error("the same numbers give two pictures")
	}
	if _, err := jpeg.Decode(bytes.NewReader(first)); err != nil {
		t.Error(err)
	}
	scanner.Seed++
	if other, _ := scanner.JPEG(s, 85); bytes.Equal(first, other) {
		t.Error("another seed gives the same picture")
	}
}

// Bytes are encoded as sRGB says: linear light of 0.94 is 248 (IEC 61966-2-1, by hand:
// 255 (1.055 * 0.94^(1/2.4) - 0.055) = 248.2), and of 0.94 * 0.06 is 67.
func TestEncoding(t *testing.T) {
	s := paint(t, scene.Layer{Program: line(1.5), Brush: scene.Brush{Width: scene.Cone(1, 12, 0)}, Ink: scene.Black})
	img := scene.Scanner{}.Scan(s)
	paper, ink := img.NRGBAAt(0, 0).R, img.NRGBAAt(img.Rect.Dx()/2, img.Rect.Dy()/2).R
	if paper != 248 || ink != 67 {
		t.Errorf("paper is %d and ink %d, should be 248 and 67", paper, ink)
	}
}

func TestNoProgram(t *testing.T) {
	for _, text := range []string{"G2 X5\n", "G1 Xfive\n", "N10\n"} {
		if _, err := scene.Paint(30, 20, scene.Layer{Program: text}); err == nil {
			t.Errorf("%q is taken for a program", text)
		}
	}
}

// An A4 sheet with 8 m of strokes, at 300 dpi.
func BenchmarkA4(b *testing.B) {
	var text strings.Builder
	for i := range 40 {
		fmt.Fprintf(&text, "(stroke %d)\nG0 X5 Y%d\nZ2.5\nG1 Z-1.5 F450\nX205\nZ2.5\n", i+1, 7*i+5)
	}
	for b.Loop() {
		s, err := scene.Paint(210, 297, scene.Layer{Program: text.String(), Brush: scene.Brush{Width: scene.Cone(0.3, 12, 0)}, Ink: scene.Indigo})
		if err != nil {
			b.Fatal(err)
		}
		scene.Scanner{Linear: true, DPI: 300, Blur: 0.8, Noise: 0.01, Falloff: 0.1, Turn: 1, Border: 3}.Scan(s)
	}
}
