package meaning_test

import (
	"math"
	"strings"
	"testing"

	"mahlstick/runner/scan/along"
	"mahlstick/runner/scan/meaning"
	"mahlstick/runner/scan/scene"
	"mahlstick/runner/vector"
)

// tips is a sheet of three layers: the first lays the scan, the others are painted by a
// brush whose tip is stated at 0.15, -0.1 mm, or by the same brush as the first. moved is
// how far each lies from where it was asked for, in mm.
func tips(t *testing.T, oneBrush bool, moved [3]vector.XY) *meaning.Result {
	t.Helper()
	b := newTable()
	first, strokes := b.picture(t, 0, []float64{8, 52})
	second, more := b.picture(t, 1, []float64{19, 30})
	third, last := b.picture(t, 2, []float64{41})
	c := b.curve(t)
	other := b.stated(t)
	other.Name, other.TipX, other.TipY = "point", 0.15, -0.1
	layers := []meaning.Layer{{Name: "first", Curve: c, Frame: true}, {Name: "second", Curve: c, Brush: 1}, {Name: "third", Curve: c, Brush: 1}}
	brushes := []meaning.Brush{b.stated(t), other}
	if oneBrush {
		layers[1].Brush, layers[2].Brush, brushes = 0, 0, brushes[1:]
	}
	var painted []scene.Layer
	for i, program := range []string{first, second, third} {
		painted = append(painted, scene.Layer{Program: program, Ink: []scene.Ink{scene.Indigo, scene.Moss, scene.Black}[i],
			Brush: scene.Brush{Width: scene.Cone(touchMark, tableAngle, 0), TipX: moved[i].X, TipY: moved[i].Y}})
	}
	s, err := scene.Paint(sheetWidth, sheetHeight, painted...)
	if err != nil {
		t.Fatal(err)
	}
	seen := scene.Scanner{DPI: 300, Turn: 0.7, Blur: 0.8, Noise: 0.008, Falloff: 0.1, Border: 3, Lid: 0.2, Seed: 4}.Look(s)
	return meaning.Of(along.Measure(seen, 25.4/300, append(append(strokes, more...), last...)), layers, brushes)
}

// A tip that stands elsewhere than stated moves all layers of its brush alike: the row is
// what was stated, and how far they lie from there, which may be 0. Where they do not lie
// alike, or the layer that lays the scan is of that brush too, it was not the tip.
func TestTip(t *testing.T) {
	off := vector.XY{X: -0.15, Y: 0.1}
	for _, c := range []struct {
		name     string
		oneBrush bool
		moved    [3]vector.XY
		tip      *vector.XY
		says     string
	}{
		{"none stands off the axis", false, [3]vector.XY{{}, off, off}, &vector.XY{}, "| tip offset x | 0.00 mm |\n| tip offset y | 0.00 mm |"},
		{"farther", false, [3]vector.XY{{}, {X: 0.2, Y: -0.1}, {X: 0.2, Y: -0.1}}, &vector.XY{X: 0.35, Y: -0.2}, "(tip offset x was 0.15 mm, tip offset y was -0.10 mm):"},
		{"right", false, [3]vector.XY{}, nil, ""},
		{"one layer", false, [3]vector.XY{{}, off, {}}, nil, "point: its layers do not lie alike"},
		{"one of the same brush", true, [3]vector.XY{{}, off, {}}, nil, "point: its layers do not lie alike"},
		{"all others of the same brush", true, [3]vector.XY{{}, off, off}, nil, "point: its layers do not lie alike"},
	} {
		r := tips(t, c.oneBrush, c.moved)
		k := r.Corrections[len(r.Corrections)-1]
		var text strings.Builder
		if err := r.Write(&text); err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(text.String(), c.says) || c.says == "" && strings.Contains(text.String(), "do not lie alike") {
			t.Errorf("%s: should say %q:\n%s", c.name, c.says, text.String())
		}
		switch {
		case c.tip == nil && (k.TipX != nil || k.TipY != nil):
			t.Errorf("%s: %+v", c.name, k)
		case c.tip != nil && (k.TipX == nil || k.TipY == nil || math.Abs(*k.TipX-c.tip.X) > 0.005 || math.Abs(*k.TipY-c.tip.Y) > 0.005):
			t.Errorf("%s: %+v, want %v", c.name, k, *c.tip)
		}
	}
}

// Marks that get 10 % wider a metre are found.
func TestWear(t *testing.T) {
	m := newTable().sheet(t, hidden{angle: tableAngle, wear: 0.1}, 4)
	if e, _ := m.Effect(meaning.Wear, 0); !e.Told || math.Abs(e.Value-0.1) > 0.03 {
		t.Errorf("%+v", e)
	}
}
