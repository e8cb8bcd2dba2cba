package main

import (
	"mahlstick/notebooks/brushwork"
	"mahlstick/runner/vector"
)

// pt is a point of the sheet or a direction, in mm; x runs right and y up from
// the sheet's lower left corner.
type pt = vector.XY

func xy(x, y float64) pt       { return pt{X: x, Y: y} }
func mul(a, b float64) float64 { return brushwork.Mul(a, b) }
