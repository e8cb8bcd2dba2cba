package meaning

import (
	"math"

	"mahlstick/runner/vector"
)

// Correction is what the rows of a brush would be. What does not change is nil.
type Correction struct {
	Brush                 int
	Rows                  []Row // of its Swatch, with the lag of each in Lags if that changes
	Lags                  []float64
	WidestMark, TouchMark *float64
	Lag, Play, TipX, TipY *float64
	Holds                 *float64 // mm²
	// Apart says that the layers of the brush lie differently, which no tip offset does.
	Apart bool
}

// Empty reports that nothing changes.
func (c Correction) Empty() bool {
	return c.Rows == nil && c.Lags == nil && c.WidestMark == nil && c.TouchMark == nil && c.Lag == nil && c.Play == nil && c.TipX == nil && c.TipY == nil && c.Holds == nil
}

// beyondTouch is by how many standard uncertainties the heights of touching off have
// to lie to one side, all together, so that the table and not the hand is taken to be
// wrong. It is stricter than Beyond, because the next touch-off is a new one: 1 in
// 100 sheets touched off well is beyond it (normal distribution).
const beyondTouch = 2.576

// gain is by which share rows have to lower the error of the widths on this sheet, so
// that they are given.
const gain = 0.05

// correct finds the corrected rows of each brush, and what they would have changed.
func (r *Result) correct(f *fitting) {
	r.Corrections = make([]Correction, len(r.Brushes))
	var before, after, n float64
	for b := range r.Brushes {
		r.Corrections[b].Brush = b
		if f.fit == nil {
			continue
		}
		u := r.use(f, b)
		was, now, places := f.squares(b, u)
		if now > float64((1-gain)*(1-gain)*was) {
			u, now = use{}, was
		}
		before, after, n = before+was, after+now, n+places
		r.rows(f, b, &u)
		r.single(b, u)
	}
	if n > 0 {
		r.Before, r.After = math.Sqrt(before/n), math.Sqrt(after/n)
	}
}

// squares are the sums of the squares of the widths' errors of a brush: on this sheet,
// and as they would have been; and how many there are.
func (f *fitting) squares(b int, u use) (was, now, n float64) {
	for _, o := range f.seen {
		if o.group != widths || f.r.Layers[o.layer].Brush != b {
			continue
		}
		left := o.y
		if u.curve {
			left -= u.change(f, b, o.press)
		}
		row := f.x.row()
		o.predict(f.c, row)
		for _, k := range []Kind{Lag, Play} {
			if c := f.x.column[[2]int{int(k), b}]; u.counts[k] {
				left -= float64(row[c] * f.c[c])
			}
		}
		was, now, n = was+float64(o.y*o.y), now+float64(left*left), n+1
	}
	return was, now, n
}

// use is which of the effects of a brush are used.
type use struct {
	counts map[Kind]bool
	curve  bool
	deep   float64 // mm, by which all its touch-offs are too deep
}

// use decides which effects of a brush are beyond their doubt.
func (r *Result) use(f *fitting, b int) use {
	u := use{counts: map[Kind]bool{}}
	for _, k := range []Kind{Lag, Play} {
		if e, known := r.Effect(k, b); known && e.Counts() {
			u.counts[k] = true
		}
	}
	if e, known := r.Effect(Play, b); known && e.Value+r.Brushes[b].Play < 0 {
		u.counts[Play] = false
	}
	var sum, weight float64
	for _, e := range r.Effects {
		if e.Kind == Touch && e.Told && r.Layers[e.Of].Brush == b {
			t := r.Brushes[b].Touch
			w := 1 / (float64(e.U*e.U) + float64(t*t))
			sum, weight = sum+float64(w*e.Value), weight+w
		}
	}
	if weight > 0 && math.Abs(sum/weight) > beyondTouch/math.Sqrt(weight) {
		u.deep = sum / weight
	}
	// The curve is used if its change counts anywhere in what was seen.
	for _, share := range []float64{0.1, 0.5, 1} {
		press := r.lightest[b] + float64((r.deepest[b]-r.lightest[b])*share)
		change, doubt := f.change(b, press)
		u.curve = u.curve || math.Abs(change) > Beyond*doubt
	}
	u.curve = u.curve || u.deep != 0
	return u
}

// change is by how much the width at a press is more than the table has it.
func (u *use) change(f *fitting, b int, press float64) float64 {
	press = min(press, 1.2*f.r.deepest[b])
	out, _ := f.change(b, press)
	if slope, err := f.r.Brushes[b].Curve.Slope(press); err == nil {
		out += float64(slope * u.deep)
	}
	return out
}

// drawn are the presses of a table made for a brush without one, as shares of the
// deepest.
var drawn = []float64{0.1, 0.2, 0.35, 0.5, 0.7, 0.85, 1}

