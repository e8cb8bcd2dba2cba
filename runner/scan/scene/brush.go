package scene

import (
	"math"
	"slices"
)

// The ways between moments of the painting, in mm: a sixteenth of the mark, so that
// the scallops between dabs take off 0.1 % of it at most, and not more than longest.
const (
	longest  = 0.04
	shortest = longest / 16
)

// hand is a brush on its way: where its mark is, how it is towed, how far it is
// really pressed, and how far it has painted.
type hand struct {
	Brush
	x, y      float64 // of the axis
	mx, my    float64 // of the mark
	effective float64
	down      bool
	way       float64
}

// width of the mark as it is pressed now.
func (h *hand) width() float64 {
	if !h.down || h.effective <= 0 {
		return 0
	}
	return h.Width(h.effective) * (1 + float64(h.Wear*h.way)/1000)
}

func (h *hand) stride() float64 {
	if !h.down {
		return longest
	}
	return max(shortest, min(longest, h.width()/16))
}

// move takes the axis to a place, pressed by so much.
func (h *hand) move(x, y, press float64) {
	dx, dy := x-h.x, y-h.y
	h.x, h.y = x, y
	if press <= 0 {
		h.effective, h.down = 0, false
		return
	}
	if !h.down {
		h.down, h.effective = true, max(press-h.Play, 0)
		h.mx, h.my = x, y
	}
	h.effective = max(press-h.Play, min(press+h.Play, h.effective))
	h.way += math.Hypot(dx, dy)
	lag := 0.0
	if h.Lag != nil {
		lag = h.Lag(h.effective)
	}
	// The mark is pulled straight towards the axis, and never pushed.
	if dx, dy := x-h.mx, y-h.my; math.Hypot(dx, dy) > lag {
		d := math.Hypot(dx, dy)
		h.mx, h.my = x-float64(lag*dx)/d, y-float64(lag*dy)/d
	}
}

// dab is the mark now, in places of the machine.
func (h *hand) dab() (dab, bool) {
	w := h.width()
	if w <= 0 {
		return dab{}, false
	}
	d := dab{h.mx, h.my, w / 2, 1}
	if h.Load > 0 && h.way > h.Load {
		d.ink = max(0, 1-(h.way-h.Load)/h.Fade)
	}
	return d, d.ink > 0
}

// paint follows the stations and returns a coat of what was painted, and one more
// for each stroke that was painted again.
func (l Layer) paint(path []station) []coat {
	if len(path) == 0 {
		return nil
	}
	coats := []coat{{ink: l.Ink, fades: l.Brush.Load > 0}}
	h := hand{Brush: l.Brush}
	for i := 0; i < len(path); {
		end := i + 1
		for end < len(path) && path[end].stroke == path[i].stroke {
			end++
		}
		from := path[max(i-1, 0)]
		dabs := l.stroke(&h, from, path[i:end])
		if m := slices.IndexFunc(l.Mishaps, func(m Mishap) bool { return m.Stroke == path[i].stroke }); m >= 0 {
			var more []coat
			dabs, more = l.Mishaps[m].happen(dabs, l.Ink)
			coats = append(coats, more...)
		}
		coats[0].dabs = append(coats[0].dabs, dabs...)
		i = end
	}
	return coats
}

// stroke follows the moves of one stroke and returns its dabs on the sheet.
func (l Layer) stroke(h *hand, at station, path []station) []dab {
	var out []dab
	for _, to := range path {
		dx, dy, dz := to.x-at.x, to.y-at.y, to.z-at.z
		length := math.Sqrt(float64(dx*dx) + float64(dy*dy) + float64(dz*dz))
		for t := 0.0; t < 1 && min(at.z, to.z) < 2; {
			t = min(1, t+h.stride()/max(length, 1e-9))
			x, y := at.x+float64(dx*t)+h.TipX, at.y+float64(dy*t)+h.TipY
			h.move(x, y, l.press(x, y, at.z+float64(dz*t), to.touchOff))
			if d, marks := h.dab(); marks {
				d.x, d.y = l.Lying.onSheet(d.x, d.y)
				out = append(out, d)
			}
		}
		at = to
	}
	return out
}

// press is how far the tip is below its first touch of the paper.
func (l Layer) press(x, y, z float64, touchOff int) float64 {
	deep := l.Deep
	if n := min(touchOff, len(l.DeepAgain)); n > 0 {
		deep = l.DeepAgain[n-1]
	}
	if l.Bed != nil {
		deep += l.Bed(x, y)
	}
	return deep - z
}

// happen does to a stroke what went wrong with it.
func (m Mishap) happen(dabs []dab, ink Ink) ([]dab, []coat) {
	var more []coat
	if m.Again {
		again := slices.Clone(dabs)
		for i := range again {
			again[i].x += m.ShiftX
			again[i].y += m.ShiftY
		}
		more = append(more, coat{ink: ink, dabs: again})
	}
	if m.Smear > 0 {
		var trail []dab
		for k := 1; k <= 12; k++ {
			share := float64(k) / 12
			for i := 0; i < len(dabs); i += 4 {
				d := dabs[i]
				d.x += float64(share * m.Smear)
				d.ink = 0.5 * (1 - share)
				trail = append(trail, d)
			}
		}
		more = append(more, coat{ink: ink, dabs: trail, fades: true})
	}
	if m.Missing {
		from, to := m.From, m.To
		if from == 0 && to == 0 {
			to = 1
		}
		a, b := int(from*float64(len(dabs))), int(to*float64(len(dabs)))
		dabs = slices.Delete(dabs, max(a, 0), min(b, len(dabs)))
	}
	return dabs, more
}
