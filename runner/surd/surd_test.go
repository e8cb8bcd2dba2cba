package surd_test

import (
	"fmt"
	"math/big"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/runner/surd"
)

// Sums of roots that are equal or nearly so, all from memory.
func TestSign(t *testing.T) {
	var f surd.Field
	n := f.Int
	root := func(v int64) surd.Number { return f.Root(f.Int(v)) }
	add, sub, mul := f.Add, f.Sub, f.Mul
	for _, tt := range []struct {
		name string
		of   func() surd.Number
		want int
	}{
		{"nought", func() surd.Number { return n(0) }, 0},
		{"whole", func() surd.Number { return sub(n(3), n(5)) }, -1},
		{"√49 - 7", func() surd.Number { return sub(root(49), n(7)) }, 0},
		{"√2·√8 - 4", func() surd.Number { return sub(mul(root(2), root(8)), n(4)) }, 0},
		{"√50 - 5√2", func() surd.Number { return sub(root(50), mul(n(5), root(2))) }, 0},
		{"√2·√3 - √6", func() surd.Number { return sub(mul(root(2), root(3)), root(6)) }, 0},
		{"√0", func() surd.Number { return add(root(0), mul(n(-1), f.Root(sub(root(2), root(2))))) }, 0},
		// Pell: 99² = 2·70² + 1.
		{"99 - 70√2", func() surd.Number { return sub(n(99), mul(n(70), root(2))) }, 1},
		{"41 - 29√2", func() surd.Number { return sub(n(41), mul(n(29), root(2))) }, -1},
		{"114243² = 2·80782² + 1", func() surd.Number { return sub(n(114243), mul(n(80782), root(2))) }, 1},
		// The classical denesting √(5+2√6) = √2 + √3.
		{"√2 + √3 - √(5+2√6)", func() surd.Number {
			return sub(add(root(2), root(3)), f.Root(add(n(5), mul(n(2), root(6)))))
		}, 0},
		// D. Shanks, Incredible identities, Fibonacci Quarterly 12 (1974) 271, 280:
		// √5 + √(22+2√5) = √(11+2√29) + √(16-2√29 + 2√(55-10√29)).
		{"Shanks", func() surd.Number {
			left := add(root(5), f.Root(add(n(22), mul(n(2), root(5)))))
			inner := f.Root(sub(n(55), mul(n(10), root(29))))
			right := add(f.Root(add(n(11), mul(n(2), root(29)))), f.Root(add(sub(n(16), mul(n(2), root(29))), mul(n(2), inner))))
			return sub(left, right)
		}, 0},
		// J. O'Rourke, Problem 3, American Mathematical Monthly 88 (1981) 769: sums of
		// k roots of whole numbers to 20 that come nearest to each other.
		{"√10 + √11 - √5 - √18", func() surd.Number { return sub(add(root(10), root(11)), add(root(5), root(18))) }, 1},
		{"√4 + 2√12 - √5 - √6 - √18", func() surd.Number {
			return sub(add(root(4), mul(n(2), root(12))), add(root(5), add(root(6), root(18))))
		}, 1},
		// Differences of roots: (√(n+1) - √n) - (√(m+1) - √m) is positive for n < m.
		{"near differences", func() surd.Number {
			const a, b = 1_000_000_000, 1_000_000_001
			return sub(sub(root(a+1), root(a)), sub(root(b+1), root(b)))
		}, 1},
	} {
		f.Reset()
		v := tt.of()
		if got := f.Sign(v); got != tt.want {
			t.Errorf("%s: sign %d, want %d (%g)", tt.name, got, tt.want, f.Float(v, 200))
		}
		if got := f.Sign(f.Neg(v)); got != -tt.want {
			t.Errorf("%s, reversed: sign %d, want %d", tt.name, got, -tt.want)
		}
	}
}

// Random expressions have the sign that 3,000 bits show, and differ by nothing
// from themselves written otherwise.
func TestSignOfExpressions(t *testing.T) {
	var f surd.Field
	var draw func(t *rapid.T, roots *int, depth int) surd.Number
	draw = func(t *rapid.T, roots *int, depth int) surd.Number {
		op := 0
		if depth > 0 {
			op = rapid.IntRange(0, 4).Draw(t, "op")
		}
		switch op {
		case 1:
			return f.Add(draw(t, roots, depth-1), draw(t, roots, depth-1))
		case 2:
			return f.Sub(draw(t, roots, depth-1), draw(t, roots, depth-1))
		case 3:
			return f.Mul(draw(t, roots, depth-1), draw(t, roots, depth-1))
		case 4:
			if v := draw(t, roots, depth-1); *roots < 4 {
				*roots++
				if f.Sign(v) < 0 {
					v = f.Neg(v)
				}
				return f.Root(v)
			}
		}
		return f.Int(rapid.Int64Range(-30, 30).Draw(t, "whole"))
	}
	rapid.Check(t, func(t *rapid.T) {
		f.Reset()
		roots := 0
		v := draw(t, &roots, 5)
		want := 0
		if x := f.Float(v, 3000); x.MantExp(nil) > -1500 {
			want = x.Sign()
		}
		if got := f.Sign(v); got != want {
			t.Fatalf("sign %d, want %d", got, want)
		}
		w := f.Add(v, f.Int(3))
		if s := f.Sign(f.Sub(f.Mul(w, w), f.Add(f.Mul(v, v), f.Add(f.Mul(f.Int(6), v), f.Int(9))))); s != 0 {
			t.Fatalf("(v+3)² is not v²+6v+9: %d", s)
		}
	})
}

// Float against the library's own root.
func TestFloat(t *testing.T) {
	var f surd.Field
	v := f.Add(f.Int(1), f.Mul(f.Int(-3), f.Root(f.Add(f.Int(7), f.Root(f.Int(2))))))
	two := new(big.Float).SetPrec(500).SetInt64(2)
	want := new(big.Float).SetPrec(500).Add(two.Sqrt(two), new(big.Float).SetInt64(7))
	want.Sqrt(want)
	want.Sub(new(big.Float).SetInt64(1), want.Mul(want, new(big.Float).SetInt64(3)))
	diff := new(big.Float).Sub(f.Float(v, 500), want)
	if diff.Sign() != 0 && diff.MantExp(nil) > -480 {
		t.Errorf("off by %g", diff)
	}
}

func ExampleField() {
	var f surd.Field
	left := f.Add(f.Root(f.Int(2)), f.Root(f.Int(3)))
	right := f.Root(f.Add(f.Int(5), f.Mul(f.Int(2), f.Root(f.Int(6)))))
	fmt.Println(f.Sign(f.Sub(left, right)))
	// Output: 0
}

// BenchmarkSign compares four roots whose sums are equal: the dearest answer.
func BenchmarkSign(b *testing.B) {
	var f surd.Field
	b.ReportAllocs()
	for range b.N {
		f.Reset()
		left := f.Add(f.Root(f.Int(2)), f.Root(f.Int(3)))
		right := f.Root(f.Add(f.Int(5), f.Mul(f.Int(2), f.Root(f.Int(6)))))
		if f.Sign(f.Sub(left, right)) != 0 {
			b.Fatal("unequal")
		}
	}
}
