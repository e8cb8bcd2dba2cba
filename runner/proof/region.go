package proof

import (
	"errors"
	"slices"
)

// Vertex is a corner of a ring, mm.
type Vertex struct{ X, Y float64 }

// Region is an area as drawn: closed rings, the last corner joined to the
// first. A point is inside if the sum of the winding numbers of the rings is
// not 0 or, with EvenOdd, odd.
type Region struct {
	Rings   [][]Vertex
	EvenOdd bool
}

// side is a side of a ring, in pixels, directed upwards.
type side struct {
	x, y, slope float64
	first, last int  // rows of pixel centres that it crosses
	wind        int8 // 1 if the ring goes up here, -1 if down
}

// scanFill fills a region row by row, from the bottom up.
type scanFill struct {
	evenOdd     bool
	sides       []side // by first row
	first, last int    // rows
	next        int    // index of the first side that no row has reached
	active      []side
	cuts        []cut
}

// cut is where a side crosses a row.
type cut struct {
	x    float64
	wind int8
}

// newScanFill prepares a region for pixels of the given side (mm); turn converts
// coordinates to those of the pixels. The lower end of a side counts as on the
// row and the upper end does not, so that regions that share a side share no
// pixel.
func newScanFill(r Region, pixel float64, turn func(x, y float64) (float64, float64)) (*scanFill, error) {
	corners := 0
	for _, ring := range r.Rings {
		corners += len(ring)
	}
	s := &scanFill{evenOdd: r.EvenOdd, sides: make([]side, 0, corners)}
	for _, ring := range r.Rings {
		for i, v := range ring {
			w := ring[(i+1)%len(ring)]
			if !(abs(v.X) <= MaxCoord && abs(v.Y) <= MaxCoord) {
				return nil, errors.New("a drawn area has a corner farther away than any machine reaches")
			}
			var a, b Vertex
			a.X, a.Y = turn(v.X, v.Y)
			b.X, b.Y = turn(w.X, w.Y)
			wind := int8(1)
			if a.Y > b.Y {
				a, b, wind = b, a, -1
			}
			ax, ay, bx, by := a.X/pixel-0.5, a.Y/pixel-0.5, b.X/pixel-0.5, b.Y/pixel-0.5
			if !inGrid(ax, ay) || !inGrid(bx, by) {
				return nil, tooWide(pixel)
			}
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

// fill sets the pixels of the region in a row of tiles. Rows must be given from
// the bottom up.
func (s *scanFill) fill(on *tileRow) {
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
		on.work += int64(len(s.active))
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
