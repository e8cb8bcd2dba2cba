package scan

import (
	"math"
	"slices"

	"mahlstick/recipe/model"
	"mahlstick/runner/scan/edge"
	"mahlstick/runner/scan/squares"
	"mahlstick/runner/stroke"
	"mahlstick/runner/trial"
	"mahlstick/runner/vector"
)

// Measured is what was read of a mark that the job asks to measure.
type Measured struct {
	trial.Reading
	MM, U float64 // the length and its standard uncertainty; 0 mm is no mark
	OK    bool    // it was read
	Why   string  // why it was not; or what is to be known of it
}

// Measure measures the marks that the job lists, on this sheet; those of other sheets are
// left out.
func (s *Sheet) Measure(progress func(string)) (out []Measured) {
	for i := range s.Job.Strokes {
		k := &s.Job.Strokes[i]
		if k.Sheet != s.Number || k.Reading == 0 {
			continue
		}
		if progress != nil {
			progress("marks")
		}
		for n := range k.Readings {
			at := slices.IndexFunc(s.Job.Readings, func(r trial.Reading) bool { return r.Number == k.Reading+n })
			if at < 0 {
				continue
			}
			r := Measured{Reading: s.Job.Readings[at]}
			gauge{s}.read(&r, i)
			if r.OK && r.MM > 0 {
				across := direction(r.Across)
				r.U = math.Hypot(r.U, r.MM*math.Hypot(across.X*s.ScaleU[0], across.Y*s.ScaleU[1]))
			}
			out = append(out, r)
		}
	}
	slices.SortFunc(out, func(a, b Measured) int { return a.Number - b.Number })
	return out
}

// direction is a direction by its angle in degrees.
func direction(degrees float64) vector.XY {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	return vector.XY{X: cos, Y: sin}
}

// gauge measures marks as the notes on their trials ask for it.
type gauge struct{ sheet *Sheet }

// read reads a length of a stroke.
func (g gauge) read(r *Measured, index int) {
	k := &g.sheet.Job.Strokes[index]
	if k.Kind == stroke.Check {
		g.line(r, index, 4)
		return
	}
	switch r.Kind {
	case model.Ladder:
		g.line(r, index, min(k.Length()/2, 10))
	case model.Feeds:
		g.line(r, index, 10)
	case model.Ramp:
		g.line(r, index, rampLong)
	case model.Dwell, model.Touches:
		g.dot(r, index)
	case model.Rings:
		g.ring(r, index)
	case model.Corners:
		g.corner(r, index)
	case model.Tips:
		g.tip(r, index)
	case model.RunOut:
		r.Why = "lengths of a load are not read from a scan; measure them along the lanes"
	case model.SetOff:
		r.Why = "it is on the blotting paper"
	default:
		r.Why = "marks of this kind are not read from a scan"
	}
}

// rampLong (mm) is the length of a ramp over which the width is averaged.
const rampLong = 1.5

// widest is the greatest width that a stroke is asked to have.
func (s *Stroke) widest() (w float64) {
	for _, p := range s.Points {
		w = max(w, p.Width)
	}
	return w
}

// line reads the width of a straight mark.
func (g gauge) line(r *Measured, index int, along float64) {
	k := &g.sheet.Job.Strokes[index]
	width := k.widest()
	if !k.Assumed && !math.IsNaN(r.Expected) && r.Expected > 0 {
		width = r.Expected
	}
	st := station{at: vector.XY{X: r.X, Y: r.Y}, across: direction(r.Across), width: width, along: along}
	m := g.sheet.measure(index, st, g.sheet.search())
	r.take(m, m.Width(), m.U)
}

// search (mm) is how far a mark may lie beside its place once the sheet is laid: the mark
// wanders by its lag at most, and the fit by its scatter.
func (s *Sheet) search() float64 { return 0.3 + float64(3*s.Scatter) }

// take keeps what was measured, or why not. A mark that is missing has no width where that
// says something: on a ladder it says where the paper is.
func (r *Measured) take(m edge.Mark, mm, u float64) {
	switch {
	case m.Why == edge.None:
		r.MM, r.U, r.OK = mm, u, true
	case m.Why == edge.NoMark && r.Kind == model.Ladder:
		r.OK, r.Why = true, "no mark is there"
	default:
		r.Why = m.Why.String()
	}
}

// dotOf measures a dot along x and y; its middle is in mm on the sheet.
func (g gauge) dotOf(index int) (x, y edge.Mark, middle vector.XY) {
	k := &g.sheet.Job.Strokes[index]
	p := k.Points[len(k.Points)-1]
	middle = g.sheet.moved(p.XY, k.Program)
	width, round := p.Width, 0.0
	line := func(across vector.XY) edge.Mark {
		along := 0.4 * width
		if round > 0 {
			along = 0.5 * round
		}
		return edge.Measure(g.sheet.relative, edge.Line{At: middle, Across: across, Reach: width + 3, Search: max(g.sheet.search(), width/4), Along: along,
			Pixel: g.sheet.Pixel(), Blur: g.sheet.Blur, Core: g.sheet.cores[k.Program], Round: round})
	}
	for pass := range 3 {
		if x = line(vector.XY{X: 1}); x.Why != edge.None {
			return x, x, middle
		}
		if pass < 2 {
			middle.X += x.Middle()
		}
		if y = line(vector.XY{Y: 1}); y.Why != edge.None {
			return y, y, middle
		}
		if pass < 2 {
			middle.Y += y.Middle()
		}
		width = (x.Width() + y.Width()) / 2
		round = width
	}
	return x, y, middle
}

