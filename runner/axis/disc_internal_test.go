package axis

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"mahlstick/runner/plane"
	"mahlstick/runner/region"
	"mahlstick/runner/surd"
)

// The bounds that decide when floating point suffices hold against the exact
// formulas, on discs of all kinds, well and badly determined.
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
			got := d.sites.touching(c.v)
			off, ok := d.off(c.v)
			if !ok {
				t.Fatalf("seed %d cell %d: no disc touches %v", seed, i, c.v)
			}
			kinds[c.v[0]&1+c.v[1]&1+c.v[2]&1]++
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

// off is how far the disc of three sites in floating point lies from the exact
// one, and whether there is one.
func (d *diagram) off(v [3]int32) (float64, bool) {
	e := d.exact()
	got, q := d.sites.touching(v), e.disc(v)
	f := &e.field
	value := func(n surd.Number) *big.Float { return f.Float(n, 400) }
	wide := func(v float64) *big.Float { return new(big.Float).SetPrec(400).SetFloat64(v) }
	w := value(q.w)
	if w.Sign() <= 0 {
		return 0, false
	}
	off := 0.0
	apart := func(have float64, num, den *big.Float) {
		d, _ := num.Sub(num.Quo(num, den), wide(have)).Float64()
		off = math.Max(off, math.Abs(d))
	}
	o := d.sites.pts[q.o]
	apart(got.x-float64(o.X), value(q.x), w)
	apart(got.y-float64(o.Y), value(q.y), w)
	root := wide(float64(q.n))
	apart(got.r, value(q.r), root.Mul(root.Sqrt(root), w))
	return off, true
}

// Corners three by three occur in the diagram before edges come in.
func TestErrorBoundsOfCircumcircles(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 9))
	var d diagram
	for i := range 20_000 {
		span := int32(1) << (3 + i%24)
		q := func() plane.Point { return plane.Point{X: rng.Int32N(span), Y: rng.Int32N(span)} }
		d.sites.pts = []plane.Point{q(), q(), q()}
		if i%2 == 0 { // almost on one line
			d.sites.pts[2] = plane.Point{X: 2*d.sites.pts[1].X - d.sites.pts[0].X, Y: 2*d.sites.pts[1].Y - d.sites.pts[0].Y + rng.Int32N(2)}
		}
		if plane.Turn(d.sites.pts[0], d.sites.pts[1], d.sites.pts[2]) == 0 {
			continue
		}
		got := d.sites.touching([3]int32{0, 2, 4})
		off, ok := d.off([3]int32{0, 2, 4})
		if !ok || off > got.err {
			t.Fatalf("%v: off by %g, bound %g", d.sites.pts, off, got.err)
		}
	}
}
