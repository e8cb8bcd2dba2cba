package dxfwrite_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"mahlstick/recipe/source"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/decode"
	"mahlstick/runner/drawing/dxfwrite"
	"mahlstick/runner/vector"
)

// looks has layers that look otherwise than layers do by themselves.
func looks() dxfwrite.File {
	return dxfwrite.File{
		Unit:   "mm",
		Layers: []string{"edge", "moss", "plain"},
		Looks: map[string]dxfwrite.Look{
			"edge": {Colour: "#808080", NotPlotted: true, Locked: true},
			"moss": {Colour: "#6c7a45"},
		},
		Entities: []dxfwrite.Entity{
			dxfwrite.Path("edge", vector.XY{}, vector.XY{X: 210}, vector.XY{X: 210, Y: 148}, vector.XY{Y: 148}),
			dxfwrite.Square("moss", vector.XY{X: 15, Y: 15}, 8),
		},
	}
}

func TestWriteLooks(t *testing.T) {
	var b bytes.Buffer
	if err := dxfwrite.Write(&b, looks()); err != nil {
		t.Fatal(err)
	}
	compareGolden(t, "looks.dxf", b.Bytes())

	// What is not plotted is skipped when the file is read.
	d, problems := decode.Drawing(source.New("looks.dxf", b.Bytes()), drawing.Options{})
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	if len(d.Contours) != 1 || d.Contours[0].Layer != "moss" {
		t.Errorf("contours %+v, want the square alone", d.Contours)
	}
	if len(d.Skipped) != 1 || d.Skipped[0].Layer != "edge" {
		t.Errorf("skipped %+v, want what is on the edge", d.Skipped)
	}
}

// The colour index next to a colour. The colours of the entries 1 to 6 and of
// the greys 8 and 9 stand in the DXF Reference, the others in the library.
func TestColourIndex(t *testing.T) {
	for colour, want := range map[string]int{
		"#ff0000": 1, "#ffff00": 2, "#00ff00": 3, "#00ffff": 4, "#0000ff": 5, "#ff00ff": 6,
		"#808080": 8, "#c0c0c0": 9, "#ffffff": 255, "#fffffe": 255, "#fb0402": 1, "#333333": 250,
	} {
		var b bytes.Buffer
		o := dxfwrite.File{Layers: []string{"ink"}, Looks: map[string]dxfwrite.Look{"ink": {Colour: colour}}}
		if err := dxfwrite.Write(&b, o); err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(b.String(), fmt.Sprintf("\n2\nink\n70\n0\n62\n%d\n420\n", want)) {
			t.Errorf("%s is not written as colour %d", colour, want)
		}
	}
}

func TestWriteLooksRefuses(t *testing.T) {
	for _, colour := range []string{"red", "#12345", "#1234567", "#12345g", "#+12345"} {
		var b bytes.Buffer
		o := dxfwrite.File{Layers: []string{"ink"}, Looks: map[string]dxfwrite.Look{"ink": {Colour: colour}}}
		if err := dxfwrite.Write(&b, o); err == nil || b.Len() > 0 {
			t.Errorf("%s: error %v and %d bytes, want an error and none", colour, err, b.Len())
		}
	}
}
