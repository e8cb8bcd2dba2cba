package main

import "math"

// brush is a brush as a simple physical model: a cone with a smallest mark that
// flattens as it is pressed, a mark that is towed behind the handle as a rigid
// arm, and play between pressing and lifting. Lengths in mm.
type brush struct {
	touch, slope, flat float64 // width = touch + slope p - flat p²
	full               float64 // press up to which the brush is meant to go
	trail              float64 // how far the mark trails at full press
	play               float64 // half the band within which a change of press changes nothing
	tipX, tipY         float64 // where the tip is, from the axis
	spread             float64 // mm²/s, by which a mark spreads while the brush passes
}

// width of the mark at a press. At none the tip just touches, and makes its smallest.
func (b brush) width(p float64) float64 {
	if p < 0 {
		return 0
	}
	return b.touch + b.slope*p - b.flat*p*p
}

// spreads is how wide a mark gets that is painted at a feed, mm/min: the brush
// stands on a place while it passes by its own mark, and ink creeps as the root
// of time.
func (b brush) spreads(dry, feed float64) float64 {
	if feed <= 0 || dry <= 0 {
		return dry
	}
	return dry + 2*math.Sqrt(b.spread*dry*60/feed)
}

func (b brush) lag(p float64) float64 { return b.trail * math.Max(p, 0) / b.full }

// bench is what else decides where paint goes: how far the machine's idea of the
// paper is off, the bed, and how the sheet lies.
type bench struct {
	deep            float64 // mm by which the touch-off is too deep
	bow             float64 // mm by which the middle of the bed is higher than the edges
	turn            float64 // radians
	shiftX, shiftY  float64
	growX, growY    float64 // shares
	width, height   float64 // of the sheet in mm
	zeroX, zeroY    float64 // of the touching off; the machine's zero is the paper there
	touchedOffOnBed bool
}

// onSheet takes a place of the machine to one of the sheet as it was drawn.
func (b bench) onSheet(x, y float64) (float64, float64) {
	x, y = x-b.shiftX, y-b.shiftY
	c, s := math.Cos(b.turn), math.Sin(b.turn)
	x, y = x*c+y*s, y*c-x*s
	return x / (1 + b.growX), y / (1 + b.growY)
}

// height of the paper above a flat bed.
func (b bench) heightAt(x, y float64) float64 {
	u, v := 2*x/b.width-1, 2*y/b.height-1
	h := func(u, v float64) float64 { return b.bow * (1 - (u*u+v*v)/2) }
	if !b.touchedOffOnBed {
		return h(u, v)
	}
	return h(u, v) - h(2*b.zeroX/b.width-1, 2*b.zeroY/b.height-1)
}

// disc is a moment of the painting: where the mark is, on the sheet.
type disc struct {
	x, y, r float64
	check   bool
}

// step is how far apart moments are at most, in mm.
const step = 0.04

// stride is how far it is to the next moment in mm: a sixteenth of the mark, so
// that the scallops between its discs take off 0.1 % of it at most.
func (h *hand) stride() float64 {
	if !h.down {
		return step
	}
	return math.Max(step/16, math.Min(step, h.width(h.effective)/16))
}

// hand is a brush on its way: where its mark is, how it is towed, and how far it
// is really pressed.
type hand struct {
	brush
	x, y      float64
	ux, uy    float64
	effective float64
	down      bool
}

// move takes the handle to a place, pressed by so much, and reports whether the
// brush marks the paper.
func (h *hand) move(x, y, press float64) bool {
	if press < 0 {
		h.x, h.y, h.ux, h.uy, h.effective, h.down = x, y, 0, 0, 0, false
		return false
	}
	if !h.down {
		h.down, h.effective = true, math.Max(press-h.play, 0)
	}
	h.effective = math.Max(press-h.play, math.Min(press+h.play, h.effective))
	dx, dy := x-h.x, y-h.y
	if d := math.Hypot(dx, dy); d > 1e-9 {
		h.ux, h.uy = dx/d, dy/d
	}
	lag := h.lag(h.effective)
	h.x, h.y = x-lag*h.ux, y-lag*h.uy
	return h.width(h.effective) > 0
}

// paint moves the brush through the stations and returns the marks on the sheet.
func (b brush) paint(path []station, on bench) []disc {
	var out []disc
	if len(path) == 0 {
		return nil
	}
	at := path[0]
	h := hand{brush: b, x: at.x + b.tipX, y: at.y + b.tipY}
	for _, to := range path[1:] {
		length := math.Sqrt((to.x-at.x)*(to.x-at.x) + (to.y-at.y)*(to.y-at.y) + (to.z-at.z)*(to.z-at.z))
		if math.Min(at.z, to.z) > 2 {
			length = 0
		}
		for t := 0.0; t < 1; {
			t = math.Min(1, t+h.stride()/length)
			x, y := at.x+(to.x-at.x)*t+b.tipX, at.y+(to.y-at.y)*t+b.tipY
			if h.move(x, y, on.deep-(at.z+(to.z-at.z)*t)+on.heightAt(x, y)) {
				sx, sy := on.onSheet(h.x, h.y)
				width := b.width(h.effective)
				if to.x != at.x || to.y != at.y {
					width = b.spreads(width, to.feed)
				}
				out = append(out, disc{sx, sy, width / 2, to.check})
			}
		}
		at = to
	}
	return out
}
