package stroke_test

import (
	"math"
	"slices"

	"mahlstick/runner/plane"
	"mahlstick/runner/region"
	"mahlstick/runner/stroke"
)

// The judge: what was drawn and what is painted, as pixels. It knows regions
// and gestures as data and shares no code with what made them.

// bitmap holds pixels of side px mm; a pixel is the point in its middle.
type bitmap struct {
	px     float64
	x0, y0 float64 // mm, corner of pixel (0, 0)
	w, h   int
	on     []bool
}

func newBitmap(x0, y0, x1, y1, px float64) *bitmap {
	b := &bitmap{px: px, x0: x0, y0: y0, w: int((x1-x0)/px) + 1, h: int((y1-y0)/px) + 1}
	b.on = make([]bool, b.w*b.h)
	return b
}

func (b *bitmap) centre(i, j int) (x, y float64) {
	return b.x0 + (float64(i)+0.5)*b.px, b.y0 + (float64(j)+0.5)*b.px
}

func (b *bitmap) count() int {
	n := 0
	for _, on := range b.on {
		if on {
			n++
		}
	}
	return n
}

// fill sets the pixels inside a region, row by row, by the crossings of its
// edges with the row.
func (b *bitmap) fill(r region.Region) {
	rows := make([][]float64, b.h)
	for _, ring := range r.Rings {
		for k, p := range ring {
			b.cross(rows, p, ring[(k+1)%len(ring)])
		}
	}
	for j, row := range rows {
		slices.Sort(row)
		for k := 0; k+1 < len(row); k += 2 {
			b.set(j, row[k], row[k+1])
		}
	}
}

// cross adds to each row of pixels where the edge from p to q crosses it.
func (b *bitmap) cross(rows [][]float64, p, q plane.Point) {
	x1, y1 := p.MM()
	x2, y2 := q.MM()
	lo, hi := math.Min(y1, y2), math.Max(y1, y2)
	for j := max(0, int((lo-b.y0)/b.px)-1); j < b.h; j++ {
		_, y := b.centre(0, j)
		if y >= hi {
			break
		}
		if y >= lo {
			rows[j] = append(rows[j], x1+(y-y1)*(x2-x1)/(y2-y1))
		}
	}
}

// set sets the pixels of a row from one x (mm) up to before another.
func (b *bitmap) set(j int, from, to float64) {
	for i := max(0, int((from-b.x0)/b.px)-1); i < b.w; i++ {
		x, _ := b.centre(i, j)
		if x >= to {
			break
		}
		if x >= from {
			b.on[j*b.w+i] = true
		}
	}
}

// paint sets the pixels that the mark of a gesture covers: a disc as wide as
// the mark, moved from point to point with its press changing evenly.
func (b *bitmap) paint(g stroke.Gesture, width func(press float64) float64) {
	at := func(p stroke.Point) (x, y float64) { return float64(p.X) / 10000, float64(p.Y) / 10000 }
	x, y := at(g.Points[0])
	r := width(g.Points[0].Press) / 2
	b.sweep(x, y, r, x, y, r)
	for k := 1; k < len(g.Points); k++ {
		p, q := g.Points[k-1], g.Points[k]
		x1, y1 := at(p)
		x2, y2 := at(q)
		// Pieces short enough for the width to change evenly along them.
		n := math.Ceil(math.Hypot(x2-x1, y2-y1)/0.25 + 1)
		for s := 1.0; s <= n; s++ {
			u, v := x1+s/n*(x2-x1), y1+s/n*(y2-y1)
			rr := width(p.Press+s/n*(q.Press-p.Press)) / 2
			b.sweep(x, y, r, u, v, rr)
			x, y, r = u, v, rr
		}
	}
}

// sweep sets the pixels in the convex hull of two discs.
func (b *bitmap) sweep(x1, y1, r1, x2, y2, r2 float64) {
	var quad [][2]float64
	if d := math.Hypot(x2-x1, y2-y1); d > math.Abs(r1-r2) {
		ux, uy := (x2-x1)/d, (y2-y1)/d
		c := (r1 - r2) / d
		s := math.Sqrt(1 - c*c)
		px, py := ux*c-uy*s, uy*c+ux*s
		qx, qy := ux*c+uy*s, uy*c-ux*s
		quad = [][2]float64{{x1 + r1*px, y1 + r1*py}, {x2 + r2*px, y2 + r2*py}, {x2 + r2*qx, y2 + r2*qy}, {x1 + r1*qx, y1 + r1*qy}}
	}
	for j := max(0, int((min(y1-r1, y2-r2)-b.y0)/b.px)-1); j < b.h; j++ {
		_, y := b.centre(0, j)
		if y > max(y1+r1, y2+r2) {
			break
		}
		lo, hi := math.Inf(1), math.Inf(-1)
		if h := r1*r1 - (y-y1)*(y-y1); h >= 0 {
			lo, hi = min(lo, x1-math.Sqrt(h)), max(hi, x1+math.Sqrt(h))
		}
		if h := r2*r2 - (y-y2)*(y-y2); h >= 0 {
			lo, hi = min(lo, x2-math.Sqrt(h)), max(hi, x2+math.Sqrt(h))
		}
		for k, p := range quad {
			q := quad[(k+1)%len(quad)]
			if (p[1] <= y) != (q[1] <= y) {
				x := p[0] + (y-p[1])*(q[0]-p[0])/(q[1]-p[1])
				lo, hi = min(lo, x), max(hi, x)
			}
		}
		if lo <= hi {
			b.set(j, lo, math.Nextafter(hi, math.Inf(1)))
		}
	}
}

