package proving

import (
	"cmp"
	"math"
	"slices"

	"mahlstick/recipe/model"
	"mahlstick/runner/proof"
	"mahlstick/runner/stage"
)

// lingersFrom (s) is how much longer than at its feed the brush must stay for a
// place to be worth a look, if it is not known how its dots grow. Common
// practice, no source.
const lingersFrom = 0.1

// blots are where the machine lingers on the paper, the longest first. They
// depend on how each axis moves: where the machine does not state that, there
// are none. onSheet is the path as the sheet sees it, move by move.
//
// A mark that is w wide grows as a dot does that is held: to √(w² + 4·D·t) after
// a time t (see measure.Growth). If D was measured, a blot is listed where it is
// wider by the layer's tolerance.
func blots(path, onSheet *proof.Path, brush *proof.Brush, layer *model.Layer, machine *model.Machine, f sheetFrame) []stage.Blot {
	if machine.Motion == nil {
		return nil
	}
	growth := 0.0
	if m := layer.Brush.Measured; m != nil {
		growth = m.Dot.Rate.Value
	}
	var out []stage.Blot
	for _, l := range path.Lingers(Timing(machine), brush) {
		b := stage.Blot{Stroke: l.Stroke + 1, Width: l.Width, Slowest: l.Slowest, Seconds: l.Seconds}
		at := onSheet.Moves[l.Move].To
		b.X, b.Y = f.onSheet(at.X+layer.Brush.TipX, at.Y+layer.Brush.TipY)
		if growth > 0 {
			b.Wider = math.Sqrt(float64(l.Width*l.Width)+float64(float64(4*growth)*l.Seconds)) - l.Width
		}
		if growth > 0 && b.Wider >= layer.Tolerance || growth == 0 && l.Seconds >= lingersFrom {
			out = append(out, b)
		}
	}
	slices.SortStableFunc(out, func(a, b stage.Blot) int {
		return cmp.Or(cmp.Compare(b.Wider, a.Wider), cmp.Compare(b.Seconds, a.Seconds))
	})
	return out
}
