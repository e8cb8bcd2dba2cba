package dxfwrite_test

import (
	"bytes"
	"mahlstick/runner/golden"
	"path/filepath"
	"testing"

	"mahlstick/runner/drawing/dxfwrite"
	"mahlstick/runner/vector"
)

func compareGolden(t *testing.T, name string, got []byte) {
	t.Helper()
	golden.Compare(t, filepath.Join("..", "testdata", name), got)
}

// everything has one of each entity that can be written.
func everything() dxfwrite.File {
	return dxfwrite.File{
		Unit:   "cm",
		Layers: []string{"mark", "reeds"},
		Entities: []dxfwrite.Entity{
			dxfwrite.Square("mark", vector.XY{X: 1.5, Y: 1.5}, 0.8),
			dxfwrite.Line{Layer: "reeds", From: vector.XY{X: 0.1, Y: 0.2}, To: vector.XY{X: 3, Y: 4}},
			dxfwrite.Circle{Layer: "reeds", Centre: vector.XY{X: 5, Y: 5}, Radius: 1.25},
			dxfwrite.Arc{Layer: "reeds", Centre: vector.XY{X: 9, Y: 5}, Radius: 2, Start: 350, End: 10},
			dxfwrite.Polyline{Layer: "reeds", Closed: true, Points: []dxfwrite.Vertex{
				{At: vector.XY{X: 2, Y: 8}, Bulge: 1}, {At: vector.XY{X: 3, Y: 8}}, {At: vector.XY{X: 3, Y: 9}, Bulge: -0.25}}},
			dxfwrite.Polyline{Points: []dxfwrite.Vertex{
				{At: vector.XY{X: 6, Y: 8}, StartWidth: 0.1, EndWidth: 0.2}, {At: vector.XY{X: 7, Y: 8}, StartWidth: 0.2}, {At: vector.XY{X: 8, Y: 9}}}},
			dxfwrite.Spline{Layer: "reeds", Degree: 3, Knots: []float64{0, 0, 0, 0, 1, 1, 1, 1},
				Control: []vector.XY{{X: 0, Y: 0}, {X: 1, Y: 2}, {X: 3, Y: 2}, {X: 4, Y: 0}}},
			dxfwrite.Spline{Layer: "reeds", Degree: 2, Knots: []float64{0, 0, 0, 1, 1, 1}, Weights: []float64{1, 0.5, 1},
				Control: []vector.XY{{X: 0, Y: 5}, {X: 1, Y: 7}, {X: 2, Y: 5}}},
		},
	}
}

func TestWriteDXF(t *testing.T) {
	var first, second bytes.Buffer
	if err := dxfwrite.Write(&first, everything()); err != nil {
		t.Fatal(err)
	}
	if err := dxfwrite.Write(&second, everything()); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(first.Bytes(), second.Bytes()) {
		t.Error("the same drawing was written differently the second time")
	}
	compareGolden(t, "everything.dxf", first.Bytes())
}

func TestWriteDXFRefuses(t *testing.T) {
	nan := 0.0
	nan /= nan
	for name, o := range map[string]dxfwrite.File{
		"unit":           {Unit: "parsec"},
		"layer name":     {Layers: []string{"a\nb"}},
		"nan":            {Entities: []dxfwrite.Entity{dxfwrite.Line{From: vector.XY{X: nan}}}},
		"radius":         {Entities: []dxfwrite.Entity{dxfwrite.Circle{}}},
		"arc radius":     {Entities: []dxfwrite.Entity{dxfwrite.Arc{Radius: -1}}},
		"one point":      {Entities: []dxfwrite.Entity{dxfwrite.Path("a", vector.XY{})}},
		"knots":          {Entities: []dxfwrite.Entity{dxfwrite.Spline{Degree: 1, Control: make([]vector.XY, 2)}}},
		"few points":     {Entities: []dxfwrite.Entity{dxfwrite.Spline{Degree: 3, Control: make([]vector.XY, 2)}}},
		"weights":        {Entities: []dxfwrite.Entity{dxfwrite.Spline{Degree: 1, Control: make([]vector.XY, 2), Knots: make([]float64, 4), Weights: []float64{1}}}},
		"entity's layer": {Entities: []dxfwrite.Entity{dxfwrite.Line{Layer: "a|b"}}},
	} {
		var b bytes.Buffer
		if err := dxfwrite.Write(&b, o); err == nil || b.Len() > 0 {
			t.Errorf("%s: error %v and %d bytes, want an error and none", name, err, b.Len())
		}
	}
}
