package paper_test

import (
	"errors"
	"image"
	"math"
	"testing"

	"mahlstick/runner/scan/paper"
	"mahlstick/runner/scan/raster"
)

// code is the byte of a share of light (IEC 61966-2-1, the encoding of sRGB).
func code(light float64) uint8 {
	v := 12.92 * light
	if light > 0.0031308 {
		v = 1.055*math.Pow(light, 1/2.4) - 0.055
	}
	return uint8(math.Round(255 * max(0, min(1, v))))
}

// picture is a scan by the light of each pixel.
func picture(width, height int, light func(x, y int) float64) *raster.Image {
	m := &raster.Image{Width: width, Height: height, Pix: make([]uint8, 3*width*height)}
	for y := range height {
		for x := range width {
			v := code(light(x, y))
			i := 3 * (y*width + x)
			m.Pix[i], m.Pix[i+1], m.Pix[i+2] = v, v, v
		}
	}
	return m
}

// falloff is light that is 0.9 in the middle of the left edge and gets less to the right and
// to both sides: a polynomial of the second degree, as it is taken to be.
func falloff(width, height int) func(x, y int) float64 {
	return func(x, y int) float64 {
		u, v := float64(x)/float64(width), float64(y)/float64(height)-0.5
		return 0.9 * (1 - 0.08*u*u - 0.12*v*v)
	}
}

// The tone of the paper is found over all of the scan, within 1 %, whatever lies on it: ink
// over a third of it, or a rim that is darker or lighter.
func TestTone(t *testing.T) {
	const width, height = 620, 440
	light := falloff(width, height)
	inked := image.Rect(100, 60, 360, 390)
	inside := image.Rect(40, 40, width-40, height-40)
	for name, of := range map[string]func(x, y int) float64{
		"bare": light,
		"inked": func(x, y int) float64 {
			if image.Pt(x, y).In(inked) && (x+y)%40 < 24 {
				return 0.05
			}
			return light(x, y)
		},
		"dark rim": func(x, y int) float64 {
			if !image.Pt(x, y).In(inside) {
				return 0.1
			}
			return light(x, y) * (1 - 0.3*float64(min(1, max(0, (x/7+y/9)%8-6))))
		},
		"light rim": func(x, y int) float64 {
			if !image.Pt(x, y).In(image.Rect(20, 20, width-20, height-20)) {
				return 0.99
			}
			if x%50 < 5 {
				return 0.2
			}
			return 0.8 * light(x, y)
		},
	} {
		v, err := paper.Survey(picture(width, height, of))
		if name == "bare" {
			// Bytes are steps of light, and no ink is among them.
			if !errors.Is(err, paper.ErrBlank) {
				t.Errorf("bare paper: %v", err)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		share := 1.0
		if name == "light rim" {
			share = 0.8
		}
		worst := 0.0
		for y := inside.Min.Y; y < inside.Max.Y; y += 20 {
			for x := inside.Min.X; x < inside.Max.X; x += 20 {
				for _, tone := range v.Tone(float64(x), float64(y)) {
					worst = max(worst, math.Abs(float64(tone)/(share*light(x, y))-1))
				}
			}
		}
		t.Logf("%s: within %.2f %%", name, 100*worst)
		if worst > 0.01 {
			t.Errorf("%s: the tone of the paper is off by %.2f %%", name, 100*worst)
		}
	}
}

// Ink is what is darker than the paper at its place, in any channel, and nothing else: the
// far end of the falloff is as dark as pale ink at the light end.
func TestInk(t *testing.T) {
	const width, height = 600, 400
	light := falloff(width, height)
	blot := image.Rect(250, 150, 320, 230)
	m := picture(width, height, light)
	for y := blot.Min.Y; y < blot.Max.Y; y++ {
		for x := blot.Min.X; x < blot.Max.X; x++ {
			m.Pix[3*(y*width+x)+2] = code(0.75 * light(x, y)) // yellow: only blue is taken away
		}
	}
	v, err := paper.Survey(m)
	if err != nil {
		t.Fatal(err)
	}
	for y := range v.Height {
		for x := range v.Width {
			square := image.Rect(x*v.Step, y*v.Step, (x+1)*v.Step, (y+1)*v.Step)
			if in := square.In(blot); in != v.Ink(x, y) && (in || !square.Overlaps(blot)) {
				t.Fatalf("ink at %v: %v", square, v.Ink(x, y))
			}
		}
	}
	if dark := v.Dark[(190/v.Step)*v.Width+280/v.Step]; math.Abs(float64(dark)-0.25) > 0.02 {
		t.Errorf("ink that takes a quarter of the blue light is %.3f dark", dark)
	}
	if v.Ink(-1, 0) || v.Ink(0, v.Height) {
		t.Error("ink beyond the scan")
	}
}

// A scan of less than a tenth of white is too dark, whatever is on it; the smallest
// pictures do no harm.
func TestTooDark(t *testing.T) {
	dim := picture(300, 200, func(x, y int) float64 {
		if x > 100 && x < 150 {
			return 0.01
		}
		return 0.08
	})
	if _, err := paper.Survey(dim); !errors.Is(err, paper.ErrDark) {
		t.Errorf("a dark scan: %v", err)
	}
	for _, size := range []image.Point{{1, 1}, {1, 5000}, {5000, 1}, {3, 2}, {25, 24}} {
		_, err := paper.Survey(picture(size.X, size.Y, func(int, int) float64 { return 0.8 }))
		if !errors.Is(err, paper.ErrBlank) {
			t.Errorf("%v of one tone: %v", size, err)
		}
	}
}

// Any picture has an overview or an error, and what it says is finite.
func FuzzSurvey(f *testing.F) {
	f.Add(uint16(4), []byte{255, 255, 255, 0, 0, 0, 200, 100, 50, 255, 255, 255})
	f.Add(uint16(1), []byte{12})
	f.Add(uint16(1300), []byte("a strip of some pixels that is repeated"))
	f.Fuzz(func(t *testing.T, width uint16, data []byte) {
		w := 1 + int(width)%3000
		h := 1 + len(data)%200
		if len(data) == 0 {
			return
		}
		m := &raster.Image{Width: w, Height: h, Pix: make([]uint8, 3*w*h)}
		for i := range m.Pix {
			m.Pix[i] = data[(i+i/251)%len(data)]
		}
		v, err := paper.Survey(m)
		if err != nil {
			return
		}
		for _, tone := range v.Tone(float64(w)/2, float64(h)/2) {
			if math.IsNaN(float64(tone)) || math.IsInf(float64(tone), 0) {
				t.Fatalf("the tone of the paper is %v", tone)
			}
		}
		for _, d := range v.Dark {
			if math.IsNaN(float64(d)) || d > 1 {
				t.Fatalf("a square is %v dark", d)
			}
		}
	})
}
