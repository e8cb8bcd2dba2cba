package axis

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

// The bounds that decide when single precision suffices hold against twofold
// precision, on discs of all kinds, well and badly determined.
func TestErrorBoundsOfDiscs(t *testing.T) {
	var b Builder
	var kinds [4]int
	worst := 0.0
	for seed := range uint64(1500) {
		rng := rand.New(rand.NewPCG(seed, 9))
		span := math.Pow(10, 1+7*rng.Float64())
		n := 3 + rng.IntN(40)
		var ring []plane.Point
		for i := range n {
			s, c := math.Sincos(2 * math.Pi * (float64(i) + 0.5*rng.Float64()) / float64(n))
			r := span
			if seed%2 == 0 {
				r *= 0.3 + 0.7*rng.Float64()
			}
			ring = append(ring, plane.Point{X: int32(r * c), Y: int32(r * s * math.Pow(10, -3*float64(seed%5)/5))})
		}
		if b.build(region.Region{Rings: [][]plane.Point{ring}}) != nil {
			continue
		}
		d := &b.diagram
		for i, c := range d.cells {
			got, want := d.touching(c.v), d.touching2(c.v)
			kinds[c.v[0]&1+c.v[1]&1+c.v[2]&1]++
			off := math.Abs(single(got.x).sub(want.x).hi)
			off = math.Max(off, math.Abs(single(got.y).sub(want.y).hi))
			off = math.Max(off, math.Abs(single(got.r).sub(want.r).hi))
			if got.err > 0 {
				worst = math.Max(worst, off/got.err)
			}
			if off > got.err {
				t.Fatalf("seed %d cell %d of %v: off by %g, bound %g", seed, i, c.v, off, got.err)
			}
		}
	}
	t.Logf("worst error %.3f of its bound; discs by number of edges %v", worst, kinds)
	for k, n := range kinds[1:] {
		if n < 100 {
			t.Errorf("only %d discs that touch %d edges", n, k+1)
		}
	}
}

// Corners three by three occur in the diagram before edges come in.
func TestErrorBoundsOfCircumcircles(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 9))
	var d diagram
	for i := range 20_000 {
		span := int32(1) << (3 + i%24)
		q := func() plane.Point { return plane.Point{X: rng.Int32N(span), Y: rng.Int32N(span)} }
		d.pts = []plane.Point{q(), q(), q()}
		if i%2 == 0 { // almost on one line
			d.pts[2] = plane.Point{X: 2*d.pts[1].X - d.pts[0].X, Y: 2*d.pts[1].Y - d.pts[0].Y + rng.Int32N(2)}
		}
		if plane.Turn(d.pts[0], d.pts[1], d.pts[2]) == 0 {
			continue
		}
		got, want := d.touching([3]int32{0, 2, 4}), d.touching2([3]int32{0, 2, 4})
		off := math.Abs(single(got.x).sub(want.x).hi) + math.Abs(single(got.y).sub(want.y).hi) + math.Abs(single(got.r).sub(want.r).hi)
		if off > 3*got.err {
			t.Fatalf("%v: off by %g, bound %g", d.pts, off, got.err)
		}
	}
}

// Twofold numbers keep some 100 bits, against floating point of 300.
func TestTwofold(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 9))
	wide := func(x float64) *big.Float { return new(big.Float).SetPrec(300).SetFloat64(x) }
	value := func(a twofold) *big.Float { return new(big.Float).SetPrec(300).Add(wide(a.hi), wide(a.lo)) }
	near := func(op string, got twofold, want *big.Float, scale float64) {
		t.Helper()
		diff := new(big.Float).Sub(value(got), want)
		if d, _ := diff.Float64(); math.Abs(d) > scale/(1<<50)/(1<<49) {
			t.Fatalf("%s off by %g of %g", op, d, scale)
		}
	}
	draw := func() twofold {
		a := fastSum((rng.Float64()-0.5)*math.Pow(2, float64(rng.IntN(60)-20)), 0)
		return fastSum(a.hi, a.hi*(rng.Float64()-0.5)/(1<<53))
	}
	for range 20_000 {
		a, b := draw(), draw()
		x, y := value(a), value(b)
		z := func() *big.Float { return new(big.Float).SetPrec(300) }
		near("sum", a.add(b), z().Add(x, y), math.Abs(a.hi)+math.Abs(b.hi))
		near("difference", a.sub(b), z().Sub(x, y), math.Abs(a.hi)+math.Abs(b.hi))
		near("product", a.mul(b), z().Mul(x, y), math.Abs(a.hi*b.hi))
		near("quotient", a.div(b), z().Quo(x, y), math.Abs(a.hi/b.hi))
		near("root", a.abs().sqrt(), z().Sqrt(value(a.abs())), math.Sqrt(math.Abs(a.hi)))
	}
	if n := int64(1)<<60 + 1; new(big.Float).Sub(value(whole(n)), new(big.Float).SetPrec(300).SetInt64(n)).Sign() != 0 {
		t.Error("a whole number of 61 bits is not held exactly")
	}
}
