package stroke

import (
	"mahlstick/runner/axis"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

// filling is a place wider than the brush, painted in lanes. All lengths are
// in grid steps.
type filling struct {
	radius float64 // of the widest mark
	first  float64 // depth of the outermost lane: its mark reaches the edge
	pitch  float64 // from lane to lane
	spare  float64 // by how much a mark overlaps its neighbour on either side
}

func (m *maker) filling() filling {
	overlap := min(max(m.layer.Overlap, 0), 0.9)
	return filling{
		radius: m.radius, first: m.broad,
		pitch: mul(2*m.radius, 1-overlap), spare: mul(m.radius, overlap),
	}
}

// fill paints where a region is wider than the brush: lanes at full width that
// follow the edge, the innermost first, and before them strokes along the
// ridges that no lane reaches. It answers false where the lanes could not be
// made.
func (m *maker) fill(r region.Region, wide *net) ([]Gesture, bool) {
	f := m.filling()
	h := m.hand
	gesture := func(points []axis.Point) Gesture {
		return Gesture{Kind: Lane, Shape: r.Shape, Points: h.path(points), Place: r.Place}
	}
	var out []Gesture
	for _, c := range f.gaps(wide) {
		out = append(out, gesture(c.points))
	}
	peaks := wide.peaks()
	parts, ok := inset(spare(r), f.first)
	// A sliver of a place that is hardly wider than the brush is painted along
	// its axis.
	parts = reaching(parts, peaks, f.first+m.slackBroad)
	h.within = m.tolerance() / 8 // the outermost lane makes the edge
	var lanes [][]Gesture
	for depth := f.first; ok && len(parts) > 0; depth += f.pitch {
		var row []Gesture
		var next []region.Region
		for _, part := range parts {
			for _, ring := range part.Rings {
				row = append(row, gesture(f.lap(ring)))
			}
		}
		lanes = append(lanes, row)
		h.within = m.tolerance() / 2
		for _, part := range reaching(parts, peaks, depth+f.pitch) {
			var inner []region.Region
			if inner, ok = inset(spare(part), f.pitch); !ok {
				break
			}
			next = append(next, inner...)
		}
		parts = next
	}
	for i := len(lanes) - 1; i >= 0; i-- {
		out = append(out, lanes[i]...)
	}
	return out, ok
}

// spare is a region with fewer points: its edge moves by no more than 0.001 mm.
func spare(r region.Region) region.Region {
	out := region.Region{}
	for _, ring := range r.Rings {
		out.Rings = append(out.Rings, thinOut(ring, plane.PerMM/1000))
	}
	return out
}

// reaching keeps the parts that hold a point of the axis with more than a
// radius.
func reaching(parts []region.Region, peaks []axis.Point, radius float64) []region.Region {
	var out []region.Region
	for _, part := range parts {
		box := plane.Bounds(part.Rings[0])
		for _, p := range peaks {
			if float64(p.R) > radius && p.X >= box.Min.X && p.X <= box.Max.X && p.Y >= box.Min.Y && p.Y <= box.Max.Y && holds(part, p.Plane()) {
				out = append(out, part)
				break
			}
		}
	}
	return out
}

// lap is a closed path round a ring at full width.
func (f filling) lap(ring []plane.Point) []axis.Point {
	out := make([]axis.Point, 0, len(ring)+1)
	for i := range len(ring) + 1 {
		p := ring[i%len(ring)]
		out = append(out, axis.Point{X: p.X, Y: p.Y, R: blend(0, 1<<30, f.radius/(1<<30))})
	}
	return out
}

// peaks lists the points of a net that have no neighbour with a greater
// radius.
func (n *net) peaks() []axis.Point {
	var out []axis.Point
	for _, l := range n.links {
		for i := 1; i < len(l.points)-1; i++ {
			if p := l.points[i]; p.R >= l.points[i-1].R && p.R >= l.points[i+1].R {
				out = append(out, p)
			}
		}
	}
	for _, at := range n.nodes {
		top := true
		for _, e := range at.ends {
			points := n.links[e.link()].points
			next := points[1]
			if e.far() {
				next = points[len(points)-2]
			}
			top = top && next.R <= at.at.R
		}
		if top {
			out = append(out, at.at)
		}
	}
	return out
}

// parts lists the nodes of every connected part of a net, by lowest number.
func (n *net) parts() [][]int32 {
	seen := make([]bool, len(n.nodes))
	var out [][]int32
	for i := range n.nodes {
		if seen[i] {
			continue
		}
		seen[i] = true
		part := []int32{int32(i)}
		for k := 0; k < len(part); k++ {
			for _, e := range n.nodes[part[k]].ends {
				if to := n.node(e.other()); !seen[to] {
					seen[to] = true
					part = append(part, to)
				}
			}
		}
		out = append(out, part)
	}
	return out
}

// holds says whether p lies in a region, by the parity of the edges below it.
func holds(r region.Region, p plane.Point) bool {
	in := false
	for _, ring := range r.Rings {
		a := ring[len(ring)-1]
		for _, b := range ring {
			if (a.X <= p.X) != (b.X <= p.X) {
				if turn := plane.Turn(a, b, p); turn > 0 && a.X <= p.X || turn < 0 && a.X > p.X {
					in = !in
				}
			}
			a = b
		}
	}
	return in
}
