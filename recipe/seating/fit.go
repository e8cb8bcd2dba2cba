// Package seating finds where a sheet lies on the bed from readings of its
// marks, by least squares, with the doubt of every place.
//
// Lengths are in mm, angles in radians. Only + - * / and square roots decide a
// result, and products are rounded before they are added, so every processor
// gives the same bits.
//
// Sources: S. Umeyama, Least-squares estimation of transformation parameters
// between two point patterns, IEEE PAMI 13 (1991) 376-380, for turn and even
// growth; the closed form with two growths and the covariance, the inverse of the
// normal matrix, are our own derivation.
package seating

import (
	"math"

	"mahlstick/recipe/arith"
)

// Growth is how a sheet may have grown since it was laid.
type Growth int8

// The growths.
const (
	None  Growth = iota // not at all
	Even                // alike in all directions
	Grain               // along and across the grain, each for itself
)

func (g Growth) String() string { return [...]string{"none", "even", "grain"}[g] }

// Needs is how many marks a growth needs.
func (g Growth) Needs() int { return [...]int{1, 2, 3}[g] }

// Reading is one reading of a mark.
type Reading struct {
	Mark string
	// X, Y is where the mark is when the sheet is at its stops, FoundX, FoundY
	// where it was found, both in the machine's axes.
	X, Y           float64
	FoundX, FoundY float64
	U              float64 // standard uncertainty of each coordinate
}

// Map maps the place that a point of the sheet has when the sheet is at its
// stops to the place where it is: x' = XX·x + XY·y + X, y' = YX·x + YY·y + Y.
type Map struct{ XX, XY, YX, YY, X, Y float64 }

// At maps a point.
func (m *Map) At(x, y float64) (float64, float64) {
	return float64(m.XX*x) + float64(m.XY*y) + m.X, float64(m.YX*x) + float64(m.YY*y) + m.Y
}

// Back is the inverse of At.
func (m *Map) Back(x, y float64) (float64, float64) {
	x, y = x-m.X, y-m.Y
	det := float64(m.XX*m.YY) - float64(m.XY*m.YX)
	return (float64(m.YY*x) - float64(m.XY*y)) / det, (float64(m.XX*y) - float64(m.YX*x)) / det
}

// Fit is where a sheet lies.
type Fit struct {
	Map
	Growth Growth
	Turn   float64 // counter-clockwise
	// GrowthX, GrowthY are the factors by which the sheet has grown along the
	// axes that it has at its stops.
	GrowthX, GrowthY float64
	CentreX, CentreY float64 // the mean of the marks at the stops
	Errors           []MarkError
	// Free is how many readings there are in excess: two a reading, less the
	// numbers that are fitted.
	Free int
	// Scatter is how many times as far the readings lie apart as their
	// uncertainties allow; the doubt is raised by it where it is above 1.
	Scatter float64
	// TurnAssumed reports that a single mark tells nothing of the turn, so that
	// AssumedTurn is its doubt.
	TurnAssumed bool

	sin, cos float64
	// covariance of the shift of the centre, the turn, and the growths that are
	// fitted; without Scatter.
	covariance [][]float64
}

// MarkError is how far a mark was found, in the mean of its readings, from where
// the fit puts it.
type MarkError struct {
	Mark     string
	DX, DY   float64
	Readings int
}

// Size is the length of the error.
func (e MarkError) Size() float64 { return arith.Hypot(e.DX, e.DY) }

// AssumedTurn is the standard uncertainty of the turn of a sheet of which a
// single mark was read: 0.1°, common practice for a sheet pushed against stops,
// no source.
const AssumedTurn = 0.1 * math.Pi / 180

// New fits the readings. They must hold as many marks as the growth needs, apart
// from each other and, for Grain, not in a line: see Judge.
func New(readings []Reading, growth Growth) *Fit {
	f := &Fit{Growth: growth, GrowthX: 1, GrowthY: 1, cos: 1}
	s := sumsOf(readings)
	f.CentreX, f.CentreY = s.x, s.y
	single := len(marksOf(readings)) == 1
	switch {
	case single:
		f.TurnAssumed = true
	case growth == Grain:
		f.fitGrain(s)
	default:
		f.fitEven(s, growth == Even)
	}
	f.Turn = arith.Atan2(f.sin, f.cos)
	f.Map = Map{XX: rounded(f.cos*f.GrowthX, 12), XY: rounded(-f.sin*f.GrowthY, 12), YX: rounded(f.sin*f.GrowthX, 12), YY: rounded(f.cos*f.GrowthY, 12)}
	x, y := f.At(s.x, s.y)
	f.X, f.Y = rounded(s.u-x, 7), rounded(s.v-y, 7)
	f.doubt(readings, single)
	f.compare(readings)
	return f
}

// rounded rounds to decimals, so that no branch hangs on a last bit.
func rounded(v float64, decimals int) float64 {
	scale := 1.0
	for range decimals {
		scale *= 10
	}
	return math.Round(v*scale) / scale
}

