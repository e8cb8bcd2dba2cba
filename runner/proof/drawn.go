package proof

import (
	"errors"
	"slices"
)

// Vertex is a corner of a ring, mm.
type Vertex struct{ X, Y float64 }

// Region is an area as drawn: closed rings, the last corner joined to the
// first. A point is inside where the rings wind round it (in sum) any number
// of times but zero, or, with EvenOdd, an odd number of times.
type Region struct {
	Rings   [][]Vertex
	EvenOdd bool
}

// side is a side of a ring in pixels, going up.
type side struct {
	x, y, slope float64
	first, last int // rows of pixel centres that it crosses
	wind        int8
}

// scan goes up through a region row by row.
type scan struct {
	evenOdd     bool
	sides       []side // by first row
	first, last int    // rows
	next        int    // side not met yet
	active      []side
	cuts        []cut
}

type cut struct {
	x    float64
	wind int8
}

// newScan prepares a region for a grid of the given pixel, whose coordinates
// turn gives. Which sides cross a row is decided half-open, so that regions
// that share a side share no pixel.
func newScan(r Region, pixel float64, turn func(x, y float64) (float64, float64)) (*scan, error) {
	s := &scan{evenOdd: r.EvenOdd}
	for _, ring := range r.Rings {
		for i, v := range ring {
			w := ring[(i+1)%len(ring)]
			if !(abs(v.X) <= MaxCoord && abs(v.Y) <= MaxCoord) {
				return nil, errors.New("a drawn area has a corner that is farther away than any machine reaches")
			}
			var a, b Vertex
			a.X, a.Y = turn(v.X, v.Y)
			b.X, b.Y = turn(w.X, w.Y)
			wind := int8(1)
			if a.Y > b.Y {
				a, b, wind = b, a, -1
			}
			ax, ay, bx, by := a.X/pixel-0.5, a.Y/pixel-0.5, b.X/pixel-0.5, b.Y/pixel-0.5
			first, last := ceil(ay), ceil(by)-1
			if first > last {
				continue
			}
			s.sides = append(s.sides, side{x: ax, y: ay, slope: (bx - ax) / (by - ay), first: first, last: last, wind: wind})
		}
	}
	slices.SortStableFunc(s.sides, func(a, b side) int { return a.first - b.first })
	for i, d := range s.sides {
		if i == 0 {
			s.first, s.last = d.first, d.last
		}
		s.last = max(s.last, d.last)
	}
	return s, nil
}

// fill sets the pixels of the region in a strip. Strips must come from the
// bottom up.
func (s *scan) fill(on *strip) {
	for row := max(s.first, on.bottom); row <= min(s.last, on.bottom+tile-1); row++ {
		s.active = slices.DeleteFunc(s.active, func(d side) bool { return d.last < row })
		for s.next < len(s.sides) && s.sides[s.next].first <= row {
			s.active = append(s.active, s.sides[s.next])
			s.next++
		}
		s.cuts = s.cuts[:0]
		for _, d := range s.active {
			s.cuts = append(s.cuts, cut{d.x + float64((float64(row)-d.y)*d.slope), d.wind})
		}
		on.work += len(s.active)
		slices.SortFunc(s.cuts, func(a, b cut) int {
			switch {
			case a.x < b.x:
				return -1
			case a.x > b.x:
				return 1
			}
			return int(a.wind) - int(b.wind)
		})
		winding := 0
		for i, c := range s.cuts {
			inside := winding != 0
			if s.evenOdd {
				inside = i%2 == 1
			}
			winding += int(c.wind)
			if inside {
				on.span(row-on.bottom, ceil(s.cuts[i-1].x), ceil(c.x)-1)
			}
		}
	}
}

func abs(v float64) float64 { return max(v, -v) }