// dot reads the diameter of a dot along x or y.
func (g gauge) dot(r *Measured, index int) {
	x, y, _ := g.dotOf(index)
	m := x
	if r.Across == 90 {
		m = y
	}
	r.take(m, m.Width(), m.U)
}

// ring reads the diameter of a ring's middle line: of the circle through the middles of
// its mark all round.
func (g gauge) ring(r *Measured, index int) {
	k := &g.sheet.Job.Strokes[index]
	centre := vector.XY{X: r.X, Y: r.Y}
	radius := vector.Distance(k.Points[0].XY, centre)
	width := k.widest()
	const around = 48
	var at []vector.XY
	var us []float64
	last := edge.Mark{Why: edge.NoMark}
	for i := range around {
		out := direction(360 * float64(i) / around)
		m := g.sheet.measure(index, station{at: centre.Plus(out.Times(radius)), across: out, width: width, along: 0.6, bend: -1 / radius}, g.sheet.search()+float64(0.3*width))
		if m.Why != edge.None {
			last = m
			continue
		}
		at = append(at, g.sheet.moved(centre, k.Program).Plus(out.Times(radius+m.Middle())))
		us = append(us, m.MiddleU)
	}
	if len(at) < around/2 {
		r.take(last, 0, 0)
		return
	}
	fitted, scatter, n := circle(at)
	r.MM, r.OK = 2*fitted, true
	// Middles of neighbouring places err alike: one in four counts.
	r.U = 2 * math.Hypot(scatter/math.Sqrt(n/4), mean(us)/2)
}

func mean(values []float64) (sum float64) {
	for _, v := range values {
		sum += v
	}
	return sum / float64(max(1, len(values)))
}

// circle fits a circle through points, without those that lie far from it: x² + y² is linear
// in the places of its middle (I. Kåsa, IEEE Transactions on Instrumentation and Measurement
// 25, 1976; from memory).
func circle(points []vector.XY) (radius, scatter, n float64) {
	origin := points[0]
	use := slices.Clone(points)
	for range 4 {
		sums := squares.New(3)
		for _, p := range use {
			d := p.Minus(origin)
			sums.Add([]float64{d.X, d.Y, 1}, d.Dot(d), 1)
		}
		k, _, ok := sums.Solve()
		if !ok {
			return radius, scatter, float64(len(use))
		}
		middle := vector.XY{X: k[0] / 2, Y: k[1] / 2}
		radius = math.Sqrt(max(k[2]+middle.Dot(middle), 0))
		var away []float64
		squared := 0.0
		for _, p := range use {
			d := vector.Distance(p.Minus(origin), middle) - radius
			away = append(away, math.Abs(d))
			squared += float64(d * d)
		}
		n = float64(len(use))
		scatter = math.Sqrt(squared / max(1, n-3))
		slices.Sort(away)
		limit := max(3*1.4826*away[len(away)/2], 0.01)
		left := slices.DeleteFunc(slices.Clone(points), func(p vector.XY) bool {
			return math.Abs(vector.Distance(p.Minus(origin), middle)-radius) > limit
		})
		if len(left) < len(points)/2 {
			break
		}
		use = left
	}
	return radius, scatter, n
}

// corner reads how far the middle of a mark passes from where its legs would meet: the
// legs are measured where the mark has settled, and the outer edge of the mark at the
// corner, which is half a width outside its middle.
func (g gauge) corner(r *Measured, index int) {
	k := &g.sheet.Job.Strokes[index]
	if len(k.Points) != 3 {
		r.Why = "it is no corner"
		return
	}
	width := k.widest()
	var legs [2]leg
	for i := range legs {
		if legs[i] = g.leg(index, k.Points[i].XY, k.Points[i+1].XY, width, i == 0); legs[i].why != edge.None {
			r.take(edge.Mark{Why: legs[i].why}, 0, 0)
			return
		}
	}
	meet, ok := legs[0].meets(legs[1])
	if !ok {
		r.Why = edge.TooUnequal.String()
		return
	}
	half := (legs[0].width + legs[1].width) / 4
	inwards := direction(r.Across)
	// Along the line to the inside of the corner, the mark begins at its outer edge.
	m := edge.Measure(g.sheet.relative, edge.Line{At: meet.Plus(inwards.Times(half / 2)), Across: inwards, Reach: 4*width + 3, Search: half, Along: 0.2 * width,
		Pixel: g.sheet.Pixel(), Blur: g.sheet.Blur, Core: g.sheet.cores[k.Program]})
	if m.Why != edge.None {
		r.take(m, 0, 0)
		return
	}
	outer := m.From + half/2
	r.MM, r.OK = max(outer+half, 0), true
	r.U = math.Hypot(m.U, math.Hypot(legs[0].u, legs[1].u))
}

