// Package bed makes a surface of heights that were touched at several places of
// the sheet as it lies on the bed: a plane, or a surface that bends evenly along
// x and y. It also knows how far the surface may be wrong.
//
// Lengths are in mm. x runs right and y up from the lower left corner of the
// sheet where it was first laid; a height grows away from the bed.
//
// The fit is by least squares in fractions, without any rounding, so it is the
// same on every processor, and no branch depends on a last digit. Heights are
// worked out in sums and products of their own.
package bed

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"math/big"
	"slices"
)

// Touch is a place where the tip touched the paper.
type Touch struct{ X, Y, Height float64 }

// Box is a part of the sheet.
type Box struct{ MinX, MinY, MaxX, MaxY float64 }

// Setup is what a surface is made of besides the touches.
type Setup struct {
	// TouchOffX, TouchOffY is where each brush is touched off. Heights are over
	// this place.
	TouchOffX, TouchOffY float64
	// Touched is the standard uncertainty of one touch, Flat that of a bed about
	// which nothing is known.
	Touched, Flat float64
	// Area is where heights are asked for. Beyond it a height is that of the
	// nearest place in it.
	Area Box
}

// Surface is the height of the paper over the place of touching off.
type Surface struct {
	setup          Setup
	touches        []Touch
	curved         bool
	cx, cy         float64   // the middle, in whole mm
	terms          []float64 // of 1 x y, and x² xy y² if it is curved, from the middle
	cofactors      [][]float64
	zero           float64 // of the polynomial at the place of touching off
	scatter, rough float64 // see uncertainties
	hull           []Touch // around the touches, counter-clockwise
}

// Curve asks for leastCurved places, at least leastRows along x and along y.
const (
	leastCurved = 9
	leastRows   = 3
	leastPlane  = 3
)

// rowWidth is how far places of one row may be apart, as a share of the way
// from the first to the last row: a hand does not find a place exactly.
const rowWidth = 0.1

// ErrFew says that the touched places do not make a plane: fewer than three, or
// all in a line.
var ErrFew = errors.New("the places do not make a plane")

// inLine is how thin (mm) a triangle of places may be that still makes a plane.
const inLine = 1.0

// Fit makes the surface of touches: a surface that bends along x and along y if
// there are nine places or more in at least three rows each way, else a plane.
// A place that was touched several times counts each time, and once as a place.
//
//	h = c0 + c1·x + c2·y (+ c3·x² + c4·x·y + c5·y²)
//
// The second has six terms and not the nine of a product of two parabolas: so
// nine touches leave three to tell how good the fit is, and the error of one
// touch is not followed. It returns ErrFew if the places do not make a plane.
func Fit(touches []Touch, setup Setup) (*Surface, error) {
	s := &Surface{setup: setup, touches: slices.Clone(touches)}
	places := distinct(touches)
	s.hull = hull(places)
	if len(places) < leastPlane || width(s.hull) < inLine {
		return nil, ErrFew
	}
	s.curved = len(places) >= leastCurved && rows(places, func(t Touch) float64 { return t.X }) >= leastRows &&
		rows(places, func(t Touch) float64 { return t.Y }) >= leastRows
	for _, t := range touches {
		s.cx, s.cy = s.cx+t.X, s.cy+t.Y
	}
	s.cx, s.cy = math.Round(s.cx/float64(len(touches))), math.Round(s.cy/float64(len(touches)))
	if !solve(s) {
		if s.curved { // such as nine places on a circle
			s.curved = false
			if solve(s) {
				finish(s)
				return s, nil
			}
		}
		return nil, ErrFew
	}
	finish(s)
	return s, nil
}

func finish(s *Surface) {
	s.zero = s.polynomial(s.setup.TouchOffX, s.setup.TouchOffY)
	uncertainties(s)
}

