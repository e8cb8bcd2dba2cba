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

// linePlanner plans gestures along open lines.
type linePlanner struct{ *painter }

// plan plans one open line. A width formula of the layer comes before the
// widths of the drawing.
func (p linePlanner) plan(l OpenLine) outcome {
	var out outcome
	t := newTrack(l.Points)
	if t == nil {
		out.remarks = append(out.remarks, Remark{Reason: TooSmall, Shape: l.Shape, Place: l.Place})
		return out
	}
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
	p.paint(&out, l, points, span{entry, t.length - exit})
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
func (p linePlanner) paint(out *outcome, l OpenLine, points []axis.Point, inside span) {
	closed := len(points) > 1 && points[0].Plane() == points[len(points)-1].Plane()
	runs := p.limits.runs(points)
	if len(points) == 1 {
		runs = p.limits.settle([]run{{p.limits.level(float64(points[0].R)), points}})
	}
	var current, whole []axis.Point
	painted, walked := 0.0, 0.0
	flush := func() {
		if len(current) > 0 {
			painted += markArea(p.clamped(current), closed && len(current) == len(whole))
			out.gestures = append(out.gestures, Gesture{Kind: Line, Shape: l.Shape, Points: p.press.path(current), Place: l.Place})
		}
		current = nil
	}
	for _, r := range runs {
		// The brush comes down and lifts over its entry and exit: a thin mark is
		// right there.
		inBody := walked+length(r.points) > inside.from && walked < inside.to || len(points) == 1
		walked += length(r.points)
		whole = extend(whole, r.points)
		switch {
		case r.level == wide:
			out.remarks = append(out.remarks, p.wideRemarks(r, l)...)
		case r.level == thin && inBody:
			out.remarks = append(out.remarks, p.tooThinRemark(r, l))
			if !p.layer.Hairlines {
				flush()
				continue
			}
		}
		current = extend(current, r.points)
	}
	flush()
	// If a line crosses itself, the sum of its discs may be more than that of the
	// wider ones that contain them.
	all := markArea(whole, closed)
	within := min(markArea(p.clamped(whole), closed), all)
	painted = min(painted, within)
	out.drawn = squareMM(all)
	out.apportion(squareMM(all-within), TooWide, HeldBack)
	out.apportion(squareMM(within-painted), TooThin)
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

// wideRemarks are the remarks for a stretch wider than what is painted: for the
// parts up to the widest mark, which are held back, and for those beyond.
func (p linePlanner) wideRemarks(r run, l OpenLine) []Remark {
	if p.limits.held <= p.limits.broad {
		return []Remark{p.wideRemark(TooWide, r, l)}
	}
	if len(r.points) == 1 { // a dab
		if float64(r.points[0].R) <= p.limits.held+p.limits.slackBroad {
			return []Remark{p.wideRemark(HeldBack, r, l)}
		}
		return []Remark{p.wideRemark(TooWide, r, l)}
	}
	beyond := p.limits
	beyond.narrow, beyond.slackNarrow, beyond.broad = 0, 0, p.limits.held
	var out []Remark
	for _, part := range beyond.runs(r.points) {
		reason := HeldBack
		if part.level == wide {
			reason = TooWide
		}
		out = append(out, p.wideRemark(reason, part, l))
	}
	return out
}

func (p linePlanner) wideRemark(reason Reason, r run, l OpenLine) Remark {
	out := Remark{Reason: reason, Shape: l.Shape, Place: l.Place, Length: length(r.points) / plane.PerMM}
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
