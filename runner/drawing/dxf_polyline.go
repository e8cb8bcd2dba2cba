package drawing

import (
	"math"

	"mahlstick/recipe/problem"
	"mahlstick/runner/contour"
)

// corner is a vertex of a polyline with the segment that follows it, in the
// coordinates of the entity.
type corner struct {
	p        xyz
	bulge    float64
	from, to float64 // widths at the start and the end of the segment
}

// unannounced stands for a count that the file does not give.
const unannounced = math.MinInt

// tooLong refuses an entity with very many parts.
func (d *dxf) tooLong(parts int) bool {
	if parts > maxCorners {
		d.stop(problem.TooLarge, d.p.at, d.p.end, problem.Advise("split it, or simplify it"),
			"this entity has more than %d vertices, knots or control points", maxCorners)
	}
	return d.stopped
}

// lightPolyline reads LWPOLYLINE.
func (d *dxf) lightPolyline() {
	corners := d.corners[:0]
	var constant, elevation float64
	flags, count, varying := 0, unannounced, false
	for d.field() {
		n := len(corners) - 1
		switch d.g.code {
		case 10:
			corners = append(corners, corner{p: xyz{x: d.num()}})
		case 20:
			if n >= 0 {
				corners[n].p.y = d.num()
			}
		case 40:
			if n >= 0 {
				corners[n].from, varying = d.num(), true
			}
		case 41:
			if n >= 0 {
				corners[n].to, varying = d.num(), true
			}
		case 42:
			if n >= 0 {
				corners[n].bulge = d.num()
			}
		case 43:
			constant = d.num()
		case 38:
			elevation = d.num()
		case 70:
			flags = d.whole()
		case 90:
			count = d.whole()
		default:
			d.common()
		}
		if d.tooLong(len(corners)) {
			return
		}
	}
	d.corners = corners
	layer, ok := d.wanted("LWPOLYLINE")
	if !ok {
		return
	}
	if count != unannounced && count != len(corners) {
		d.spoiled(problem.BadCount, problem.Advise(damagedFix), "this LWPOLYLINE announces %d vertices (group 90) and has %d", count, len(corners))
		return
	}
	for i := range corners {
		corners[i].p.z = elevation
		if !varying {
			corners[i].from, corners[i].to = constant, constant
		}
	}
	d.begin()
	m, ok := d.objectMap()
	if !ok {
		return
	}
	closed := flags&1 != 0
	if d.corneredPath(&m, corners, closed) {
		d.add("LWPOLYLINE", layer, closed, contour.Unstated, d.p.at, d.p.end)
	}
}

// Bits of group 70 of POLYLINE and of its VERTEX entities.
const (
	polylineClosed    = 1
	polylineSplineFit = 4
	polyline3D        = 8
	polylineMesh      = 16
	polylineFaces     = 64

	vertexSplineFit   = 8
	vertexSplineFrame = 16
)

// polyline reads POLYLINE and the VERTEX entities after it, up to SEQEND.
func (d *dxf) polyline() {
	var from, to, elevation float64
	flags := 0
	for d.field() {
		switch d.g.code {
		case 30:
			elevation = d.num()
		case 40:
			from = d.num()
		case 41:
			to = d.num()
		case 70:
			flags = d.whole()
		default:
			d.common()
		}
	}
	p := d.p
	corners := d.corners[:0]
	for d.more && !d.stopped && d.g.is("VERTEX") {
		v := corner{from: from, to: to}
		kind := 0
		d.p = props{at: d.g.at, end: d.g.to}
		for d.field() {
			switch d.g.code {
			case 10:
				v.p.x = d.num()
			case 20:
				v.p.y = d.num()
			case 30:
				v.p.z = d.num()
			case 40:
				v.from = d.num()
			case 41:
				v.to = d.num()
			case 42:
				v.bulge = d.num()
			case 70:
				kind = d.whole()
			}
		}
		p.bad = p.bad || d.p.bad
		// A curve fitted to the vertices is there as vertices of its own;
		// the frame that it was made from is not drawn.
		if flags&polylineSplineFit != 0 && kind&vertexSplineFrame != 0 {
			continue
		}
		if flags&polyline3D == 0 {
			v.p.z = elevation
		} else {
			v.bulge = 0
		}
		corners = append(corners, v)
		if d.p = p; d.tooLong(len(corners)) {
			return
		}
	}
	d.p, d.corners = p, corners
	layer, ok := d.wanted("POLYLINE")
	if !ok {
		return
	}
	if flags&(polylineMesh|polylineFaces) != 0 {
		d.count("POLYLINE", layer, "a mesh has no outline", d.p.at, d.p.end)
		d.warnOnce(problem.NotRead, "mesh", d.p.at, d.p.end, problem.Advise("draw its outline if it belongs to the picture"),
			"this POLYLINE is a mesh; it is not read, so it will not be painted")
		return
	}
	m := d.xf
	d.begin()
	if flags&polyline3D == 0 {
		if m, ok = d.objectMap(); !ok {
			return
		}
	}
	closed := flags&polylineClosed != 0
	if d.corneredPath(&m, corners, closed) {
		d.add("POLYLINE", layer, closed, contour.Unstated, d.p.at, d.p.end)
	}
}

