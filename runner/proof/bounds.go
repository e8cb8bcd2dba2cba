package proof

import (
	"fmt"
	"math"
)

// across reports whether the move goes across in X or Y, or may do so because
// it is not known where it starts.
func (m *Move) across() bool {
	return m.From.X != m.To.X || m.From.Y != m.To.Y || m.Unknown&m.Stated&(X|Y) != 0 ||
		m.Helix != nil
}

func firstLift(p *Path, lim *Limits) *verdict {
	c := &verdict{name: FirstLift, allowed: "Z alone, to the safe height",
		why: "where the brush is when the program starts is unknown; moving across first could drag it"}
	for i := range p.Moves {
		m := &p.Moves[i]
		if m.Kind == Dwell || m.Kind == Pause {
			continue
		}
		c.kept = fmt.Sprintf("Z %s at line %d", mm(m.To.Z), m.Line)
		switch {
		case m.Stated != Z:
			c.breaks(m.Line, "the first motion states %s", axesNames(m.Stated))
		case m.To.Z < lim.SafeHeight-coordTolerance:
			c.breaks(m.Line, "lifts only to Z %s", mm(m.To.Z))
		}
		return c
	}
	c.breaks(0, "the program moves nothing")
	return c
}

// fed calls yield for each move at a feed.
func (p *Path) fed(yield func(*Move)) {
	for i := range p.Moves {
		if m := &p.Moves[i]; m.Kind == Feed || m.Kind == Arc {
			yield(m)
		}
	}
}

// rapids calls yield for each rapid.
func (p *Path) rapids(yield func(*Move)) {
	for i := range p.Moves {
		if m := &p.Moves[i]; m.Kind == Rapid {
			yield(m)
		}
	}
}

func feedSet(p *Path, _ *Limits) *verdict {
	c := &verdict{name: FeedSet, allowed: "F on or before it", kept: "always set",
		why: "without a feed a machine stops, or uses the one from the program before"}
	p.fed(func(m *Move) {
		if m.Feed == 0 {
			c.breaks(m.Line, "no feed is set")
		}
	})
	return c
}

func feedRange(p *Path, lim *Limits) *verdict {
	if lim.Loose && lim.HighestFeed == 0 {
		return nil
	}
	c := &verdict{name: FeedRange, allowed: feedText(lim.LowestFeed) + " to " + feedText(lim.HighestFeed) + " mm/min",
		why: "too slow, the brush blots; too fast, it runs dry or the machine stalls"}
	low, high := math.Inf(1), 0.0
	p.fed(func(m *Move) {
		if m.Feed == 0 { // the rule FeedSet reports it
			return
		}
		low, high = min(low, m.Feed), max(high, m.Feed)
		// How fast Z may move is a rule of its own.
		if m.Feed < lim.LowestFeed-coordTolerance || m.Feed > lim.HighestFeed+coordTolerance && m.across() {
			c.breaks(m.Line, "%s mm/min", feedText(m.Feed))
		}
	})
	if c.kept = "no feed move"; high > 0 {
		c.kept = feedText(low) + " to " + feedText(high) + " mm/min"
	}
	return c
}

func zKeepsUp(p *Path, lim *Limits) *verdict {
	if lim.Loose && lim.ZFeed == 0 {
		return nil
	}
	c := &verdict{name: ZKeepsUp, allowed: feedText(lim.ZFeed) + " mm/min",
		why: "where Z cannot follow, the machine crawls and the brush blots"}
	fastest := 0.0
	p.fed(func(m *Move) {
		length := m.Length()
		rise := math.Abs(m.To.Z - m.From.Z)
		if m.Helix != nil && m.Helix.Plane != 17 {
			rise = length // Z may move at full speed somewhere along the arc
		}
		if length == 0 {
			return
		}
		speed := float64(m.Feed*rise) / length
		fastest = max(fastest, speed)
		if speed > lim.ZFeed+coordTolerance {
			c.breaks(m.Line, "Z at %s mm/min", fixed(speed, 1))
		}
	})
	c.kept = fixed(fastest, 1) + " mm/min"
	return c
}

