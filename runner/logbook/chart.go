package logbook

import (
	"html/template"
	"math"

	"mahlstick/recipe/format"
)

// plot is a chart with two axes, which begin at 0 and have round numbers.
type plot struct {
	svg
	width, height            float64
	maxX, maxY, stepX, stepY float64
	left, right, top, bottom float64
}

// newPlot has room for values up to two maxima; false if there is nothing to draw.
func newPlot(height, maxX, maxY float64) (*plot, bool) {
	if maxX <= 0 || maxY <= 0 {
		return nil, false
	}
	f := &plot{width: 400, height: height, left: 44, right: 14, top: 12, bottom: 38, stepX: tick(maxX), stepY: tick(maxY)}
	f.maxX, f.maxY = float64(f.stepX*math.Ceil(maxX/f.stepX-1e-9)), float64(f.stepY*math.Ceil(maxY/f.stepY-1e-9))
	return f, true
}

func (f *plot) x(v float64) string {
	return mm(f.left + float64(v/f.maxX*(f.width-f.left-f.right)))
}

func (f *plot) y(v float64) string {
	return mm(f.height - f.bottom - float64(v/f.maxY*(f.height-f.top-f.bottom)))
}

// axes opens a chart, with its grid and the names of its axes. That of the upright one is
// below it, or at its top where there is room.
func (f *plot) axes(title, alongX, alongY string) {
	f.WriteString(`<svg class="chart" viewBox="0 0 400 ` + mm(f.height) + `" role="img"><title>` + title + `</title>`)
	for i := 0; float64(float64(i)*f.stepX) <= f.maxX+1e-9; i++ {
		v := float64(float64(i) * f.stepX)
		f.WriteString(`<path class="grid" d="M` + f.x(v) + " " + f.y(0) + "V" + f.y(f.maxY) + `"/><text text-anchor="middle" x="` + f.x(v) + `" y="` + mm(f.height-f.bottom+15) + `">` + mm(v) + `</text>`)
	}
	for i := 0; float64(float64(i)*f.stepY) <= f.maxY+1e-9; i++ {
		v := float64(float64(i) * f.stepY)
		f.WriteString(`<path class="grid" d="M` + f.x(0) + " " + f.y(v) + "H" + f.x(f.maxX) + `"/><text text-anchor="end" x="` + mm(f.left-6) + `" y="` + f.y(v) + `" dy="4">` + mm(v) + `</text>`)
	}
	f.WriteString(`<path class="axis" d="M` + f.x(0) + " " + f.y(f.maxY) + "V" + f.y(0) + "H" + f.x(f.maxX) + `"/>`)
	f.WriteString(`<text text-anchor="end" x="` + mm(f.width-f.right) + `" y="` + mm(f.height-6) + `">` + alongX + `</text>`)
	if f.height < tall {
		f.WriteString(`<text x="4" y="` + mm(f.height-f.bottom+15) + `" font-style="italic">` + alongY + `</text>`)
		return
	}
	f.WriteString(`<text x="` + mm(f.left+7) + `" y="` + mm(f.top+14) + `" font-style="italic">` + alongY + `</text>`)
}

// bar is how far off a width may be: two standard uncertainties either way.
func (f *plot) bar(x, width, u float64) {
	if u > 0 {
		f.WriteString(`<path class="bar" d="M` + f.x(x) + " " + f.y(width-2*u) + "V" + f.y(width+2*u) + `"/>`)
	}
}

// line is drawn through the widths of some presses.
func (f *plot) line(class string, rungs []Rung) {
	f.WriteString(`<path class="` + class + `" d="M` + f.x(rungs[0].Press) + " " + f.y(rungs[0].Width))
	for _, r := range rungs[1:] {
		f.WriteString("L" + f.x(r.Press) + " " + f.y(r.Width))
	}
	f.WriteString(`"/>`)
}

// chart is the curve of a brush: width over press, both in mm.
func chart(c *Chart) template.HTML {
	maxPress, maxWidth := c.SafePress, 0.0
	for _, r := range append(c.Rungs, c.Curve...) {
		maxPress, maxWidth = math.Max(maxPress, r.Press), math.Max(maxWidth, r.Width+r.UWidth)
	}
	f, some := newPlot(270, maxPress, maxWidth)
	if !some {
		return ""
	}
	f.axes("Width of the mark over the press", "press, mm", "width")
	if n := len(c.Curve); n > 1 {
		last := c.Curve[n-1]
		f.band(c)
		f.WriteString(`<path class="taper" d="M` + f.x(0) + " " + f.y(0) + "L" + f.x(last.Press) + " " + f.y(last.Width) + `"/>`)
		f.line("curve", c.Curve)
	}
	if c.Thinnest > 0 {
		f.WriteString(`<path class="promise" d="M` + f.x(0) + " " + f.y(c.Thinnest) + "H" + f.x(f.maxX) + `"/><text text-anchor="end" x="` + mm(f.width-f.right-4) + `" y="` + f.y(c.Thinnest) + `" dy="-4">thinnest sure line ` + format.Page.Fixed(c.Thinnest, 2) + `</text>`)
	}
	for _, r := range c.Rungs {
		f.bar(r.Press, r.Width, r.UWidth)
		f.WriteString(`<circle class="rung" r="3.4" cx="` + f.x(r.Press) + `" cy="` + f.y(r.Width) + `"/>`)
	}
	f.WriteString(`</svg>`)
	return template.HTML(f.String())
}

// band fills the way between the lower and the upper edge of the curve's doubt.
func (f *plot) band(c *Chart) {
	if len(c.Band) != len(c.Curve) {
		return
	}
	y := func(width float64) string { return f.y(min(max(width, 0), f.maxY)) }
	f.WriteString(`<path class="band" d="M`)
	for i, r := range c.Curve {
		if i > 0 {
			f.WriteString("L")
		}
		f.WriteString(f.x(r.Press) + " " + y(c.Band[i][1]))
	}
	for i := len(c.Curve) - 1; i >= 0; i-- {
		f.WriteString("L" + f.x(c.Curve[i].Press) + " " + y(c.Band[i][0]))
	}
	f.WriteString(`Z"/>`)
}

// tick is the step between grid lines: 1, 2 or 5 times a power of ten, so that
// there are at most eight steps.
func tick(span float64) float64 {
	for unit := 1e-6; ; unit *= 10 {
		for _, step := range [...]float64{1, 2, 5} {
			if span <= 8*step*unit {
				return step * unit
			}
		}
	}
}
