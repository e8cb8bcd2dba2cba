package plane_test

import (
	"math/big"
	"math/rand/v2"
	"testing"

	"mahlstick/runner/plane"
)

// exact is the sign of the determinant in integers without bounds.
func exact(a, b, c, d plane.Point) int {
	row := func(p plane.Point) (x, y, l *big.Int) {
		x, y = big.NewInt(int64(p.X)-int64(d.X)), big.NewInt(int64(p.Y)-int64(d.Y))
		l = new(big.Int).Add(new(big.Int).Mul(x, x), new(big.Int).Mul(y, y))
		return x, y, l
	}
	minor := func(x, y, u, v *big.Int) *big.Int {
		return new(big.Int).Sub(new(big.Int).Mul(x, v), new(big.Int).Mul(y, u))
	}
	ax, ay, al := row(a)
	bx, by, bl := row(b)
	cx, cy, cl := row(c)
	sum := new(big.Int).Mul(al, minor(bx, by, cx, cy))
	sum.Add(sum, new(big.Int).Mul(bl, minor(cx, cy, ax, ay)))
	sum.Add(sum, new(big.Int).Mul(cl, minor(ax, ay, bx, by)))
	return sum.Sign()
}

func TestInCircle(t *testing.T) {
	p := func(x, y int32) plane.Point { return plane.Point{X: x, Y: y} }
	const big = 1 << 28
	cases := []struct {
		a, b, c, d plane.Point
		want       int
	}{
		{p(0, 0), p(2, 0), p(0, 2), p(1, 1), 1},
		{p(0, 0), p(2, 0), p(0, 2), p(2, 2), 0},
		{p(0, 0), p(2, 0), p(0, 2), p(3, 2), -1},
		{p(-big, -big), p(big, -big), p(big, big), p(-big, big), 0},
		{p(-big, -big), p(big, -big), p(big, big), p(1-big, big), 1},
		{p(-big, -big), p(big, -big), p(big, big), p(-1-big, big), -1},
		{p(-big, 0), p(0, -big), p(big, 0), p(1, big-1), 1},
		{p(3*5, 4*5), p(-25, 0), p(7, -24), p(24, 7), 0},
	}
	for _, c := range cases {
		if got := plane.InCircle(c.a, c.b, c.c, c.d); got != c.want {
			t.Errorf("InCircle(%v, %v, %v, %v) = %d, want %d", c.a, c.b, c.c, c.d, got, c.want)
		}
	}
	rng := rand.New(rand.NewPCG(1, 1))
	zero := 0
	for i := range 200_000 {
		span := int32(1) << (2 + i%27)
		q := func() plane.Point { return p(rng.Int32N(span)-span/2, rng.Int32N(span)-span/2) }
		a, b, c, d := q(), q(), q(), q()
		if i%3 == 0 { // nearly or exactly on the circle: the corners of a rectangle, moved a little
			c = p(a.X, b.Y)
			d = p(b.X+rng.Int32N(3)-1, a.Y+rng.Int32N(3)-1)
			b, c = c, b
		}
		want := exact(a, b, c, d)
		if want == 0 {
			zero++
		}
		if got := plane.InCircle(a, b, c, d); got != want {
			t.Fatalf("InCircle(%v, %v, %v, %v) = %d, want %d", a, b, c, d, got, want)
		}
	}
	if zero < 1000 {
		t.Errorf("only %d of the cases lie on the circle", zero)
	}
}