func staysUp(p *Path, lim *Limits) *verdict {
	if !lim.Lifted {
		return nil
	}
	c := &verdict{name: StaysUp, allowed: "Z " + mm(lim.SafeHeight), kept: "no move",
		why: "it is to show what is in the way, and to touch nothing"}
	lowest := math.Inf(1)
	for i := range p.Moves {
		z := p.Moves[i].Extent().Min.Z
		lowest = min(lowest, z)
		c.kept = "lowest Z " + mm(lowest)
		if z < lim.SafeHeight-coordTolerance {
			c.breaks(p.Moves[i].Line, "Z %s", mm(z))
		}
	}
	return c
}

// airHeight requires that a rehearsal goes down to its height and no lower.
func airHeight(p *Path, lim *Limits) *verdict {
	if lim.AirRun == 0 {
		return nil
	}
	c := &verdict{name: AirHeight, allowed: "lowest Z " + mm(lim.AirRun),
		why: "it is to show the deepest places, and to touch nothing"}
	lowest, line := math.Inf(1), 0
	for i := range p.Moves {
		if z := p.Moves[i].Extent().Min.Z; z < lowest {
			lowest, line = z, p.Moves[i].Line
		}
	}
	c.kept = "lowest Z " + mm(lowest)
	if lowest < lim.AirRun-coordTolerance || lowest > lim.AirRun+restTolerance+coordTolerance {
		c.breaks(line, "lowest Z %s", mm(lowest))
	}
	return c
}

func safePress(p *Path, lim *Limits) *verdict {
	if lim.Loose && lim.SafePress == 0 {
		return nil
	}
	c := &verdict{name: SafePress, allowed: "Z " + mm(-lim.SafePress),
		why: "pressed deeper, the tip splays permanently, the sheet tears or the ferrule scrapes"}
	lowest, worst := math.Inf(1), 0
	for i := range p.Moves {
		m := &p.Moves[i]
		if m.Visit { // the rule Stations looks at it
			continue
		}
		z := m.Extent().Min.Z
		if z < lowest {
			lowest, worst = z, m.Line
		}
		if z < -lim.SafePress-coordTolerance {
			c.breaks(m.Line, "")
		}
	}
	if c.kept = "no move"; len(p.Moves) > 0 {
		c.kept = "lowest Z " + mm(lowest)
	}
	if c.broken > 0 {
		c.found, c.line = c.kept, worst
	}
	return c
}

func onSheet(p *Path, lim *Limits) *verdict {
	if lim.Loose && lim.Sheet == (Rect{}) {
		return nil
	}
	in := lim.bare()
	c := &verdict{name: OnSheet, allowed: rectText(in), why: "outside the margins are tape, clamps and the bare bed"}
	for _, beside := range lim.Beside {
		c.allowed += "; also " + rectText(beside)
	}
	var marks Rect
	first := true
	p = p.On(lim.Lie)
	p.marks(lim.Brush, false, func(k segment) {
		p.footprint(k, lim.Brush, func(x, y, width float64) {
			x, y = x+lim.TipX, y+lim.TipY
			marks.spread(x, y, width/2, first)
			first = false
			slack := lim.Slack
			if width == 0 {
				slack = 0
			}
			half := width/2 - slack - coordTolerance
			over := in.outside(x, y, half)
			for _, beside := range lim.Beside {
				over = min(over, beside.outside(x, y, half))
			}
			if over > 0 {
				c.breaks(p.Moves[k.move].Line, "a mark %s mm wide at X %s Y %s, %s mm too far out", mm(width), mm(x), mm(y), mm(over+slack+coordTolerance))
			}
		})
	})
	if c.kept = "no mark"; !first {
		c.kept = rectText(marks)
	}
	return c
}

