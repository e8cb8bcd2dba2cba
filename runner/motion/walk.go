package motion

import (
	"cmp"
	"slices"

	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// walkHeight is the least height in mm of the margin walk.
const walkHeight = 10

// Walk is a path round everything that a job will paint, above the paper.
type Walk struct {
	Decimals int
	Height   int32  // in grid steps
	Moves    []Move // up, to the outline, round it, to X0 Y0
	Corners  int
	Seconds  float64 // estimated, without the pause at its start
	Length   float64 // mm
}

// Painted is what is painted with one brush.
type Painted struct {
	Gestures []stroke.Gesture
	Brush    *model.Brush
}

// MarginWalk moves the tip round the convex hull of the area that all layers
// paint, including where the axis is ahead of its mark, so that a clamp or tape
// in the way is found before any paint. It is made for the brush of the first
// layer. Its height is the safe height or 10 mm, whichever is higher, if the
// machine's reach in Z is as much; else the safe height. It moves at the travel
// feed, or the fastest feed if that is less, never by a rapid move, and ends at X0 Y0. Where the outline, which is
// half a mark outside the path, lies beyond the machine's reach, the walk stays
// within the reach.
//
// The hull is by A. M. Andrew, Information Processing Letters 9 (1979)
// 216-219, exact on the grid.
func MarginWalk(layers []Painted, sheet *model.Sheet, machine *model.Machine) Walk {
	if len(layers) == 0 {
		return Walk{}
	}
	a := newAxes(layers[0].Brush, sheet, machine)
	height := machine.SafeHeight
	if machine.ReachZ >= walkHeight {
		height = max(height, walkHeight)
	}
	w := Walk{Decimals: a.decimals, Height: a.up(height)}
	var corners []plane.Point
	for _, layer := range layers {
		for _, g := range layer.Gestures {
			for _, p := range g.Points {
				r := max(halfWidth(p), plane.Snap(layer.Brush.Lag.At(p.Press)))
				for _, q := range [...]plane.Point{{X: p.X - r, Y: p.Y - r}, {X: p.X + r, Y: p.Y - r}, {X: p.X + r, Y: p.Y + r}, {X: p.X - r, Y: p.Y + r}} {
					corners = append(corners, q)
				}
			}
		}
		corners = hull(corners)
	}
	if len(corners) == 0 {
		return w
	}
	w.Corners = len(corners)
	reach := a.frame.reach(machine.ReachX, machine.ReachY)
	walkFeed := feed(min(machine.TravelFeed, machine.FastestFeed))
	var round []Move
	for _, c := range corners {
		q := a.frame.ToMachine(c)
		round = append(round, Move{
			X: a.round(min(max(q.X-a.tipX, reach.Min.X), reach.Max.X)),
			Y: a.round(min(max(q.Y-a.tipY, reach.Min.Y), reach.Max.Y)),
			Z: w.Height, Feed: walkFeed,
		})
	}
	// Begin at the corner nearest to X0 Y0.
	begin := 0
	for i := range round {
		if xyDistance(round[i], Move{}) < xyDistance(round[begin], Move{}) {
			begin = i
		}
	}
	round = append(slices.Clone(round[begin:]), round[:begin]...)
	home := Move{Z: w.Height, Feed: walkFeed}
	w.Moves = append(w.Moves, Move{Z: w.Height})
	w.Moves = append(w.Moves, round...)
	w.Moves = append(w.Moves, round[0], home)
	w.Moves = slices.CompactFunc(w.Moves, func(p, q Move) bool { return p.X == q.X && p.Y == q.Y })
	for i := 1; i < len(w.Moves); i++ {
		w.Length += xyDistance(w.Moves[i-1], w.Moves[i])
	}
	t := timer{machine: machine}
	w.Seconds = t.path(w.Moves)
	return w
}

// hull is the convex hull, counter-clockwise, without points on its sides.
func hull(points []plane.Point) []plane.Point {
	points = slices.Clone(points)
	slices.SortFunc(points, func(a, b plane.Point) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	points = slices.Compact(points)
	if len(points) < 3 {
		return points
	}
	var out []plane.Point
	half := func(points []plane.Point) {
		base := len(out)
		for _, p := range points {
			for len(out) >= base+2 && plane.Turn(out[len(out)-2], out[len(out)-1], p) <= 0 {
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
