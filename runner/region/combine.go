package region

import (
	"mahlstick/runner/contour"
	"mahlstick/runner/plane"
)

// Filled finds the regions that rings enclose by a fill rule. The rings are as
// those of Positive. It returns false if they are more tangled than Build accepts.
func Filled(rings [][]plane.Point, rule contour.FillRule) ([]Region, bool) {
	return combine(rings, rule.Inside)
}

// Common finds what two sets of regions have in common. The regions of one set
// must not overlap.
func Common(a, b []Region) ([]Region, bool) {
	var rings [][]plane.Point
	for _, set := range [][]Region{a, b} {
		for _, r := range set {
			rings = append(rings, r.Rings...)
		}
	}
	return combine(rings, func(winding int32) bool { return winding > 1 })
}

// combine finds the regions around which rings wind as inside wants it.
func combine(rings [][]plane.Point, inside func(winding int32) bool) ([]Region, bool) {
	b := &builder{}
	var clean [][]plane.Point
	n := 0
	for _, ring := range rings {
		if ring, _ := tidy(ring); ring != nil {
			clean = append(clean, ring)
			n += len(ring)
		}
	}
	b.work = budget{1<<24 + 1<<11*n}
	faces, ok := b.arrange(clean, inside)
	if !ok {
		return nil, false
	}
	out := make([]Region, len(faces))
	for i, f := range faces {
		out[i].Rings = f
	}
	return out, true
}