// distinct are the touched places, each once.
func distinct(touches []Touch) []Touch {
	out := slices.Clone(touches)
	slices.SortFunc(out, func(a, b Touch) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	return slices.CompactFunc(out, func(a, b Touch) bool { return a.X == b.X && a.Y == b.Y })
}

// rows counts the rows of places along a coordinate.
func rows(places []Touch, at func(Touch) float64) int {
	var values []float64
	for _, p := range places {
		values = append(values, at(p))
	}
	slices.Sort(values)
	apart := float64(rowWidth * (values[len(values)-1] - values[0]))
	n, last := 1, values[0]
	for _, v := range values {
		if v-last > apart {
			n, last = n+1, v
		}
	}
	return n
}

// fraction is a length as an exact fraction, to the ten-thousandth of a mm.
func fraction(v float64) *big.Rat { return big.NewRat(int64(math.Round(v*1e4)), 1e4) }

// basis are the terms at a place, from the middle.
func basis(s *Surface, x, y *big.Rat) []*big.Rat {
	mul := func(a, b *big.Rat) *big.Rat { return new(big.Rat).Mul(a, b) }
	out := []*big.Rat{big.NewRat(1, 1), x, y}
	if s.curved {
		out = append(out, mul(x, x), mul(x, y), mul(y, y))
	}
	return out
}

// solve solves the normal equations and inverts their matrix, in fractions. It
// returns false if they have no one solution.
func solve(s *Surface) bool {
	n := 3
	if s.curved {
		n = 6
	}
	// Rows of the matrix, each with its right side and with a row of the identity.
	m := make([][]*big.Rat, n)
	for i := range m {
		m[i] = make([]*big.Rat, 2*n+1)
		for k := range m[i] {
			m[i][k] = new(big.Rat)
		}
		m[i][n+1+i].SetInt64(1)
	}
	term := new(big.Rat)
	for _, t := range s.touches {
		b := basis(s, fraction(t.X-s.cx), fraction(t.Y-s.cy))
		h := fraction(t.Height)
		for i := range n {
			for k := range n {
				m[i][k].Add(m[i][k], term.Mul(b[i], b[k]))
			}
			m[i][n].Add(m[i][n], term.Mul(b[i], h))
		}
	}
	if !eliminate(m) {
		return false
	}
	s.terms, s.cofactors = make([]float64, n), make([][]float64, n)
	for i := range n {
		s.terms[i], _ = m[i][n].Float64()
		s.cofactors[i] = make([]float64, n)
		for k := range n {
			s.cofactors[i][k], _ = m[i][n+1+k].Float64()
		}
	}
	return true
}

// eliminate turns the left part of a matrix into the identity by Gauss and
// Jordan's elimination; false if that cannot be done.
func eliminate(m [][]*big.Rat) bool {
	term := new(big.Rat)
	for i := range m {
		pivot := i
		for pivot < len(m) && m[pivot][i].Sign() == 0 {
			pivot++
		}
		if pivot == len(m) {
			return false
		}
		m[i], m[pivot] = m[pivot], m[i]
		by := new(big.Rat).Inv(m[i][i])
		for k := range m[i] {
			m[i][k].Mul(m[i][k], by)
		}
		for r := range m {
			if r == i || m[r][i].Sign() == 0 {
				continue
			}
			by.Set(m[r][i])
			for k := range m[r] {
				m[r][k].Sub(m[r][k], term.Mul(by, m[i][k]))
			}
		}
	}
	return true
}

// values are the terms at a place on the sheet.
func values(s *Surface, x, y float64) [6]float64 {
	x, y = x-s.cx, y-s.cy
	return [6]float64{1, x, y, float64(x * x), float64(x * y), float64(y * y)}
}

// polynomial is the fitted polynomial at a place, not moved to the place of
// touching off.
func (s *Surface) polynomial(x, y float64) float64 {
	v, sum := values(s, x, y), 0.0
	for i, c := range s.terms {
		sum += float64(c * v[i])
	}
	return sum
}

// within is the nearest place in the area.
func (b Box) within(x, y float64) (float64, float64) {
	return min(max(x, b.MinX), b.MaxX), min(max(y, b.MinY), b.MaxY)
}

// Height is the height of the paper at a place over that at the place of
// touching off.
func (s *Surface) Height(x, y float64) float64 {
	x, y = s.setup.Area.within(x, y)
	return s.polynomial(x, y) - s.zero
}

// Curved reports whether it bends; else it is a plane.
func (s *Surface) Curved() bool { return s.curved }

// String is its terms and what it is made of, for messages.
func (s *Surface) String() string {
	return fmt.Sprintf("%v from (%v, %v) of %v at %+v", s.terms, s.cx, s.cy, s.touches, s.setup)
}

// Touches are the touches of which it was made.
func (s *Surface) Touches() []Touch { return slices.Clone(s.touches) }

// TouchOff is the place of touching off.
func (s *Surface) TouchOff() (x, y float64) { return s.setup.TouchOffX, s.setup.TouchOffY }

// Sag is how far the surface is from a straight line between the ends of a way
// that goes dx and dy, in its middle.
func (s *Surface) Sag(dx, dy float64) float64 {
	if !s.curved {
		return 0
	}
	bend := float64(s.terms[3]*float64(dx*dx)) + float64(s.terms[4]*float64(dx*dy)) + float64(s.terms[5]*float64(dy*dy))
	return math.Abs(bend) / 4
}

// slopeAt is how steeply the polynomial rises along x and along y.
func slopeAt(s *Surface, x, y float64) (along, across float64) {
	along, across = s.terms[1], s.terms[2]
	if s.curved {
		x, y = x-s.cx, y-s.cy
		along += float64(2*float64(s.terms[3]*x)) + float64(s.terms[4]*y)
		across += float64(s.terms[4]*x) + float64(2*float64(s.terms[5]*y))
	}
	return along, across
}

// Steepest is the steepest slope in the area, and where it is: at a corner,
// because the slope changes evenly.
func (s *Surface) Steepest() (slope, x, y float64) {
	for _, c := range s.setup.Area.corners() {
		along, across := slopeAt(s, c[0], c[1])
		if steep := math.Sqrt(float64(along*along) + float64(across*across)); steep > slope || slope == 0 {
			slope, x, y = steep, c[0], c[1]
		}
	}
	return slope, x, y
}

func (b Box) corners() [4][2]float64 {
	return [4][2]float64{{b.MinX, b.MinY}, {b.MaxX, b.MinY}, {b.MaxX, b.MaxY}, {b.MinX, b.MaxY}}
}

// Range is the lowest and the highest height in the area: at a corner, on an
// edge where the slope along it is 0, or inside where both are.
func (s *Surface) Range() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	at := func(x, y float64) {
		h := s.Height(x, y)
		low, high = min(low, h), max(high, h)
	}
	b := s.setup.Area
	for _, c := range b.corners() {
		at(c[0], c[1])
	}
	if !s.curved {
		return low, high
	}
	// Height bounds places to the area, so none of these can be outside it.
	xx, xy, yy := s.terms[3], s.terms[4], s.terms[5]
	for _, y := range [...]float64{b.MinY, b.MaxY} {
		if xx != 0 {
			at(s.cx-(s.terms[1]+float64(xy*(y-s.cy)))/(2*xx), y)
		}
	}
	for _, x := range [...]float64{b.MinX, b.MaxX} {
		if yy != 0 {
			at(x, s.cy-(s.terms[2]+float64(xy*(x-s.cx)))/(2*yy))
		}
	}
	if d := float64(4*float64(xx*yy)) - float64(xy*xy); d != 0 {
		at(s.cx+(float64(xy*s.terms[2])-float64(2*float64(yy*s.terms[1])))/d, s.cy+(float64(xy*s.terms[1])-float64(2*float64(xx*s.terms[2])))/d)
	}
	return low, high
}
