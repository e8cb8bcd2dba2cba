package scene

import (
	"cmp"
	"math"
	"slices"
)

// planes is the light of a picture: red, green and blue, as shares of white.
type planes struct {
	w, h int
	c    [3][]float32
}

func newPlanes(w, h int) *planes {
	p := &planes{w: w, h: h}
	for k := range p.c {
		p.c[k] = make([]float32, w*h)
	}
	return p
}

// ground lays the sheet on the lid.
func (p *planes) ground(v view, sheet *Sheet, paper Ink, lid float64) {
	// Back from pixels to the sheet.
	det := float64(v.a*v.e) - float64(v.b*v.d)
	for y := range p.h {
		for x := range p.w {
			px, py := float64(x)+0.5-v.c, float64(y)+0.5-v.f
			sx, sy := (float64(v.e*px)-float64(v.b*py))/det, (float64(v.a*py)-float64(v.d*px))/det
			on := sx >= 0 && sy >= 0 && sx < sheet.Width && sy < sheet.Height
			i := y*p.w + x
			for k := range p.c {
				if p.c[k][i] = float32(lid); on {
					p.c[k][i] = float32(paper[k])
				}
			}
		}
	}
}

// fine is into how many rows a row of pixels is divided for the shares that paint
// covers; along a row the shares are exact.
const fine = 8

// span is a run of paint on a fine row, in pixels.
type span struct{ from, to float64 }

// disc is a dab in pixels.
type disc struct{ x, y, rx, ry, ink float64 }

// lay lays a coat over the picture: what it covers lets a share of the light through.
func (p *planes) lay(v view, c coat) {
	begin := make([][]int32, p.h) // dabs by the first row that they may reach
	discs := make([]disc, len(c.dabs))
	for i, d := range c.dabs {
		x, y := v.at(d.x, d.y)
		discs[i] = disc{x, y, d.r * v.kx, d.r * v.ky, d.ink}
		first, last := int(math.Floor(y-discs[i].ry)), int(y+discs[i].ry)
		if first < p.h && last >= 0 {
			begin[max(first, 0)] = append(begin[max(first, 0)], int32(i))
		}
	}
	share, strength := make([]float32, p.w+1), make([]float32, p.w+1)
	var active []int32
	var spans []span
	for row := range p.h {
		active = append(active, begin[row]...)
		active = slices.DeleteFunc(active, func(i int32) bool { return discs[i].y+discs[i].ry < float64(row) })
		low, high := p.w, 0
		for k := 0; k < fine && len(active) > 0; k++ {
			at := float64(row) + (float64(k)+0.5)/fine
			spans = spans[:0]
			for _, i := range active {
				if s, some := discs[i].span(at, float64(p.w)); some {
					spans = join(spans, s)
					if c.fades {
						strengthen(strength, s, float32(discs[i].ink))
					}
				}
			}
			low, high = union(spans, share, low, high)
		}
		p.dye(row, low, min(high, p.w-1), c, share, strength)
	}
}

// span is what a disc covers of a fine row in a picture of a width; false for nothing.
func (d *disc) span(at, width float64) (span, bool) {
	u := (at - d.y) / d.ry
	left := 1 - float64(u*u)
	if left <= 0 {
		return span{}, false
	}
	half := float64(d.rx * math.Sqrt(left))
	s := span{max(d.x-half, 0), min(d.x+half, width)}
	return s, s.to > s.from
}

// join adds a span to runs; a dab mostly overlaps the one before, and fewer runs are
// sorted faster.
func join(runs []span, s span) []span {
	if n := len(runs) - 1; n >= 0 && s.from <= runs[n].to && s.to >= runs[n].from {
		runs[n] = span{min(runs[n].from, s.from), max(runs[n].to, s.to)}
		return runs
	}
	return append(runs, s)
}