// rows corrects the marks of the swatch.
func (r *Result) rows(f *fitting, b int, u *use) {
	c, brush := &r.Corrections[b], r.Brushes[b]
	if !u.curve {
		return
	}
	table := brush.Rows
	if len(table) == 0 {
		for _, share := range drawn {
			press := math.Round(100*share*r.deepest[b]) / 100
			if w, err := brush.Curve.WidthAt(press); err == nil {
				table = append(table, Row{Press: press, Width: w})
			}
		}
	}
	least := 0.0
	width := func(press, before float64) float64 {
		w := max(before+u.change(f, b, press), least)
		least = w
		return w
	}
	touch := width(0, brush.TouchMark)
	for _, row := range table {
		_, doubt := f.change(b, min(row.Press, 1.2*r.deepest[b]))
		c.Rows = append(c.Rows, Row{row.Press, width(row.Press, row.Width), max(doubt, 0.01)})
	}
	widest := width(brush.SafePress, brush.WidestMark)
	c.WidestMark = &widest
	if math.Abs(touch-brush.TouchMark) > 0.005 {
		c.TouchMark = &touch
	}
}

// single corrects the rows of a brush with one value.
func (r *Result) single(b int, u use) {
	c, brush := &r.Corrections[b], r.Brushes[b]
	if e, _ := r.Effect(Play, b); u.counts[Play] {
		v := e.Value + brush.Play
		c.Play = &v
	}
	if e, _ := r.Effect(Lag, b); u.counts[Lag] {
		r.lags(c, e.Value)
	}
	correctTip(r, c)
	for _, a := range r.Fades {
		if r.Layers[a.Layer].Brush == b && (c.Holds == nil || *c.Holds > a.Area) {
			area := a.Area
			c.Holds = &area
		}
	}
}

// correctTip corrects the tip offset by where all layers of the brush lie. One tip moves them
// alike: what moved some of them is not the tip. Nor does it move them against a layer of
// the same brush by which the scan was laid. A sheet that was laid anew lies by its seating.
func correctTip(r *Result, c *Correction) {
	var off, doubt []vector.XY
	framed := false
	for i, l := range r.Layers {
		x, known := r.Effect(ShiftX, i)
		y, too := r.Effect(ShiftY, i)
		switch {
		case l.Brush != c.Brush || l.Seated:
		case l.Frame:
			framed = true
		case known && too && x.usable() && y.usable():
			off = append(off, l.OnBed(vector.XY{X: x.Value, Y: y.Value}))
			doubt = append(doubt, l.OnBed(vector.XY{X: x.U, Y: y.U}))
		}
	}
	if len(off) == 0 {
		return
	}
	x, alongX := alike(off, doubt, framed, func(v vector.XY) float64 { return v.X })
	y, alongY := alike(off, doubt, framed, func(v vector.XY) float64 { return v.Y })
	if c.Apart = !alongX || !alongY; c.Apart || framed {
		return
	}
	brush := r.Brushes[c.Brush]
	if x != 0 {
		x += brush.TipX
		c.TipX = &x
	}
	if y != 0 {
		y += brush.TipY
		c.TipY = &y
	}
}

// alike is by how much layers are off along an axis, 0 if that is within its doubt, and
// whether they are off alike; if framed, alike to a layer that is not off.
func alike(off, doubt []vector.XY, framed bool, axis func(vector.XY) float64) (mean float64, ok bool) {
	u := 0.0
	for i := range off {
		mean += axis(off[i]) / float64(len(off))
		u += math.Abs(axis(doubt[i])) / float64(len(off)) // most of it is not by chance
	}
	if framed {
		mean = 0
	}
	for i := range off {
		if math.Abs(axis(off[i])-mean) > far*math.Abs(axis(doubt[i])) {
			return 0, false
		}
	}
	if math.Abs(mean) <= Beyond*u {
		mean = 0
	}
	return mean, true
}

// lags corrects the lag: of each row of the swatch, or the one that holds at any
// press.
func (r *Result) lags(c *Correction, more float64) {
	brush := r.Brushes[c.Brush]
	deepest := r.deepest[c.Brush]
	trails := brush.Lag.Trails()
	if len(trails) == 1 && trails[0].Press == 0 { // the same at any press
		v := max(brush.Lag.Max()+more, 0)
		c.Lag = &v
		return
	}
	if c.Rows == nil {
		c.Rows = append(c.Rows, brush.Rows...)
	}
	if len(c.Rows) == 0 {
		for _, share := range drawn {
			press := math.Round(100*share*deepest) / 100
			if w, err := brush.Curve.WidthAt(press); err == nil {
				c.Rows = append(c.Rows, Row{Press: press, Width: w})
			}
		}
	}
	for _, row := range c.Rows {
		c.Lags = append(c.Lags, max(brush.Lag.At(row.Press)+float64(more*min(row.Press/deepest, 1)), 0))
	}
}
