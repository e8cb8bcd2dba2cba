package register

import (
	"fmt"
	"math"
	"strings"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/problem"
	"mahlstick/runner/vector"
)

// How far a single mark may be turned, scaled or stretched. It is too small to
// correct the drawing: 0.01 mm at the corner of an 8 mm mark is 0.3 mm at 250
// mm. But it shows that the drawing is wrong.
const (
	maxTurn      = 0.2   // degrees
	maxDeviation = 0.005 // share of size, of width and height, of the right angle
	figureSlack  = 1e-9  // for values exactly at the limit
)

// checkSingle refuses a drawing whose only mark is turned, scaled or stretched.
func checkSingle(t *task, s square) problem.List {
	m := t.marks[0]
	k := sidesOf(t.drawing.Contours[s.contours[0]].Points, s)
	var faults []string
	if math.Abs(k.turn) > maxTurn+figureSlack {
		faults = append(faults, fmt.Sprintf("is turned by %s degrees", mm(k.turn)))
	}
	if ratio := s.size / m.Size; math.Abs(ratio-1) > maxDeviation+figureSlack {
		faults = append(faults, fmt.Sprintf("is %s %s than %s mm", percent(ratio), largerOrSmaller(ratio), mm(m.Size)))
	}
	if math.Abs(k.width/k.height-1) > maxDeviation+figureSlack {
		faults = append(faults, fmt.Sprintf("is %s mm wide and %s mm high", mm(k.width), mm(k.height)))
	}
	if math.Abs(k.skew) > maxDeviation+figureSlack {
		faults = append(faults, fmt.Sprintf("has corners of %.1f degrees", 90-degrees(arith.Asin(math.Abs(k.skew)))))
	}
	if len(faults) == 0 {
		return nil
	}
	return problem.List{{
		Code: problem.MarkOutOfTrue, Place: t.placeOf(s),
		Message: fmt.Sprintf("in %s the mark %s %s: the whole drawing probably is too, and a single mark cannot correct it",
			t.file(), quote(m.Name), strings.Join(faults, " and ")),
		Fix: problem.Advise("export the drawing upright and in its true size, or draw the mark again if only the mark is wrong; " +
			"or add a second mark, far from the first, to Registration and to the drawings"),
		Related: []problem.Related{{Place: m.Place, Note: "the mark as stated"}, {Place: t.layer.DrawingPlace, Note: "the layer " + quote(t.layer.Name)}},
	}}
}

// sides are the sides of a nearly square outline.
type sides struct {
	turn          float64 // degrees counter-clockwise, at most 45, because a square looks the same after a quarter turn
	width, height float64 // mm, the width along the axis that is nearer to x
	skew          float64 // cosine of the angle between them
}

// sidesOf measures the sides of an outline that is nearly the square s, each as
// the mean of two that are opposite.
func sidesOf(points []vector.XY, s square) sides {
	c := s.corners(points)
	a := c[0].Minus(c[1]).Plus(c[3].Minus(c[2])).Times(0.5)
	b := c[0].Minus(c[3]).Plus(c[1].Minus(c[2])).Times(0.5)
	k := sides{width: a.Length(), height: b.Length()}
	k.skew = a.Dot(b) / (k.width * k.height)
	along := a.Minus(b.Left()) // b turned back by a right angle
	for math.Abs(along.Y) > math.Abs(along.X) || along.X < 0 {
		along = along.Left()
		k.width, k.height = k.height, k.width
	}
	k.turn = degrees(arith.Atan2(along.Y, along.X))
	return k
}

// corners are the outermost points of an outline towards the four corners of
// the square, counter-clockwise.
func (s *square) corners(points []vector.XY) [4]vector.XY {
	var out [4]vector.XY
	farthest := [4]float64{-1, -1, -1, -1}
	for _, p := range points {
		u, v := s.local(p)
		k := quadrant(u, v)
		if outward := math.Abs(u) + math.Abs(v); outward > farthest[k] {
			farthest[k], out[k] = outward, p
		}
	}
	return out
}

// quadrant is 0 if both coordinates are positive, and counts counter-clockwise.
func quadrant(u, v float64) int {
	switch {
	case u >= 0 && v >= 0:
		return 0
	case v >= 0:
		return 1
	case u < 0:
		return 2
	}
	return 3
}
