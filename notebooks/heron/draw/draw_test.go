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
	"mahlstick/runner/drawing/dxfwrite"
	"mahlstick/runner/vector"
)

// sheetContours reads an ink's drawing as it is committed, with the project's
// reader, and lays it on the sheet by the corner that the generator states.
func sheetContours(t *testing.T, ink string) (mark []pt, art [][]pt, d *drawing.Drawing) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", ink+".dxf"))
	if err != nil {
		t.Fatal(err)
	}
	d, problems := decode.Drawing(source.New(ink+".dxf", data), drawing.Options{})
	for _, p := range problems {
		t.Errorf("%s: %+v", ink, p)
	}
	if len(d.Loose) > 0 {
		t.Errorf("%s: %d loose ends, the first at %+v", ink, len(d.Loose), d.Loose[0])
	}
	for i, c := range d.Contours {
		if !c.Closed {
			t.Errorf("%s: contour %d is open", ink, i)
		}
		var l []pt
		for _, p := range c.Points {
			l = append(l, xy(p.X, p.Y).Minus(sheets[ink].Corner))
		}
		if c.Layer == markLayer {
			if mark != nil {
				t.Errorf("%s: two marks", ink)
			}
			mark = l
		} else {
			art = append(art, l)
		}
	}
	return mark, art, d
}

func TestCommittedDrawingsAreWhatIsDrawn(t *testing.T) {
	dir := t.TempDir()
	if err := brushwork.Write(dir, files()); err != nil {
		t.Fatal(err)
	}
	for _, ink := range inks {
		got, err := os.ReadFile(filepath.Join(dir, ink+".dxf"))
		if err != nil {
			t.Fatal(err)
		}
		want, err := os.ReadFile(filepath.Join("..", ink+".dxf"))
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s.dxf differs: run go run ./notebooks/heron/draw and look at the picture", ink)
		}
		if len(want) > 400_000 {
			t.Errorf("%s.dxf has %d bytes", ink, len(want))
		}
	}
}

func TestThereIsEnoughInIt(t *testing.T) {
	p := paint()
	strokes, holes := 0, 0
	kinds := map[string]bool{}
	for _, ink := range inks {
		mark, art, d := sheetContours(t, ink)
		if len(mark) == 0 {
			t.Errorf("%s has no mark", ink)
		}
		if len(art) != len(p.outlines[ink]) {
			t.Errorf("%s: %d contours drawn, %d read", ink, len(p.outlines[ink]), len(art))
		}
		if want := map[string]string{straw: "mm", moss: "cm", slate: "in", indigo: "mm"}[ink]; d.UnitName != want {
			t.Errorf("%s is drawn in %s, not %s", ink, d.UnitName, want)
		}
		for _, o := range p.outlines[ink] {
			if o.depth%2 == 1 {
				holes++
			} else {
				strokes++
			}
		}
		for _, e := range p.file(ink).Entities {
			switch e.(type) {
			case dxfwrite.Line:
				kinds["line"] = true
			case dxfwrite.Arc:
				kinds["arc"] = true
			case dxfwrite.Circle:
				kinds["circle"] = true
			case dxfwrite.Polyline:
				kinds["polyline"] = true
			case dxfwrite.Spline:
				kinds["spline"] = true
			}
		}
	}
	if strokes < 300 || holes < 5 || len(kinds) != 5 {
		t.Errorf("%d strokes, %d holes, kinds of entity %v", strokes, holes, kinds)
	}
}

// contourAt is the contour that has a vertex at a point.
func contourAt(all [][]pt, at pt) []pt {
	for _, l := range all {
		for _, q := range l {
			if q.Minus(at).Length() < 0.001 {
				return l
			}
		}
	}
	return nil
}

// Every stroke is as wide as its brush can paint, and what is written is as
// wide as was meant: no point of the outline lies nearer to a centre than the
// half width there, and one lies at it.
func TestWidths(t *testing.T) {
	measured := map[string]float64{straw: 4.2, moss: 4.2, slate: 2.4, indigo: 2.4}
	narrow, wide := math.Inf(1), map[string]float64{}
	p := paint()
	drawn := map[string][][]pt{}
	for _, ink := range inks {
		_, drawn[ink], _ = sheetContours(t, ink)
	}
	for _, s := range p.strokes {
		edge := contourAt(drawn[s.ink], s.outline()[0].p)
		if edge == nil {
			t.Errorf("%s, %s: no contour begins at %v", s.ink, s.subject, s.outline()[0].p)
			continue
		}
		for k := range 13 {
			at := vector.Lerp(s.from, s.to, float64(k)/12)
			c, _ := s.c.locate(at)
			nearest := math.Inf(1)
			for i, a := range edge {
				d := edge[(i+1)%len(edge)].Minus(a)
				k := brushwork.Clamp(c.Minus(a).Dot(d)/d.Dot(d), 0, 1)
				nearest = math.Min(nearest, a.Plus(d.Times(k)).Minus(c).Length())
			}
			if math.Abs(nearest-s.half(at)) > 0.02 {
				t.Errorf("%s, %s: %.3f mm wide at %v, meant to be %.3f", s.ink, s.subject, 2*nearest, c, 2*s.half(at))
			}
		}
		for at := s.from; at <= s.to; at += grain {
			w := 2 * s.half(at)
			narrow = math.Min(narrow, w)
			wide[s.ink] = math.Max(wide[s.ink], w)
		}
	}
	if math.Abs(narrow-0.3) > 0.001 {
		t.Errorf("the thinnest mark is %v mm", narrow)
	}
	for ink, w := range wide {
		if w > measured[ink] || w < measured[ink]-0.1 {
			t.Errorf("%s is up to %.3f mm wide, its brush %.1f mm", ink, w, measured[ink])
		}
	}
}

