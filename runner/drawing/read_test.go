package drawing_test

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/drawing"
)

var inMM = drawing.Options{Unit: model.Unit{Name: "mm", MM: 1, Override: true}}

func load(t testing.TB, name string) *source.File {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	return source.New(name, data)
}

// read wants no errors; warnings may be.
func read(t testing.TB, f *source.File, opt drawing.Options) *drawing.Drawing {
	t.Helper()
	d, problems := drawing.Read(f, opt)
	for _, p := range problems {
		if p.Severity == problem.Error {
			t.Errorf("%v (%s)", p, p.Mend)
		}
	}
	return d
}

func length(c drawing.Contour) float64 {
	sum := 0.0
	for i := 1; i < len(c.Points); i++ {
		sum += math.Hypot(c.Points[i].X-c.Points[i-1].X, c.Points[i].Y-c.Points[i-1].Y)
	}
	if n := len(c.Points); c.Closed {
		sum += math.Hypot(c.Points[0].X-c.Points[n-1].X, c.Points[0].Y-c.Points[n-1].Y)
	}
	return sum
}

func TestSmall(t *testing.T) {
	d := read(t, load(t, "small_r2000.dxf"), drawing.Options{})
	for _, c := range d.Contours {
		t.Log(c.Closed, len(c.Points), length(c), c.Place, c.Layer)
	}
	t.Log(d.Read, d.Passed, d.UnitFrom, d.Loose)
	d = read(t, load(t, "everything.dxf"), drawing.Options{})
	for _, c := range d.Contours {
		t.Log(c.Closed, len(c.Points), length(c), c.Place, c.Layer, c.Widths)
	}
	t.Log(d.Read, d.Passed, d.UnitFrom, d.Loose)
}

type problemT = problem.Problem

// Drawings written by a general-purpose library (ezdxf 0.18.1, see
// .ci/ezdxf): the contours, as golden text.
func TestGoldenContours(t *testing.T) {
	files, err := filepath.Glob("testdata/*-*.dxf")
	if err != nil || len(files) < 20 {
		t.Fatal(files, err)
	}
	for _, path := range files {
		name := filepath.Base(path)
		d, problems := drawing.Read(load(t, name), inMM)
		golden(t, "contours/"+name[:len(name)-4]+".txt", []byte(describe(d, problems)))
	}
}
