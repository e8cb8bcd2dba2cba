package logbook

import (
	"html/template"
	"math"

	"mahlstick/recipe/format"
)

// chart is the curve of a brush: width over press, both in mm.
func chart(c *Chart) template.HTML {
	const w, h, left, right, top, bottom = 400.0, 270.0, 44.0, 14.0, 12.0, 38.0
	maxPress, maxWidth := c.SafePress, 0.0
	for _, r := range append(c.Rungs, c.Curve...) {
		maxPress, maxWidth = math.Max(maxPress, r.Press), math.Max(maxWidth, r.Width+r.UWidth)
	}
	if maxPress <= 0 || maxWidth <= 0 {
		return ""
	}
	stepX, stepY := tick(maxPress), tick(maxWidth)
	maxPress, maxWidth = float64(stepX*math.Ceil(maxPress/stepX-1e-9)), float64(stepY*math.Ceil(maxWidth/stepY-1e-9))
	x := func(press float64) string { return mm(left + float64(press/maxPress*(w-left-right))) }
	y := func(width float64) string { return mm(h - bottom - float64(width/maxWidth*(h-top-bottom))) }
	var s svg
	s.WriteString(`<svg class="chart" viewBox="0 0 400 270" role="img"><title>Width of the mark over the press</title>`)
	for i := 0; float64(float64(i)*stepX) <= maxPress+1e-9; i++ {
		v := float64(float64(i) * stepX)
		s.WriteString(`<path class="grid" d="M` + x(v) + " " + y(0) + "V" + y(maxWidth) + `"/><text text-anchor="middle" x="` + x(v) + `" y="` + mm(h-bottom+15) + `">` + mm(v) + `</text>`)
	}
	for i := 0; float64(float64(i)*stepY) <= maxWidth+1e-9; i++ {
		v := float64(float64(i) * stepY)
		s.WriteString(`<path class="grid" d="M` + x(0) + " " + y(v) + "H" + x(maxPress) + `"/><text text-anchor="end" x="` + mm(left-6) + `" y="` + y(v) + `" dy="4">` + mm(v) + `</text>`)
	}
	s.WriteString(`<path class="axis" d="M` + x(0) + " " + y(maxWidth) + "V" + y(0) + "H" + x(maxPress) + `"/>`)
	s.WriteString(`<text text-anchor="end" x="` + mm(w-right) + `" y="` + mm(h-6) + `">press, mm</text><text x="4" y="` + mm(h-bottom+15) + `" font-style="italic">width</text>`)
	if n := len(c.Curve); n > 1 {
		last := c.Curve[n-1]
		s.band(c, x, func(width float64) string { return y(min(max(width, 0), maxWidth)) })
		s.WriteString(`<path class="taper" d="M` + x(0) + " " + y(0) + "L" + x(last.Press) + " " + y(last.Width) + `"/>`)
		s.WriteString(`<path class="curve" d="M` + x(c.Curve[0].Press) + " " + y(c.Curve[0].Width))
		for _, r := range c.Curve[1:] {
			s.WriteString("L" + x(r.Press) + " " + y(r.Width))
		}
		s.WriteString(`"/>`)
	}
	if c.Thinnest > 0 {
		s.WriteString(`<path class="promise" d="M` + x(0) + " " + y(c.Thinnest) + "H" + x(maxPress) + `"/><text text-anchor="end" x="` + mm(w-right-4) + `" y="` + y(c.Thinnest) + `" dy="-4">thinnest sure line ` + format.Page.Fixed(c.Thinnest, 2) + `</text>`)
	}
	for _, r := range c.Rungs {
		if r.UWidth > 0 {
			s.WriteString(`<path class="bar" d="M` + x(r.Press) + " " + y(r.Width-2*r.UWidth) + "V" + y(r.Width+2*r.UWidth) + `"/>`)
		}
		s.WriteString(`<circle class="rung" r="3.4" cx="` + x(r.Press) + `" cy="` + y(r.Width) + `"/>`)
	}
	s.WriteString(`</svg>`)
	return template.HTML(s.String())
}

// band fills the way between the lower and the upper edge of the curve's doubt.
func (s *svg) band(c *Chart, x, y func(float64) string) {
	if len(c.Band) != len(c.Curve) {
		return
	}
	s.WriteString(`<path class="band" d="M`)
	for i, r := range c.Curve {
		if i > 0 {
			s.WriteString("L")
		}
		s.WriteString(x(r.Press) + " " + y(c.Band[i][1]))
	}
	for i := len(c.Curve) - 1; i >= 0; i-- {
		s.WriteString("L" + x(c.Curve[i].Press) + " " + y(c.Band[i][0]))
	}
	s.WriteString(`Z"/>`)
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
