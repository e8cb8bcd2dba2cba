package stage

import (
	"testing"

	"mahlstick/runner/proof"
)

// Check marks are no strokes of the picture, and the lightest touch is no plunge.
func TestPlungesOfThePicture(t *testing.T) {
	m := proof.Measures{Strokes: []proof.Stroke{{Plunge: 3, Steepest: 2}, {Plunge: 0.1}, {Plunge: 0.8, Steepest: 0.25}, {Plunge: 1.2}}}
	if f := NewFigures(&m, 1, 0); f.Strokes != 3 || f.CheckMarks != 1 || f.Plunges != 2 || f.Plunge != 1.2 || f.Steepest != 0.25 {
		t.Errorf("%+v", f)
	}
}
