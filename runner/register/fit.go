package register

import (
	"fmt"
	"math"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/problem"
	"mahlstick/runner/vector"
)

// How far (mm) a mark may be from where the best fit of all marks puts it.
// Above the first limit the layer has a warning, above the second an error,
// because the layers would not meet. Both places are typed numbers, so a
// difference is a mistake and not an error of measurement.
const (
	warnAbove   = 0.05
	refuseAbove = 0.25
)

// A drawing that two marks or more turn by more than this (degrees) was
// probably not drawn for this sheet.
const largeTurn = 5

// fit sets the turn and shift of a placement by the marks found.
func fit(t *task, found []square, p *Placement) problem.List {
	if len(found) == 0 {
		return nil
	}
	from, to := make([]vector.XY, len(found)), make([]vector.XY, len(found))
	for i, s := range found {
		from[i], to[i] = s.at, vector.XY{X: t.marks[i].X, Y: t.marks[i].Y}
	}
	f := rigid(from, to)
	p.Cos, p.Sin, p.RMS = f.cos, f.sin, f.rms
	p.TurnDeg = degrees(arith.Atan2(f.sin, f.cos))
	p.DX, p.DY = f.dx+t.layer.OffsetX, f.dy+t.layer.OffsetY
	for i, s := range found {
		at := f.apply(s.at)
		p.Marks = append(p.Marks, Found{
			Name: t.marks[i].Name, Stated: t.marks[i].Size, Measured: s.size, At: s.at,
			OffX: at.X - to[i].X, OffY: at.Y - to[i].Y, Place: t.placeOf(s),
		})
	}
	problems := checkFit(t, p, spread(from, to))
	if turn := math.Abs(p.TurnDeg); turn > largeTurn {
		problems.Warnf(problem.LargeTurn, t.layer.DrawingPlace,
			problem.Advise("if this is not intended, the drawing may be mirrored or its marks exchanged; draw it the way the sheet lies"),
			"the marks turn %s by %.1f degrees on the sheet", t.file(), p.TurnDeg)
	}
	return problems
}

func degrees(radians float64) float64 { return radians * 180 / arith.Pi }

// checkFit reports the mark that is farthest from its place. growth is the
// distance between the marks as drawn, divided by that as stated.
func checkFit(t *task, p *Placement, growth float64) problem.List {
	var problems problem.List
	worst, distance := -1, 0.0
	for i, m := range p.Marks {
		if d := arith.Hypot(m.OffX, m.OffY); d > distance {
			worst, distance = i, d
		}
	}
	if distance <= warnAbove {
		return nil
	}
	m := p.Marks[worst]
	q := problem.Problem{
		Code: problem.MarksDisagree, Place: t.marks[worst].Place,
		Message: fmt.Sprintf("in %s the mark %s is %s mm from where the best fit of all marks puts it", t.file(), quote(m.Name), mm(distance)),
		Fix:     problem.Advise("correct x and y of the marks in the recipe, or the mark in the drawing"),
		Related: []problem.Related{{Place: m.Place, Note: "the mark as drawn"}},
	}
	if math.Abs(growth-1) > 0.0005 {
		q.Message += "; the drawing's marks are " + percent(growth) + " " + fartherOrNearer(growth) + " than the recipe's"
	}
	if distance <= refuseAbove {
		q.Severity, q.Code = problem.Warning, problem.MarksSlightlyOff
	}
	problems.Add(q)
	return problems
}

// transform is a turn about the origin and then a shift.
type transform struct {
	cos, sin, dx, dy float64
	rms              float64 // mm, of the residuals
}

func (t transform) apply(p vector.XY) vector.XY {
	return vector.XY{
		X: float64(t.cos*p.X) - float64(t.sin*p.Y) + t.dx,
		Y: float64(t.sin*p.X) + float64(t.cos*p.Y) + t.dy,
	}
}

// rigid is the turn and shift that bring from nearest to to, by the least sum
// of squared distances, without scale or mirror: S. Umeyama, IEEE PAMI 13
// (1991) 376-380, which in the plane needs no singular values. With one point,
// or if no turn is better than another, there is no turn.
func rigid(from, to []vector.XY) transform {
	a, b := mean(from), mean(to)
	var c, s float64
	for i, p := range from {
		u, v := p.Minus(a), to[i].Minus(b)
		c += u.Dot(v)
		s += u.Cross(v)
	}
	t := transform{cos: 1}
	if h := math.Sqrt(float64(c*c) + float64(s*s)); h > 0 {
		t.cos, t.sin = c/h, s/h
	}
	t.dx = b.X - (float64(t.cos*a.X) - float64(t.sin*a.Y))
	t.dy = b.Y - (float64(t.sin*a.X) + float64(t.cos*a.Y))
	t.rms = residual(t.apply, from, to)
	return t
}

// residual is the root mean square of the distances that remain after a map.
func residual(apply func(vector.XY) vector.XY, from, to []vector.XY) float64 {
	sum := 0.0
	for i, p := range from {
		sum += vector.Distance2(apply(p), to[i])
	}
	return math.Sqrt(sum / float64(len(from)))
}

// mirrored is rigid after a flip of y: how well a mirrored drawing would fit.
func mirrored(from, to []vector.XY) transform {
	flipped := make([]vector.XY, len(from))
	for i, p := range from {
		flipped[i] = vector.XY{X: p.X, Y: -p.Y}
	}
	return rigid(flipped, to)
}

// spread is the distance between the points of from, divided by that between
// the points of to.
func spread(from, to []vector.XY) float64 {
	size := func(points []vector.XY) float64 {
		m, sum := mean(points), 0.0
		for _, p := range points {
			sum += vector.Distance2(p, m)
		}
		return math.Sqrt(sum)
	}
	if s := size(to); s > 0 {
		return size(from) / s
	}
	return 1
}

func mean(points []vector.XY) vector.XY {
	var m vector.XY
	for _, p := range points {
		m.X += p.X
		m.Y += p.Y
	}
	n := float64(len(points))
	return vector.XY{X: m.X / n, Y: m.Y / n}
}
