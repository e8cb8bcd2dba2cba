package decode_test

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/decode"
)

var inMM = drawing.Options{Unit: model.Unit{Name: "mm", MM: 1, Override: true}}

func load(t testing.TB, name string) *source.File {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	return source.New(name, data)
}

// read wants no errors; warnings may be.
func read(t testing.TB, f *source.File, opt drawing.Options) *drawing.Drawing {
	t.Helper()
	d, problems := decode.Drawing(f, opt)
	for _, p := range problems {
		if p.Severity == problem.Error {
			t.Errorf("%v (%s)", p, p.Fix.Advice)
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
	t.Log(d.Read, d.Skipped, d.UnitFrom, d.Loose)
	d = read(t, load(t, "everything.dxf"), drawing.Options{})
	for _, c := range d.Contours {
		t.Log(c.Closed, len(c.Points), length(c), c.Place, c.Layer, c.Widths)
	}
	t.Log(d.Read, d.Skipped, d.UnitFrom, d.Loose)
}

// Drawings written by a general-purpose library (ezdxf 0.18.1, see
// .ci/ezdxf), and pictures of our own that .ci/svg compares with a
// general-purpose renderer: their contours as golden text, to the last bit.
func TestGoldenContours(t *testing.T) {
	var files []string
	for _, pattern := range []string{"*-*.dxf", "svg/*.svg"} {
		found, err := filepath.Glob(filepath.Join("..", "testdata", pattern))
		if err != nil || len(found) < 8 {
			t.Fatal(found, err)
		}
		files = append(files, found...)
	}
	for _, path := range files {
		name := strings.TrimPrefix(filepath.ToSlash(path), "../testdata/")
		base := filepath.Base(path)
		d, problems := decode.Drawing(load(t, name), inMM)
		compareGolden(t, "contours/"+strings.TrimSuffix(base, filepath.Ext(base))+".txt", []byte(describe(d, problems)))
	}
}
