package measure

import (
	"math"

	"mahlstick/recipe/brush"
)

// Play finds the play of a brush, in mm of press: a press that is reached from
// above paints the mark of a press that is deeper by the play and reached from
// below. It compares marks that were reached from above, whose presses are below
// the touch, with the curve of those reached from below. scatter is the standard
// deviation of one mark's width. ok is false where no mark can be compared.
func Play(marks []brush.Mark, curve *brush.Curve, scatter float64) (play Estimate, ok bool) {
	var weighted, weights float64
	n := 0
	for _, m := range marks {
		press, err := curve.PressFor(m.Width)
		if err != nil {
			continue
		}
		slope, err := curve.Slope(press)
		if err != nil || !(slope > 0.02) {
			continue // a level stretch says nothing of the press
		}
		w := square(slope)
		weighted += float64(w * (press - m.Press))
		weights += w
		n++
	}
	if n == 0 || !(weights > 0) {
		return Estimate{}, false
	}
	// The curve's own doubt counts like as many readings again.
	u := scatter * math.Sqrt(2/weights)
	return Estimate{Value: max(weighted/weights, 0), U: u, Readings: n}.rounded(), true
}
