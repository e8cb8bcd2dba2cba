// Package surd finds the exact sign of expressions made of whole numbers, sums,
// products and square roots.
//
// A number is kept as a + b·√d, where a, b and d are whole or numbers of that
// kind themselves. If a and b have the same sign, that is its sign; if not, the
// sign of a² - b²d shows which of the two parts is greater. The method needs no
// bound on how near to zero a number may be, and roots may depend on each
// other. (Textbook algebra, from memory.)
package surd

import (
	"math"
	"math/big"
	"math/bits"
)

// A Field holds the square roots that its numbers are made of, and their
// memory. The zero Field is ready; it must not be used by two goroutines at
// once.
type Field struct {
	roots []Number // the radicand of each root
	ints  []*big.Int
	used  int
	parts []*big.Int // of numbers
}

// Number is a number of one Field, until its Reset. Of 2^k parts, part i
// belongs to the product of the roots whose bits are set in i.
type Number []*big.Int

// Reset drops all numbers and roots, and keeps their memory for reuse.
func (f *Field) Reset() { f.roots, f.used, f.parts = f.roots[:0], 0, f.parts[:0] }

// number allocates a number of n parts, to be set by the caller.
func (f *Field) number(n int) Number {
	from := len(f.parts)
	if from+n > cap(f.parts) {
		// Numbers made before keep the old memory.
		f.parts, from = make([]*big.Int, 0, 2*cap(f.parts)+n+64), 0
	}
	f.parts = f.parts[:from+n]
	return f.parts[from : from+n : from+n]
}

// whole makes a number of one part.
func (f *Field) whole(v *big.Int) Number {
	n := f.number(1)
	n[0] = v
	return n
}

func (f *Field) next() *big.Int {
	if f.used == len(f.ints) {
		f.ints = append(f.ints, new(big.Int))
	}
	f.used++
	return f.ints[f.used-1]
}

// Int is a whole number.
func (f *Field) Int(n int64) Number { return f.whole(f.next().SetInt64(n)) }

// Root is the square root of n, which must not be negative.
func (f *Field) Root(n Number) Number {
	if len(n) == 1 {
		if r := f.wholeRoot(n[0]); r != nil {
			return f.whole(r)
		}
	}
	k := 0
	for k < len(f.roots) && !equal(f.roots[k], n) {
		k++
	}
	if k == len(f.roots) {
		f.roots = append(f.roots, n)
	}
	out := f.number(2 << k)
	for i := range out {
		out[i] = f.next().SetInt64(0)
	}
	out[1<<k].SetInt64(1)
	return out
}

// wholeRoot is the square root of v if it is a whole number, else nil.
func (f *Field) wholeRoot(v *big.Int) *big.Int {
	if v.BitLen() <= 52 { // a float64 holds v and its whole root exactly
		x := v.Int64()
		r := int64(math.Sqrt(float64(x)))
		if r*r != x {
			return nil
		}
		return f.next().SetInt64(r)
	}
	if r := f.next().Sqrt(v); f.next().Mul(r, r).Cmp(v) == 0 {
		return r
	}
	return nil
}

func equal(a, b Number) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i].Cmp(b[i]) != 0 {
			return false
		}
	}
	return true
}

// Add is a + b.
func (f *Field) Add(a, b Number) Number {
	if len(a) < len(b) {
		a, b = b, a
	}
	out := f.number(len(a))
	for i := range a {
		if i < len(b) {
			out[i] = f.next().Add(a[i], b[i])
		} else {
			out[i] = a[i]
		}
	}
	return short(out)
}

// Sub is a - b.
func (f *Field) Sub(a, b Number) Number { return f.Add(a, f.Neg(b)) }

// Neg is -a.
func (f *Field) Neg(a Number) Number {
	out := f.number(len(a))
	for i := range a {
		out[i] = f.next().Neg(a[i])
	}
	return out
}

// Mul is a·b.
func (f *Field) Mul(a, b Number) Number {
	if len(a) < len(b) {
		a, b = b, a
	}
	if len(a) == 1 {
		return f.whole(f.next().Mul(a[0], b[0]))
	}
	h := len(a) / 2
	a0, a1 := short(a[:h]), short(a[h:])
	if len(b) <= h {
		return f.join(f.Mul(a0, b), f.Mul(a1, b), h)
	}
	b0, b1 := short(b[:h]), short(b[h:])
	d := f.roots[bits.Len(uint(h))-1]
	return f.join(f.Add(f.Mul(a0, b0), f.Mul(f.Mul(a1, b1), d)), f.Add(f.Mul(a0, b1), f.Mul(a1, b0)), h)
}

// join is a + b times the root whose number has 2h parts.
func (f *Field) join(a, b Number, h int) Number {
	if zero(b) {
		return a
	}
	out := f.number(2 * h)
	for i := range h {
		if out[i] = nothing; i < len(a) {
			out[i] = a[i]
		}
		if out[h+i] = nothing; i < len(b) {
			out[h+i] = b[i]
		}
	}
	return out
}

var nothing = new(big.Int) // never written to

func zero(a Number) bool { return len(a) == 1 && a[0].Sign() == 0 }

// short drops the upper half of a number while it is zero.
func short(a Number) Number {
	for len(a) > 1 {
		for _, v := range a[len(a)/2:] {
			if v.Sign() != 0 {
				return a
			}
		}
		a = a[:len(a)/2]
	}
	return a
}

// Sign is -1, 0 or 1.
func (f *Field) Sign(a Number) int {
	if a = short(a); len(a) == 1 {
		return a[0].Sign()
	}
	h := len(a) / 2
	p, q := short(a[:h]), short(a[h:])
	d := f.roots[bits.Len(uint(h))-1]
	sp, sq := f.Sign(p), f.Sign(q)*f.Sign(d)
	switch {
	case sp == 0:
		return sq
	case sq == 0 || sp == sq:
		return sp
	}
	return sp * f.Sign(f.Sub(f.Mul(p, p), f.Mul(f.Mul(q, q), d)))
}

// Float is the value of a, computed with prec bits.
func (f *Field) Float(a Number, prec uint) *big.Float {
	if len(a) == 1 {
		return new(big.Float).SetPrec(prec).SetInt(a[0])
	}
	h := len(a) / 2
	root := f.Float(f.roots[bits.Len(uint(h))-1], prec)
	if root.Sign() < 0 { // below zero by rounding
		root.SetInt64(0)
	}
	root.Sqrt(root)
	return root.Add(f.Float(a[:h], prec), root.Mul(root, f.Float(a[h:], prec)))
}
