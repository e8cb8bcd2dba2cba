package formula

import (
	"errors"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
)

// mm converts a length to mm.
func mm(q quantity.Quantity) quantity.Quantity { return q.To(quantity.MM) }

func evalWidthAt(e *evaluator, n *node, in []Value) (Value, bool) {
	b, press := in[0].brush, mm(in[1].quantity)
	width, err := b.Curve.WidthAt(press.Number())
	if err != nil {
		return e.outside(n, b, err)
	}
	slope, err := b.Curve.Slope(press.Number())
	if err != nil {
		return e.outside(n, b, err)
	}
	terms := []quantity.Term{{Of: press, Slope: slope}}
	return derived(width, quantity.MM, append(terms, b.marksAt(press.Number(), 1)...)...)
}

func evalPressFor(e *evaluator, n *node, in []Value) (Value, bool) {
	b, width := in[0].brush, mm(in[1].quantity)
	press, err := b.Curve.PressFor(width.Number())
	if err != nil {
		return e.outside(n, b, err)
	}
	slope, err := b.Curve.Slope(press)
	if err != nil {
		return e.outside(n, b, err)
	}
	marks := b.marksAt(press, 1)
	if slope == 0 {
		for _, t := range append(marks, quantity.Term{Of: width}) {
			if t.Of.Uncertain() {
				return e.noSlope(n, "press_for where the mark does not widen with the press")
			}
		}
		return derived(press, quantity.MM)
	}
	// The press moves against the curve: dp = (dw - dcurve) / slope.
	terms := []quantity.Term{{Of: width, Slope: 1 / slope}}
	return derived(press, quantity.MM, append(terms, b.marksAt(press, -1/slope)...)...)
}

// marksAt returns the measured widths on both sides of a press with their shares
// in the width there, times a factor. The shares are those of a straight line
// between the two marks, which is close enough for an uncertainty.
func (b *Brush) marksAt(press, factor float64) []quantity.Term {
	marks := b.Curve.Marks()
	i := 0
	for i < len(marks)-2 && marks[i+1].Press <= press {
		i++
	}
	if len(marks) < 2 {
		return nil
	}
	share := (press - marks[i].Press) / (marks[i+1].Press - marks[i].Press)
	return []quantity.Term{
		{Of: b.width(marks, i), Slope: float64((1 - share) * factor)},
		{Of: b.width(marks, i+1), Slope: float64(share * factor)},
	}
}

// width is the measured width of a mark in mm.
func (b *Brush) width(marks []brush.Mark, i int) quantity.Quantity {
	if len(b.Widths) == len(marks) {
		return mm(b.Widths[i])
	}
	return quantity.Measured(marks[i].Width, quantity.MM, marks[i].UWidth, quantity.Reading{File: "brush: " + b.Name, Offset: i})
}

// outside is the message and the fix for a press or width outside a brush's
// measurements.
func outside(b *Brush, err error) (message string, fix problem.Fix) {
	fix = problem.Advise("stay within the measurements, or measure further")
	switch {
	case errors.Is(err, brush.ErrTooDeep):
		fix = problem.Advise("press less; the safe press is the limit")
	case errors.Is(err, brush.ErrTooWide):
		fix = problem.Advise("ask for a narrower mark, or use a wider brush")
	case errors.Is(err, brush.ErrTooNarrow):
		fix = problem.Advise("ask for a wider mark, or use a finer brush")
	}
	return b.Name + ": " + err.Error(), fix
}

func (e *evaluator) outside(n *node, b *Brush, err error) (Value, bool) {
	message, fix := outside(b, err)
	return e.fail(n.args[1], problem.OutsideTheBrush, fix, "%s", message)
}
