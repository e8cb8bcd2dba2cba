package main

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"testing"

	"mahlstick/notebooks/brushwork"
	"mahlstick/recipe/source"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/decode"
)

func TestCommittedDrawingsAreWhatIsDrawn(t *testing.T) {
	dir := t.TempDir()
	if err := brushwork.Write(dir, files()); err != nil {
		t.Fatal(err)
	}
	names, err := filepath.Glob(filepath.Join("..", "*.dxf"))
	if err != nil || len(names) != len(pictures()) {
		t.Errorf("%d drawings are committed, %d are drawn", len(names), len(pictures()))
	}
	for _, p := range pictures() {
		got, err := os.ReadFile(filepath.Join(dir, p.name+".dxf"))
		if err != nil {
			t.Fatal(err)
		}
		want, err := os.ReadFile(filepath.Join("..", p.name+".dxf"))
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s.dxf differs: run go run ./notebooks/guide/draw and look at the picture", p.name)
		}
		if len(want) > 60_000 {
			t.Errorf("%s.dxf has %d bytes; a drawing of the guide is small", p.name, len(want))
		}
	}
}

func TestCommittedColoursAreWhatIsDrawn(t *testing.T) {
	got, err := os.ReadFile(filepath.Join("..", "12-colours.svg"))
	if err != nil || string(got) != robin() {
		t.Errorf("12-colours.svg differs (%v): run go run ./notebooks/guide/draw and look at the picture", err)
	}
}

// The marks of two drawings that lie over each other are the same square of
// the same spot of the sheet, read back with the project's reader.
func TestMarks(t *testing.T) {
	for name, want := range map[string]struct{ at, size float64 }{
		"05-sails": {14, 6}, "05-sea": {14, 6}, "06-petals": {14, 6}, "06-stems": {14, 6}, "09-moon": {12, 5}, "09-swallow": {12, 5},
	} {
		data, err := os.ReadFile(filepath.Join("..", name+".dxf"))
		if err != nil {
			t.Fatal(err)
		}
		p := pictureOf(name)
		d, problems := decode.Drawing(source.New(name, data), drawing.Options{})
		if p.out.Unit == "" {
			// The recipe says it.
			if len(problems) != 1 || problems[0].Code != "no-unit" {
				t.Errorf("%s: %v", name, problems)
			}
			continue
		}
		if len(problems) > 0 {
			t.Errorf("%s: %v", name, problems)
			continue
		}
		n := 0
		for _, c := range d.Contours {
			if c.Layer != "register" {
				continue
			}
			n++
			a, b := xy(c.Points[0].X, c.Points[0].Y).Minus(p.Corner), xy(c.Points[2].X, c.Points[2].Y).Minus(p.Corner)
			if c := a.Toward(b, 0.5); c.Minus(xy(want.at, want.at)).Length() > 1e-4 || math.Abs(b.X-a.X-want.size) > 1e-4 || math.Abs(b.Y-a.Y-want.size) > 1e-4 {
				t.Errorf("%s: the mark runs from %v to %v", name, a, b)
			}
		}
		if n != 1 {
			t.Errorf("%s has %d marks", name, n)
		}
	}
}

// pictureOf is the picture of a name, or nil.
func pictureOf(name string) *picture {
	for _, p := range pictures() {
		if p.name == name {
			return p
		}
	}
	return nil
}

// A stroke of one width along a straight line is a rectangle with two half
// discs; its outline's bulges give its area exactly.
func TestOutlineOfAStraightStroke(t *testing.T) {
	cs := outline(smooth(brushwork.Points(10, 10, 40, 50), false), even(2))
	want := 2*50 + math.Pi
	if got := area(cs); math.Abs(got-want) > 1e-4 {
		t.Errorf("area %v, want %v", got, want)
	}
}

// A leaf is as wide as was asked where it is widest, and nowhere wider.
func TestOutlineOfALeaf(t *testing.T) {
	centre := smooth(brushwork.Points(0, 0, 20, 6, 40, 0), false)
	cs := outline(centre, leaf(3))
	widest := 0.0
	for i, c := range cs {
		p := c.at
		if i == len(cs)-1 || math.Abs(c.bulge) > 0.5 {
			continue // an end
		}
		nearest := math.Inf(1)
		for _, q := range centre {
			nearest = math.Min(nearest, p.Minus(q).Length())
		}
		widest = math.Max(widest, 2*nearest)
	}
	if widest < 2.9 || widest > 3.01 {
		t.Errorf("it is %.3f mm wide", widest)
	}
}

// An arc through three points of a circle has the bulge of that circle.
func TestBulge(t *testing.T) {
	for _, degrees := range []float64{-170, -90, -10, 5, 60, 120, 179} {
		c, r := xy(3, 4), xy(7, 0)
		at := func(k float64) pt { return c.Plus(brushwork.Turned(r, degrees*k)) }
		want := math.Tan(degrees * math.Pi / 720)
		for _, k := range []float64{0.2, 0.5, 0.9} {
			if got := bulge(at(0), at(k), at(1)); math.Abs(got-want) > 1e-9 {
				t.Errorf("%v degrees: bulge %v, want %v", degrees, got, want)
			}
		}
		if degrees > 0 {
			if got := round(at(0), at(1), c); math.Abs(got-want) > 1e-9 {
				t.Errorf("%v degrees: round %v, want %v", degrees, got, want)
			}
		}
	}
	if got, want := round(xy(1, 0), xy(0, -1), pt{}), math.Tan(270*math.Pi/720); math.Abs(got-want) > 1e-9 {
		t.Errorf("three quarters of a turn: %v, want %v", got, want)
	}
}

// area is that of a contour of arcs (mm², counter-clockwise): the shoelace sum
// and the segment of the circle over each chord.
func area(cs []corner) float64 {
	sum := 0.0
	for i, c := range cs {
		next := cs[(i+1)%len(cs)].at
		sum += c.at.Cross(next) / 2
		if c.bulge == 0 {
			continue
		}
		angle := 4 * math.Atan(c.bulge)
		radius := next.Minus(c.at).Length() / 2 / math.Sin(angle/2)
		sum += radius * radius / 2 * (angle - math.Sin(angle))
	}
	return sum
}
