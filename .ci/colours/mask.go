package main

import (
	"image"
	"math"
	"slices"

	"mahlstick/recipe/colour"
	"mahlstick/runner/drawing"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
	"mahlstick/runner/vector"
)

// mask is the pixels that are painted.
type mask struct {
	wide, high int
	step       float64 // grid steps a pixel
	top        float64 // grid steps from zero to the upper edge
	on         []bool
}

func newMask(d *drawing.Drawing, picture image.Image) *mask {
	b := picture.Bounds()
	return &mask{
		wide: b.Dx(), high: b.Dy(), step: d.PageWidth * plane.PerMM / float64(b.Dx()), top: d.PageHeight * plane.PerMM,
		on: make([]bool, b.Dx()*b.Dy()),
	}
}

// middle is the middle of a pixel in grid steps.
func (m *mask) middle(x, y int) (u, v float64) {
	return (float64(x) + 0.5) * m.step, m.top - (float64(y)+0.5)*m.step
}

// fill paints what lies inside clean rings.
func (m *mask) fill(rings [][]plane.Point) {
	for y := range m.high {
		_, v := m.middle(0, y)
		var cuts []float64
		for _, ring := range rings {
			p := ring[len(ring)-1]
			for _, q := range ring {
				if float64(p.Y) <= v != (float64(q.Y) <= v) {
					cuts = append(cuts, vector.Lerp(float64(p.X), float64(q.X), (v-float64(p.Y))/(float64(q.Y)-float64(p.Y))))
				}
				p = q
			}
		}
		slices.Sort(cuts)
		for i := 0; i+1 < len(cuts); i += 2 {
			for x := max(int(math.Ceil(cuts[i]/m.step-0.5)), 0); x < m.wide; x++ {
				if u, _ := m.middle(x, y); u > cuts[i+1] {
					break
				}
				m.on[y*m.wide+x] = true
			}
		}
	}
}

// line paints a line with widths and round ends.
func (m *mask) line(l stroke.OpenLine) {
	for i := 1; i < len(l.Points); i++ {
		a, b := l.Points[i-1].XY(), l.Points[i].XY()
		r, s := l.Widths[i-1]*plane.PerMM/2, l.Widths[i]*plane.PerMM/2
		most := max(r, s)
		for y := max(int((m.top-max(a.Y, b.Y)-most)/m.step)-1, 0); y < min(int((m.top-min(a.Y, b.Y)+most)/m.step)+2, m.high); y++ {
			for x := max(int((min(a.X, b.X)-most)/m.step)-1, 0); x < min(int((max(a.X, b.X)+most)/m.step)+2, m.wide); x++ {
				u, v := m.middle(x, y)
				if way, share := vector.ToSegment(vector.XY{X: u, Y: v}, a, b); way.Length() <= vector.Lerp(r, s, share) {
					m.on[y*m.wide+x] = true
				}
			}
		}
	}
}

// count compares the mask with a colour of a picture, edges of both left out.
func (m *mask) count(picture image.Image, rgb colour.RGB, t *tally) {
	is := func(x, y int) bool {
		r, g, b, _ := picture.At(x, y).RGBA()
		return uint8(r>>8) == rgb.R && uint8(g>>8) == rgb.G && uint8(b>>8) == rgb.B
	}
	for y := 1; y < m.high-1; y++ {
		for x := 1; x < m.wide-1; x++ {
			here, same := is(x, y), true
			r, g, b, _ := picture.At(x, y).RGBA()
			for n := range 9 {
				r2, g2, b2, _ := picture.At(x+n%3-1, y+n/3-1).RGBA()
				same = same && r == r2 && g == g2 && b == b2
			}
			if !same {
				continue
			}
			on := m.on[y*m.wide+x]
			switch {
			case here && !on:
				t.seen++
				t.missed++
			case here:
				t.seen++
			case on:
				t.beside++
			}
		}
	}
}
