package proof

import "math"

// lowest is the height (mm) down to which the brush may go by a rapid.
func (lim *Limits) lowest() float64 {
	if lim.Hover > 0 {
		return min(lim.Hover, lim.SafeHeight)
	}
	return lim.SafeHeight
}

// named is the second name where a hover height is stated.
func (lim *Limits) named(name, withHover string) string {
	if lim.Hover > 0 {
		return withHover
	}
	return name
}

// bare is where nothing but the sheet lies, in machine coordinates: the sheet
// within its margins.
func (lim *Limits) bare() Rect {
	return Rect{lim.Sheet.MinX + lim.Margin, lim.Sheet.MinY + lim.Margin, lim.Sheet.MaxX - lim.Margin, lim.Sheet.MaxY - lim.Margin}
}

// mayHover reports whether a rapid across may be as low as the hover height: it
// is short, and the tip is over the bare sheet.
func (lim *Limits) mayHover(m *Move) bool {
	if lim.Hover == 0 || m.Unknown != 0 || root(m.To.X-m.From.X, m.To.Y-m.From.Y) > lim.NearStrokes+coordTolerance {
		return false
	}
	in, from, to := lim.bare(), m.From, m.To
	if lim.Lie != nil {
		from, to = lim.Lie.at(from), lim.Lie.at(to)
	}
	// The offset of the tip is rounded in programs.
	return max(in.outside(from.X+lim.TipX, from.Y+lim.TipY, 0), in.outside(to.X+lim.TipX, to.Y+lim.TipY, 0)) <= straightDown
}

func liftedTrip(p *Path, lim *Limits) *verdict {
	c := &verdict{name: lim.named(LiftedTrip, LiftedTripHover), allowed: "Z " + mm(lim.SafeHeight) + " or higher",
		why: "lower, a rapid scratches the sheet or hits a clamp"}
	if lim.Hover > 0 {
		c.allowed += "; Z " + mm(lim.lowest()) + " over the sheet within its margins, up to " + mm(lim.NearStrokes) + " mm far"
	}
	lowest := math.Inf(1)
	p.rapids(func(m *Move) {
		if !m.across() {
			return
		}
		z := min(m.From.Z, m.To.Z)
		lowest = min(lowest, z)
		least := lim.SafeHeight
		if lim.mayHover(m) {
			least = lim.lowest()
		}
		switch {
		case m.Unknown&Z != 0:
			c.breaks(m.Line, "a rapid across before any Z is known")
		case z < least-coordTolerance:
			c.breaks(m.Line, "a rapid across at Z %s", mm(z))
		}
	})
	if c.kept = "no rapid across"; !math.IsInf(lowest, 1) {
		c.kept = "Z " + mm(lowest)
	}
	return c
}

func noDrag(p *Path, _ *Limits) *verdict {
	c := &verdict{name: NoDrag, allowed: "none", kept: "none", why: "a brush dragged at travel speed leaves a scratch and splays"}
	p.rapids(func(m *Move) {
		if m.across() && min(m.From.Z, m.To.Z) <= 0 {
			c.breaks(m.Line, "a rapid across at Z %s", mm(min(m.From.Z, m.To.Z)))
		}
	})
	return c
}

func slowDown(p *Path, lim *Limits) *verdict {
	c := &verdict{name: lim.named(SlowDown, SlowDownHover), allowed: "no rapid down below Z " + mm(lim.lowest()), kept: "none",
		why: "a brush driven into the paper splays, and the ink splashes"}
	p.rapids(func(m *Move) {
		down := m.To.Z < m.From.Z || m.Unknown&m.Stated&Z != 0
		if down && m.To.Z < lim.lowest()-coordTolerance {
			c.breaks(m.Line, "a rapid down to Z %s", mm(m.To.Z))
		}
	})
	return c
}

// placedDown requires that X and Y are both stated before the brush goes below
// the safe height, or hover where it is stated, after the last lift or pause. A program that was cut, or
// continued in its middle, otherwise lowers the brush where it happens to be.
func placedDown(p *Path, lim *Limits) *verdict {
	c := &verdict{name: lim.named(PlacedDown, PlacedDownHover), allowed: "X and Y, after each lift and pause", kept: "always stated",
		why: "when a program is cut or continued in its middle, the brush would come down wherever it happens to be"}
	below := func(z float64) bool { return z <= 0 || z < lim.lowest()-coordTolerance }
	var stated Axes
	down := false
	for i := range p.Moves {
		m := &p.Moves[i]
		switch m.Kind {
		case Dwell:
			continue
		case Pause: // the operator may move the axes by hand
			stated, down = 0, false
			continue
		}
		if missing := (X | Y) &^ stated; !down && missing != 0 && below(m.Extent().Min.Z) {
			c.breaks(m.Line, "lowered to Z %s with no %s stated since the last lift", mm(m.Extent().Min.Z), axesNames(missing))
		}
		lifted := !below(m.To.Z)
		if down && lifted {
			stated = 0
		}
		down = !lifted
		stated |= m.Stated
	}
	return c
}