// ahead checks the path of the axis itself, which is ahead of the mark.
func ahead(p *Path, lim *Limits) *verdict {
	if !lim.Brush.tows() {
		return nil
	}
	c := &verdict{name: Ahead, allowed: rectText(lim.Sheet), kept: "no mark",
		why: "beyond the sheet, the brush hits tape and clamps, and its tip catches the edge of the paper"}
	var path Rect
	first := true
	p = p.On(lim.Lie)
	p.contact(true, func(k segment) {
		for _, q := range [...]Point{k.from, k.to} {
			x, y := q.X+lim.TipX, q.Y+lim.TipY
			path.spread(x, y, 0, first)
			first = false
			if over := lim.Sheet.outside(x, y, 0); over > coordTolerance {
				c.breaks(p.Moves[k.move].Line, "the brush at X %s Y %s, %s mm too far out", mm(x), mm(y), mm(over))
			}
		}
		c.kept = rectText(path)
	})
	return c
}

func withinReach(p *Path, lim *Limits) *verdict {
	if lim.Loose && lim.Reach == (Rect{}) {
		return nil
	}
	r := lim.Reach
	c := &verdict{name: WithinReach, allowed: fmt.Sprintf("%s, Z %s to %s", rectText(r), mm(lim.ReachLow), mm(lim.ReachHigh)),
		why: "at the end of its travel a machine loses its position or stops"}
	var all Box
	for i := range p.Moves {
		m := &p.Moves[i]
		e := m.Extent()
		all.spread(e.Min, i == 0)
		all.spread(e.Max, false)
		over := max(r.MinX-e.Min.X, e.Max.X-r.MaxX, r.MinY-e.Min.Y, e.Max.Y-r.MaxY, lim.ReachLow-e.Min.Z, e.Max.Z-lim.ReachHigh)
		if over > coordTolerance {
			c.breaks(m.Line, "X %s Y %s Z %s, %s mm beyond", mm(m.To.X), mm(m.To.Y), mm(m.To.Z), mm(over))
		}
	}
	c.kept = fmt.Sprintf("%s, Z %s to %s", rectText(Rect{all.Min.X, all.Min.Y, all.Max.X, all.Max.Y}), mm(all.Min.Z), mm(all.Max.Z))
	return c
}

func arcsClose(p *Path, _ *Limits) *verdict {
	c := &verdict{name: ArcsClose, allowed: mm(radiusSlack) + " mm", kept: "no arc",
		why: "a machine refuses an arc whose two ends are not equally far from its centre"}
	worst := 0.0
	for i := range p.Moves {
		m := &p.Moves[i]
		if m.Helix == nil {
			continue
		}
		off := math.Abs(m.Helix.EndsOff)
		worst = max(worst, off)
		c.kept = fixed(worst, 6) + " mm"
		if off > radiusSlack+1e-9 {
			c.breaks(m.Line, "the radius changes by %s mm", fixed(off, 6))
		}
	}
	return c
}

func noStanding(p *Path, lim *Limits) *verdict {
	p = p.On(lim.Lie)
	c := &verdict{name: NoStanding, allowed: "dwells above the paper, pauses at the safe height", kept: "none lower",
		why: "a brush that rests on the paper blots, and nobody should reach under a lowered one"}
	if n := len(lim.Waits); n > 0 {
		c.allowed += fmt.Sprintf("; dwells on the paper in %d stated places only", n)
	}
	waits := 0
	for i := range p.Moves {
		m := &p.Moves[i]
		switch {
		case m.Visit && m.Kind == Dwell: // the rule Stations looks at it
		case m.Kind == Dwell && m.To.Z <= 0 && m.Seconds > 0:
			if lim.waits(p, i) {
				waits++
				continue
			}
			c.breaks(m.Line, "a dwell of %s s at X %s Y %s Z %s", plain(m.Seconds), mm(m.To.X), mm(m.To.Y), mm(m.To.Z))
		case m.Kind == Pause && (m.To.Z < lim.SafeHeight-coordTolerance || m.Unknown&Z != 0):
			c.breaks(m.Line, "a pause at Z %s", mm(m.To.Z))
		}
	}
	if waits > 0 {
		c.kept = fmt.Sprintf("%d on the paper, each in its place", waits)
	}
	return c
}

