package brush

import "math"

// Doubt is what is known of the errors of a curve, all in mm.
type Doubt struct {
	// Shift is the standard uncertainty of all presses together: of the touch that
	// they are counted from.
	Shift float64
	// Common is the standard uncertainty that all widths share: of those who
	// measured them.
	Common float64
	// Ends are the standard uncertainties of the touch mark and the widest mark.
	Ends [2]float64
	// Factor multiplies standard uncertainties for a band of 95 %; 0 stands for
	// that of the normal distribution.
	Factor float64
}

// normalFactor is the 97.5 % point of the normal distribution.
const normalFactor = 1.95996

// Doubted is the curve with a doubt of its own; the curve itself is not changed.
// The marks keep the uncertainties that they were fitted with.
func (c *Curve) Doubted(d Doubt) *Curve {
	out := *c
	out.marks = append([]Mark(nil), c.marks...)
	if last := len(out.marks) - 1; last > 0 {
		out.marks[0].UWidth = math.Max(out.marks[0].UWidth, d.Ends[0])
		out.marks[last].UWidth = math.Max(out.marks[last].UWidth, d.Ends[1])
	}
	if d.Factor == 0 {
		d.Factor = normalFactor
	}
	out.doubt = d
	return &out
}

// U is the standard uncertainty (mm) of the width at a press (mm). It joins the
// uncertainty of the marks beside the press, that of their presses as a whole by
// the slope there, and that of the way between two marks, which may be anywhere
// between the curve and the straight line (JCGM 100:2008, 4.3.7 and 5.1.2). Its
// errors are those of WidthAt.
func (c *Curve) U(press float64) (float64, error) {
	i, err := c.segment(press)
	if err != nil {
		return 0, err
	}
	a, b := c.marks[i], c.marks[i+1]
	t := (press - a.Press) / (b.Press - a.Press)
	straight := a.Width + float64(t*(b.Width-a.Width))
	// Half-way between two marks the cubic has 9/16 of each and takes 1/16 of the
	// next ones away: (81 + 81 + 1 + 1)/256 of the variance is left.
	marks := float64((1-t)*float64(a.UWidth*a.UWidth)) + float64(t*float64(b.UWidth*b.UWidth))
	squares := float64(marks * (1 - float64(1.4375*float64(t*(1-t)))))
	for _, part := range [...]float64{c.doubt.Common, float64(c.derivative(i, press) * c.doubt.Shift), (c.value(i, press) - straight) / math.Sqrt(12)} {
		squares += float64(part * part)
	}
	return math.Sqrt(squares), nil
}

// Band is the interval in mm that holds the width at a press (mm) in 95 of 100
// cases. Its errors are those of WidthAt.
func (c *Curve) Band(press float64) (low, high float64, err error) {
	width, err := c.WidthAt(press)
	if err != nil {
		return 0, 0, err
	}
	u, _ := c.U(press)
	factor := c.doubt.Factor
	if factor == 0 {
		factor = normalFactor
	}
	return math.Max(width-float64(factor*u), 0), width + float64(factor*u), nil
}
