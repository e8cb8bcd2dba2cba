package meaning

import "mahlstick/runner/vector"

// unknowns are what can be off on a sheet, and how observations change with each.
type unknowns struct {
	r      *Result
	all    []Effect
	column map[[2]int]int    // of kind and layer or brush
	centre map[int]vector.XY // of what was measured of each layer
}

// of is whose an unknown is that concerns a layer.
func (x *unknowns) of(k Kind, layer int) int {
	if k.ofLayer() {
		return layer
	}
	return x.r.Layers[layer].Brush
}

func (x *unknowns) row() []float64 { return make([]float64, len(x.all)) }

func (x *unknowns) put(row []float64, k Kind, of int, value float64) {
	if c, known := x.column[[2]int{int(k), of}]; known {
		row[c] = value
	}
}

// get is the value of an unknown.
func (x *unknowns) get(c []float64, k Kind, of int) float64 {
	if i, known := x.column[[2]int{int(k), of}]; known {
		return c[i]
	}
	return 0
}

// shape is how the width follows the curve's own unknowns.
func (x *unknowns) shape(row []float64, b int, press float64) {
	x.put(row, Slope, b, press)
	x.put(row, Bend, b, bent(press, x.r.deepest[b]))
}

// share is how much of the lag at the deepest press there is at a press: a tip that
// barely touches does not trail.
func (x *unknowns) share(b int, press float64) float64 {
	if x.r.deepest[b] <= 0 {
		return 0
	}
	return press / x.r.deepest[b]
}

// place is how a layer's place moves a point in a direction.
func (x *unknowns) place(row []float64, layer int, at, direction vector.XY) {
	from := at.Minus(x.centre[layer])
	x.put(row, ShiftX, layer, direction.X)
	x.put(row, ShiftY, layer, direction.Y)
	x.put(row, Turn, layer, from.Cross(direction))
	x.put(row, GrowthX, layer, from.X*direction.X)
	x.put(row, GrowthY, layer, from.Y*direction.Y)
}

// bent is a parabola that is 0 at no press and at the deepest, so that it says little
// of the slope.
func bent(press, deepest float64) float64 { return press * (press - deepest) }

func dot(a, b []float64) (sum float64) {
	for i := range a {
		sum += float64(a[i] * b[i])
	}
	return sum
}
