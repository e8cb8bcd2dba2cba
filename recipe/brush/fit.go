package brush

import (
	"fmt"
	"math"
	"slices"
)

// Limits of a brush: none is pressed deeper than a metre or makes a mark wider than
// a metre, and nobody measures more than a thousand marks by hand.
const (
	largest  = 1000.0 // mm
	maxMarks = 1000
)

// MarkError reports which mark prevents a curve from being fitted, and why.
type MarkError struct {
	// Index is that of the wrong mark in the list given to Fit. It is -1 for the
	// touch mark, and the length of the list for the widest mark or safe press.
	Index int
	Press bool // the press is wrong, not the width
	Why   string
}

func (e *MarkError) Error() string { return e.Why }

// Taper is the straight curve of a brush of which only the widest mark at the
// safe press and the touch mark at press 0 are known (all in mm). It returns a
// *MarkError where those are not possible for a brush.
func Taper(widestMark, safePress, touchMark float64) (*Curve, error) {
	return Fit(nil, safePress, widestMark, touchMark)
}

// Fit puts a curve through the touch mark at press 0, the marks by rising
// press, and the widest mark at the safe press (all in mm). The two ends are
// kept exactly.
//
// Widths must not decrease while the press increases. A decrease of no more than
// two standard uncertainties (of both readings together) is taken for a
// measuring error and pooled; more, or anything else that is not possible for a
// brush, is a *MarkError. A mark without uncertainty (0) takes the smallest of
// the others.
//
// Between the marks runs a cubic with the slopes of F. N. Fritsch and
// J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300-304, which is monotone
// by the condition of F. N. Fritsch and R. E. Carlson, SIAM J. Numer. Anal. 17
// (1980) 238-246. Pooling is by M. Ayer and others, Ann. Math. Stat. 26 (1955)
// 641-647.
func Fit(marks []Mark, safePress, widestMark, touchMark float64) (*Curve, error) {
	if err := check(marks, safePress, widestMark, touchMark); err != nil {
		return nil, err
	}
	touch := Mark{Width: touchMark}
	widest := Mark{Press: safePress, Width: widestMark}
	first, end := 0, len(marks) // the marks between the touch mark and the widest mark
	if end > 0 && marks[0].Press == 0 {
		first, touch.UWidth = 1, marks[0].UWidth
	}
	if end > first && marks[end-1].Press == safePress {
		end--
		widest.UWidth = marks[end].UWidth
	}

	inner := marks[first:end]
	widths := risingWidths(inner)

	c := &Curve{marks: append(make([]Mark, 0, len(inner)+2), touch)}
	if first == 1 && marks[0].Width != touchMark {
		c.pooled = append(c.pooled, 0)
	}
	for i, r := range inner {
		// The best rising fit between bounds is the best one cut off at them.
		r.Width = min(max(widths[i], touchMark), widestMark)
		if r.Width != inner[i].Width {
			c.pooled = append(c.pooled, first+i)
		}
		c.marks = append(c.marks, r)
	}
	c.marks = append(c.marks, widest)
	if end < len(marks) && marks[end].Width != widestMark {
		c.pooled = append(c.pooled, end)
	}
	c.slope = slopes(c.marks)
	return c, nil
}

func check(marks []Mark, safePress, widestMark, touchMark float64) error {
	end := len(marks)
	fail := func(index int, format string, args ...any) error {
		return &MarkError{Index: index, Why: fmt.Sprintf(format, args...)}
	}
	failPress := func(index int, format string, args ...any) error {
		return &MarkError{Index: index, Press: true, Why: fmt.Sprintf(format, args...)}
	}
	within := func(v float64) bool { return v >= 0 && v <= largest }
	switch {
	case !within(safePress) || safePress == 0:
		return fail(end, "the safe press must be more than 0 mm and at most %g mm, not %g mm", largest, safePress)
	case !within(touchMark):
		return fail(-1, "the touch mark must be from 0 mm to %g mm, not %g mm", largest, touchMark)
	case !within(widestMark) || widestMark <= touchMark:
		return fail(end, "the widest mark must be wider than the touch mark (%g mm) and at most %g mm, not %g mm", touchMark, largest, widestMark)
	case end > maxMarks:
		return fail(maxMarks, "a swatch may have at most %d marks, not %d", maxMarks, end)
	}
	for i, r := range marks {
		switch {
		case !within(r.Press):
			return failPress(i, "a press must be from 0 mm to the safe press of %g mm, not %g mm", safePress, r.Press)
		case !within(r.Width) || r.Width == 0:
			return fail(i, "a mark must be wider than 0 mm and at most %g mm, not %g mm", largest, r.Width)
		case !within(r.UWidth):
			return fail(i, "the uncertainty of a mark must be from 0 mm to %g mm, not %g mm", largest, r.UWidth)
		case i > 0 && r.Press == marks[i-1].Press:
			return failPress(i, "the press of %g mm is listed twice; give one mark with the mean of the readings and their ±", r.Press)
		case i > 0 && r.Press < marks[i-1].Press:
			return failPress(i, "the press must increase from mark to mark, but %g mm follows %g mm", r.Press, marks[i-1].Press)
		case r.Press > safePress:
			return failPress(i, "the press of %g mm is deeper than the safe press of %g mm", r.Press, safePress)
		}
	}
	return checkWidths(marks, uncertainties(marks), safePress, widestMark, touchMark)
}

