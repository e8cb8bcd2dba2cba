package motion

import (
	"slices"

	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// Walk is a path round everything that a job will paint, above the paper.
type Walk struct {
	Decimals int
	Height   int32  // in grid steps
	Start    int32  // of the first lift, at least Height
	Moves    []Move // up, to the outline, round it, to the place to rest
	Rest     Move   // where the machine waits at the end
	Corners  int
	Clamps   *Clamps // nil if the recipe has none
	Length   float64 // mm
}

// hullBatch is from how many corners on those inside their hull are dropped.
const hullBatch = 10_000

// Painted is what is painted with one brush.
type Painted struct {
	Gestures []stroke.Gesture
	Brush    *model.Brush
	Lie      Lie
}

// MarginWalk moves the machine round the convex hull of all its positions while
// it paints: of every layer, with the tip offset and the lag of its brush, and
// half a mark around. So the holder goes to the edge of all places it will
// reach, and a clamp or tape in the way is found before any paint. The place to
// rest is part of the hull, because the machine travels there.
//
// The height is the safe height, at which the machine travels; where a clamp is
// higher, the way leads round it or over it. It moves at the
// travel feed, or the fastest feed if that is less, never by a rapid move. If
// the hull extends beyond the machine's reach, the walk stays within the reach.
func MarginWalk(layers []Painted, sheet *model.Sheet, machine *model.Machine) Walk {
	if len(layers) == 0 {
		return Walk{}
	}
	a := newAxes(layers[0].Brush, sheet, machine, layers[0].Lie)
	w := Walk{Decimals: a.decimals, Height: a.safe, Start: a.safe, Rest: a.rest}
	var corners []plane.Point
	for _, layer := range layers {
		a := newAxes(layer.Brush, sheet, machine, layer.Lie)
		for _, g := range layer.Gestures {
			for points := range slices.Chunk(g.Points, hullBatch) {
				if corners = appendCorners(corners, points, layer.Brush, a); len(corners) > hullBatch {
					corners = append(corners[:0], plane.Hull(corners)...)
				}
			}
		}
	}
	corners = plane.Hull(corners)
	if len(corners) == 0 {
		return w
	}
	rest := Move{X: a.rest.X, Y: a.rest.Y, Z: w.Height, Feed: feed(min(machine.TravelFeed, machine.FastestFeed))}
	corners = plane.Hull(append(corners, plane.Point{X: rest.X, Y: rest.Y}))
	w.Corners = len(corners)
	reach := a.frame.reach(machine.ReachX, machine.ReachY)
	var round []Move
	for _, c := range corners {
		round = append(round, Move{X: a.within(c.X, reach.Min.X, reach.Max.X), Y: a.within(c.Y, reach.Min.Y, reach.Max.Y), Z: w.Height, Feed: rest.Feed})
	}
	// Begin at the corner nearest to the place to rest.
	begin := 0
	for i := range round {
		if xyDistance(round[i], rest) < xyDistance(round[begin], rest) {
			begin = i
		}
	}
	round = append(slices.Clone(round[begin:]), round[:begin]...)
	round = slices.CompactFunc(append(round, round[0], rest), func(p, q Move) bool { return p.X == q.X && p.Y == q.Y })
	w.Moves = append([]Move{{X: round[0].X, Y: round[0].Y, Z: w.Height}}, round...) // first up, wherever the machine is
	if c := newClearing(&a, layers[0].Brush, sheet, machine); c != nil {
		w.Start, w.Moves, w.Clamps = c.start, c.through(w.Moves), c.plain()
	}
	for i := 1; i < len(w.Moves); i++ {
		w.Length += xyDistance(w.Moves[i-1], w.Moves[i])
	}
	return w
}

// appendCorners appends the positions of the machine's axes around marks, in grid
// steps.
func appendCorners(corners []plane.Point, points []stroke.Point, brush *model.Brush, a axes) []plane.Point {
	for _, p := range points {
		q := a.frame.ToMachine(plane.Point{X: p.X, Y: p.Y})
		q.X, q.Y = q.X-a.tipX, q.Y-a.tipY
		r := max(halfWidth(p), plane.Snap(brush.Lag.At(p.Press)))
		corners = append(corners, plane.Point{X: q.X - r, Y: q.Y - r}, plane.Point{X: q.X + r, Y: q.Y - r},
			plane.Point{X: q.X + r, Y: q.Y + r}, plane.Point{X: q.X - r, Y: q.Y + r})
	}
	return corners
}
