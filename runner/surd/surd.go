// Package surd tells the sign of expressions in whole numbers, sums, products
// and square roots, exactly.
//
// A number is kept as a + b·√d, where a, b and d are whole or numbers of that
// kind themselves. Its sign is that of a and b where they agree; where not, that
// of a² - b²d says which of the two parts is the greater. No bound on how near
// to zero a number may be is needed, and none of how its roots depend on each
// other. (Textbook algebra, from memory.)
package surd

import (
	"math/big"
	"math/bits"
)

// A Field holds the square roots that its numbers are made of, and their
// memory. The zero Field is ready; it must not be used by two goroutines at
// once.
type Field struct {
	roots []Number // what each root is the root of
	ints  []*big.Int
	used  int
}

// Number is a number of one Field, until its Reset. Of 2^k parts, part i
// belongs to the product of the roots whose bits are set in i.
type Number []*big.Int

// Reset forgets all numbers and roots and keeps their memory.
func (f *Field) Reset() { f.roots, f.used = f.roots[:0], 0 }

func (f *Field) next() *big.Int {
	if f.used == len(f.ints) {
		f.ints = append(f.ints, new(big.Int))
	}
	f.used++
	return f.ints[f.used-1]
}

// Int is a whole number.
func (f *Field) Int(n int64) Number { return Number{f.next().SetInt64(n)} }

// Root is the square root of n, which must not be negative.
func (f *Field) Root(n Number) Number {
	if len(n) == 1 {
		if r := f.next().Sqrt(n[0]); f.next().Mul(r, r).Cmp(n[0]) == 0 {
			return Number{r}
		}
	}
	k := 0
	for k < len(f.roots) && !equal(f.roots[k], n) {
		k++
	}
	if k == len(f.roots) {
		f.roots = append(f.roots, n)
	}
	out := make(Number, 2<<k)
	for i := range out {
		out[i] = f.next().SetInt64(0)
	}
	out[1<<k].SetInt64(1)
	return out
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
	out := make(Number, len(a))
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
	out := make(Number, len(a))
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
		return Number{f.next().Mul(a[0], b[0])}
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
	out := make(Number, 2*h)
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

// short leaves out the upper half as long as it is zero.
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

// Float is the value of a, worked out with numbers of so many bits.
func (f *Field) Float(a Number, prec uint) *big.Float {
	if len(a) == 1 {
		return new(big.Float).SetPrec(prec).SetInt(a[0])
	}
	h := len(a) / 2
	root := f.Float(f.roots[bits.Len(uint(h))-1], prec)
	if root.Sign() < 0 { // rounded from nought
		root.SetInt64(0)
	}
	root.Sqrt(root)
	return root.Add(f.Float(a[:h], prec), root.Mul(root, f.Float(a[h:], prec)))
}
