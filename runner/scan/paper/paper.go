// Package paper finds the tone of the paper in a scan and how the light falls off over
// it, and what is darker than the paper: the ink.
package paper

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"mahlstick/runner/scan/raster"
	"mahlstick/runner/scan/squares"
)

// longSide is how many pixels the long side of an overview has at most: 4 a mm of A4.
const longSide = 1200

// View is an overview of a scan: its pixels, put together in squares, in parts of
// the light of the paper.
type View struct {
	Width, Height int
	Step          int // pixels of the scan along a side of a square
	// Dark is how much darker than the paper a square is, in the channel in which it
	// is darkest: 0 for paper, 1 for black.
	Dark  []float32
	Noise float32 // standard deviation of Dark on bare paper
	Least float32 // the least Dark that counts as ink
	tone  [3]surface
}

// ErrDark is for a scan on which no paper is light enough to be told from ink, and
// ErrBlank for one of a single tone.
var (
	ErrDark  = errors.New("the scan is too dark")
	ErrBlank = errors.New("nothing is on the scan but one tone")
)

// leastTone is the least light of paper that a scan must have: a tenth of white is a
// sample of 89 in 255.
const leastTone = 0.1

// Survey makes the overview of a scan.
func Survey(m *raster.Image) (*View, error) {
	v := &View{Step: max(1, (max(m.Width, m.Height)+longSide-1)/longSide)}
	v.Width, v.Height = m.Width/v.Step, m.Height/v.Step
	if v.Width == 0 || v.Height == 0 {
		return nil, ErrBlank // a strip that is narrower than a square
	}
	light := v.average(m)
	for c := range v.tone {
		v.tone[c] = toneOf(light[c], v.Width, v.Height)
	}
	middle := v.Tone(float64(m.Width)/2, float64(m.Height)/2)
	if max(middle[0], middle[1], middle[2]) < leastTone {
		return nil, ErrDark
	}
	v.Dark = make([]float32, v.Width*v.Height)
	for y := range v.Height {
		for x := range v.Width {
			most := float32(0)
			for c := range light {
				if paper := v.tone[c].at(float64(x)+0.5, float64(y)+0.5); paper > 0 {
					most = max(most, 1-light[c][y*v.Width+x]/paper)
				}
			}
			v.Dark[y*v.Width+x] = min(most, 1)
		}
	}
	v.Noise = v.noise()
	v.Least = max(leastInk, 6*v.Noise)
	if !slices.ContainsFunc(v.Dark, func(d float32) bool { return d > v.Least }) {
		return nil, ErrBlank
	}
	return v, nil
}

// leastInk is how much darker than paper ink is at least, in the channel in which it
// is darkest. Common practice, no source: pale washes take about a quarter of it.
const leastInk = 0.12

// Tone is the light of bare paper at a pixel of the scan.
func (v *View) Tone(x, y float64) (out [3]float32) {
	// All three have the same terms; this is asked for at each sample of each mark.
	t := v.tone[0].terms(x/float64(v.Step), y/float64(v.Step))
	for c := range out {
		out[c] = v.tone[c].of(&t)
	}
	return out
}

// Ink reports whether a square of the overview is ink.
func (v *View) Ink(x, y int) bool {
	return x >= 0 && y >= 0 && x < v.Width && y < v.Height && v.Dark[y*v.Width+x] > v.Least
}

// average is the mean linear light of each square.
func (v *View) average(m *raster.Image) (out [3][]float32) {
	for c := range out {
		out[c] = make([]float32, v.Width*v.Height)
	}
	share := 1 / float32(v.Step*v.Step)
	for y := range v.Height * v.Step {
		row := m.Pix[3*y*m.Width:]
		at := y / v.Step * v.Width
		for x := range v.Width {
			var r, g, b float32
			for _, k := range [][]uint8{row[3*x*v.Step : 3*(x+1)*v.Step]} {
				for i := 0; i < len(k); i += 3 {
					r, g, b = r+raster.Light[k[i]], g+raster.Light[k[i+1]], b+raster.Light[k[i+2]]
				}
			}
			out[0][at+x] += float32(r * share)
			out[1][at+x] += float32(g * share)
			out[2][at+x] += float32(b * share)
		}
	}
	return out
}

