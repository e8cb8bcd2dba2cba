package proof_test

import (
	"fmt"
	"math"
	"testing"

	"mahlstick/runner/proof"
)

// A program for a sheet that was put back turned and shifted keeps to the sheet
// only when it is looked at from that sheet, whether it is written in lines or
// in arcs.
func TestTurnedSheet(t *testing.T) {
	const turn = 3 * math.Pi / 180
	sin, cos := math.Sincos(turn)
	to := func(x, y float64) string { // where a point of the sheet lies now
		return fmt.Sprintf("X%.4f Y%.4f", x*cos-y*sin+12, x*sin+y*cos-7)
	}
	// Back from there: the inverse of a turn and a shift.
	lie := &proof.Lie{XX: cos, XY: sin, YX: -sin, YY: cos, X: -(12*cos - 7*sin), Y: -(-12*sin - 7*cos)}
	limits := proof.Limits{Loose: true, Sheet: proof.Rect{MaxX: 210, MaxY: 297}, Margin: 8, Strokes: -1}
	for name, way := range map[string]string{
		"lines": "G1 " + to(201.9, 8.1) + "\nG1 " + to(201.9, 288.9) + "\n",
		"arc":   "G3 " + to(201.9, 148.5) + fmt.Sprintf(" R%.4f\n", math.Hypot(201.9-8.1, 140.4)/math.Sqrt2*1.01),
	} {
		path, faults := proof.Read(name, []byte("G21 G17 G90 G94\nG0 Z5\nG0 "+to(8.1, 8.1)+"\nG1 Z-1 F300\n"+way+"G0 Z5\nM2\n"))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		for _, l := range []*proof.Lie{nil, lie} {
			limits.Lie = l
			for _, o := range proof.Check(path, limits) {
				if o.Name == proof.OnSheet && name == "lines" && o.OK != (l != nil) {
					t.Errorf("%s, %v: %+v", name, l, o)
				}
			}
		}
		for i, m := range path.On(lie).Moves {
			if m.Helix != nil {
				t.Fatal("an arc is left")
			}
			if i > 0 && m.Kind != proof.Pause && m.From != path.On(lie).Moves[i-1].To && m.Unknown == 0 {
				t.Fatalf("%s: a gap at line %d", name, m.Line)
			}
		}
		last := path.On(lie).Last()
		if want := map[string][2]float64{"lines": {201.9, 288.9}, "arc": {201.9, 148.5}}[name]; math.Hypot(last.X-want[0], last.Y-want[1]) > 0.0002 {
			t.Errorf("%s ends at %v on the sheet, not at %v", name, last, want)
		}
	}
}
