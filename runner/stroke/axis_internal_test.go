package stroke

import "mahlstick/runner/axis"

// axisPath lists points of an axis from x, y and radius in mm.
func axisPath(xyr ...float64) []axis.Point {
	var out []axis.Point
	for i := 0; i < len(xyr); i += 3 {
		out = append(out, axis.Point{X: int32(xyr[i] * 10000), Y: int32(xyr[i+1] * 10000), R: int32(xyr[i+2] * 10000)})
	}
	return out
}
