package logbook

import (
	"math"
	"strconv"

	"mahlstick/recipe/model"
)

// Measures around a map in printed mm.
const (
	mapRim   = 0.2 // above and at the right, for the line around the map
	tickRoom = 3.7 // below and at the left, for ticks with numbers
	tickLong = 0.9 // of a tick with a number
	tickFine = 0.5 // of one without
	tickBare = 2.6 // at the left of a detail whose ticks have no numbers: its letter
)

// printedWide and printedHigh (mm) are the size of a map with its ticks.
func printedWide(f MapOf) float64 { return f.left + float64(f.scale*f.wide) + mapRim }
func printedHigh(f MapOf) float64 { return f.low + float64(f.scale*f.high) + mapRim }

// ruler is an edge of a map: places from the lay corner, in mm.
type ruler struct {
	from, to float64
	back     bool    // they grow to the left or downwards
	scale    float64 // printed mm for each
	apart    float64 // printed mm between numbers, at least
	half     float64 // printed mm of a number on each side of its tick
}

// rulerOf is the ruler of a stretch of a side of the sheet.
func rulerOf(from, long, side float64, back bool, scale float64) ruler {
	r := ruler{from: from, to: from + long, back: back, scale: scale}
	if back {
		r.from, r.to = side-r.to, side-r.from
	}
	return r
}

// has reports whether a number has room at a tick.
func (r ruler) has(v int) bool {
	return float64((float64(v)-r.from)*r.scale) >= -0.01 && float64((r.to-float64(v))*r.scale) >= -0.01 && float64(r.far(v)*r.scale) >= r.half
}

// far is how far a place is from the upper or right end of the edge.
func (r ruler) far(v int) float64 {
	if r.back {
		return float64(v) - r.from
	}
	return r.to - float64(v)
}

// multiples are those of a step on the edge.
func (r ruler) multiples(step int) (out []int) {
	for v := step * int(math.Ceil(r.from/float64(step)-1e-9)); float64(v) <= r.to+1e-9; v += step {
		out = append(out, v)
	}
	return out
}

// step is from number to number: 50 mm, more where those stand too close, less where
// there are not two.
func (r ruler) step() int {
	best, n := r.stepOf(r.apart)
	if n < 2 {
		best, _ = r.stepOf(r.apart - 0.95)
	}
	return best
}

// stepOf is step with so much from number to number, and how many numbers there are.
func (r ruler) stepOf(apart float64) (best, n int) {
	best = 1000
	for _, step := range []int{1000, 500, 200, 100, 50, 20, 10, 5} {
		if float64(float64(step)*r.scale) < apart {
			break
		}
		n = 0
		for _, v := range r.multiples(step) {
			if r.has(v) {
				n++
			}
		}
		best = step
		if n >= 2 && step <= 50 {
			break
		}
	}
	return best, n
}

// fine is from tick to tick; the step itself if there is no room for more.
func (r ruler) fine(step int) int {
	for _, part := range []int{10, 5, 4, 2} {
		if fine := step / part; fine*part == step && (fine%5 == 0 || fine == 1) && float64(float64(fine)*r.scale) >= 1.2 {
			return fine
		}
	}
	return step
}

// rulers are those of the lower and of the left edge.
func rulers(f MapOf) (x, y ruler) {
	lay := f.sheet.Lay
	x = rulerOf(f.x, f.wide, f.sheet.Width, lay == model.LowerRight || lay == model.UpperRight, f.scale)
	y = rulerOf(f.y, f.high, f.sheet.Height, lay == model.UpperLeft || lay == model.UpperRight, f.scale)
	for _, r := range [...]*ruler{&x, &y} {
		number := float64(0.556 * typeHigh * float64(len(strconv.Itoa(int(r.to)))))
		r.apart, r.half = number+1.5, number/2-mapRim
	}
	return x, y
}

// onEdge reports on which sides of a map the sheet ends.
func onEdge(f MapOf) (left, right, top, foot bool) {
	const near = 0.005
	return f.x < near, f.x+f.wide > f.sheet.Width-near, f.y+f.high > f.sheet.Height-near, f.y < near
}

// edged reports whether a map of a card shows an edge of the sheet.
func edged(s *cardSheet) bool {
	for _, l := range s.Group {
		left, right, top, foot := onEdge(MapOf{frame: frameOf(l, &s.Page.Sheet), sheet: &s.Page.Sheet})
		if left || right || top || foot {
			return true
		}
	}
	return false
}

// drawEdges draws what is around a map: a line, darker where it is the sheet's edge,
// the ticks, and the letter of a detail in the upper left corner.
func drawEdges(s *svg, f MapOf, name string) {
	left, right, top, foot := f.x, f.x+f.wide, s.height-f.y-f.high, s.height-f.y
	s.WriteString(`<rect class="crop" x="` + mm(left) + `" y="` + mm(top) + `" width="` + mm(f.wide) + `" height="` + mm(f.high) + `"/>`)
	line := func(x0, y0, x1, y1 float64) { s.WriteString("M" + mm(x0) + " " + mm(y0) + "L" + mm(x1) + " " + mm(y1)) }
	s.WriteString(`<path class="edge" d="`)
	atLeft, atRight, atTop, atFoot := onEdge(f)
	if atLeft {
		line(left, top, left, foot)
	}
	if atRight {
		line(right, top, right, foot)
	}
	if atTop {
		line(left, top, right, top)
	}
	if atFoot {
		line(left, foot, right, foot)
	}
	s.WriteString(`"/>`)
	x, y := rulers(f)
	if name != "" {
		y.half += 3.2
		drawDetailName(s, f, name)
	}
	drawTicks(s, f, x, false, func(v, out float64) (float64, float64) {
		if x.back {
			v = f.sheet.Width - v
		}
		return v, foot + out
	})
	drawTicks(s, f, y, true, func(v, out float64) (float64, float64) {
		if y.back {
			v = f.sheet.Height - v
		}
		return left - out, s.height - v
	})
}

// drawTicks draws the ticks of an edge: at is a place and how far out of the map it
// is, in mm of the sheet. Numbers stand along the edge, outside.
func drawTicks(s *svg, f MapOf, r ruler, up bool, at func(v, out float64) (float64, float64)) {
	step := r.step()
	s.WriteString(`<path class="ticks" d="`)
	for _, v := range r.multiples(r.fine(step)) {
		long := tickFine
		if v%step == 0 {
			long = tickLong
		}
		x, y := at(float64(v), 0)
		toX, toY := at(float64(v), long/f.scale)
		s.WriteString("M" + mm3(x) + " " + mm3(y) + "L" + mm3(toX) + " " + mm3(toY))
	}
	s.WriteString(`"/>`)
	if f.low < tickRoom {
		return
	}
	for _, v := range r.multiples(step) {
		if !r.has(v) {
			continue
		}
		x, y := at(float64(v), (tickLong+0.3)/f.scale)
		turn := ""
		if up {
			turn = ` transform="rotate(-90 ` + mm3(x) + " " + mm3(y) + `)"`
		} else { // from its upper side down to its feet
			y += 0.02 * baseline / f.scale
		}
		s.WriteString(`<text class="at" x="` + mm3(x) + `" y="` + mm3(y) + `"` + turn + `>` + strconv.Itoa(v) + `</text>`)
	}
}
