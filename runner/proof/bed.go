package proof

import (
	"errors"
	"fmt"
	"math"
)

// Bed is the height of the paper over the place where the brush was touched off.
// It is fitted to touched heights anew: with other sums than those of whoever
// wrote the program, so that a slip there shows here.
type Bed struct {
	area          Rect
	curved        bool
	cx, cy, scale float64
	terms         []float64
	zero          float64
}

// errTouches says that touched places do not make a surface.
var errTouches = errors.New("the touched places do not make a surface")

// NewBed fits a plane, or a surface of second degree if it is curved, to heights
// that were touched (X, Y and height Z of the tip, mm, in the program's
// coordinates), by least squares: the columns of the places are made orthogonal
// one by one, twice for each (the modified method of Gram and Schmidt; Å. Björck,
// BIT 7, 1967, 1-21; from memory). Heights are over the place of touching off.
// Outside the area a height is that of the nearest place in it.
func NewBed(touches []Point, touchOff Point, area Rect, curved bool) (*Bed, error) {
	b := &Bed{area: area, curved: curved, cx: (area.MinX + area.MaxX) / 2, cy: (area.MinY + area.MaxY) / 2,
		scale: max(area.MaxX-area.MinX, area.MaxY-area.MinY) / 2}
	n := 3
	if curved {
		n = 6
	}
	if len(touches) < n || !(b.scale > 0) {
		return nil, errTouches
	}
	columns, rests := make([][]float64, n), make([]float64, len(touches))
	for i := range columns {
		columns[i] = make([]float64, len(touches))
	}
	for k, t := range touches {
		v := b.values(t.X, t.Y)
		for i := range columns {
			columns[i][k] = v[i]
		}
		rests[k] = t.Z
	}
	// Column i is the sum of upper[k][i] times the k-th direction.
	upper := make([][]float64, n)
	along := make([]float64, n)
	for i := range columns {
		upper[i] = make([]float64, n)
		before := norm(columns[i])
		for range 2 {
			for k := range i {
				by := dot(columns[k], columns[i])
				upper[k][i] += by
				takeOff(columns[i], columns[k], by)
			}
		}
		length := norm(columns[i])
		if !(length > float64(1e-6*before)) {
			return nil, errTouches
		}
		upper[i][i] = length
		for k := range columns[i] {
			columns[i][k] /= length
		}
		along[i] = dot(columns[i], rests)
		takeOff(rests, columns[i], along[i])
	}
	b.terms = make([]float64, n)
	for i := n - 1; i >= 0; i-- {
		sum := along[i]
		for k := i + 1; k < n; k++ {
			sum -= float64(upper[i][k] * b.terms[k])
		}
		b.terms[i] = sum / upper[i][i]
	}
	b.zero = b.at(touchOff.X, touchOff.Y)
	return b, nil
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += float64(a[i] * b[i])
	}
	return sum
}

func norm(a []float64) float64 { return math.Sqrt(dot(a, a)) }

// takeOff takes a multiple of b off a.
func takeOff(a, b []float64, by float64) {
	for i := range a {
		a[i] -= float64(by * b[i])
	}
}

// values are the terms of the polynomial at a place.
func (b *Bed) values(x, y float64) [6]float64 {
	x, y = (x-b.cx)/b.scale, (y-b.cy)/b.scale
	return [6]float64{1, x, y, float64(x * x), float64(x * y), float64(y * y)}
}

func (b *Bed) at(x, y float64) float64 {
	v := b.values(x, y)
	return dot(b.terms, v[:len(b.terms)])
}

// Height is the height of the paper below a place of the tip.
func (b *Bed) Height(x, y float64) float64 {
	x, y = min(max(x, b.area.MinX), b.area.MaxX), min(max(y, b.area.MinY), b.area.MaxY)
	return b.at(x, y) - b.zero
}