// sums are the weighted means of the readings, and the sums of products about
// them.
type sums struct {
	x, y, u, v             float64
	xx, yy, xu, xv, yu, yv float64
}

func sumsOf(readings []Reading) sums {
	var s sums
	total := 0.0
	for _, r := range readings {
		w := weight(r)
		total += w
		s.x += float64(w * r.X)
		s.y += float64(w * r.Y)
		s.u += float64(w * r.FoundX)
		s.v += float64(w * r.FoundY)
	}
	s.x, s.y, s.u, s.v = s.x/total, s.y/total, s.u/total, s.v/total
	for _, r := range readings {
		w := weight(r)
		x, y, u, v := r.X-s.x, r.Y-s.y, r.FoundX-s.u, r.FoundY-s.v
		s.xx += float64(w * float64(x*x))
		s.yy += float64(w * float64(y*y))
		s.xu += float64(w * float64(x*u))
		s.xv += float64(w * float64(x*v))
		s.yu += float64(w * float64(y*u))
		s.yv += float64(w * float64(y*v))
	}
	return s
}

func weight(r Reading) float64 { return 1 / float64(r.U*r.U) }

// fitEven finds the turn and, if asked, one growth. It never mirrors.
func (f *Fit) fitEven(s sums, grows bool) {
	a, b := s.xu+s.yv, s.xv-s.yu
	h := arith.Hypot(a, b)
	if h == 0 {
		return
	}
	f.cos, f.sin = a/h, b/h
	if grows {
		f.GrowthX = h / (s.xx + s.yy)
		f.GrowthY = f.GrowthX
	}
}

// fitGrain finds the turn and two growths. For a turn t, the best growths are
// (cos t·xu + sin t·xv)/xx and (cos t·yv - sin t·yu)/yy, and the sum of squares
// falls by A cos² t + 2B sin t cos t + C sin² t with the A, B and C below; it falls
// most along the larger axis of that form. Of its two ends the one that does not
// turn the sheet over counts.
func (f *Fit) fitGrain(s sums) {
	a := float64(s.xu*s.xu)/s.xx + float64(s.yv*s.yv)/s.yy
	b := float64(s.xu*s.xv)/s.xx - float64(s.yv*s.yu)/s.yy
	c := float64(s.xv*s.xv)/s.xx + float64(s.yu*s.yu)/s.yy
	h := arith.Hypot(a-c, 2*b)
	if h == 0 {
		return
	}
	f.cos, f.sin = math.Sqrt(max(0, (1+(a-c)/h)/2)), math.Sqrt(max(0, (1-(a-c)/h)/2))
	if b < 0 {
		f.sin = -f.sin
	}
	grown := func() (float64, float64) {
		return (float64(f.cos*s.xu) + float64(f.sin*s.xv)) / s.xx, (float64(f.cos*s.yv) - float64(f.sin*s.yu)) / s.yy
	}
	if gx, gy := grown(); rounded(gx, 9) < 0 || rounded(gx, 9) == 0 && gy < 0 {
		f.cos, f.sin = -f.cos, -f.sin
	}
	f.GrowthX, f.GrowthY = grown()
}

// compare finds what is left over at each mark, and how far the readings lie
// apart for their uncertainties.
func (f *Fit) compare(readings []Reading) {
	chi2 := 0.0
	index := map[string]int{}
	for _, r := range readings {
		x, y := f.At(r.X, r.Y)
		dx, dy := r.FoundX-x, r.FoundY-y
		chi2 += float64(weight(r) * (float64(dx*dx) + float64(dy*dy)))
		i, known := index[r.Mark]
		if !known {
			i = len(f.Errors)
			index[r.Mark] = i
			f.Errors = append(f.Errors, MarkError{Mark: r.Mark})
		}
		e := &f.Errors[i]
		e.DX, e.DY, e.Readings = e.DX+dx, e.DY+dy, e.Readings+1
	}
	for i := range f.Errors {
		e := &f.Errors[i]
		n := float64(e.Readings)
		e.DX, e.DY = rounded(e.DX/n, 7), rounded(e.DY/n, 7)
	}
	f.Free = max(0, 2*len(readings)-len(f.covariance))
	f.Scatter = 1
	if f.TurnAssumed {
		f.Free = 2*len(readings) - 2
	}
	if f.Free > 0 {
		f.Scatter = max(1, math.Sqrt(chi2/float64(f.Free)))
	}
}

// Worst is the mark with the largest error.
func (f *Fit) Worst() MarkError {
	worst := f.Errors[0]
	for _, e := range f.Errors[1:] {
		if e.Size() > worst.Size() {
			worst = e
		}
	}
	return worst
}

// marksOf are the marks of readings, each once, in their order.
func marksOf(readings []Reading) []Reading {
	var out []Reading
	seen := map[string]bool{}
	for _, r := range readings {
		if !seen[r.Mark] {
			seen[r.Mark] = true
			out = append(out, r)
		}
	}
	return out
}