// waits reports whether a dwell on the paper is in a place where that is
// allowed: not too deep and, together with those right before it, not too long.
func (lim *Limits) waits(p *Path, dwell int) bool {
	m := &p.Moves[dwell]
	if m.Unknown != 0 {
		return false
	}
	seconds := 0.0
	for i := dwell; i >= 0 && p.Moves[i].Kind == Dwell; i-- {
		seconds += p.Moves[i].Seconds
	}
	for _, w := range lim.Waits {
		if w.Rect.outside(m.To.X, m.To.Y, 0) <= coordTolerance && -m.To.Z <= w.Depth+coordTolerance && seconds <= w.Seconds+coordTolerance {
			return true
		}
	}
	return false
}

// restTolerance is how far (mm) from its place to rest the machine may wait: the
// last decimal of a program.
const restTolerance = 0.001

// restPlace requires that the machine waits at its place to rest: at the end and
// at every pause, except where the program has not yet said where it is.
func restPlace(p *Path, lim *Limits) *verdict {
	if lim.Loose && lim.Rest == (Point{}) {
		return nil
	}
	r := lim.Rest
	place := func(p Point) string { return fmt.Sprintf("X %s Y %s Z %s", mm(p.X), mm(p.Y), mm(p.Z)) }
	c := &verdict{name: RestPlace, allowed: place(r) + " or higher", kept: "no move",
		why: "a wet brush that waits over the sheet drips on it, and is in the way of hands that measure"}
	over := make([]bool, len(lim.Over))
	isOver := func(at Point) (found bool) {
		for i, o := range lim.Over {
			if max(math.Abs(at.X-o.X), math.Abs(at.Y-o.Y)) <= restTolerance+coordTolerance {
				over[i], found = true, true
			}
		}
		return found
	}
	check := func(m *Move, what string) {
		at := m.To
		if what == "a pause" && isOver(at) {
			return
		}
		if max(math.Abs(at.X-r.X), math.Abs(at.Y-r.Y), r.Z-at.Z) > restTolerance+coordTolerance {
			c.breaks(m.Line, "%s at %s", what, place(at))
		}
		c.kept = place(at)
	}
	for i := range p.Moves {
		if m := &p.Moves[i]; m.Kind == Pause && m.Unknown&(X|Y) == 0 {
			check(m, "a pause")
		}
	}
	if n := len(p.Moves); n > 0 {
		check(&p.Moves[n-1], "ends")
	}
	for i, o := range lim.Over {
		c.allowed += fmt.Sprintf("; also over X %s Y %s", mm(o.X), mm(o.Y))
		if !over[i] {
			c.breaks(0, "no pause over X %s Y %s", mm(o.X), mm(o.Y))
		}
	}
	return c
}

func strokeCount(p *Path, lim *Limits) *verdict {
	if lim.Loose && lim.Strokes < 0 {
		return nil
	}
	n, last := 0, 0
	p.contact(false, func(k segment) { n, last = k.stroke+1, p.Moves[k.move].Line })
	c := &verdict{name: StrokeCount, allowed: fmt.Sprint(lim.Strokes), kept: fmt.Sprint(n),
		why: "a stroke too few is a gap in the picture, one too many a mark that was not drawn"}
	if n != lim.Strokes {
		c.breaks(last, "%d strokes", n)
		if last > 0 {
			c.found += ", the last"
		}
	}
	return c
}

func endsLifted(p *Path, lim *Limits) *verdict {
	c := &verdict{name: EndsLifted, allowed: "Z " + mm(lim.SafeHeight) + " or higher",
		why: "a brush left on the paper makes a blot"}
	if len(p.Moves) == 0 || p.Stated&Z == 0 {
		c.breaks(0, "the program never states Z")
		return c
	}
	last := &p.Moves[len(p.Moves)-1]
	c.kept = "Z " + mm(last.To.Z)
	if last.To.Z < lim.SafeHeight-coordTolerance {
		c.breaks(last.Line, "ends at Z %s", mm(last.To.Z))
	}
	return c
}

// feedText is a feed in mm/min as text.
func feedText(v float64) string {
	if v == math.Trunc(v) {
		return fixed(v, 0)
	}
	return fixed(v, 1)
}

// rectText is a rectangle as text, mm.
func rectText(r Rect) string {
	return fmt.Sprintf("X %s to %s, Y %s to %s", mm(r.MinX), mm(r.MaxX), mm(r.MinY), mm(r.MaxY))
}
