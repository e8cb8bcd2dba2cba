package quantity

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Reading names a measurement by the place where it was written down. Two
// quantities that share a reading are correlated through it.
type Reading struct {
	File   string
	Offset int // bytes into the file
}

// Compare orders readings by file and place.
func (r Reading) Compare(s Reading) int {
	return cmp.Or(cmp.Compare(r.File, s.File), cmp.Compare(r.Offset, s.Offset))
}

// Part is what one reading contributes: the standard uncertainty of the
// reading times the derivative of the quantity by it, with its sign, in the
// quantity's own unit (JCGM 100:2008, 5.1.3 and E.3).
type Part struct {
	Reading Reading
	Amount  float64
}

// Quantity is a number with its unit and its uncertainty. The zero Quantity is
// the plain number 0. A Quantity never changes; all methods return new ones.
type Quantity struct {
	number float64
	unit   Unit
	parts  []Part // sorted by reading, without zeros
	typed  string // number and ± as written, tidied; "" if derived
}

// New is an exact quantity.
func New(number float64, unit Unit) Quantity { return Quantity{number: number, unit: unit} }

// Measured is a measured quantity with its standard uncertainty u in the same
// unit.
func Measured(number float64, unit Unit, u float64, from Reading) Quantity {
	return Correlated(number, unit, []Part{{from, u}})
}

// Correlated is a quantity to which several readings contribute, each with its
// sign. Two quantities are correlated as far as they share readings.
func Correlated(number float64, unit Unit, parts []Part) Quantity {
	q := Quantity{number: number, unit: unit}
	for _, p := range parts {
		q.parts = merge(q.parts, 1, []Part{p}, 1)
	}
	return q
}

// Number is the number in the quantity's own unit.
func (q Quantity) Number() float64 { return q.number }

// Unit is the unit in which the quantity is written and printed.
func (q Quantity) Unit() Unit { return q.unit }

// Dim is the dimension.
func (q Quantity) Dim() Dim { return q.unit.dim }

// In is the number in another unit of the same dimension, NaN if the dimensions
// differ. In the quantity's own unit it is the number as written.
func (q Quantity) In(unit Unit) float64 { return q.unit.Convert(q.number, unit) }

// U is the combined standard uncertainty in a unit (JCGM 100:2008, eq. 10 and
// 13), NaN if the dimensions differ. It is never negative.
func (q Quantity) U(unit Unit) float64 {
	sum := 0.0
	for _, p := range q.parts {
		sum += float64(p.Amount * p.Amount)
	}
	return math.Abs(q.unit.Convert(math.Sqrt(sum), unit))
}

// Uncertain reports whether the quantity has an uncertainty.
func (q Quantity) Uncertain() bool { return len(q.parts) > 0 }

// Parts lists what each reading contributes, in the quantity's own unit,
// sorted by reading.
func (q Quantity) Parts() []Part { return slices.Clone(q.parts) }

// Exact is the quantity without its uncertainty.
func (q Quantity) Exact() Quantity { return Quantity{number: q.number, unit: q.unit} }

// To is the quantity in another unit of the same dimension. If the dimensions
// differ, the number is NaN.
func (q Quantity) To(unit Unit) Quantity {
	if unit == q.unit {
		return q
	}
	return Derive(q.In(unit), unit, Term{q, q.unit.Convert(1, unit)})
}

// Equal reports whether number, unit and contributions are the same.
func (q Quantity) Equal(r Quantity) bool {
	return q.number == r.number && q.unit == r.unit && slices.Equal(q.parts, r.parts)
}

// Term is a quantity and the derivative of something by its number.
type Term struct {
	Of    Quantity
	Slope float64
}

// Derive is a quantity computed from others: its contributions are those of
// the terms times their slopes (JCGM 100:2008, 5.1.3).
func Derive(number float64, unit Unit, terms ...Term) Quantity {
	q := Quantity{number: number, unit: unit}
	for i, t := range terms {
		if i == 0 {
			q.parts = merge(t.Of.parts, t.Slope, nil, 0)
		} else {
			q.parts = merge(q.parts, 1, t.Of.parts, t.Slope)
		}
	}
	return q
}

// If two contributions cancel up to this share of their sizes, what is left is a
// rounding error and not an uncertainty.
const negligible = 0x1p-48

// merge adds two sorted lists of contributions, each times a factor.
func merge(a []Part, fa float64, b []Part, fb float64) []Part {
	if fa == 0 {
		a = nil
	}
	if fb == 0 {
		b = nil
	}
	if len(b) == 0 && fa == 1 || len(a)+len(b) == 0 {
		return a
	}
	out := make([]Part, 0, len(a)+len(b))
	for len(a) > 0 || len(b) > 0 {
		order := -1
		if len(a) == 0 {
			order = 1
		} else if len(b) > 0 {
			order = a[0].Reading.Compare(b[0].Reading)
		}
		switch {
		case order < 0:
			out = appendPart(out, a[0].Reading, float64(a[0].Amount*fa))
			a = a[1:]
		case order > 0:
			out = appendPart(out, b[0].Reading, float64(b[0].Amount*fb))
			b = b[1:]
		default:
			x, y := float64(a[0].Amount*fa), float64(b[0].Amount*fb)
			sum := x + y
			if math.Abs(sum) <= negligible*(math.Abs(x)+math.Abs(y)) {
				sum = 0
			}
			out = appendPart(out, a[0].Reading, sum)
			a, b = a[1:], b[1:]
		}
	}
	return out
}

func appendPart(parts []Part, r Reading, amount float64) []Part {
	if amount == 0 {
		return parts
	}
	return append(parts, Part{r, amount})
}

// DimensionError is returned for two quantities whose dimensions do not match.
type DimensionError struct {
	Doing       string // "add", "compare"
	Left, Right Dim
}

func (e *DimensionError) Error() string {
	return fmt.Sprintf("cannot %s %s and %s", e.Doing, e.Left.WithArticle(), e.Right.WithArticle())
}

// Weight is the number of readings that contribute. Computing with the quantity
// takes work in proportion.
func (q Quantity) Weight() int { return len(q.parts) }