// OnBed is the path with all heights over the paper, for a tip that is off the
// axis by tipX and tipY (mm): what was Z 0 is the first touch at each place.
// Times are still those of the path as written. Without a bed, or if
// its heights are over the paper already, it is the same path. An arc is a fault, because it does not follow a surface.
func OnBed(p *Path, b *Bed, tipX, tipY float64) *Path {
	if b == nil || p.written != nil {
		return p
	}
	out := *p
	out.written = p
	out.Moves = append([]Move(nil), p.Moves...)
	over := func(q *Point) { q.Z -= b.Height(q.X+tipX, q.Y+tipY) }
	for i := range out.Moves {
		m := &out.Moves[i]
		if m.Helix != nil {
			out.Faults = append(out.Faults[:len(out.Faults):len(out.Faults)], Fault{File: p.Name, Line: m.Line, Column: 1, Code: "arc-over-bed",
				Message: "an arc does not follow a bed that is not flat", Fix: "write straight moves"})
			m.Helix, m.Kind = nil, Feed
		}
		over(&m.From)
		over(&m.To)
	}
	return &out
}

// asWritten is the path with the heights of the program.
func asWritten(p *Path) *Path {
	if p.written != nil {
		return p.written
	}
	return p
}

const (
	// bedError (mm) is how far Z may be from the surface between the ends of a move.
	bedError = 0.01
	// bedSamples is at how many places between the ends of a move that is looked at.
	bedSamples = 8
	// bedStep (mm) is how far apart these places are at most on a lifted move.
	bedStep = 2.0
)

// over is how high above the paper the tip is.
func (b *Bed) over(q Point, lim *Limits) float64 {
	return q.Z - b.Height(q.X+lim.TipX, q.Y+lim.TipY)
}

// between calls yield with the heights of the tip over the paper between the
// ends of a straight move as written, and with what it would be there if the
// surface were straight.
func (b *Bed) between(m *Move, lim *Limits, samples int, yield func(height, straight float64)) {
	from, to := b.over(m.From, lim), b.over(m.To, lim)
	for i := range samples - 1 {
		share := float64(i+1) / float64(samples)
		yield(b.over(between(m.From, m.To, share), lim), from+float64((to-from)*share))
	}
}

// followsBed requires that Z follows the surface: between the ends of a move on
// the paper it is within bedError of it, no deeper than the safe press there,
// and travel stays at the safe height above it.
func followsBed(p *Path, lim *Limits) *verdict {
	if lim.Bed == nil || lim.Loose {
		return nil
	}
	c := &verdict{name: FollowsBed, allowed: "within " + mm(bedError) + " mm, never below the safe press, travel at " + mm(lim.lowest()) + " mm or more above the paper",
		why: "between the touched places the paper is higher or lower than where the brush was touched off"}
	f := following{verdict: c, lim: lim, lowest: math.Inf(1)}
	for i := range p.Moves {
		m := &p.Moves[i]
		if m.Kind == Dwell || m.Kind == Pause || m.Unknown != 0 || m.Visit {
			continue
		}
		low := min(lim.Bed.over(m.From, lim), lim.Bed.over(m.To, lim))
		switch {
		case low <= 0:
			f.paints(m)
		case m.Kind == Rapid && m.across():
			f.travels(m, low)
		}
	}
	c.kept = fmt.Sprintf("%s mm off", mm(f.off))
	if !math.IsInf(f.lowest, 1) {
		c.kept += fmt.Sprintf(", travel %s mm above the paper", mm(f.lowest))
	}
	return c
}

// following is how well a program follows the bed so far.
type following struct {
	*verdict
	lim    *Limits
	off    float64 // mm, the most that Z is off between the ends of a move
	lowest float64 // mm, of travel above the paper
}

// paints looks at a move on the paper.
func (f *following) paints(m *Move) {
	f.lim.Bed.between(m, f.lim, bedSamples, func(h, straight float64) {
		f.off = max(f.off, abs(h-straight))
		if abs(h-straight) > bedError {
			f.breaks(m.Line, "%s mm off", mm(h-straight))
		}
		if h < -f.lim.SafePress-coordTolerance {
			f.breaks(m.Line, "%s mm below the paper", mm(-h))
		}
	})
}

// travels looks at a rapid across whose lower end is so high above the paper.
func (f *following) travels(m *Move, low float64) {
	least := f.lim.SafeHeight
	if f.lim.mayHover(m) {
		least = f.lim.lowest()
	}
	check := func(h float64) {
		f.lowest = min(f.lowest, h)
		if h < least-coordTolerance {
			f.breaks(m.Line, "travels %s mm above the paper", mm(h))
		}
	}
	check(low)
	samples := int(min(root(m.To.X-m.From.X, m.To.Y-m.From.Y)/bedStep, MaxMoves)) + 2
	f.lim.Bed.between(m, f.lim, samples, func(h, _ float64) { check(h) })
}
