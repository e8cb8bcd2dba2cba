package proof

import (
	"fmt"
	"math"
)

// heightSlack (mm) is by how much a press may rise more than the limit allows:
// both heights of a rise were rounded to a step of a coordinate.
const heightSlack = 2 * straightDown

// steepPress requires that from any point of a stroke to any later one the
// press grows by no more than the limit times the way between them, along X and
// Y. It counts the path of the axis, which bends the hair. A stroke begins with
// no press, so that a brush driven straight down breaks the rule.
func steepPress(p *Path, lim *Limits) *verdict {
	if math.IsInf(lim.SteepestPress, 1) || lim.Loose && lim.SteepestPress == 0 {
		return nil
	}
	c := &verdict{name: SteepPress, allowed: ratioText(lim.SteepestPress),
		why: "driven into the paper with little way, the tip splays and blots"}
	var r rise
	most, pressed := 0.0, false
	p.contact(false, func(k segment) {
		if k.begins {
			r = rise{limit: lim.SteepestPress}
		}
		if press := -k.to.Z; r.to(k.length, press) > heightSlack+coordTolerance {
			c.breaks(p.Moves[k.move].Line, "%s mm deeper on %s mm of way", mm(press-r.fromPress), mm(r.way-r.fromWay))
			r.leave(press)
		}
		pressed = true
		if k.length >= straightDown {
			most = max(most, steepness(k))
		}
	})
	if c.kept = "no press"; pressed {
		c.kept = "at most " + ratioText(most)
	}
	return c
}

// rise follows a stroke and keeps the point from which the press has risen most
// beyond a limit.
type rise struct {
	limit              float64 // mm of press a mm of way
	way                float64 // mm since the stroke began
	fromWay, fromPress float64 // mm, of that point
}

// to moves on to a press after a further way, and returns by how many mm it is
// deeper than the limit allows from the point that is kept.
func (r *rise) to(way, press float64) float64 {
	r.way += way
	over := press - r.fromPress - float64(r.limit*(r.way-r.fromWay))
	if over < 0 {
		r.leave(press)
	}
	return over
}

// leave keeps the point that was reached, at a press.
func (r *rise) leave(press float64) { r.fromWay, r.fromPress = r.way, press }

// steepness is by how many mm the press grows a mm of way in a segment that
// goes across. Both its ends were rounded to a step of a coordinate.
func steepness(c segment) float64 { return max(0, (c.from.Z-c.to.Z-straightDown)/c.length) }

// ratioText is a change of press as text.
func ratioText(v float64) string { return fmt.Sprintf("%s mm a mm of way", fixed(v, 2)) }
