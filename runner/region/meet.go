package region

import (
	"math/bits"

	"mahlstick/runner/plane"
)

// meeting is how two segments meet.
type meeting int8

const (
	apart   meeting = iota
	atEnds          // in one point, which is an end of both
	touch           // in a point that is an end of at least one, or along a stretch
	crosses         // in one point inside both
)

// meet decides how segments s and t meet, exactly.
func meet(s, t segment) meeting {
	if !s.box().Overlaps(t.box()) {
		return apart
	}
	ta, tb := plane.Turn(s.A, s.B, t.A), plane.Turn(s.A, s.B, t.B)
	if ta > 0 && tb > 0 || ta < 0 && tb < 0 {
		return apart
	}
	sa, sb := plane.Turn(t.A, t.B, s.A), plane.Turn(t.A, t.B, s.B)
	if sa > 0 && sb > 0 || sa < 0 && sb < 0 {
		return apart
	}
	if ta != 0 && tb != 0 && sa != 0 && sb != 0 {
		return crosses
	}
	if ta == 0 && tb == 0 { // on one line, and the boxes overlap
		return meetInLine(s, t)
	}
	if s.A == t.A || s.A == t.B || s.B == t.A || s.B == t.B {
		return atEnds
	}
	return touch
}

// meetInLine is meet for segments on one line whose boxes overlap.
func meetInLine(s, t segment) meeting {
	lo, hi := span(s)
	lo2, hi2 := span(t)
	switch {
	case hi == lo2 || hi2 == lo:
		return atEnds
	case hi.Compare(lo2) < 0 || hi2.Compare(lo) < 0:
		return apart
	}
	return touch
}

// span returns the ends of s in order.
func span(s segment) (lo, hi plane.Point) {
	if s.A.Compare(s.B) > 0 {
		return s.B, s.A
	}
	return s.A, s.B
}

// crossing is the grid point nearest to the point where s and t cross, halves rounded
// up. They must cross inside both.
func crossing(s, t segment) plane.Point {
	// The point is s.A + (s.B-s.A)*num/den with 0 < num < den.
	num, den := plane.Turn(t.A, t.B, s.A), plane.Turn(t.A, t.B, s.A)-plane.Turn(t.A, t.B, s.B)
	if den < 0 {
		num, den = -num, -den
	}
	return plane.Point{
		X: s.A.X + portion(int64(s.B.X)-int64(s.A.X), num, den),
		Y: s.A.Y + portion(int64(s.B.Y)-int64(s.A.Y), num, den),
	}
}

// portion is d*num/den rounded to the nearest integer, halves upwards, exactly.
// 0 <= num <= den < 2^61, |d| < 2^30.
func portion(d, num, den int64) int32 {
	negative := d < 0
	if negative {
		d = -d
	}
	// floor((2*d*num + den) / (2*den)), or for a negative d, with halves
	// upwards, -floor((2*d*num + den - 1) / (2*den)).
	hi, lo := bits.Mul64(uint64(2*d), uint64(num))
	half := uint64(den)
	if negative {
		half--
	}
	lo, carry := bits.Add64(lo, half, 0)
	q, _ := bits.Div64(hi+carry, lo, uint64(2*den))
	if negative {
		return -int32(q)
	}
	return int32(q)
}

// passesCell reports whether s meets the grid cell of p: the square of one grid step
// around p, with its left and lower sides but without its right and upper ones.
func passesCell(s segment, p plane.Point) bool {
	// Twice the coordinates, p in the origin: the cell is -1 <= x, y < 1.
	ax, ay := 2*(int64(s.A.X)-int64(p.X)), 2*(int64(s.A.Y)-int64(p.Y))
	bx, by := 2*(int64(s.B.X)-int64(p.X)), 2*(int64(s.B.Y)-int64(p.Y))
	if ax == 0 && ay == 0 || bx == 0 && by == 0 {
		return true
	}
	// The ends are even: a side of the cell holds neither.
	if max(ax, bx) < -1 || min(ax, bx) >= 1 || max(ay, by) < -1 || min(ay, by) >= 1 {
		return false
	}
	dx, dy := bx-ax, by-ay
	side := func(x, y int64) int64 { return dx*(y-ay) - dy*(x-ax) }
	ll, lr, ur, ul := side(-1, -1), side(1, -1), side(1, 1), side(-1, 1)
	lo, hi := min(ll, lr, ur, ul), max(ll, lr, ur, ul)
	if lo > 0 || hi < 0 {
		return false
	}
	if lo < 0 && hi > 0 {
		return true // the line enters the open cell, and the boxes say the segment does
	}
	// The line only grazes the closed cell, and in a corner: it holds a point
	// with even coordinates, so it cannot run along a side. Of the corners the
	// lower left belongs to the cell.
	return ll == 0 && min(ax, bx) <= -1 && max(ax, bx) >= -1 && min(ay, by) <= -1 && max(ay, by) >= -1
}
