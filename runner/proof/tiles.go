package proof

import "math/bits"

// tile is the side in pixels of the squares in which areas are counted: as many
// as a word has bits.
const tile = 64

// edgeSlack is how far outside a shape, in pixels, the centre of a pixel may be
// and still count as inside: more than rounding errors, less than anything
// drawn.
const edgeSlack = 1e-9

// tileRow is one row of tiles: tile rows of pixels, one bit a pixel. Coordinates
// are in pixels; the centre of pixel (i, j) is at (i, j).
type tileRow struct {
	left   int // column of the first bit, a multiple of tile
	words  int // in a row of pixels
	bottom int // row of the first bit
	bits   []uint64
	lo, hi int              // words with any bit set: lo to hi-1
	work   int64            // words set and rows visited so far
	ends   [tile][2]float64 // of a convex polygon, by row
}

func newTileRow(left, words int) *tileRow {
	return &tileRow{left: left, words: words, bits: make([]uint64, words*tile), lo: words}
}

// begin clears the row and moves it to the given bottom.
func (s *tileRow) begin(bottom int) {
	if s.lo < s.hi {
		for row := range tile {
			clear(s.bits[row*s.words+s.lo : row*s.words+s.hi])
		}
	}
	s.bottom, s.lo, s.hi = bottom, s.words, 0
}

// span sets the pixels of one row from column a to b, both included.
func (s *tileRow) span(row, a, b int) {
	a, b = max(a-s.left, 0), min(b-s.left, s.words*tile-1)
	s.work++
	if a > b {
		return
	}
	from, to := a/tile, b/tile
	s.lo, s.hi = min(s.lo, from), max(s.hi, to+1)
	first, last := ^uint64(0)<<(a%tile), ^uint64(0)>>(tile-1-b%tile)
	line := s.bits[row*s.words : (row+1)*s.words]
	if from == to {
		line[from] |= first & last
		return
	}
	line[from] |= first
	for i := from + 1; i < to; i++ {
		line[i] = ^uint64(0)
	}
	line[to] |= last
	s.work += int64(to - from)
}

// rows returns the first and last row of pixels with centres between two
// heights.
func (s *tileRow) rows(low, high float64) (from, to int) {
	return max(ceil(low-edgeSlack)-s.bottom, 0), min(floor(high+edgeSlack)-s.bottom, tile-1)
}

// disc sets the pixels whose centres are within r of (x, y).
func (s *tileRow) disc(x, y, r float64) {
	from, to := s.rows(y-r, y+r)
	r2 := float64(r * r)
	for row := from; row <= to; row++ {
		dy := float64(row+s.bottom) - y
		half := sqrt(max(0, r2-float64(dy*dy))) + edgeSlack
		s.span(row, ceil(x-half), floor(x+half))
	}
}

// convex sets the pixels whose centres are in a convex polygon.
func (s *tileRow) convex(corners *[4][2]float64) {
	low, high := corners[0][1], corners[0][1]
	for _, c := range corners[1:] {
		low, high = min(low, c[1]), max(high, c[1])
	}
	from, to := s.rows(low, high)
	if from > to {
		return
	}
	for row := from; row <= to; row++ {
		s.ends[row] = [2]float64{1e18, -1e18}
	}
	for i := range corners {
		a, b := corners[i], corners[(i+1)%4]
		if a[1] > b[1] {
			a, b = b, a
		}
		left, right := min(a[0], b[0]), max(a[0], b[0])
		first, last := s.rows(a[1], b[1])
		height := b[1] - a[1]
		slope := (b[0] - a[0]) / height
		for row := first; row <= last; row++ {
			e := &s.ends[row]
			if height < edgeSlack { // level: both ends are on this row
				e[0], e[1] = min(e[0], left), max(e[1], right)
				continue
			}
			x := a[0] + float64((float64(row+s.bottom)-a[1])*slope)
			x = min(max(x, left), right)
			e[0], e[1] = min(e[0], x), max(e[1], x)
		}
	}
	for row := from; row <= to; row++ {
		if e := s.ends[row]; e[0] <= e[1] {
			s.span(row, ceil(e[0]-edgeSlack), floor(e[1]+edgeSlack))
		}
	}
}

// sumBits is the number of bits set in a word, and the sums of their columns and
// rows.
func sumBits(word uint64, row int) (n, columns, rows int) {
	for w := word; w != 0; w &= w - 1 {
		columns += bits.TrailingZeros64(w)
	}
	n = bits.OnesCount64(word)
	return n, columns, n * row
}

// ones is the number of bits set in a word.
func ones(word uint64) int64 { return int64(bits.OnesCount64(word)) }

// floor is the greatest whole number not greater than v.
func floor(v float64) int {
	i := int(v)
	if float64(i) > v {
		i--
	}
	return i
}

// ceil is the least whole number not less than v.
func ceil(v float64) int {
	i := int(v)
	if float64(i) < v {
		i++
	}
	return i
}
