// Package brush turns measured marks into a curve of press and width.
//
// A swatch is a series of marks on the paper and with the ink of the job: how far
// the brush was pressed, and how wide its mark is. Fit puts a curve through them
// that never falls and never leaves the measurements; Taper is the straight curve
// of a brush of which only the widest mark is known.
package brush

import (
	"errors"
	"fmt"
)

// Mark is one measured mark of a swatch: its press (mm below the first touch), its
// width (mm), and the width's standard uncertainty (mm).
type Mark struct{ Press, Width, UWidth float64 }

// Curve converts between the press (mm) and the width (mm) of a mark. The zero
// Curve has no marks and returns an error for every question.
//
//  1. WidthAt(PressFor(w)) is w to within 0.0005 mm.
//  2. A wider mark never needs less press, a deeper press never paints a
//     narrower mark.
//  3. No answer lies outside what was measured: 0 to SafePress, and Range.
//  4. The same marks and question give the same bits on every processor.
type Curve struct {
	marks  []Mark    // after the fit, from the touch mark to the widest; press strictly rising, width never falling
	slope  []float64 // d width / d press at each mark
	pooled []int     // see Pooled
	doubt  Doubt
}

// The reasons for a RangeError.
var (
	ErrTooWide   = errors.New("wider than the widest mark")
	ErrTooNarrow = errors.New("narrower than the mark of the lightest touch")
	ErrTooDeep   = errors.New("deeper than the safe press")
	ErrLifted    = errors.New("above the paper")
)

// RangeError reports that a width or a press lies outside the measurements, all
// in mm.
type RangeError struct {
	Err             error // one of the reasons above
	Value, Min, Max float64
}

func (e *RangeError) Error() string {
	return fmt.Sprintf("%.4g mm is %v; the brush was measured from %.4g mm to %.4g mm", e.Value, e.Err, e.Min, e.Max)
}

// Unwrap returns the reason.
func (e *RangeError) Unwrap() error { return e.Err }

// Range is the narrowest and the widest mark, in mm.
func (c *Curve) Range() (narrowest, widest float64) {
	if len(c.marks) == 0 {
		return 0, 0
	}
	return c.marks[0].Width, c.marks[len(c.marks)-1].Width
}

// SafePress is the deepest press, in mm, from which the brush recovers.
func (c *Curve) SafePress() float64 {
	if len(c.marks) == 0 {
		return 0
	}
	return c.marks[len(c.marks)-1].Press
}

// Marks are the marks that the curve goes through, from the touch mark at
// press 0 to the widest mark at the safe press. Where readings fell by no more
// than their uncertainty, their widths are the pooled ones.
func (c *Curve) Marks() []Mark { return append([]Mark(nil), c.marks...) }

// Pooled are the indices, in the list given to Fit, of the marks whose widths
// were moved because they fell or left the range by no more than their
// uncertainty.
func (c *Curve) Pooled() []int { return append([]int(nil), c.pooled...) }

// WidthAt is the width (mm) of the mark at a press (mm below the first
// touch). Outside 0 to SafePress it returns a RangeError for ErrLifted or
// ErrTooDeep; it never clamps.
func (c *Curve) WidthAt(press float64) (float64, error) {
	i, err := c.segment(press)
	if err != nil {
		return 0, err
	}
	if end := c.marks[i+1]; press == end.Press {
		return end.Width, nil
	}
	return c.value(i, press), nil
}

// Slope is how fast the mark widens at a press (mm): mm of width per mm of
// press. Its errors are those of WidthAt.
func (c *Curve) Slope(press float64) (float64, error) {
	i, err := c.segment(press)
	if err != nil {
		return 0, err
	}
	return c.derivative(i, press), nil
}

// PressFor is the lightest press (mm below the first touch) that paints a
// mark of a width (mm). Outside Range it returns a RangeError for ErrTooWide
// or ErrTooNarrow; it never clamps.
func (c *Curve) PressFor(width float64) (float64, error) {
	narrowest, widest := c.Range()
	switch {
	case len(c.marks) == 0 || !(width <= widest):
		return 0, &RangeError{ErrTooWide, width, narrowest, widest}
	case width < narrowest:
		return 0, &RangeError{ErrTooNarrow, width, narrowest, widest}
	}
	// The first mark at least as wide: on a level stretch the lightest press.
	low, high := 0, len(c.marks)-1
	for low < high {
		if mid := (low + high) / 2; c.marks[mid].Width < width {
			low = mid + 1
		} else {
			high = mid
		}
	}
	if c.marks[low].Width == width {
		return c.marks[low].Press, nil
	}
	return c.bisect(low-1, width), nil
}

// halvings is how often bisect halves a stretch: 2^-44 of its length is below 1e-13.
const halvings = 44

// bisect finds the press in the stretch from mark i on which the curve reaches
// width. Two widths halve the same stretches until the narrower one turns to
// the lighter side, so that their order is kept despite rounding.
func (c *Curve) bisect(i int, width float64) float64 {
	low, high := c.marks[i].Press, c.marks[i+1].Press
	for range halvings {
		mid := low + (high-low)/2
		if c.value(i, mid) < width {
			low = mid
		} else {
			high = mid
		}
	}
	return high
}

// segment finds the mark from which the stretch with press starts.
func (c *Curve) segment(press float64) (int, error) {
	safe := c.SafePress()
	switch {
	case len(c.marks) == 0 || !(press <= safe):
		return 0, &RangeError{ErrTooDeep, press, 0, safe}
	case press < 0:
		return 0, &RangeError{ErrLifted, press, 0, safe}
	}
	low, high := 0, len(c.marks)-2
	for low < high {
		if mid := (low + high + 1) / 2; c.marks[mid].Press <= press {
			low = mid
		} else {
			high = mid - 1
		}
	}
	return low, nil
}
