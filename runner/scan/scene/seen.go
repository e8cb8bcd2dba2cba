package scene

import (
	"image"
	"math"

	"mahlstick/runner/vector"
)

// Seen is a picture of a sheet whose place in it is known, for tests of what comes
// after finding it.
type Seen struct {
	img   *image.NRGBA
	view  view
	light [256]float32
}

// Look scans a sheet.
func (s Scanner) Look(sheet *Sheet) *Seen {
	out := &Seen{img: s.Scan(sheet), view: s.view(sheet.Width, sheet.Height)}
	for b := range out.light {
		v := float64(b) / 255
		switch {
		case s.Linear:
		case v <= 0.04045:
			v /= 12.92
		default:
			v = math.Pow((v+0.055)/1.055, 2.4)
		}
		out.light[b] = float32(v)
	}
	return out
}

// At is the linear light of a place of the sheet, in mm; false beyond the picture.
func (s *Seen) At(p vector.XY) (out [3]float32, on bool) {
	x, y := s.view.at(p.X, p.Y)
	x, y = x-0.5, y-0.5
	i, j := int(math.Floor(x)), int(math.Floor(y))
	if !image.Pt(i, j).In(s.img.Rect) || !image.Pt(i+1, j+1).In(s.img.Rect) {
		return out, false
	}
	u, v := float32(x-float64(i)), float32(y-float64(j))
	upper := s.img.Pix[s.img.PixOffset(i, j):][:8]
	lower := s.img.Pix[s.img.PixOffset(i, j+1):][:8]
	for k := range out {
		a, b := s.light[upper[k]], s.light[upper[k+4]]
		c, d := s.light[lower[k]], s.light[lower[k+4]]
		top, bottom := a+float32(u*(b-a)), c+float32(u*(d-c))
		out[k] = top + float32(v*(bottom-top))
	}
	return out, true
}
