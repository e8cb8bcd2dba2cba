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

// TestExactDecisions compares exact decisions with what the words of their
// definitions give in floating point of 600 bits: on squares of a grid, where
// much comes out even, and on outlines turned out of it.
func TestExactDecisions(t *testing.T) {
	signs := decisionSigns{t: t, met: map[string]*[3]int{}}
	for seed := range uint64(80) {
		rng := rand.New(rand.NewPCG(seed, 21))
		w, h := 1+rng.IntN(6), 1+rng.IntN(6)
		full := 0.4 + 0.6*rng.Float64()
		grid := make([]bool, w*h)
		for i := range grid {
			grid[i] = rng.Float64() < full
		}
		for _, r := range outlines(func(x, y int) bool { return grid[y*w+x] }, w, h, []int32{1, 3, 1000}[rng.IntN(3)]) {
			signs.try(r, rng)
			// Turned by a right triangle of 3, 4 and 5, sides of whole length.
			for _, ring := range r.Rings {
				for i, p := range ring {
					ring[i] = plane.Point{X: 4*p.X - 3*p.Y, Y: 3*p.X + 4*p.Y}
				}
			}
			signs.try(r, rng)
		}
		var ring []plane.Point
		n := 3 + rng.IntN(12)
		for i := range n {
			s, c := math.Sincos(2 * math.Pi * (float64(i) + 0.5*rng.Float64()) / float64(n))
			span := 50 * math.Pow(10, float64(seed%5)) * (0.3 + 0.7*rng.Float64())
			ring = append(ring, plane.Point{X: int32(span * c), Y: int32(span * s)})
		}
		signs.try(region.Region{Rings: [][]plane.Point{ring}}, rng)
	}
	for what, n := range signs.met {
		t.Logf("%s: %d below, %d even, %d above", what, n[0], n[1], n[2])
		for _, k := range n {
			if k < 30 {
				t.Errorf("%s: too few of one kind: %v", what, *n)
			}
		}
	}
	if len(signs.met) != 4 {
		t.Errorf("only %d decisions met", len(signs.met))
	}
}

// decisionSigns counts the signs with which decisions came out.
type decisionSigns struct {
	t       *testing.T
	builder Builder
	met     map[string]*[3]int
}

// same compares a decision with the number of which it is the sign.
func (ds *decisionSigns) same(what string, got int, want *big.Float) {
	ds.t.Helper()
	sign := want.Sign()
	if want.MantExp(nil) < -300 {
		sign = 0
	}
	if got != sign {
		ds.t.Fatalf("%s: sign %d of %g", what, got, want)
	}
	if ds.met[what] == nil {
		ds.met[what] = &[3]int{}
	}
	ds.met[what][got+1]++
}

// try makes decisions on a region's diagram.
func (ds *decisionSigns) try(r region.Region, rng *rand.Rand) {
	if ds.builder.build(r) != nil {
		return
	}
	d := &ds.builder.diagram
	for range 200 {
		n := rng.Int32N(int32(len(d.cells)))
		s := rng.Int32N(int32(len(d.sites.pts)))
		c := d.cells[n]
		q := d.wide(n)
		u := d.wideLine(s)
		ds.same("beyond", d.exact().beyond(s, c.v, s), q.less(d, s).dot(u))
		ds.same("deep", d.exact().depthSign(s, c.v), sub(q.r, u.cross(q.less(d, s))))
		k := int32(rng.IntN(3))
		for range 2 {
			ds.along(d, n, s, k)
			k = (k + 1) % 3
		}
	}
}

// along makes decisions on the stretch that side k of cell n stands for.
func (ds *decisionSigns) along(d *diagram, n, s, k int32) {
	c, q, u := d.cells[n], d.wide(n), d.wideLine(s)
	i, o := c.v[k], c.v[after3[k]]
	if i&1 == 1 {
		i, o = o, i
	}
	if i&1 == 1 {
		return
	}
	f := q.less(d, i>>1)
	var along wideVector
	if o&1 == 0 {
		along = q.less(d, i>>1).sub(q.less(d, o>>1)).left()
	} else {
		m := d.wideLine(o >> 1)
		along = wideVector{sub(mul(m.x, q.r), f.y), add(f.x, mul(m.y, q.r))}
	}
	// What the depth of s grows by: the growth of the radius less that of the
	// distance from its line.
	ds.same("rises", d.exact().rises(s, c.v, i>>1, o), add(mul(q.r, along.cross(u)), f.dot(along)))
	if link := c.link[k]; o&1 == 1 && link >= 0 {
		to := d.wide(link >> 2)
		ds.same("order", d.exact().order(c.v, d.cells[link>>2].v, o>>1), to.less(d, s).sub(q.less(d, s)).dot(d.wideLine(o>>1)))
	}
}

// wideVector, discs and lines, in floating point of 600 bits.
type wideVector struct{ x, y *big.Float }

const prec = 600

func whole(n int64) *big.Float       { return new(big.Float).SetPrec(prec).SetInt64(n) }
func add(a, b *big.Float) *big.Float { return new(big.Float).SetPrec(prec).Add(a, b) }
func sub(a, b *big.Float) *big.Float { return new(big.Float).SetPrec(prec).Sub(a, b) }
func mul(a, b *big.Float) *big.Float { return new(big.Float).SetPrec(prec).Mul(a, b) }

func (a wideVector) sub(b wideVector) wideVector   { return wideVector{sub(a.x, b.x), sub(a.y, b.y)} }
func (a wideVector) dot(b wideVector) *big.Float   { return add(mul(a.x, b.x), mul(a.y, b.y)) }
func (a wideVector) cross(b wideVector) *big.Float { return sub(mul(a.x, b.y), mul(a.y, b.x)) }
func (a wideVector) left() wideVector              { return wideVector{sub(whole(0), a.y), a.x} }

type wideDisc struct {
	wideVector
	r *big.Float
}

func (d *diagram) wide(n int32) wideDisc {
	e := d.exact()
	q := e.disc(d.cells[n].v)
	value := func(v surd.Number) *big.Float { return e.field.Float(v, prec) }
	w := value(q.w)
	part := func(v *big.Float) *big.Float { return new(big.Float).SetPrec(prec).Quo(v, w) }
	root := whole(q.n)
	at := d.sites.pts[q.o]
	return wideDisc{
		wideVector{add(part(value(q.x)), whole(int64(at.X))), add(part(value(q.y)), whole(int64(at.Y)))},
		new(big.Float).SetPrec(prec).Quo(part(value(q.r)), root.Sqrt(root)),
	}
}

// less is the wideVector from a corner to the centre.
func (q wideDisc) less(d *diagram, p int32) wideVector {
	return q.wideVector.sub(wideVector{whole(int64(d.sites.pts[p].X)), whole(int64(d.sites.pts[p].Y))})
}

func (d *diagram) wideLine(s int32) wideVector {
	ux, uy := d.sites.along(s)
	l := whole(ux*ux + uy*uy)
	l.Sqrt(l)
	return wideVector{new(big.Float).SetPrec(prec).Quo(whole(ux), l), new(big.Float).SetPrec(prec).Quo(whole(uy), l)}
}