// verdict compares what is painted with what was drawn.
type verdict struct {
	coverage, spill float64 // shares of the drawn area
	// How far, in mm, bare pixels inside lie from paint and painted pixels
	// outside from the shape: the 99th percentile over all pixels along the
	// edge, and the largest.
	p99, worst float64
}

// frames gives two empty bitmaps around the regions, with half a mm to spare.
func frames(regions []region.Region, px float64) (drawn, painted *bitmap) {
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, r := range regions {
		for _, p := range r.Rings[0] {
			x, y := p.MM()
			x0, y0, x1, y1 = min(x0, x), min(y0, y), max(x1, x), max(y1, y)
		}
	}
	x0, y0, x1, y1 = x0-0.5, y0-0.5, x1+0.5, y1+0.5
	return newBitmap(x0, y0, x1, y1, px), newBitmap(x0, y0, x1, y1, px)
}

// judge paints the gestures and compares them with the regions.
func judge(regions []region.Region, gestures []stroke.Gesture, width func(float64) float64, px float64) verdict {
	drawn, painted := frames(regions, px)
	for _, r := range regions {
		drawn.fill(r)
	}
	for _, g := range gestures {
		painted.paint(g, width)
	}
	both, spilt := 0, 0
	for i := range drawn.on {
		switch {
		case drawn.on[i] && painted.on[i]:
			both++
		case painted.on[i]:
			spilt++
		}
	}
	total := float64(drawn.count())
	v := verdict{coverage: float64(both) / total, spill: float64(spilt) / total}
	// Every edge pixel of the one is asked for the nearest edge pixel of the
	// other.
	var off []float64
	off = append(off, distances(drawn, painted)...)
	off = append(off, distances(painted, drawn)...)
	slices.Sort(off)
	if len(off) > 0 {
		v.p99, v.worst = off[len(off)*99/100], off[len(off)-1]
	}
	return v
}

// distances gives for every edge pixel of a how far, in mm, the nearest edge
// pixel of b is.
func distances(a, b *bitmap) []float64 {
	field := b.distanceToEdge()
	var out []float64
	for j := range a.h {
		for i := range a.w {
			if a.edge(i, j) {
				out = append(out, math.Sqrt(field[j*a.w+i])*a.px)
			}
		}
	}
	return out
}

func (b *bitmap) at(i, j int) bool {
	return i >= 0 && j >= 0 && i < b.w && j < b.h && b.on[j*b.w+i]
}

// edge reports whether a pixel that is set has a neighbour that is not.
func (b *bitmap) edge(i, j int) bool {
	return b.at(i, j) && !(b.at(i-1, j) && b.at(i+1, j) && b.at(i, j-1) && b.at(i, j+1))
}

// distanceToEdge gives for every pixel the square of its distance, in pixels,
// from the nearest edge pixel (P. F. Felzenszwalb, D. P. Huttenlocher,
// "Distance transforms of sampled functions", Theory of Computing 8, 2012,
// 415-428).
func (b *bitmap) distanceToEdge() []float64 {
	const far = 1e12
	field := make([]float64, b.w*b.h)
	for j := range b.h {
		for i := range b.w {
			if field[j*b.w+i] = far; b.edge(i, j) {
				field[j*b.w+i] = 0
			}
		}
	}
	for i := range b.w {
		transform(b.h, func(j int) *float64 { return &field[j*b.w+i] })
	}
	for j := range b.h {
		transform(b.w, func(i int) *float64 { return &field[j*b.w+i] })
	}
	return field
}

// transform turns a row of n squared distances into those along the row, too:
// the lower envelope of the parabolas that stand on them.
func transform(n int, at func(i int) *float64) {
	f, v, z := make([]float64, n), make([]int, n), make([]float64, n+1)
	for i := range n {
		f[i] = *at(i)
	}
	k := 0
	v[0], z[0], z[1] = 0, math.Inf(-1), math.Inf(1)
	for q := 1; q < n; q++ {
		for {
			p := v[k]
			s := ((f[q] + float64(q*q)) - (f[p] + float64(p*p))) / float64(2*q-2*p)
			if s > z[k] {
				k++
				v[k], z[k], z[k+1] = q, s, math.Inf(1)
				break
			}
			k--
		}
	}
	k = 0
	for q := range n {
		for z[k+1] < float64(q) {
			k++
		}
		*at(q) = float64((q-v[k])*(q-v[k])) + f[v[k]]
	}
}
