package decode_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/contour"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/decode"
	"mahlstick/runner/vector"
)

// clipped is a drawing with copies of a square of 9 mm, the first of which has a clip
// with corners, drawn when the block was moved by -5, 0.
func clipped(insert string, on int, last string, corners ...any) *source.File {
	square := groups(0, "LWPOLYLINE", 8, "art", 90, 4, 70, 1, 10, 0, 20, 0, 10, 9, 20, 0, 10, 9, 20, 9, 10, 0, 20, 9)
	f := dxf(blocks(block("a", square)), groups(0, "INSERT", 5, "1", 8, "art", 102, "{ACAD_XDICTIONARY", 360, "2A", 102, "}", 2, "a")+insert)
	objects := groups(0, "SECTION", 2, "OBJECTS", 0, "DICTIONARY", 5, "2A", 3, "ACAD_FILTER", 360, "2B", 0, "DICTIONARY", 5, "2B", 3, "SPATIAL", 360, "2C",
		0, "SPATIAL_FILTER", 5, "2C", 70, len(corners)/4) + groups(corners...) + groups(210, 0, 220, 0, 230, 1, 11, 0, 21, 0, 31, 0, 71, on, 72, 0, 73, 0) +
		strings.Join(strings.Fields("40 1 40 0 40 0 40 -5 40 0 40 1 40 0 40 0 40 0 40 0 40 1 40 0 40 1 40 0 40 0 40 0 40 0 40 1 40 0 40 0 40 0 40 0 40 1 40"), "\n") + "\n" + last + "\n" +
		groups(0, "ENDSEC", 0, "EOF")
	return source.New("test.dxf", []byte(strings.TrimSuffix(string(f.Data), groups(0, "EOF"))+objects))
}

// insideOut gives the clip of a block the record of one that hides what is inside.
func insideOut(f *source.File) *source.File {
	text := strings.Replace(string(f.Data), groups(0, "SPATIAL_FILTER", 5, "2C"), groups(0, "SPATIAL_FILTER", 5, "2C", 102, "{ACAD_XDICTIONARY", 360, "2D", 102, "}"), 1)
	text = strings.Replace(text, groups(0, "ENDSEC", 0, "EOF"), groups(0, "DICTIONARY", 5, "2D", 3, "ACAD_XREC_ROUNDTRIP", 360, "2E", 0, "ENDSEC", 0, "EOF"), 1)
	return source.New("test.dxf", []byte(text))
}

// A clip of a block is kept where the recipe cuts, moved and turned as the copy is;
// elsewhere it is pointed out. One that is off is none, and one that is not
// understood is pointed out always.
func TestClippedBlock(t *testing.T) {
	has := func(list problem.List) bool {
		return slices.ContainsFunc(list, func(p problem.Problem) bool { return p.Code == problem.ClippedShape })
	}
	at := groups(10, 20, 20, 30, 50, 90)
	for _, c := range []struct {
		name           string
		file           *source.File
		want           []vector.XY // corners of the clip, in mm
		warned, hinted bool        // where nothing is cut, and where it is
	}{
		{"a rectangle", clipped(at, 1, "0", 10, 8, 20, 1, 10, 11, 20, 12), []vector.XY{{X: 19, Y: 33}, {X: 8, Y: 33}, {X: 8, Y: 36}, {X: 19, Y: 36}}, true, false},
		{"a triangle", clipped(at, 1, "0", 10, 5, 20, 0, 10, 15, 20, 0, 10, 5, 20, 10), []vector.XY{{X: 20, Y: 30}, {X: 20, Y: 40}, {X: 10, Y: 30}}, true, false},
		{"off", clipped(at, 0, "0", 10, 8, 20, 1, 10, 11, 20, 12), nil, false, false},
		{"elsewhere", clipped(at, 1, "3", 10, 8, 20, 1, 10, 11, 20, 12), nil, true, true},
		{"inside out", insideOut(clipped(at, 1, "0", 10, 8, 20, 1, 10, 11, 20, 12)), []vector.XY{{X: 19, Y: 33}, {X: 8, Y: 33}, {X: 8, Y: 36}, {X: 19, Y: 36}}, true, true},
		{"one corner", clipped(at, 1, "0", 10, 8, 20, 1), nil, true, true},
		{"no number", clipped(at, 1, "x", 10, 8, 20, 1, 10, 11, 20, 12), nil, true, true},
	} {
		if _, problems := decode.Drawing(c.file, drawing.Options{}); has(problems) != c.warned || problems.HasErrors() {
			t.Errorf("%s, not cut: %v", c.name, problems)
		}
		d, problems := decode.Drawing(c.file, drawing.Options{Cut: true})
		if has(problems) != c.hinted || problems.HasErrors() || len(d.Contours) != 1 {
			t.Errorf("%s: %v", c.name, problems)
			continue
		}
		var got []vector.XY
		for _, clip := range d.Contours[0].Clips {
			got = append(got, clip.Shapes[0].Rings[0]...)
		}
		if len(got) != len(c.want) {
			t.Errorf("%s: %v", c.name, got)
		}
		for _, p := range c.want {
			if !slices.ContainsFunc(got, func(q vector.XY) bool { return math.Hypot(p.X-q.X, p.Y-q.Y) < 1e-9 }) {
				t.Errorf("%s: %v, want %v", c.name, got, c.want)
			}
		}
	}
	// What lies wholly outside of a rectangle is left out even where nothing is cut.
	if d, _ := decode.Drawing(clipped(at, 1, "0", 10, 25, 20, 1, 10, 31, 20, 12), drawing.Options{}); len(d.Contours) != 0 {
		t.Errorf("%d contours outside of a clip", len(d.Contours))
	}
}

// An area that hides what lies under it is read only where that is asked for.
func TestWipeout(t *testing.T) {
	f := dxf("", groups(0, "WIPEOUT", 8, "art", 10, 1, 20, 2, 30, 0, 11, 4, 21, 0, 31, 0, 12, 0, 22, 3, 32, 0, 13, 1, 23, 1, 280, 1))
	wantCodes(t, f, drawing.Options{}, "hidden-shape")
	// So is an order of drawing of its own: it matters there alone.
	sorted := source.New("test.dxf", []byte(strings.Replace(string(dxf("", "").Data), groups(0, "EOF"),
		groups(0, "SECTION", 2, "OBJECTS", 0, "SORTENTSTABLE", 5, "9", 331, "2A", 5, "3", 0, "ENDSEC", 0, "EOF"), 1)))
	wantCodes(t, sorted, drawing.Options{})
	wantCodes(t, sorted, drawing.Options{Bare: true}, "not-read")
	d, problems := decode.Drawing(f, drawing.Options{Bare: true})
	if len(problems) > 0 || len(d.Contours) != 1 || d.Contours[0].Paint.Kind != contour.Bare || vector.Bounds(d.Contours[0].Points) != (vector.Box{Min: vector.XY{X: 1, Y: 2}, Max: vector.XY{X: 5, Y: 5}}) {
		t.Errorf("%v %v", d.Contours, problems)
	}
}