// stepOver is the length (mm) over which a width changes at once.
const stepOver = 0.001

// corneredPath adds a polyline with its arcs and widths to the path.
func (d *dxf) corneredPath(m *xform, corners []corner, closed bool) bool {
	wide := false
	for i := range corners {
		c := &corners[i]
		if c.from < 0 || c.to < 0 {
			d.spoiled(problem.BadValue, problem.Advise("draw it again"), "this polyline has the negative width %s", Short(min(c.from, c.to)))
			return false
		}
		wide = wide || c.from > 0 || c.to > 0
	}
	segments := len(corners) - 1
	if closed {
		segments++
	}
	if !wide {
		for i := range corners {
			c := &corners[i]
			d.to(m.at(c.p.x, c.p.y, c.p.z))
			if c.bulge != 0 && i < segments {
				d.arcTo(m, c, &corners[(i+1)%len(corners)])
			}
		}
		return !d.stopped
	}
	if !m.even() {
		d.warnOnce(problem.StretchedWidth, "", d.p.at, d.p.end, problem.Advise("give the block the same scale along x and y, or draw the line's outline"),
			"this polyline has a width and is stretched unevenly; its width is read as if stretched evenly")
	}
	d.widePath(m, corners, segments, closed)
	return !d.stopped
}

// arcTo adds what lies between the ends of a bulged segment.
func (d *dxf) arcTo(m *xform, from, to *corner) {
	if from.p == to.p {
		return
	}
	d.bulge(m, from.p, to.p, from.bulge, d.p.at, d.p.end)
}

// widePath adds a polyline with widths. Where the width jumps at a corner it
// does so over a step far below what paint can show, so that every point has
// one width.
func (d *dxf) widePath(m *xform, corners []corner, segments int, closed bool) {
	stretch := m.stretch()
	if len(corners) == 0 {
		return
	}
	put := func(p XY, width float64) {
		d.to(p)
		d.widths = append(d.widths, float64(width*stretch))
	}
	last := corners[0].from
	for i := 0; i < segments; i++ {
		a, b := &corners[i], &corners[(i+1)%len(corners)]
		start, end := m.at(a.p.x, a.p.y, a.p.z), m.at(b.p.x, b.p.y, b.p.z)
		put(start, last)
		length := math.Max(math.Abs(end.X-start.X), math.Abs(end.Y-start.Y))
		var c conic
		var sweep float64
		curved := a.bulge != 0 && a.p != b.p
		if curved {
			c, sweep = bulgeConic(m, a.p, b.p, a.bulge)
		}
		share := func(s float64) XY {
			if curved {
				return c.at(float64(sweep * s))
			}
			return XY{X: start.X + float64((end.X-start.X)*s), Y: start.Y + float64((end.Y-start.Y)*s)}
		}
		step := 0.25
		if length > 4*stepOver {
			step = stepOver / length
		}
		if a.from != last {
			put(share(step), a.from)
		}
		if curved {
			n := len(d.path)
			d.sweep(&c, 0, sweep, d.p.at, d.p.end)
			for k, count := n, len(d.path)-n; k < len(d.path); k++ {
				s := float64(k-n+1) / float64(count+1)
				d.widths = append(d.widths, float64((a.from+float64((a.to-a.from)*s))*stretch))
			}
		}
		last = a.to
		if i == segments-1 {
			if !closed {
				put(end, last)
			} else if last != corners[0].from {
				put(share(1-step), last)
			}
		}
		if d.stopped {
			return
		}
	}
}

// solid reads SOLID and TRACE: a filled shape of three or four corners, the
// last two of which are in the order of a letter Z.
func (d *dxf) solid(what string) {
	var p [4]xyz
	fourth := false
	for d.field() {
		c := d.g.code
		switch {
		case c >= 10 && c <= 13:
			p[c-10].x = d.num()
			fourth = fourth || c == 13
		case c >= 20 && c <= 23:
			p[c-20].y = d.num()
		case c >= 30 && c <= 33:
			p[c-30].z = d.num()
		default:
			d.common()
		}
	}
	layer, ok := d.wanted(what)
	if !ok {
		return
	}
	d.begin()
	m, ok := d.objectMap()
	if !ok {
		return
	}
	d.to(m.at(p[0].x, p[0].y, p[0].z))
	d.to(m.at(p[1].x, p[1].y, p[1].z))
	if fourth {
		d.to(m.at(p[3].x, p[3].y, p[3].z))
	}
	d.to(m.at(p[2].x, p[2].y, p[2].z))
	d.add(what, layer, true, contour.Unstated, d.p.at, d.p.end)
}
