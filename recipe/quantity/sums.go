package quantity

import (
	"errors"
	"math"
)

// ErrUnit is returned if a result has no unit that can be written: an exponent
// is beyond maxExponent, or the root is that of a unit that is not a square.
var ErrUnit = errors.New("the result has no unit that can be written")

// A sum within this share of its terms is a rounding error and counts as 0, as in
// 0.1 + 0.2 - 0.3.
const rounding = 0x1p-51

// Add is the sum, in the unit of q. It returns a DimensionError if the dimensions
// differ.
func Add(q, r Quantity) (Quantity, error) { return sum(q, r, 1, "add") }

// Subtract is the difference, in the unit of q. It returns a DimensionError if
// the dimensions differ.
func Subtract(q, r Quantity) (Quantity, error) { return sum(q, r, -1, "subtract") }

func sum(q, r Quantity, sign float64, doing string) (Quantity, error) {
	if q.unit.dim != r.unit.dim {
		return Quantity{}, &DimensionError{doing, q.unit.dim, r.unit.dim}
	}
	b, slope := r.number, 1.0
	if q.unit != r.unit {
		ratio := r.unit.ratioTo(q.unit)
		b, slope = ratio.apply(b), ratio.apply(1)
	}
	b = float64(b * sign)
	total := q.number + b
	if math.Abs(total) <= rounding*math.Max(math.Abs(q.number), math.Abs(b)) {
		total = 0
	}
	return Derive(total, q.unit, Term{q, 1}, Term{r, sign * slope}), nil
}

// Compare orders two quantities by their values; ± is ignored, and values that
// differ only by rounding are equal. It returns a DimensionError if the dimensions
// differ.
func Compare(q, r Quantity) (int, error) {
	d, err := sum(q.Exact(), r.Exact(), -1, "compare")
	switch {
	case err != nil:
		return 0, err
	case d.number < 0:
		return -1, nil
	case d.number > 0:
		return 1, nil
	}
	return 0, nil
}

// Negate is -q.
func Negate(q Quantity) Quantity { return Derive(0-q.number, q.unit, Term{q, -1}) }

// plain converts per cent to a plain number.
func plain(q Quantity) Quantity {
	if q.unit.percent {
		return q.To(One)
	}
	return q
}

// ArcDim is a dimension without its angle, where it has a length as well: a radius
// times an angle is an arc, and the radian is 1 (BIPM SI Brochure, 9th ed., 2019,
// table 4). Any other dimension stays as it is.
func ArcDim(d Dim) Dim {
	if d.Length > 0 && d.Angle > 0 {
		d.Angle = 0
	}
	return d
}

// Arc is a quantity with its angle counted in radians and dropped, where
// ArcDim drops it. It is for the result of a whole product: until then the
// angle stays, so that an angle times a length over a length is an angle.
func Arc(q Quantity) Quantity {
	dim := ArcDim(q.unit.dim)
	if dim == q.unit.dim {
		return q
	}
	q = radians(q)
	unit := Unit{dim: dim, choice: q.unit.choice}
	return Derive(q.number, unit, Term{q, 1})
}

// QuotientDim is the dimension of a quotient, as Divide forms it.
func QuotientDim(a, b Dim) (Dim, bool) {
	inverse, ok := b.Power(-1)
	if !ok {
		return Dim{}, false
	}
	return a.Times(inverse)
}

// Multiply is the product, in the base units of q and, on axes that q does not
// have, those of r. It returns ErrUnit if the result has no unit.
func Multiply(q, r Quantity) (Quantity, error) {
	q, r = plain(q), plain(r)
	dim, ok := q.unit.dim.Times(r.unit.dim)
	if !ok {
		return Quantity{}, ErrUnit
	}
	unit := q.unit.withBases(dim, r.unit)
	b := q.unit.sharingBases(r)
	return Derive(float64(q.number*b.number), unit, Term{q, b.number}, Term{b, q.number}), nil
}

// ErrZero is returned for a division by zero.
var ErrZero = errors.New("division by zero")

// Divide is the quotient, in the base units of q and, on axes that q does not
// have, those of r. It returns ErrUnit if the result has no unit, and ErrZero if r
// is 0.
func Divide(q, r Quantity) (Quantity, error) {
	q, r = plain(q), plain(r)
	dim, ok := QuotientDim(q.unit.dim, r.unit.dim)
	if !ok {
		return Quantity{}, ErrUnit
	}
	unit := q.unit.withBases(dim, r.unit)
	b := q.unit.sharingBases(r)
	if b.number == 0 {
		return Quantity{}, ErrZero
	}
	number := q.number / b.number
	return Derive(number, unit, Term{q, 1 / b.number}, Term{b, -number / b.number}), nil
}

// sharingBases rewrites r in the bases of u on the axes that both have.
func (u Unit) sharingBases(r Quantity) Quantity {
	to := r.unit
	for i, e := range u.dim.exponents() {
		if e != 0 {
			to.choice[i] = u.choice[i]
		}
	}
	return r.To(to.tidy())
}

// radians converts the angle in q, if any, to radians.
func radians(q Quantity) Quantity {
	to := q.unit
	to.choice[angleAxis] = 0
	return q.To(to)
}
