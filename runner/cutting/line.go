package cutting

import "mahlstick/runner/vector"

// lineSlack (mm) is how far a line may reach over a clip without being cut: a curve
// that touches the clip's edge is read as chords, some of which cross it.
const lineSlack = 0.002

// line parts a line without a width of its own at the boxes around its clips.
// Where it is cut it is shortened by what the layer asks for, so that the round
// end of the mark does not reach over the cut.
func (c *cutter) line(k *Contour) {
	areas := c.needed(k)
	if len(areas) == 0 {
		c.keep(k)
		return
	}
	points := k.Points
	if k.Closed {
		points = append(points[:len(points):len(points)], points[0])
	}
	parts := partLine(points, areas)
	if len(parts) == 1 && !parts[0].startCut && !parts[0].endCut {
		c.keep(k)
		return
	}
	total := lengthOf(points)
	kept := 0
	goesOn := k.Closed && joinAtStart(parts)
	if n := len(parts); goesOn && n > 1 {
		first := parts[0]
		parts = parts[1:]
		last := &parts[n-2]
		last.points, last.endCut = append(last.points, first.points[1:]...), first.endCut
	}
	for _, p := range parts {
		if c.opt.Shorten != nil {
			p.shorten(k, total, c.opt.Shorten)
		}
		if len(p.points) < 2 {
			continue
		}
		out := *k
		out.Points, out.Closed = p.points, false
		c.keep(&out)
		kept++
	}
	if kept == 0 {
		c.out.Gone++
	} else {
		c.out.Cut++
	}
}

// joinAtStart reports whether a closed line goes on across its start; where only one of
// its sides is there, that ends at a cut.
func joinAtStart(parts []part) bool {
	if len(parts) == 0 {
		return false
	}
	first, last := &parts[0], &parts[len(parts)-1]
	if !first.startCut && !last.endCut {
		return true
	}
	first.startCut, last.endCut = true, true
	return false
}

// part is a part of a line.
type part struct {
	points           []vector.XY
	from             float64 // mm along the line to where it begins
	startCut, endCut bool
}

// partLine lists the parts of a line within areas.
func partLine(points []vector.XY, areas []*area) []part {
	var out []part
	box := boxOf(areas)
	open, walked := false, 0.0
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		shares := sharesWithin(a, b, box, areas)
		if open && (len(shares) == 0 || shares[0].from > 0) { // it leaves the areas at a corner
			out[len(out)-1].endCut = true
		}
		for _, s := range shares {
			if !open || s.from > 0 {
				out = append(out, part{points: []vector.XY{a.Toward(b, s.from)}, from: walked + float64(s.from*vector.Distance(a, b)), startCut: s.from > 0 || i > 1})
			}
			p := &out[len(out)-1]
			if end := a.Toward(b, s.to); s.to < 1 {
				p.points, p.endCut = append(p.points, end), true
			} else {
				p.points = append(p.points, b)
			}
			open = s.to >= 1
		}
		open = open && len(shares) > 0
		walked += vector.Distance(a, b)
	}
	return out
}

// share is a part of a segment.
type share struct{ from, to float64 }

// sharesWithin are the parts of a segment within areas, and a box around them.
func sharesWithin(a, b vector.XY, box vector.Box, areas []*area) []share {
	from, to, inside := withinSides(a, b, box)
	if !inside {
		return nil
	}
	out := []share{{from, to}}
	for _, of := range areas {
		if of.upright {
			continue
		}
		var left []share
		at := of.crossings(a, b)
		for _, s := range out {
			before := s.from
			for _, t := range append(at, s.to) {
				t = min(t, s.to)
				if t <= before {
					continue
				}
				if of.inside(a.Toward(b, (before+t)/2)) || of.alongEdge(a.Toward(b, before), a.Toward(b, t)) {
					if n := len(left); n > 0 && left[n-1].to == before {
						left[n-1].to = t
					} else {
						left = append(left, share{before, t})
					}
				}
				before = t
			}
		}
		out = left
	}
	return out
}

// withinSides is the share of a segment within a box (Y.-D. Liang and B. A.
// Barsky, ACM Transactions on Graphics 3, 1984, 1-22). A segment that runs along a
// side belongs to it.
func withinSides(a, b vector.XY, box vector.Box) (from, to float64, inside bool) {
	from, to = 0, 1
	for _, distance := range sidesOf(box) {
		da, db := distance(a), distance(b)
		switch {
		case da >= -lineSlack && db >= -lineSlack:
		case da < 0 && db < 0:
			return 0, 0, false
		case da < 0:
			from = max(from, da/(da-db))
		case db < 0:
			to = min(to, da/(da-db))
		}
	}
	return from, to, from < to
}

func lengthOf(points []vector.XY) float64 {
	sum := 0.0
	for i := 1; i < len(points); i++ {
		sum += vector.Distance(points[i-1], points[i])
	}
	return sum
}

// shorten takes off the ends that were cut what the layer asks for.
func (p *part) shorten(k *Contour, total float64, by func(k *Contour, along, length float64) float64) {
	length := lengthOf(p.points)
	if total <= 0 {
		return
	}
	start, end := 0.0, 0.0
	if p.startCut {
		start = by(k, p.from/total, total)
	}
	if p.endCut {
		end = by(k, (p.from+length)/total, total)
	}
	if start+end >= length {
		p.points = nil
		return
	}
	p.points = between(p.points, start, length-end)
}

// between is the part of a line between two distances along it.
func between(points []vector.XY, from, to float64) []vector.XY {
	var out []vector.XY
	walked := 0.0
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		step := vector.Distance(a, b)
		if walked+step > from && walked < to && step > 0 {
			if len(out) == 0 {
				out = append(out, a.Toward(b, max(from-walked, 0)/step))
			}
			out = append(out, a.Toward(b, min((to-walked)/step, 1)))
		}
		walked += step
	}
	return out
}
