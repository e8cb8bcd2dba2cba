package stroke

import (
	"fmt"
	"slices"

	"mahlstick/recipe/problem"
	"mahlstick/runner/axis"
	"mahlstick/runner/contour"
	"mahlstick/runner/plane"
	"mahlstick/runner/vector"
)

// OpenLine is a centre line on the sheet that encloses no area.
type OpenLine struct {
	contour.Identity
	Points []plane.Point
	Widths []float64 // mm, one per point; nil if the layer's formula gives them
}

// widestLine is the widest line that is accepted, in mm: wider ones are
// mistakes.
const widestLine = 1000.0

// linePlanner plans gestures along open lines. Where a line is wider than the
// brush, the area under it is filled as that of a region is.
type linePlanner struct {
	*painter
	regions regionPlanner
	closed  bool // the line returns to its start, and has neither entry nor exit
}

// plan plans one open line. A width formula of the layer comes before the
// widths of the drawing.
func (p linePlanner) plan(l OpenLine, b *axis.Builder) outcome {
	var out outcome
	t := newTrack(l.Points)
	if t == nil {
		out.remarks = append(out.remarks, Remark{Reason: TooSmall, Shape: l.Shape, Place: l.Place})
		return out
	}
	n := len(l.Points)
	p.closed = n > 2 && l.Points[0] == l.Points[n-1]
	points, err := p.widths(t, l)
	if err != nil {
		out.problems.Add(p.badWidth(l, err))
		return out
	}
	entry, exit := p.entryAndExit(t.length)
	for _, r := range p.limits.runs(body(points, entry, t.length-exit)) {
		if r.level != thin || p.layer.Hairlines {
			p.promise(&out, r.points, l.Shape, l.Place)
		}
	}
	p.taper(points, t.length)
	p.paint(&out, l, points, span{entry, t.length - exit}, b)
	return out
}

// span is a part of a line between two distances along it.
type span struct{ from, to float64 }

// badWidth is the problem of a line that has no usable width.
func (p linePlanner) badWidth(l OpenLine, err error) problem.Problem {
	advice := "give a width that is a length from 0 to 1000 mm all along the line"
	out := problem.Problem{Code: problem.WidthFormula, Place: l.Place, Message: err.Error()}
	if p.layer.Width != nil {
		advice += ", as greatest(0*mm, ...) is never less than 0"
		if p.layer.Place.Known() {
			out.Related = []problem.Related{{Place: p.layer.Place, Note: "the formula is in the column width of this layer"}}
		}
	}
	out.Fix = problem.Advise(advice)
	return out
}

// paint adds the gestures of a line whose widths are known, and remarks and
// areas for what is not painted as drawn. inside is the part between entry and
// exit.
func (p linePlanner) paint(out *outcome, l OpenLine, points []axis.Point, inside span, b *axis.Builder) {
	closed := len(points) > 1 && points[0].Plane() == points[len(points)-1].Plane()
	runs := p.limits.runs(points)
	if len(points) == 1 {
		runs = p.limits.settle([]run{{p.limits.level(float64(points[0].R)), points}})
	}
	// What one gesture paints; what is painted without a break, lanes included;
	// what all would paint; what was drawn.
	var current, painted, within, whole []axis.Point
	covered, walked := 0.0, 0.0
	lift := func() {
		if len(current) > 0 {
			out.gestures = append(out.gestures, Gesture{Kind: Line, Shape: l.Shape, Points: p.press.path(current), Place: l.Place})
		}
		current = nil
	}
	pause := func() {
		lift()
		if len(painted) > 0 {
			covered += markArea(painted, closed && len(painted) == len(whole))
		}
		painted = nil
	}
	for _, r := range runs {
		// The brush comes down and lifts over its entry and exit: a thin mark is
		// right there.
		inBody := walked+length(r.points) > inside.from && walked < inside.to || len(points) == 1
		walked += length(r.points)
		whole = extend(whole, r.points)
		marks := p.clamped(r.points)
		switch {
		case r.level == wide && p.fills(r):
			lift()
			out.gestures = append(p.lanes(out, r, l, b), out.gestures...)
			within, painted = extend(within, r.points), extend(painted, r.points)
			continue
		case r.level == wide:
			out.remarks = append(out.remarks, p.heldRemark(r, l))
		case r.level == thin && inBody:
			out.remarks = append(out.remarks, p.tooThinRemark(r, l))
			if !p.layer.Hairlines {
				within = extend(within, marks)
				pause()
				continue
			}
		}
		within, painted, current = extend(within, marks), extend(painted, marks), extend(current, r.points)
	}
	pause()
	// If a line crosses itself, the sum of its discs may be more than that of the
	// wider ones that contain them.
	all := markArea(whole, closed)
	most := min(markArea(within, closed), all)
	covered = min(covered, most)
	out.drawn = squareMM(all)
	out.apportion(squareMM(all-most), HeldBack)
	out.apportion(squareMM(most-covered), TooThin)
}

// fills reports whether a wide stretch is too wide to be held back.
func (p linePlanner) fills(r run) bool {
	most := int32(0)
	for _, q := range r.points {
		most = max(most, q.R)
	}
	return float64(most) > max(p.limits.held, p.limits.broad)+p.limits.slackBroad
}

