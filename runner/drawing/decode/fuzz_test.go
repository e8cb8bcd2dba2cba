package decode_test

import (
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"mahlstick/recipe/source"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/decode"
)

// sound checks what holds for every file whatsoever.
func sound(t *testing.T, name string, data []byte, opt drawing.Options) {
	d, problems := decode.Drawing(source.New(name, data), opt)
	again, problemsAgain := decode.Record(source.New(name, data), 0).Drawing(opt)
	if describe(d, problems) != describe(again, problemsAgain) {
		t.Error("a recording gives something else")
	}
	size := len(d.File.Data)
	for _, p := range problems {
		if p.Place.Start < 0 || p.Place.End < p.Place.Start || p.Place.End > size || p.Fix.None() || p.Message == "" {
			t.Errorf("problem %+v in a file of %d bytes", p, size)
		}
	}
	for i, c := range d.Contours {
		soundContour(t, i, &c, size)
	}
	for _, e := range d.Loose {
		if e.Ends < 1 || e.Ends == 2 {
			t.Errorf("loose end %+v", e)
		}
	}
	d.OpenProblems(nil)
}

func soundContour(t *testing.T, i int, c *drawing.Contour, size int) {
	if c.Place.Start < 0 || c.Place.End > size || c.Place.End <= c.Place.Start {
		t.Errorf("contour %d at bytes %d to %d of %d", i, c.Place.Start, c.Place.End, size)
	}
	if len(c.Points) < 2 || c.Closed && c.Widths == nil && len(c.Points) < 3 || c.Widths != nil && len(c.Widths) != len(c.Points) {
		t.Errorf("contour %d: closed %v, %d points, %d widths", i, c.Closed, len(c.Points), len(c.Widths))
	}
	for _, p := range c.Points {
		if !(math.Abs(p.X) <= 10_001 && math.Abs(p.Y) <= 10_001) {
			t.Errorf("contour %d has the point %v", i, p)
		}
	}
	if slices.ContainsFunc(c.Widths, func(w float64) bool { return !(w >= 0 && w <= 1e6) }) {
		t.Errorf("contour %d has widths %v", i, c.Widths)
	}
}

func FuzzDXF(f *testing.F) {
	files, err := filepath.Glob("../testdata/*.dxf")
	if err != nil || len(files) == 0 {
		f.Fatal(files, err)
	}
	for _, path := range files {
		data, err := os.ReadFile(path)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	for _, s := range []string{
		groups(0, "EOF"), "0\r\nEOF\r\n", "999\nremark\n0\nEOF",
		string(dxf("", groups(0, "POLYLINE", 70, 8, 0, "VERTEX", 10, 1, 20, 2, 0, "SEQEND")).Data),
		string(dxf(blocks(block("a", circleAt(0))), groups(0, "INSERT", 2, "a", 70, 2, 44, 3, 50, 30, 41, -2)).Data),
		string(dxf("", groups(0, "LWPOLYLINE", 90, 2, 70, 1, 43, 0.5, 10, 0, 20, 0, 42, 1, 10, 5, 20, 0, 42, -2)).Data),
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		sound(t, "fuzz.dxf", data, inMM)
		sound(t, "fuzz.dxf", data, drawing.Options{Layer: "0", KeepLayers: []string{"mark"}})
	})
}
