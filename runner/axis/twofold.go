package axis

import "math"

// twofold is an unevaluated sum of two floating point numbers, the second
// below half an ulp of the first: some 106 bits.
//
// Source: T. J. Dekker, A floating-point technique for extending the
// available precision, Numer. Math. 18 (1971) 224-242 (from memory).
type twofold struct{ hi, lo float64 }

// whole is n, exactly.
func whole(n int64) twofold {
	hi := float64(n)
	return twofold{hi, float64(n - int64(hi))}
}

func single(x float64) twofold { return twofold{x, 0} }

func fastSum(a, b float64) twofold {
	s := a + b
	return twofold{s, b - (s - a)}
}

func sum2(a, b float64) (float64, float64) {
	s := a + b
	t := s - a
	return s, (a - (s - t)) + (b - t)
}

func split(a float64) (float64, float64) {
	c := float64(134217729 * a)
	hi := c - (c - a)
	return hi, a - hi
}

func product2(a, b float64) (float64, float64) {
	p := float64(a * b)
	ah, al := split(a)
	bh, bl := split(b)
	e := float64(ah*bh) - p
	e += float64(ah * bl)
	e += float64(al * bh)
	return p, e + float64(al*bl)
}

func (a twofold) neg() twofold { return twofold{-a.hi, -a.lo} }

func (a twofold) add(b twofold) twofold {
	s, e := sum2(a.hi, b.hi)
	t, f := sum2(a.lo, b.lo)
	v := fastSum(s, e+t)
	return fastSum(v.hi, v.lo+f)
}

func (a twofold) sub(b twofold) twofold { return a.add(b.neg()) }

func (a twofold) mul(b twofold) twofold {
	p, e := product2(a.hi, b.hi)
	return fastSum(p, e+(float64(a.hi*b.lo)+float64(a.lo*b.hi)))
}

func (a twofold) div(b twofold) twofold {
	q := a.hi / b.hi
	r := a.sub(b.mul(single(q)))
	q2 := r.hi / b.hi
	r = r.sub(b.mul(single(q2)))
	return fastSum(q, q2).add(single(r.hi / b.hi))
}

func (a twofold) sqrt() twofold {
	if a.hi <= 0 {
		return twofold{}
	}
	r := math.Sqrt(a.hi)
	p, e := product2(r, r)
	d := a.sub(twofold{p, e})
	return fastSum(r, d.hi/(2*r))
}

func (a twofold) abs() twofold {
	if a.hi < 0 {
		return a.neg()
	}
	return a
}

func (a twofold) twice() twofold { return twofold{2 * a.hi, 2 * a.lo} }
func (a twofold) half() twofold  { return twofold{a.hi / 2, a.lo / 2} }

var one = twofold{1, 0}
