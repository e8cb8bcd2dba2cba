package plane

import "slices"

// Hull is the convex hull, counter-clockwise, without points inside its sides. It
// is exact for points within Limit.
//
// Source: A. M. Andrew, Information Processing Letters 9 (1979) 216-219.
func Hull(points []Point) []Point {
	points = slices.Clone(points)
	slices.SortFunc(points, Point.Compare)
	points = slices.Compact(points)
	if len(points) < 3 {
		return points
	}
	var out []Point
	half := func(points []Point) {
		base := len(out)
		for _, p := range points {
			for len(out) >= base+2 && Turn(out[len(out)-2], out[len(out)-1], p) <= 0 {
				out = out[:len(out)-1]
			}
			out = append(out, p)
		}
		out = out[:len(out)-1] // the other half begins with it
	}
	half(points)
	slices.Reverse(points)
	half(points)
	return out
}
