package plane

import "math/bits"

// InCircle is positive where d lies inside the circle through a, b, c (which
// turn left), negative outside, zero on it.
//
// The answer is exact for points whose coordinates differ by less than 2^29
// grid steps (53 m): the determinant is worked out in floating point with a
// bound on its error, and in 128-bit integers where the bound does not settle
// the sign.
//
// Source of the test and its error bound: J. R. Shewchuk, Adaptive precision
// floating-point arithmetic and fast robust geometric predicates, Discrete
// Comput. Geom. 18 (1997) 305-363 (from memory).
func InCircle(a, b, c, d Point) int {
	ax, ay := int64(a.X)-int64(d.X), int64(a.Y)-int64(d.Y)
	bx, by := int64(b.X)-int64(d.X), int64(b.Y)-int64(d.Y)
	cx, cy := int64(c.X)-int64(d.X), int64(c.Y)-int64(d.Y)
	// With differences below 2^29 every number here stays below 2^59.
	la, lb, lc := ax*ax+ay*ay, bx*bx+by*by, cx*cx+cy*cy
	bc, ca, ab := bx*cy-by*cx, cx*ay-cy*ax, ax*by-ay*bx

	ta := float64(float64(la) * float64(bc))
	tb := float64(float64(lb) * float64(ca))
	tc := float64(float64(lc) * float64(ab))
	det := ta + tb + tc
	bound := inCircleError * (abs(ta) + abs(tb) + abs(tc))
	if det > bound {
		return 1
	}
	if det < -bound {
		return -1
	}
	hi, lo := product(la, bc)
	for _, f := range [...][2]int64{{lb, ca}, {lc, ab}} {
		h, l := product(f[0], f[1])
		var carry uint64
		lo, carry = bits.Add64(lo, l, 0)
		hi += h + int64(carry)
	}
	switch {
	case hi < 0:
		return -1
	case hi > 0 || lo > 0:
		return 1
	}
	return 0
}

// inCircleError bounds the rounding of a sum of three products of two
// integers, each rounded once: five roundings of half an ulp at most, with
// room to spare.
const inCircleError = 8.0 / (1 << 53)

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}

// product of two signed numbers as a 128-bit two's complement number.
func product(a, b int64) (hi int64, lo uint64) {
	h, l := bits.Mul64(uint64(a), uint64(b))
	hi = int64(h)
	if a < 0 {
		hi -= b
	}
	if b < 0 {
		hi -= a
	}
	return hi, l
}
