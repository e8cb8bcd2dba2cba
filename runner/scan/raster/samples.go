package raster

import (
	"image"
	"image/color"
)

// samples are the pixels of a decoded picture as 8 bits of red, green and blue.
// What is transparent lies on white. Bits below the eighth are dropped: they are
// less than the noise of a scanner.
func samples(from image.Image) *Image {
	b := from.Bounds()
	out := &Image{Width: b.Dx(), Height: b.Dy(), Pix: make([]uint8, 3*b.Dx()*b.Dy())}
	for y := range out.Height {
		row := out.Pix[3*y*out.Width : 3*(y+1)*out.Width]
		switch m := from.(type) {
		case *image.Gray:
			for x, v := range m.Pix[y*m.Stride : y*m.Stride+out.Width] {
				row[3*x], row[3*x+1], row[3*x+2] = v, v, v
			}
		case *image.Gray16:
			for x := range out.Width {
				v := m.Pix[y*m.Stride+2*x]
				row[3*x], row[3*x+1], row[3*x+2] = v, v, v
			}
		case *image.RGBA:
			premultiplied(row, m.Pix[y*m.Stride:], 4, 1)
		case *image.RGBA64:
			premultiplied(row, m.Pix[y*m.Stride:], 8, 2)
		case *image.YCbCr:
			for x := range out.Width {
				at, chroma := m.YOffset(b.Min.X+x, b.Min.Y+y), m.COffset(b.Min.X+x, b.Min.Y+y)
				row[3*x], row[3*x+1], row[3*x+2] = color.YCbCrToRGB(m.Y[at], m.Cb[chroma], m.Cr[chroma])
			}
		default:
			for x := range out.Width {
				r, g, bl, a := m.At(b.Min.X+x, b.Min.Y+y).RGBA()
				white := 0xffff - a
				row[3*x], row[3*x+1], row[3*x+2] = uint8((r+white)>>8), uint8((g+white)>>8), uint8((bl+white)>>8)
			}
		}
	}
	return out
}

// premultiplied copies a row of samples that were multiplied by how opaque they are;
// each pixel has so many bytes, of which the first of each sample counts.
func premultiplied(row, pix []uint8, pixel, sample int) {
	for x := range len(row) / 3 {
		p := pix[pixel*x : pixel*x+pixel]
		white := 0xff - p[3*sample]
		row[3*x], row[3*x+1], row[3*x+2] = plus(p[0], white), plus(p[sample], white), plus(p[2*sample], white)
	}
}

func plus(v, white uint8) uint8 { return uint8(min(int(v)+int(white), 255)) }

// At is the linear light of a place between the pixels' middles, in red, green and
// blue; x and y are counted from the corner of the first pixel. It is false beyond the
// middles of the outermost pixels.
func (m *Image) At(x, y float64) (out [3]float32, ok bool) {
	x, y = x-0.5, y-0.5
	if !(x >= 0 && y >= 0 && x <= float64(m.Width-1) && y <= float64(m.Height-1)) { // NaN as well
		return out, false
	}
	left, top := min(int(x), m.Width-2), min(int(y), m.Height-2)
	fx, fy := float32(x-float64(left)), float32(y-float64(top))
	at := 3 * (top*m.Width + left)
	for c := range 3 {
		a, b := Light[m.Pix[at+c]], Light[m.Pix[at+3+c]]
		d, e := Light[m.Pix[at+3*m.Width+c]], Light[m.Pix[at+3*m.Width+3+c]]
		upper, lower := a+float32(fx*(b-a)), d+float32(fx*(e-d))
		out[c] = upper + float32(fy*(lower-upper))
	}
	return out, true
}
