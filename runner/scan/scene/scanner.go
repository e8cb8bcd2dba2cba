package scene

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"math/rand/v2"
)

// Scanner is a flatbed and how the sheet lies on it. Its zero lies exact, at 300
// dots an inch.
type Scanner struct {
	DPI            float64 // dots an inch; 300 if 0
	Turn           float64 // degrees, counter-clockwise as seen
	UpsideDown     bool    // turned by 180 degrees more
	Mirrored       bool    // seen from behind
	ErrorX, ErrorY float64 // shares by which distances along the scanner's axes are too long
	Blur           float64 // standard deviation, pixels
	Noise          float64 // standard deviation, share of the byte of white
	Falloff        float64 // share of light that is missing along the farther long edge
	Paper          Ink     // share of light that the paper sends back; 0.94 for each colour if 0
	Lid            float64 // the same of the lid; 0: as dark as a shadow
	Border         float64 // mm of lid round the sheet
	Linear         bool    // bytes are shares of light; else they are encoded as IEC 61966-2-1 (sRGB) says
	Seed           uint64
}

// view takes places of the sheet to the scanner's pixels.
type view struct {
	a, b, c, d, e, f float64 // x = a X + b Y + c, y = d X + e Y + f
	kx, ky           float64 // pixels a mm along each axis
	w, h             int
}

func (v view) at(x, y float64) (float64, float64) {
	return float64(v.a*x) + float64(v.b*y) + v.c, float64(v.d*x) + float64(v.e*y) + v.f
}

func (s Scanner) view(width, height float64) view {
	dpi := s.DPI
	if dpi == 0 {
		dpi = 300
	}
	k := dpi / 25.4
	v := view{kx: k * (1 + s.ErrorX), ky: k * (1 + s.ErrorY)}
	angle := s.Turn * math.Pi / 180
	if s.UpsideDown {
		angle += math.Pi
	}
	c, sn := math.Cos(angle), math.Sin(angle)
	flip := 1.0
	if s.Mirrored {
		flip = -1
	}
	v.a, v.b = v.kx*c*flip, -v.kx*sn
	v.d, v.e = -v.ky*sn*flip, -v.ky*c // rows count downwards
	v.w = int(math.Ceil(v.kx * (width + 2*s.Border)))
	v.h = int(math.Ceil(v.ky * (height + 2*s.Border)))
	mx, my := v.at(width/2, height/2)
	v.c, v.f = float64(v.w)/2-mx, float64(v.h)/2-my
	return v
}

// Scan is the picture of the sheet.
func (s Scanner) Scan(sheet *Sheet) *image.NRGBA {
	v := s.view(sheet.Width, sheet.Height)
	p := newPlanes(v.w, v.h)
	paper := s.Paper
	if paper == (Ink{}) {
		paper = Ink{0.94, 0.94, 0.94}
	}
	p.ground(v, sheet, paper, s.Lid)
	for _, c := range sheet.coats {
		p.lay(v, c)
	}
	if s.Blur > 0 {
		p.blur(s.Blur)
	}
	return p.develop(s)
}

// PNG is the picture of the sheet in a file.
func (s Scanner) PNG(sheet *Sheet) ([]byte, error) {
	var b bytes.Buffer
	e := png.Encoder{CompressionLevel: png.BestSpeed}
	err := e.Encode(&b, s.Scan(sheet))
	return b.Bytes(), err
}

// JPEG is the same, compressed to a quality from 1 to 100.
func (s Scanner) JPEG(sheet *Sheet, quality int) ([]byte, error) {
	var b bytes.Buffer
	img := s.Scan(sheet)
	// Nothing is transparent, and the encoder is faster at this kind of picture.
	err := jpeg.Encode(&b, &image.RGBA{Pix: img.Pix, Stride: img.Stride, Rect: img.Rect}, &jpeg.Options{Quality: quality})
	return b.Bytes(), err
}

// develop makes a picture of the light: falloff along the width, noise, bytes.
func (p *planes) develop(s Scanner) *image.NRGBA {
	img := image.NewNRGBA(image.Rect(0, 0, p.w, p.h))
	grain, code := normals(s.Seed), codes(s.Linear)
	r := rand.NewPCG(s.Seed, 1)
	for y := range p.h {
		for x := range p.w {
			i := y*p.w + x
			// The light weakens towards the right, slowly at first.
			u := float32(x) / float32(p.w)
			light := levels * (1 - float32(float32(s.Falloff)*u*u))
			bits := r.Uint64()
			pix := img.Pix[4*i : 4*i+4 : 4*i+4]
			for k := range 3 {
				n := grain[bits&(grains-1)] * float32(s.Noise)
				bits >>= 16
				value := code[max(0, min(levels, int(light*p.c[k][i])))] + float32(255*n) + 0.5
				pix[k] = uint8(max(0, min(255, value)))
			}
			pix[3] = 255
		}
	}
	return img
}

const (
	grains = 1 << 16
	levels = 1 << 14 // of light, before it is encoded
)

// codes are the bytes, not yet rounded, for levels of light.
func codes(linear bool) []float32 {
	out := make([]float32, levels+1)
	for i := range out {
		v := (float64(i) + 0.5) / levels
		switch {
		case linear:
		case v <= 0.0031308:
			v *= 12.92
		default:
			v = float64(1.055*math.Pow(v, 1/2.4)) - 0.055
		}
		out[i] = float32(255 * v)
	}
	return out
}

// normals are random numbers of a normal distribution.
func normals(seed uint64) []float32 {
	r := rand.New(rand.NewPCG(seed, 2))
	out := make([]float32, grains)
	for i := range out {
		out[i] = float32(r.NormFloat64())
	}
	return out
}

// Grey is the picture without colours: the mean of the three.
func Grey(img *image.NRGBA) *image.Gray {
	out := image.NewGray(img.Bounds())
	for i := range out.Pix {
		p := img.Pix[4*i:]
		out.Pix[i] = uint8((int(p[0]) + int(p[1]) + int(p[2])) / 3)
	}
	return out
}

// Spot puts a round spot on a picture, for faults that no painter makes.
func Spot(img *image.NRGBA, x, y, radius int, c color.NRGBA) {
	for dy := -radius; dy <= radius; dy++ {
		for dx := -radius; dx <= radius; dx++ {
			if dx*dx+dy*dy <= radius*radius && image.Pt(x+dx, y+dy).In(img.Rect) {
				img.SetNRGBA(x+dx, y+dy, c)
			}
		}
	}
}

// Pixel is where a place of the sheet, in mm, lies in the picture, in pixels from its
// upper left corner.
func (s Scanner) Pixel(sheet *Sheet, x, y float64) (float64, float64) {
	return s.view(sheet.Width, sheet.Height).at(x, y)
}
