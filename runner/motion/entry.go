package motion

import (
	"math"
	"slices"

	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
	"mahlstick/runner/vector"
)

// entryShare is the share of Z's top speed that a lengthened entry uses. The
// rest allows for the rounding of its points.
const entryShare = 0.95

// entryLevel is the least planned press, as a share of the greatest before it,
// that a lengthened entry runs over.
const entryLevel = 0.9

// lengthen makes the entry and the exit of a gesture longer where its press
// rises or falls faster than Z can follow at the layer's feed, if the layer
// allows it.
//
// From the first point of the entry where Z could not follow, the brush comes
// down at the steepest slope that Z can follow, until it meets the planned
// press. So the mark stays inside the drawn shape and leaves part of it bare:
// the stroke becomes more pointed. If the slope does not meet the planned press
// within the first half of the path and before that falls by more than a tenth,
// or if Z can follow the whole entry and fails only further in, nothing is
// lengthened and the feed is lowered as usual. The press falls where a corner
// ends and the stroke goes out into the next one: a slope that ran on would leave
// the whole corner bare.
func (m *planner) lengthen(g stroke.Gesture) stroke.Gesture {
	if m.layer.Entries != model.Longer || !g.Kind.OfPicture() || len(g.Points) < 2 {
		return g
	}
	f, z := float64(m.paint), m.machine.ZFeed
	if f <= z {
		return g // Z is fast enough for any slope
	}
	// At feed f along a path of slope t, Z moves at f·t/√(1+t²).
	z *= entryShare
	slope := z / math.Sqrt(float64(f*f)-float64(z*z))

	points := slices.Clone(g.Points)
	var entry, bareIn, exit, bareOut float64
	if !g.Begun { // at a joint, nothing may stay bare
		points, entry, bareIn = m.lengthenEntry(points, slope)
	}
	if !g.Unfinished {
		slices.Reverse(points)
		points, exit, bareOut = m.lengthenEntry(points, slope)
		slices.Reverse(points)
	}
	if entry+exit == 0 {
		return g
	}
	end := points[0]
	if exit > entry {
		end = points[len(points)-1]
	}
	m.remarks = append(m.remarks, stroke.Remark{
		Reason: stroke.Lengthened, Shape: g.Shape, At: plane.Point{X: end.X, Y: end.Y},
		Area: bareIn + bareOut, Length: entry + exit, Width: widest(g.Points), Place: g.Place,
	})
	g.Points = points
	return g
}

func widest(points []stroke.Point) float64 {
	w := 0.0
	for _, p := range points {
		w = max(w, p.Width)
	}
	return w
}

// lengthenEntry lengthens the entry at the first point. It returns the new
// points, the length of the new slope (mm), 0 if nothing was changed, and the
// area of the drawn shape that it leaves bare (mm²).
func (m *planner) lengthenEntry(points []stroke.Point, slope float64) (out []stroke.Point, length, bare float64) {
	total := 0.0
	for i := 1; i < len(points); i++ {
		total += planeDistance(points[i-1], points[i])
	}
	// The entry is the part from the start on in which the press never falls.
	first, before := 0, 0.0
	for ; ; first++ {
		if first+1 == len(points) || points[first+1].Press < points[first].Press || before > total/2 {
			return points, 0, 0
		}
		d := planeDistance(points[first], points[first+1])
		if points[first+1].Press > points[first].Press+float64(slope*d) {
			break
		}
		before += d
	}
	start, along, greatest := points[first].Press, 0.0, 0.0
	for i := first + 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		d := planeDistance(a, b)
		below, above := a.Press-(start+float64(slope*along)), start+float64(slope*(along+d))-b.Press
		greatest = max(greatest, a.Press)
		if above < 0 {
			if b.Press < float64(entryLevel*greatest) {
				return points, 0, 0
			}
			along += d
			continue
		}
		// The slope meets the planned press between a and b.
		t := 1.0
		if below+above > 0 {
			t = below / (below + above)
		}
		length = along + float64(t*d)
		if before+length > total/2 || vector.Lerp(a.Press, b.Press, t) < float64(entryLevel*greatest) {
			return points, 0, 0
		}
		out = append(make([]stroke.Point, 0, len(points)+1), points[:first+1]...)
		run, narrower := 0.0, 0.0
		for k := first + 1; k < i; k++ {
			p := points[k]
			d := planeDistance(points[k-1], p)
			run += d
			p.Press = start + float64(slope*run)
			p = m.withWidth(p)
			now := points[k].Width - p.Width
			bare += float64(d*(narrower+now)) / 2
			narrower = now
			out = append(out, p)
		}
		bare += float64(float64(t*d)*narrower) / 2
		meet := stroke.Point{X: plane.Lerp(a.X, b.X, t), Y: plane.Lerp(a.Y, b.Y, t), Press: vector.Lerp(a.Press, b.Press, t)}
		if meet.X != b.X || meet.Y != b.Y {
			out = append(out, m.withWidth(meet))
		}
		return append(out, points[i:]...), length, bare
	}
	return points, 0, 0
}

// withWidth sets the point's width to that of a mark at its press.
func (m *planner) withWidth(p stroke.Point) stroke.Point {
	if w, err := m.layer.Brush.Curve.WidthAt(min(p.Press, m.layer.Brush.Curve.SafePress())); err == nil {
		p.Width = w
	}
	return p
}

// planeDistance is in mm.
func planeDistance(p, q stroke.Point) float64 {
	return plane.Distance(p.Plane(), q.Plane()) / plane.PerMM
}
