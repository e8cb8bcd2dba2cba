package drawing

import (
	"math"
	"slices"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/problem"
	"mahlstick/runner/contour"
	"mahlstick/runner/vector"
)

// endPath ends the boundary being read, if there is one, and adds its
// contours.
func (h *hatchReader) endPath() {
	if !h.in {
		return
	}
	h.in = false
	d := h.d
	if !h.path.polyline {
		h.endEdge()
	}
	found := len(d.edges)
	if h.path.polyline {
		found = len(d.corners)
	}
	if h.path.want != unannounced && h.path.want != found && !d.p.bad {
		d.spoiled(problem.BadCount, problem.Advise(damagedFix), "a boundary of this %s announces %d vertices or edges (group 93) and has %d", h.what, h.path.want, found)
	}
	if h.mapped && !d.p.bad {
		if h.path.polyline {
			h.begin()
			if d.corneredPath(&h.m, d.corners, true) {
				h.addLoop()
			}
		} else {
			h.joinEdges()
		}
	}
	d.corners, d.edges, d.edgePoints = d.corners[:0], d.edges[:0], d.edgePoints[:0]
}

func (h *hatchReader) begin() {
	h.d.begin()
	n := h.d.p.normal
	h.d.tilted = n.x != 0 || n.y != 0
}

// addLoop takes the path as one of the hatch's contours.
func (h *hatchReader) addLoop() {
	d := h.d
	before := len(d.contours)
	d.take(h.what, h.layer, true, contour.EvenOdd, d.p.at, d.p.end)
	for range len(d.contours) - before {
		h.loops = append(h.loops, h.path.flags)
	}
}

// endEdge flattens the edge that was read.
func (h *hatchReader) endEdge() {
	d, e := h.d, h.edge
	h.edge = hatchEdgeData{}
	if e.kind == 0 || d.p.bad || !h.mapped || d.stopped {
		return
	}
	h.begin()
	e.p.z, e.q.z = h.elevation, h.elevation
	switch e.kind {
	case 1:
		d.to(h.m.at(e.p.x, e.p.y, e.p.z))
		d.to(h.m.at(e.q.x, e.q.y, e.q.z))
	case 2:
		h.roundEdge(&e, xyz{x: e.radius}, xyz{y: e.radius}, 1)
	case 3:
		minor := xyz{-float64(e.q.y * e.radius), float64(e.q.x * e.radius), 0}
		h.roundEdge(&e, xyz{e.q.x, e.q.y, 0}, minor, e.radius)
	case 4:
		if e.knots != unannounced && e.knots != len(d.knots) || e.control != unannounced && e.control != len(d.control) {
			d.spoiled(problem.BadCount, problem.Advise(damagedFix), "a spline in the boundary of this %s announces %d knots and %d control points and has %d and %d",
				h.what, e.knots, e.control, len(d.knots), len(d.control))
			return
		}
		s, ok := d.checkedSpline(&h.m, e.degree)
		if !ok {
			return
		}
		if !d.follow(s, d.p.at, d.p.end) {
			d.spoiled(problem.BadSpline, problem.Advise("draw it as two splines"), "a spline in the boundary of this %s breaks off at a knot inside", h.what)
			return
		}
	}
	// A point out of reach is reported now: joining edges compares points.
	if d.p.bad || !d.within(h.what, d.p.at, d.p.end) {
		d.p.bad = true
		return
	}
	from := len(d.edgePoints)
	d.edgePoints = append(d.edgePoints, d.path...)
	d.edges = append(d.edges, hatchEdge{from: from, to: len(d.edgePoints)})
}

