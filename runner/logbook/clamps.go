package logbook

import (
	"html/template"
	"math"

	"mahlstick/runner/vector"
)

// drawClamps draws what stands in the way, each with its name beside it.
func drawClamps(b *bedPicture, c *Clamps) {
	if c == nil {
		return
	}
	for _, k := range c.Clamps {
		b.WriteString(`<path class="clamp" d="`)
		low, high := vector.XY{X: math.Inf(1), Y: math.Inf(1)}, vector.XY{X: math.Inf(-1), Y: math.Inf(-1)}
		for i, q := range k.Corners {
			x, y := b.x+q.X, b.y-q.Y
			low, high = vector.XY{X: math.Min(low.X, x), Y: math.Min(low.Y, y)}, vector.XY{X: math.Max(high.X, x), Y: math.Max(high.Y, y)}
			b.WriteString(map[bool]string{true: "M", false: "L"}[i == 0] + mm(x) + " " + mm(y))
		}
		b.WriteString(`Z"/>`)
		clampName(b, k.Name, low, high)
	}
}

// clampName writes the name of a clamp beside it, towards the middle of the sheet,
// where neither sizes nor axes are.
func clampName(b *bedPicture, name string, low, high vector.XY) {
	size, off := float64(b.pad*0.2), float64(b.pad*0.06)
	x, y := (low.X+high.X)/2, (low.Y+high.Y)/2
	anchor := "middle"
	fromX, fromY := math.Min(x, b.width-x), math.Min(y, b.height-y)
	switch {
	case fromX <= fromY && x <= b.width/2:
		anchor, x, y = "start", high.X+off, y+size/3
	case fromX <= fromY:
		anchor, x, y = "end", low.X-off, y+size/3
	case y <= b.height/2:
		y = high.Y + off + float64(size*0.8)
	default:
		y = low.Y - off
	}
	b.WriteString(`<text class="clampname" text-anchor="` + anchor + `" x="` + mm(x) + `" y="` + mm(y) + `" font-size="` + mm(size) + `">` + template.HTMLEscapeString(name) + `</text>`)
}
