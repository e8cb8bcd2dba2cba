package main

import (
	"bufio"
	"bytes"
	"fmt"
	"math"
	"math/bits"
	"slices"
	"strconv"
)

// mark is a piece of a brush mark: the discs between two, mm.
type mark struct{ x0, y0, r0, x1, y1, r1 float64 }

// marks reads what a program paints: straight moves below the paper, each as
// wide as the brush is at its press. The words are those of ISO 6983-1.
func marks(program []byte, width func(press float64) float64) ([]mark, error) {
	var out []mark
	var x, y, z float64
	in := bufio.NewScanner(bytes.NewReader(program))
	for in.Scan() {
		line := in.Bytes()
		if i := bytes.IndexAny(line, "(;"); i >= 0 {
			line = line[:i]
		}
		nx, ny, nz, moves := x, y, z, false
		for _, word := range bytes.Fields(line) {
			if word[0] != 'X' && word[0] != 'Y' && word[0] != 'Z' && !(word[0] == 'G' && (string(word) == "G2" || string(word) == "G3" || string(word) == "G53")) {
				continue
			}
			if word[0] == 'G' {
				return nil, fmt.Errorf("%s: only straight moves are read here", line)
			}
			v, err := strconv.ParseFloat(string(word[1:]), 64)
			if err != nil {
				return nil, err
			}
			moves = true
			switch word[0] {
			case 'X':
				nx = v
			case 'Y':
				ny = v
			case 'Z':
				nz = v
			}
		}
		if moves && z <= 0 && nz <= 0 {
			out = append(out, mark{x, y, width(-z) / 2, nx, ny, width(-nz) / 2})
		}
		x, y, z = nx, ny, nz
	}
	return out, in.Err()
}

// band is some rows of pixels.
type band struct {
	px           float64
	first, rows  int
	words, wide  int
	drawn, paint []uint64
}

func (b *band) y(row int) float64 { return (float64(b.first+row) + 0.5) * b.px }

// set sets the pixels of a row whose middles are from x0 to x1.
func (b *band) set(to []uint64, row int, x0, x1 float64) {
	i, j := int(math.Ceil(x0/b.px-0.5)), int(math.Floor(x1/b.px-0.5))
	i, j = max(i, 0), min(j, b.wide-1)
	if i > j {
		return
	}
	line := to[row*b.words : (row+1)*b.words]
	if i>>6 == j>>6 {
		line[i>>6] |= ^uint64(0) << (i & 63) & (^uint64(0) >> (63 - j&63))
		return
	}
	line[i>>6] |= ^uint64(0) << (i & 63)
	for k := i>>6 + 1; k < j>>6; k++ {
		line[k] = ^uint64(0)
	}
	line[j>>6] |= ^uint64(0) >> (63 - j&63)
}

func (b *band) rowsOf(low, high float64) (int, int) {
	return max(int(math.Ceil(low/b.px-0.5))-b.first, 0), min(int(math.Floor(high/b.px-0.5))-b.first, b.rows-1)
}

// fill sets what is inside a shape.
func (b *band) fill(edges [][2]point) {
	rows := make([][]float64, b.rows)
	for _, e := range edges {
		p, q := e[0], e[1]
		from, to := b.rowsOf(min(p.y, q.y), max(p.y, q.y))
		for r := from; r <= to; r++ {
			y := b.y(r)
			if (p.y <= y) != (q.y <= y) {
				rows[r] = append(rows[r], p.x+(y-p.y)*(q.x-p.x)/(q.y-p.y))
			}
		}
	}
	for r, xs := range rows {
		slices.Sort(xs)
		for k := 0; k+1 < len(xs); k += 2 {
			b.set(b.drawn, r, xs[k], xs[k+1])
		}
	}
}