// roundEdge adds an arc of a circle or an ellipse with the half axes u and v.
// Its angles are in degrees from u; clockwise ones are counted clockwise.
func (h *hatchReader) roundEdge(e *hatchEdgeData, u, v xyz, ratio float64) {
	d := h.d
	if !(math.Abs(ratio) > 0) || u == (xyz{}) || v == (xyz{}) || e.kind == 2 && !(e.radius > 0) {
		d.spoiled(problem.BadValue, problem.Advise("draw it again"), "an arc in the boundary of this %s has no radius", h.what)
		return
	}
	q := conic{h.m.at(e.p.x, e.p.y, e.p.z), h.m.along(u.x, u.y, 0), h.m.along(v.x, v.y, 0)}
	degrees := math.Mod(math.Mod(e.end, 360)-math.Mod(e.start, 360), 360)
	if degrees <= 0 {
		degrees += 360
	}
	start, stop := ellipseParameter(e.start, ratio), ellipseParameter(e.end, ratio)
	sweep := stop - start
	switch {
	case degrees == 360:
		sweep = 2 * arith.Pi
	case sweep <= 0:
		sweep += 2 * arith.Pi
	}
	if e.clockwise {
		start, sweep = -start, -sweep
	}
	if degrees == 360 {
		d.round(&q, start, d.p.at, d.p.end)
		if len(d.path) > 0 {
			d.to(d.path[0])
		}
		return
	}
	d.to(q.at(start))
	d.sweep(&q, start, sweep, d.p.at, d.p.end)
	d.to(q.at(start + sweep))
}

// ellipseParameter turns an angle (degrees) from the long axis into the
// parameter of the ellipse (rad, within ±π).
func ellipseParameter(degrees, ratio float64) float64 {
	sin, cos := arith.SinCosDegrees(degrees)
	return arith.Atan2(sin/ratio, cos)
}

// joinEdges makes contours of the edges of a boundary, which may lie in any
// order and direction.
func (h *hatchReader) joinEdges() {
	d := h.d
	work := 64*len(d.edges) + 1_000_000
	for i := range d.edges {
		if d.edges[i].used {
			continue
		}
		h.begin()
		h.append(i, false)
		next := i + 1
		for !d.stopped && !h.back() {
			last := d.path[len(d.path)-1]
			k, back := h.meeting(last, next, &work)
			if k < 0 && d.meets(last, d.path[0]) {
				break
			}
			if k < 0 {
				gap := vector.Distance(last, d.path[0])
				d.spoiled(problem.OpenBoundary, problem.Advise("draw the hatch again on a closed outline"),
					"a boundary of this %s is open: from (%s, %s) mm to (%s, %s) mm, %s mm apart", h.what,
					Short(d.path[0].X), Short(d.path[0].Y), Short(last.X), Short(last.Y), Short(gap))
				return
			}
			h.append(k, back)
			next = k + 1
		}
		d.points -= min(d.points, len(d.path)) // they were counted edge by edge
		h.addLoop()
	}
}

// back says whether the path has left its start and come back to it.
func (h *hatchReader) back() bool {
	path := h.d.path
	near := func(p XY) bool { return vector.Distance2(p, path[0]) <= float64(meetMM*meetMM) }
	return near(path[len(path)-1]) && slices.ContainsFunc(path, func(p XY) bool { return !near(p) })
}

// meeting finds an unused edge with an end at p, looking at the one that
// comes next in the file first.
func (h *hatchReader) meeting(p XY, next int, work *int) (edge int, back bool) {
	d := h.d
	for n := range d.edges {
		k := (next + n) % len(d.edges)
		e := &d.edges[k]
		if *work--; *work < 0 {
			return -1, false
		}
		if e.used {
			continue
		}
		if d.meets(p, d.edgePoints[e.from]) {
			return k, false
		}
		if d.meets(p, d.edgePoints[e.to-1]) {
			return k, true
		}
	}
	return -1, false
}

func (h *hatchReader) append(k int, back bool) {
	d := h.d
	e := &d.edges[k]
	e.used = true
	pts := d.edgePoints[e.from:e.to]
	for i := range pts {
		p := pts[i]
		if back {
			p = pts[len(pts)-1-i]
		}
		if n := len(d.path); n > 0 && i == 0 && vector.Distance2(d.path[n-1], p) <= float64(meetMM*meetMM) {
			continue
		}
		d.to(p)
	}
}