// leg is a straight part of a mark: a place on its middle line and its direction.
type leg struct {
	at, along vector.XY
	width, u  float64
	why       edge.Why
}

// leg measures one leg of a corner at four places. The first leg is measured up to the
// corner, the second only where the mark has settled behind it.
func (g gauge) leg(index int, from, to vector.XY, width float64, first bool) leg {
	along := to.Minus(from).Unit()
	length := vector.Distance(from, to)
	begin, end := length*0.3, length-width/2-1
	if !first {
		begin, end = length*0.55, length-width/2-1
	}
	program := g.sheet.Job.Strokes[index].Program
	var places []vector.XY
	out := leg{why: edge.NoMark}
	var us, widths []float64
	const n = 4
	for i := range n {
		at := from.Plus(along.Times(begin + (end-begin)*float64(i)/(n-1)))
		m := g.sheet.measure(index, station{at: at, across: along.Left(), width: width, along: 1}, g.sheet.search()+1)
		if m.Why != edge.None {
			out.why = m.Why
			continue
		}
		places = append(places, g.sheet.moved(at, program).Plus(along.Left().Times(m.Middle())))
		us, widths = append(us, m.MiddleU), append(widths, m.Width())
	}
	if len(places) < 3 {
		return out
	}
	sums := squares.New(2)
	for _, p := range places {
		d := p.Minus(places[0])
		sums.Add([]float64{1, d.Dot(along)}, d.Dot(along.Left()), 1)
	}
	fit, variances, ok := sums.Solve()
	if !ok {
		return out
	}
	out.at = places[0].Plus(along.Left().Times(fit[0]))
	out.along = along.Plus(along.Left().Times(fit[1])).Unit()
	out.width = mean(widths)
	// At the corner the line is known as well as its slope allows.
	out.u = mean(us) * math.Sqrt(variances[0]+float64(variances[1]*end*end))
	out.why = edge.None
	return out
}

// meets is where two legs would meet.
func (l leg) meets(o leg) (vector.XY, bool) {
	d := l.along.Cross(o.along)
	if math.Abs(d) < 0.1 {
		return vector.XY{}, false
	}
	t := o.at.Minus(l.at).Cross(o.along) / d
	return l.at.Plus(l.along.Times(t)), true
}

// tip reads how far a dot lies from the middle of its cross, along x or y.
func (g gauge) tip(r *Measured, index int) {
	k := &g.sheet.Job.Strokes[index]
	x, _, dot := g.dotOf(index)
	if x.Why != edge.None {
		r.take(x, 0, 0)
		return
	}
	away := 0.0
	for _, o := range g.sheet.Job.Readings {
		if o.Number == k.Reading {
			away = o.Expected
		}
	}
	centre := k.Points[0].XY.Minus(vector.XY{X: away})
	cross, u, why := g.crossAt(centre)
	if why != edge.None {
		r.take(edge.Mark{Why: why}, 0, 0)
		return
	}
	d := dot.Minus(cross)
	r.MM, r.OK, r.U = d.X, true, math.Hypot(u, x.MiddleU)
	if r.Across == 90 {
		r.MM = d.Y
	}
}

// crossAt is the middle of a cross of two strokes: each of its arms is measured on both
// sides of the middle.
func (g gauge) crossAt(centre vector.XY) (at vector.XY, u float64, why edge.Why) {
	at = centre
	for i := range g.sheet.Job.Strokes {
		k := &g.sheet.Job.Strokes[i]
		if k.Sheet != g.sheet.Number || len(k.Points) != 2 || vector.Distance(k.Points[0].XY.Toward(k.Points[1].XY, 0.5), centre) > 0.01 {
			continue
		}
		along := k.Points[1].XY.Minus(k.Points[0].XY).Unit()
		sum, n := 0.0, 0.0
		last := edge.NoMark
		for _, side := range [...]float64{-1, 1} {
			st := station{at: centre.Plus(along.Times(side * 0.6 * k.Length() / 2)), across: along.Left(), width: k.widest(), along: 1}
			m := g.sheet.measure(i, st, g.sheet.search()+0.5)
			if m.Why != edge.None {
				last = m.Why
				continue
			}
			sum, n, u = sum+m.Middle(), n+1, max(u, m.MiddleU)
		}
		if n == 0 {
			return at, 0, last
		}
		at = at.Plus(along.Left().Times(sum / n))
		d := g.sheet.Shifts[k.Program]
		// Each arm says where the cross lies across it.
		shift := vector.XY{X: d.X, Y: d.Y}
		at = at.Plus(along.Left().Times(shift.Dot(along.Left())))
	}
	return at, u, edge.None
}