// sweep sets the pixels in the hull of two discs.
func (b *band) sweep(m mark) {
	dx, dy := m.x1-m.x0, m.y1-m.y0
	d := math.Hypot(dx, dy)
	var corners [4]point
	hull := d > math.Abs(m.r0-m.r1)
	if hull {
		ux, uy := dx/d, dy/d
		c := (m.r0 - m.r1) / d
		s := math.Sqrt(1 - c*c)
		ax, ay, bx, by := ux*c-uy*s, uy*c+ux*s, ux*c+uy*s, uy*c-ux*s
		corners = [4]point{{m.x0 + m.r0*ax, m.y0 + m.r0*ay}, {m.x1 + m.r1*ax, m.y1 + m.r1*ay}, {m.x1 + m.r1*bx, m.y1 + m.r1*by}, {m.x0 + m.r0*bx, m.y0 + m.r0*by}}
	}
	from, to := b.rowsOf(min(m.y0-m.r0, m.y1-m.r1), max(m.y0+m.r0, m.y1+m.r1))
	for r := from; r <= to; r++ {
		y := b.y(r)
		low, high := math.Inf(1), math.Inf(-1)
		for _, disc := range [2][3]float64{{m.x0, m.y0, m.r0}, {m.x1, m.y1, m.r1}} {
			if h := disc[2]*disc[2] - (y-disc[1])*(y-disc[1]); h >= 0 {
				low, high = min(low, disc[0]-math.Sqrt(h)), max(high, disc[0]+math.Sqrt(h))
			}
		}
		if hull {
			for k, p := range corners {
				q := corners[(k+1)%4]
				if (p.y <= y) != (q.y <= y) {
					x := p.x + (y-p.y)*(q.x-p.x)/(q.y-p.y)
					low, high = min(low, x), max(high, x)
				}
			}
		}
		if low <= high {
			b.set(b.paint, r, low, high)
		}
	}
}

// cover is what painted marks do to what was drawn, mm².
type cover struct{ drawn, covered, spilt float64 }

// compare counts the pixels of side px whose middles are drawn and painted.
// The shapes are moved by dx, dy to where the program paints them.
func compare(p *picture, dx, dy float64, painted []mark, px float64) cover {
	const rows = 256
	wide, high := int((p.width+2*dx)/px)+1, int((p.height+2*dy)/px)+1
	bands := (high + rows - 1) / rows
	byBand := make([][]int32, bands) // marks
	within := func(low, high float64) (int, int) {
		return max(int(low/px/rows)-1, 0), min(int(high/px/rows)+1, bands-1)
	}
	for i, m := range painted {
		from, to := within(min(m.y0-m.r0, m.y1-m.r1), max(m.y0+m.r0, m.y1+m.r1))
		for k := from; k <= to; k++ {
			byBand[k] = append(byBand[k], int32(i))
		}
	}
	edges := make([][][][2]point, bands) // by band, then shape
	for i := range edges {
		edges[i] = make([][][2]point, len(p.shapes))
	}
	for s, shape := range p.shapes {
		for _, ring := range shape {
			for i, a := range ring {
				b := ring[(i+1)%len(ring)]
				a, b := point{a.x + dx, a.y + dy}, point{b.x + dx, b.y + dy}
				from, to := within(min(a.y, b.y), max(a.y, b.y))
				for k := from; k <= to; k++ {
					edges[k][s] = append(edges[k][s], [2]point{a, b})
				}
			}
		}
	}
	var drawn, covered, spilt int
	words := wide/64 + 1
	for k := range bands {
		b := band{px: px, first: k * rows, rows: rows, words: words, wide: wide, drawn: make([]uint64, words*rows), paint: make([]uint64, words*rows)}
		for _, list := range edges[k] {
			if len(list) > 0 {
				b.fill(list)
			}
		}
		for _, i := range byBand[k] {
			b.sweep(painted[i])
		}
		for i, d := range b.drawn {
			drawn += bits.OnesCount64(d)
			covered += bits.OnesCount64(d & b.paint[i])
			spilt += bits.OnesCount64(b.paint[i] &^ d)
		}
	}
	area := px * px
	return cover{float64(drawn) * area, float64(covered) * area, float64(spilt) * area}
}
