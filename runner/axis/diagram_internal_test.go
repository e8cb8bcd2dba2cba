package axis

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

// check compares every corner of a finished diagram with the outline itself:
// its disc touches its three sites, and no edge reaches into it.
func check(t *testing.T, d *diagram) {
	t.Helper()
	bad := 0
	wrong := func(format string, args ...any) {
		if bad++; bad < 5 {
			t.Errorf(format, args...)
		}
	}
	for i, c := range d.cells {
		q := d.discs[i]
		near := math.Inf(1)
		for s := range d.sites.pts {
			near = math.Min(near, d.distance(int32(2*s+1), q.x, q.y))
		}
		if math.Abs(near-q.r) > 0.01+2*q.err {
			wrong("cell %d of sites %v: centre %.3f %.3f radius %.4f (±%.2g), outline at %.4f", i, c.v, q.x, q.y, q.r, q.err, near)
		}
		for _, v := range c.v {
			if dist := d.distance(v, q.x, q.y); math.Abs(dist-q.r) > 0.01+2*q.err {
				wrong("cell %d: site %d at %.4f, radius %.4f", i, v, dist, q.r)
			}
		}
		for k := range c.link {
			if err := d.checkLink(int32(i), int32(k)); err != nil {
				t.Fatal(err)
			}
		}
	}
	if bad > 0 {
		t.Fatalf("%d of %d cells are wrong; work %+v", bad, len(d.cells), d.counts)
	}
}

// checkLink compares side k of cell i with what the neighbour says of it.
func (d *diagram) checkLink(i, k int32) error {
	c := d.cells[i]
	link := c.link[k]
	if link < 0 {
		if link != border {
			return fmt.Errorf("cell %d still has a wall", i)
		}
		return nil
	}
	n := d.cells[link>>2]
	if n.link[link&3] != i<<2|k || n.v[link&3] != c.v[after3[k]] || n.v[after3[link&3]] != c.v[k] {
		return fmt.Errorf("cell %d side %d does not match its neighbour", i, k)
	}
	return nil
}

func (d *diagram) distance(v int32, x, y float64) float64 {
	p := d.sites.pts[v>>1]
	ax, ay := float64(p.X), float64(p.Y)
	if v&1 == 0 {
		return math.Hypot(x-ax, y-ay)
	}
	q := d.sites.pts[d.sites.after[v>>1]]
	dx, dy := float64(q.X)-ax, float64(q.Y)-ay
	s := math.Max(0, math.Min(1, ((x-ax)*dx+(y-ay)*dy)/(dx*dx+dy*dy)))
	return math.Hypot(x-ax-s*dx, y-ay-s*dy)
}

func TestDiagramOfRandomStars(t *testing.T) {
	var b Builder
	for seed := range uint64(3000) {
		rng := rand.New(rand.NewPCG(seed, 1))
		n := 3 + rng.IntN(60)
		scale := math.Pow(10, 0.5+5*rng.Float64())
		var ring []plane.Point
		for i := range n {
			a := 2 * math.Pi * (float64(i) + 0.8*rng.Float64()) / float64(n)
			r := scale * (0.05 + rng.Float64())
			p := plane.Point{X: int32(r * math.Cos(a)), Y: int32(r * math.Sin(a))}
			if len(ring) == 0 || ring[len(ring)-1] != p {
				ring = append(ring, p)
			}
		}
		if err := b.build(region.Region{Rings: [][]plane.Point{ring}}); err != nil {
			continue // rounding made it cross itself
		}
		check(t, &b.diagram)
		if t.Failed() {
			t.Fatalf("seed %d: %v", seed, ring)
		}
	}
}
