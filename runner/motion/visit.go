package motion

import (
	"mahlstick/runner/detour"
	"mahlstick/runner/plane"
)

// visit is the way from a lifted place to one at the safe height where nothing is
// in the way, at the feed of the latter; first is true where it is not known from
// where it comes.
func (c *clearing) visit(from, to Move, first bool) []Move {
	var out []Move
	high := to
	if first {
		high.Z = c.start
	} else if w, ok := c.to(from, to, to.Z); ok {
		out, high.Z = moves(w, to.Feed), w.Z
	}
	out = append(out, high)
	if high.Z > to.Z {
		out = append(out, Move{X: to.X, Y: to.Y, Z: to.Z})
	}
	return out
}

// through leads a walk round and over the clamps, at the safe height where that may
// be. The first of its moves says only where it begins. A place over a clamp that
// is too high is left out.
func (c *clearing) through(walk []Move) []Move {
	heights := c.Heights(c.axes.safe, c.axes.rest.Z)
	free := func(p plane.Point) (int32, bool) {
		for _, z := range heights {
			if c.Blocked(p, p, z) < 0 {
				return z, true
			}
		}
		return 0, false
	}
	at := Move{X: c.axes.rest.X, Y: c.axes.rest.Y, Z: c.axes.safe}
	out := walk[:1:1]
	out[0].Z = c.start
	first := !c.known
	for _, v := range walk[1:] {
		low, ok := free(v.point())
		if !ok {
			continue
		}
		var over []int32 // the place itself is free there
		for _, z := range heights {
			if z >= low {
				over = append(over, z)
			}
		}
		w, ok := c.Quickest(detour.Trip{From: at.point(), To: v.point(), FromZ: at.Z, ToZ: low}, over)
		if first {
			w, ok = detour.Way{Z: c.start}, true
		}
		if !ok {
			continue
		}
		if w.Z != at.Z && !first {
			out = append(out, Move{X: at.X, Y: at.Y, Z: w.Z})
		}
		out, first = append(out, moves(w, v.Feed)...), false
		if v.Z = w.Z; v.Z > low {
			out = append(out, v)
			v.Feed = 0
		}
		v.Z = low
		out, at = append(out, v), v
	}
	return out
}