// strengthen notes how much ink lies on the pixels of a span at most.
func strengthen(strength []float32, s span, ink float32) {
	for x := int(s.from); x <= int(s.to); x++ {
		strength[x] = max(strength[x], ink)
	}
}

// union adds to the shares of pixels what runs of a fine row cover, and widens the
// range of pixels that have any.
func union(spans []span, share []float32, low, high int) (int, int) {
	slices.SortFunc(spans, func(a, b span) int { return cmp.Compare(a.from, b.from) })
	for i := 0; i < len(spans); {
		run := spans[i]
		for i++; i < len(spans) && spans[i].from <= run.to; i++ {
			run.to = max(run.to, spans[i].to)
		}
		a, b := int(run.from), int(run.to)
		low, high = min(low, a), max(high, b)
		if a == b {
			share[a] += float32((run.to - run.from) / fine)
			continue
		}
		share[a] += float32((float64(a+1) - run.from) / fine)
		for x := a + 1; x < b; x++ {
			share[x] += 1.0 / fine
		}
		share[b] += float32((run.to - float64(b)) / fine)
	}
	return low, high
}

// dye takes light off a row of pixels and empties the shares.
func (p *planes) dye(row, low, high int, c coat, share, strength []float32) {
	for x := low; x <= high; x++ {
		i := row*p.w + x
		for k := range p.c {
			through := c.ink[k]
			if c.fades && strength[x] < 1 {
				through = math.Pow(through, float64(strength[x])) // Lambert and Beer
			}
			p.c[k][i] *= 1 - float32(share[x]*float32(1-through))
		}
	}
	if low <= high {
		clear(share[low : high+2])
		clear(strength[low : high+2])
	}
}

// blur spreads the light by a standard deviation in pixels.
func (p *planes) blur(sigma float64) {
	reach := int(math.Ceil(3 * sigma))
	weights := make([]float32, reach+1)
	sum := 0.0
	for i := range weights {
		u := float64(i) / sigma
		w := math.Exp(-float64(u*u) / 2)
		weights[i] = float32(w)
		if sum += w; i > 0 {
			sum += w
		}
	}
	for i := range weights {
		weights[i] /= float32(sum)
	}
	for k := range p.c {
		p.along(p.c[k], weights)
		p.down(p.c[k], weights)
	}
}

// along blurs the rows.
func (p *planes) along(c []float32, weights []float32) {
	reach := len(weights) - 1
	row := make([]float32, p.w+2*reach)
	for y := range p.h {
		line := c[y*p.w : (y+1)*p.w]
		copy(row[reach:], line)
		for i := range reach {
			row[i], row[reach+p.w+i] = line[0], line[p.w-1]
		}
		for x := range line {
			v := weights[0] * row[x+reach]
			for i := 1; i <= reach; i++ {
				v += float32(weights[i] * (row[x+reach-i] + row[x+reach+i]))
			}
			line[x] = v
		}
	}
}

// down blurs the columns, a row at a time.
func (p *planes) down(c []float32, weights []float32) {
	reach := len(weights) - 1
	old := make([][]float32, reach+1) // rows as they were, by row modulo reach+1
	for i := range old {
		old[i] = make([]float32, p.w)
	}
	first := slices.Clone(c[:p.w])
	above := func(y int) []float32 {
		if y < 0 {
			return first
		}
		return old[y%(reach+1)]
	}
	for y := range p.h {
		line := c[y*p.w : (y+1)*p.w]
		copy(old[y%(reach+1)], line)
		for x := range line {
			line[x] *= weights[0]
		}
		for i := 1; i <= reach; i++ {
			up, w := above(y-i), weights[i]
			below := c[min(y+i, p.h-1)*p.w:][:p.w]
			if y+i >= p.h && y == p.h-1 { // the last row is its own neighbour
				below = old[y%(reach+1)]
			}
			for x := range line {
				line[x] += float32(w * (up[x] + below[x]))
			}
		}
	}
}