// coverage is how many standard uncertainties readings may differ from each other
// before that counts as a contradiction.
const coverage = 2

func checkWidths(marks []Mark, u []float64, safePress, widestMark, touchMark float64) error {
	contradicts := -1 // the widest earlier mark that the mark is too narrow for
	for i, r := range marks {
		slack := coverage * u[i]
		switch {
		case r.Press == 0 && math.Abs(r.Width-touchMark) > slack:
			return &MarkError{Index: i, Why: fmt.Sprintf("the mark at press 0 is %g mm, but the touch mark is %g mm", r.Width, touchMark)}
		case r.Press == safePress && math.Abs(r.Width-widestMark) > slack:
			return &MarkError{Index: i, Why: fmt.Sprintf("the mark at the safe press is %g mm, but the widest mark is %g mm", r.Width, widestMark)}
		case touchMark-r.Width > slack:
			return &MarkError{Index: i, Why: fmt.Sprintf("the mark of %g mm at %g mm is narrower than the touch mark of %g mm", r.Width, r.Press, touchMark)}
		case r.Width-widestMark > slack:
			return &MarkError{Index: i, Why: fmt.Sprintf("the mark of %g mm at %g mm is wider than the widest mark of %g mm", r.Width, r.Press, widestMark)}
		}
		for j := range i {
			both := coverage * math.Sqrt(float64(u[i]*u[i])+float64(u[j]*u[j]))
			if marks[j].Width-r.Width > both && (contradicts < 0 || marks[j].Width > marks[contradicts].Width) {
				contradicts = j
			}
		}
		if contradicts >= 0 {
			w := marks[contradicts]
			return &MarkError{Index: i, Why: fmt.Sprintf("the mark narrows from %g mm to %g mm while the press increases from %g mm to %g mm", w.Width, r.Width, w.Press, r.Press)}
		}
	}
	return nil
}

// uncertainties are those of the marks, the smallest where a mark has none.
func uncertainties(marks []Mark) []float64 {
	smallest := math.Inf(1)
	for _, r := range marks {
		if r.UWidth > 0 {
			smallest = min(smallest, r.UWidth)
		}
	}
	u := make([]float64, len(marks))
	for i, r := range marks {
		if u[i] = r.UWidth; u[i] == 0 && !math.IsInf(smallest, 1) {
			u[i] = smallest
		}
	}
	return u
}

// risingWidths are the widths of marks, pooled so that none falls.
func risingWidths(marks []Mark) []float64 {
	widths, weights := make([]float64, len(marks)), make([]float64, len(marks))
	for i, u := range uncertainties(marks) {
		widths[i], weights[i] = marks[i].Width, 1
		if u > 0 {
			weights[i] = 1 / float64(u*u)
		}
	}
	isotonic(widths, weights)
	return widths
}

// Pool replaces the widths of marks, which are sorted by press, by the rising ones
// that are nearest to them, weighted by their uncertainties (Ayer and others 1955).
func Pool(marks []Mark) {
	for i, w := range risingWidths(marks) {
		marks[i].Width = w
	}
}

// isotonic replaces y by the never falling sequence with the least weighted
// sum of squared differences from it: neighbours that fall are pooled to their
// weighted mean until none do (Ayer and others 1955).
func isotonic(y, weight []float64) {
	type block struct {
		mean, weight float64
		n            int
	}
	blocks := make([]block, 0, len(y))
	for i := range y {
		blocks = append(blocks, block{y[i], weight[i], 1})
		for k := len(blocks) - 1; k > 0 && blocks[k-1].mean > blocks[k].mean; k-- {
			a, b := blocks[k-1], blocks[k]
			sum := a.weight + b.weight
			mean := (float64(a.mean*a.weight) + float64(b.mean*b.weight)) / sum
			blocks = append(blocks[:k-1], block{mean, sum, a.n + b.n})
		}
	}
	fitted := slices.Clone(y)[:0]
	for _, b := range blocks {
		for range b.n {
			fitted = append(fitted, b.mean)
		}
	}
	copy(y, fitted)
}
