package covering

import (
	"slices"

	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
	"mahlstick/runner/vector"
)

// centreLine keeps the parts of a line without a width that show, each a line of its
// own. Where a later layer paints the cover, a part runs on by the trap.
func (c *cutter) centreLine(l stroke.OpenLine) []stroke.OpenLine {
	covers := c.above(l.Shape, plane.Bounds(l.Points))
	if len(covers) == 0 {
		return []stroke.OpenLine{l}
	}
	t := newTrack(l.Points)
	var out []stroke.OpenLine
	whole := true
	for _, part := range t.showing(covers, float64(c.opt.Trap*plane.PerMM)) {
		whole = whole && part.from <= 0 && part.to >= t.length()
		if points := t.between(part.from, part.to); len(points) > 1 {
			k := l
			k.Points = points
			out = append(out, k)
		}
	}
	if whole && len(out) == 1 {
		return []stroke.OpenLine{l}
	}
	c.hidden.Shapes++
	if len(out) == 0 {
		c.hidden.Whole++
	}
	return out
}

// track is a line by the way along it, in grid steps.
type track struct {
	points []plane.Point
	way    []float64 // to each point
}

func newTrack(points []plane.Point) *track {
	t := &track{points: points, way: make([]float64, len(points))}
	for i := 1; i < len(points); i++ {
		t.way[i] = t.way[i-1] + plane.Distance(points[i-1], points[i])
	}
	return t
}

func (t *track) length() float64 { return t.way[len(t.way)-1] }

// part is a part of a track.
type part struct{ from, to float64 }

// showing lists the parts of a track that lie under no cover.
func (t *track) showing(covers []*Cover, trap float64) []part {
	stops := []float64{0, t.length()}
	for _, c := range covers {
		for _, ring := range c.rings {
			stops = append(stops, t.crossings(ring)...)
		}
	}
	slices.Sort(stops)
	var out []part
	for i := 1; i < len(stops); i++ {
		from, to := stops[i-1], stops[i]
		if to-from < 1 {
			continue
		}
		if covered, _ := coveredAt(covers, t.at((from+to)/2)); covered {
			continue
		}
		if n := len(out); n > 0 && from-out[n-1].to < 2 {
			out[n-1].to = to
			continue
		}
		out = append(out, part{from, to})
	}
	if trap > 0 {
		for i := range out {
			out[i].from = t.runOn(covers, out[i].from, -trap)
			out[i].to = t.runOn(covers, out[i].to, trap)
		}
	}
	return out
}

// coveredAt reports whether a point lies under a cover, and whether under one that no
// later layer paints.
func coveredAt(covers []*Cover, p plane.Point) (covered, lasting bool) {
	for _, c := range covers {
		if windsAround(c.rings, p) {
			covered, lasting = true, lasting || !c.later
		}
	}
	return covered, lasting
}

// runOn moves the end of a part by the trap (negative towards the start of the track),
// unless it lies at bare paper.
func (t *track) runOn(covers []*Cover, end, trap float64) float64 {
	if end <= 0 || end >= t.length() {
		return end
	}
	step := min(max(trap, -10), 10)
	if _, lasting := coveredAt(covers, t.at(end+step)); lasting {
		return end
	}
	return min(max(end+trap, 0), t.length())
}

// crossings are the ways at which a track crosses a ring.
func (t *track) crossings(ring []plane.Point) (out []float64) {
	box := plane.Bounds(ring)
	for i := 1; i < len(t.points); i++ {
		a, b := t.points[i-1], t.points[i]
		edge := plane.Bounds([]plane.Point{a, b})
		if !edge.Overlaps(box) {
			continue
		}
		p := ring[len(ring)-1]
		for _, q := range ring {
			if plane.Bounds([]plane.Point{p, q}).Overlaps(edge) {
				way, along := vector.XY{X: float64(b.X) - float64(a.X), Y: float64(b.Y) - float64(a.Y)}, vector.XY{X: float64(q.X) - float64(p.X), Y: float64(q.Y) - float64(p.Y)}
				from := vector.XY{X: float64(p.X) - float64(a.X), Y: float64(p.Y) - float64(a.Y)}
				if cross := way.Cross(along); cross != 0 {
					share, other := from.Cross(along)/cross, from.Cross(way)/cross
					if share >= 0 && share <= 1 && other >= 0 && other <= 1 {
						out = append(out, vector.Lerp(t.way[i-1], t.way[i], share))
					}
				}
			}
			p = q
		}
	}
	return out
}

// at is the point a way along the track.
func (t *track) at(way float64) plane.Point {
	i, _ := slices.BinarySearch(t.way, way)
	i = min(max(i, 1), len(t.way)-1)
	share := 0.0
	if d := t.way[i] - t.way[i-1]; d > 0 {
		share = (way - t.way[i-1]) / d
	}
	p, q := t.points[i-1], t.points[i]
	return plane.Point{X: plane.Lerp(p.X, q.X, share), Y: plane.Lerp(p.Y, q.Y, share)}
}

// between gives the points of a part of the track.
func (t *track) between(from, to float64) []plane.Point {
	out := []plane.Point{t.at(from)}
	for i, way := range t.way {
		if way > from && way < to {
			out = append(out, t.points[i])
		}
	}
	return slices.Compact(append(out, t.at(to)))
}

// windsAround reports whether a point lies inside clean rings.
func windsAround(rings [][]plane.Point, at plane.Point) bool {
	winding := 0
	for _, ring := range rings {
		p := ring[len(ring)-1]
		for _, q := range ring {
			switch {
			case p.Y <= at.Y && q.Y > at.Y && plane.Turn(p, q, at) > 0:
				winding++
			case p.Y > at.Y && q.Y <= at.Y && plane.Turn(p, q, at) < 0:
				winding--
			}
			p = q
		}
	}
	return winding > 0
}