// noise is the scatter of what is near bare paper, from the quarter of the differences
// of neighbours that are least: ink has few of them.
func (v *View) noise() float32 {
	var steps []float64
	for y := 0; y < v.Height; y += 3 {
		for x := 1; x < v.Width; x += 3 {
			if d := v.Dark[y*v.Width+x] - v.Dark[y*v.Width+x-1]; d != 0 {
				steps = append(steps, math.Abs(float64(d)))
			}
		}
	}
	if len(steps) < 100 {
		return 0
	}
	slices.Sort(steps)
	// Half of a normal distribution's absolute values lie below 0.6745 standard
	// deviations; differences have √2 of them.
	return float32(steps[len(steps)/2] / 0.6745 / math.Sqrt2)
}

// surface is a polynomial of the second degree over the overview; its coordinates
// run from -1 to 1.
type surface struct {
	k             [6]float64
	width, height float64
}

func (s *surface) terms(x, y float64) [6]float64 {
	x, y = 2*x/s.width-1, 2*y/s.height-1
	return [6]float64{1, x, y, x * x, x * y, y * y}
}

func (s *surface) at(x, y float64) float32 {
	t := s.terms(x, y)
	return s.of(&t)
}

// of is the light where the terms have these values.
func (s *surface) of(t *[6]float64) float32 {
	k := &s.k
	return float32(float64(t[0]*k[0]) + float64(t[1]*k[1]) + float64(t[2]*k[2]) + float64(t[3]*k[3]) + float64(t[4]*k[4]) + float64(t[5]*k[5]))
}

const (
	blocks     = 24   // squares of the overview along a side of a block
	lightShare = 0.85 // of the pixels of a block are darker than its tone
	nearTone   = 0.03 // as a part of the tone: blocks further below the paper are not paper
)

// toneOf is the tone of the paper in one channel: a surface through the light parts of
// blocks, of which those that are darker than it, because there is ink or no paper, are left
// out step by step.
func toneOf(light []float32, width, height int) surface {
	type sample struct {
		x, y, tone float64
		rim        bool // it touches the edge of the scan
	}
	var samples []sample
	var values []float32
	for top := 0; top < height; top += blocks {
		for left := 0; left < width; left += blocks {
			values = values[:0]
			for y := top; y < min(top+blocks, height); y++ {
				values = append(values, light[y*width+left:y*width+min(left+blocks, width)]...)
			}
			slices.Sort(values)
			samples = append(samples, sample{float64(left+min(left+blocks, width)) / 2, float64(top+min(top+blocks, height)) / 2,
				float64(values[int(lightShare*float64(len(values)-1))]), left == 0 || top == 0 || left+blocks >= width || top+blocks >= height})
		}
	}
	slices.SortFunc(samples, func(a, b sample) int { return cmp.Compare(a.tone, b.tone) })
	s := surface{width: float64(width), height: float64(height)}
	var tones []float64
	for _, p := range samples {
		if !p.rim {
			tones = append(tones, p.tone)
		}
	}
	if len(tones) == 0 { // a small scan is all rim
		tones = []float64{samples[len(samples)/2].tone}
	}
	s.k[0] = lightestOfMany(tones)
	least, most := 0.75, 1.3
	for range 8 {
		sums := squares.New(len(s.k))
		n := 0
		for _, p := range samples {
			if at := float64(s.at(p.x, p.y)); p.tone < least*at || p.tone > most*at {
				continue
			}
			t := s.terms(p.x, p.y)
			sums.Add(t[:], p.tone, 1)
			n++
		}
		for i := range s.k {
			sums.Hold(i, 0, 1e-6*float64(n)) // few blocks leave some terms free: they stay near 0
		}
		k, _, ok := sums.Solve()
		if !ok {
			break
		}
		copy(s.k[:], k)
		least, most = min(1-nearTone, least+0.06), max(1+nearTone, most-0.06)
	}
	return s
}

// lightestOfMany is the lightest tone that many blocks have, give or take a tenth: paper
// rather than a rim of lighter lid. The tones rise.
func lightestOfMany(tones []float64) float64 {
	const many = 0.15 // of the blocks
	for i := len(tones) - 1; i >= 0; i-- {
		below := i
		for below > 0 && tones[below-1] > 0.8*tones[i] {
			below--
		}
		if float64(i-below+1) >= many*float64(len(tones)) {
			return tones[(i+below)/2]
		}
	}
	return tones[len(tones)/2]
}
