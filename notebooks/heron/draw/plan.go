package main

import (
	"math"

	"mahlstick/notebooks/brushwork"
	"mahlstick/runner/vector"
)

// pt is a point of the sheet or a direction, in mm; x runs right and y up from
// the sheet's lower left corner.
type pt = vector.XY

func xy(x, y float64) pt       { return pt{X: x, Y: y} }
func mul(a, b float64) float64 { return brushwork.Mul(a, b) }

// moved and shift give a line elsewhere: moved by a vector, shifted to the
// right (mm) as seen from its start.
func moved(l []pt, by pt) []pt {
	out := make([]pt, len(l))
	for i, q := range l {
		out[i] = q.Plus(by)
	}
	return out
}

func shift(l []pt, d float64) []pt {
	return moved(l, brushwork.Right(brushwork.Unit(l[len(l)-1].Minus(l[0]))).Times(d))
}

// drift is hand made smooth along x: it wanders from one number to the next
// as x grows by 1.
func drift(seed int, x float64) float64 {
	n := math.Floor(x)
	k := x - n
	k = mul(mul(k, k), 3-mul(2, k))
	return vector.Lerp(brushwork.Hand(seed, int(n)), brushwork.Hand(seed, int(n)+1), k)
}