func crosses(a, b, c, d pt) bool {
	s := func(a, b, c pt) bool { return b.Minus(a).Cross(c.Minus(a)) > 0 }
	return s(a, b, c) != s(a, b, d) && s(c, d, a) != s(c, d, b)
}

func TestNoOutlineCrossesItself(t *testing.T) {
	for _, ink := range inks {
		_, art, _ := sheetContours(t, ink)
		for i, l := range art {
			n := len(l)
			for a := range n {
				for b := a + 2; b < n; b++ {
					if (b+1)%n != a && crosses(l[a], l[a+1], l[b], l[(b+1)%n]) {
						t.Errorf("%s: contour %d crosses itself at %v", ink, i, l[a])
					}
				}
			}
		}
	}
}

// A contour inside another is a hole to whoever reads the drawing, so none
// may come to lie in another by chance, and nothing may cross the rings.
func TestHolesAreMeant(t *testing.T) {
	p := paint()
	for _, ink := range inks {
		var shapes [][]pt
		for _, o := range p.outlines[ink] {
			shapes = append(shapes, o.flatten(0.3))
		}
		for i, a := range shapes {
			depth := 0
			for k, b := range shapes {
				if i == k || !overlap(a, b) {
					continue
				}
				switch {
				case !cross(a, b):
					if near(a[0], b, 0) {
						depth++
					}
				case p.outlines[ink][i].depth > 0:
					t.Errorf("%s: contour %d crosses a ring at %v", ink, k, a[0])
				}
			}
			if want := p.outlines[ink][i].depth; depth != want {
				t.Errorf("%s, %s: contour %d at %v lies in %d others, not %d", ink, p.outlines[ink][i].subject, i, a[0], depth, want)
			}
		}
	}
}

// cross says whether two closed lines cross.
func cross(a, b []pt) bool {
	for m := range a {
		for n := range b {
			if crosses(a[m], a[(m+1)%len(a)], b[n], b[(n+1)%len(b)]) {
				return true
			}
		}
	}
	return false
}

func box(l []pt) (lo, hi pt) {
	lo, hi = l[0], l[0]
	for _, q := range l {
		lo, hi = xy(math.Min(lo.X, q.X), math.Min(lo.Y, q.Y)), xy(math.Max(hi.X, q.X), math.Max(hi.Y, q.Y))
	}
	return lo, hi
}

func overlap(a, b []pt) bool {
	p, q := box(a)
	r, s := box(b)
	return p.X <= s.X && r.X <= q.X && p.Y <= s.Y && r.Y <= q.Y
}

func TestMarksAndMargins(t *testing.T) {
	for _, ink := range inks {
		mark, art, _ := sheetContours(t, ink)
		lo, hi := box(mark)
		middle := lo.Toward(hi, 0.5)
		if len(mark) != 4 || math.Abs(hi.X-lo.X-8) > 5e-5 || math.Abs(hi.Y-lo.Y-8) > 5e-5 || middle.Minus(xy(15, 15)).Length() > 5e-5 {
			t.Errorf("%s: the mark runs from %v to %v", ink, lo, hi)
		}
		for i, l := range art {
			a, b := box(l)
			// 8 mm is the recipe's margin; the picture keeps 12.
			if a.X < 12 || a.Y < 12 || b.X > 210-12 || b.Y > 297-12 {
				t.Errorf("%s: contour %d runs from %v to %v", ink, i, a, b)
			}
			if a.X < hi.X+2 && a.Y < hi.Y+2 {
				t.Errorf("%s: contour %d comes too near to the mark", ink, i)
			}
			if w, h := b.X-a.X, b.Y-a.Y; math.Abs(w-8) < 0.1 && math.Abs(h-8) < 0.1 {
				t.Errorf("%s: contour %d is as large as the mark", ink, i)
			}
		}
	}
}
