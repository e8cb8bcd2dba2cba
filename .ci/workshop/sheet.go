package main

import (
	"image"
	"image/png"
	"math"
	"os"
)

// pixel is the size of a pixel of the sheet in mm.
const pixel = 0.05

// picture is a sheet in pixels: whether there is paint.
type picture struct {
	w, h  int
	pixel float64 // mm
	ink   []bool
}

func newPicture(width, height float64) *picture {
	p := &picture{w: int(width / pixel), h: int(height / pixel), pixel: pixel}
	p.ink = make([]bool, p.w*p.h)
	return p
}

func (p *picture) row(y int, from, to float64) {
	if y < 0 || y >= p.h {
		return
	}
	a := max(0, int(math.Ceil(from/p.pixel-0.5)))
	b := min(p.w-1, int(math.Floor(to/p.pixel-0.5)))
	for x := a; x <= b; x++ {
		p.ink[y*p.w+x] = true
	}
}

func (p *picture) disc(d disc) {
	for y := int((d.y - d.r) / p.pixel); y <= int((d.y+d.r)/p.pixel)+1; y++ {
		dy := (float64(y)+0.5)*p.pixel - d.y
		if s := d.r*d.r - dy*dy; s > 0 {
			half := math.Sqrt(s)
			p.row(y, d.x-half, d.x+half)
		}
	}
}

// polygon fills a closed outline, inside by the even-odd rule.
func (p *picture) polygon(outline [][2]float64) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, q := range outline {
		low, high = math.Min(low, q[1]), math.Max(high, q[1])
	}
	for y := int(low / p.pixel); y <= int(high/p.pixel); y++ {
		at := (float64(y) + 0.5) * p.pixel
		var cuts []float64
		for i, a := range outline {
			b := outline[(i+1)%len(outline)]
			if (a[1] <= at) != (b[1] <= at) {
				cuts = append(cuts, a[0]+(b[0]-a[0])*(at-a[1])/(b[1]-a[1]))
			}
		}
		sortFloats(cuts)
		for i := 0; i+1 < len(cuts); i += 2 {
			p.row(y, cuts[i], cuts[i+1])
		}
	}
}

func sortFloats(a []float64) {
	for i := range a {
		for j := i; j > 0 && a[j] < a[j-1]; j-- {
			a[j], a[j-1] = a[j-1], a[j]
		}
	}
}

// shares of what was drawn that is covered, and of what is painted outside of it.
func shares(drawn, painted *picture) (covered, spilt float64) {
	var in, both, out int
	for i, d := range drawn.ink {
		switch {
		case d && painted.ink[i]:
			in, both = in+1, both+1
		case d:
			in++
		case painted.ink[i]:
			out++
		}
	}
	return float64(both) / float64(in), float64(out) / float64(in)
}

// inked are the shares of the pixels of a picture that discs cover. Each pixel is
// sampled at fine by fine places.
func inked(discs []disc, w, h int, pixel float64, fine int) []float32 {
	size := pixel / float64(fine)
	begin := make([][]disc, h*fine) // by the first fine row that they may reach
	for _, d := range discs {
		if row := max(0, int((d.y-d.r)/size)); row < len(begin) && d.y+d.r > 0 {
			begin[row] = append(begin[row], d)
		}
	}
	out := make([]float32, w*h)
	turns := make([]int32, w*fine+1) // +1 where a run of paint begins, -1 where it ends
	part := 1 / float32(fine*fine)
	var active []disc
	for row := range begin {
		at := (float64(row) + 0.5) * size
		active = append(active, begin[row]...)
		left := active[:0]
		for _, d := range active {
			if at < d.y+d.r {
				left = append(left, d)
			}
		}
		if active = left; len(active) == 0 {
			continue
		}
		runs(active, at, size, turns)
		line, depth := out[row/fine*w:], int32(0)
		for x, t := range turns[:w*fine] {
			if depth += t; depth > 0 {
				line[x/fine] += part
			}
		}
		clear(turns)
	}
	return out
}

// runs notes where the runs of paint of a row at a height begin and end.
func runs(active []disc, at, size float64, turns []int32) {
	for _, d := range active {
		s := d.r*d.r - (at-d.y)*(at-d.y)
		if s <= 0 {
			continue
		}
		half := math.Sqrt(s)
		a, b := int(math.Ceil((d.x-half)/size-0.5)), int(math.Floor((d.x+half)/size-0.5))
		if a, b = max(a, 0), min(b, len(turns)-2); a <= b {
			turns[a]++
			turns[b+1]--
		}
	}
}

func writePNG(name string, img image.Image) error {
	f, err := os.Create(name)
	if err != nil {
		return err
	}
	if err := png.Encode(f, img); err != nil {
		return err
	}
	return f.Close()
}