// lanes fills the area under a stretch that is wider than the brush.
func (p linePlanner) lanes(out *outcome, r run, l OpenLine, b *axis.Builder) []Gesture {
	parts, ok := sweptRegions(r.points)
	var lanes []Gesture
	for _, part := range parts {
		part.Shape, part.Place = l.Shape, l.Place
		medial, err := b.Medial(part, p.tolerance())
		if err != nil {
			ok = false
			break
		}
		c := p.regions.limits.cut(medial, p.layer.Hairlines)
		lanes = append(lanes, p.regions.fill(part, &c.wide, b)...)
	}
	if !ok {
		x, y := r.points[0].Plane().MM()
		out.problems.Errorf(problem.ContourTangled, l.Place, problem.Advise("draw it with fewer points, or narrower"),
			"%.0f mm² under this line, from (%.2f, %.2f) mm on the sheet, are wider than the brush and cannot be filled: too many edges lie on each other",
			squareMM(markArea(r.points, false)), x, y)
	}
	return lanes
}

// extend appends a run to a path; the run begins at the last point of the path.
func extend(path, more []axis.Point) []axis.Point {
	if len(path) > 0 {
		more = more[1:]
	}
	return append(path, more...)
}

// clamped returns the points with no radius above that of the widest mark.
func (p *painter) clamped(points []axis.Point) []axis.Point {
	out := slices.Clone(points)
	for i := range out {
		out[i].R = min(out[i].R, int32(p.radius+0.5))
	}
	return out
}

// heldRemark is the remark for a stretch that is painted narrower than drawn.
func (p linePlanner) heldRemark(r run, l OpenLine) Remark {
	out := Remark{Reason: HeldBack, Shape: l.Shape, Place: l.Place, Length: length(r.points) / plane.PerMM}
	for _, q := range r.points {
		if w := 2 * float64(q.R) / plane.PerMM; w > out.Width {
			out.Width, out.At = w, q.Plane()
		}
	}
	out.Area = squareMM(max(markArea(r.points, false)-markArea(p.clamped(r.points), false), 0))
	return out
}

// tooThinRemark is the remark for a stretch thinner than the lightest mark.
func (p linePlanner) tooThinRemark(r run, l OpenLine) Remark {
	place := measure(r.points)
	out := Remark{Reason: TooThin, Shape: l.Shape, Place: l.Place, At: place.at.Plane(), Length: place.length / plane.PerMM, Width: 2 * float64(place.at.R) / plane.PerMM}
	if !p.layer.Hairlines {
		out.Area = squareMM(markArea(r.points, false))
	}
	return out
}

// entryAndExit returns the distances, in grid steps, over which the brush comes down
// and lifts on a line of the given length. If the line is shorter than both
// together, both are shortened in proportion.
func (p linePlanner) entryAndExit(length float64) (entry, exit float64) {
	if p.closed {
		return 0, 0
	}
	entry, exit = mul(max(p.layer.Brush.Entry, 0), plane.PerMM), mul(max(p.layer.Brush.Exit, 0), plane.PerMM)
	if sum := entry + exit; sum > length {
		entry, exit = mul(entry, length/sum), mul(exit, length/sum)
	}
	return entry, exit
}

// body returns the points of a path between two distances along it. The path
// has a point at both.
func body(points []axis.Point, from, to float64) []axis.Point {
	var out []axis.Point
	s := 0.0
	for i, q := range points {
		if i > 0 {
			s += distance(points[i-1], q)
		}
		if s > from-2 && s < to+2 {
			out = append(out, q)
		}
	}
	return out
}

// taper makes a line widen from the lightest mark over its entry and narrow to
// it over its exit.
func (p linePlanner) taper(points []axis.Point, long float64) {
	entry, exit := p.entryAndExit(long)
	s := 0.0
	for i := range points {
		if i > 0 {
			s += distance(points[i-1], points[i])
		}
		share := 1.0
		if s < entry {
			share = s / entry
		}
		if rest := long - s; rest < exit {
			share = min(share, max(rest, 0)/exit)
		}
		if r := float64(points[i].R); share < 1 && r > p.limits.narrow {
			points[i].R = plane.Lerp(int32(p.limits.narrow), points[i].R, share)
		}
	}
}

// widths returns the points of a line, each with half the width there as its
// radius.
func (p linePlanner) widths(t *track, l OpenLine) ([]axis.Point, error) {
	entry, exit := p.entryAndExit(t.length)
	stops := t.stops(entry, t.length-exit)
	if p.layer.Width != nil {
		w := widthSampler{formula: p.layer.Width, track: t, shape: l.Shape, stops: stops}
		return w.sample()
	}
	if len(l.Widths) != len(l.Points) {
		return nil, fmt.Errorf("the line has no width, neither in the drawing nor on the layer")
	}
	var out []axis.Point
	for _, s := range stops {
		i, share := t.locate(s)
		a, b := l.Widths[t.index[i]], l.Widths[t.index[min(i+1, len(t.index)-1)]]
		r, err := radius(vector.Lerp(a, b, share), t.at(s))
		if err != nil {
			return nil, err
		}
		q := t.at(s)
		out = append(out, axis.Point{X: q.X, Y: q.Y, R: r})
	}
	return out, nil
}

// radius is half a width in grid steps. It is an error if the width is outside
// 0 to widestLine; at is where.
func radius(width float64, at axis.Point) (int32, error) {
	if !(width >= 0 && width <= widestLine) {
		return 0, fmt.Errorf("the width is %.3g mm at (%.2f, %.2f) mm on the sheet", width, plane.MM(at.X), plane.MM(at.Y))
	}
	return int32(mul(width, plane.PerMM/2) + 0.5), nil
}
