package axis

import (
	"math"
	"math/bits"

	"mahlstick/runner/plane"
)

// A disc touches the three sites of a corner of the diagram. It has its centre,
// measured from the region's own origin, its radius, and a bound on the error of
// each of these three numbers, all in grid steps.
type disc struct{ x, y, r, err float64 }

// ulp bounds the relative error of one rounding.
const ulp = 1.0 / (1 << 53)

// sites are the corners and edges of the outline, in walking order with the
// inside to the left. Site 2i is corner i, site 2i+1 the edge from corner i to
// the next.
type sites struct {
	pts           []plane.Point // corners, measured from the region's own origin
	after, before []int32       // neighbours of a corner along the outline
	lines         []edgeLine    // the edge that starts at each corner
}

// edgeLine is an edge seen from its start: its unit direction and its length.
// The unit normal that points inside is (-uy, ux).
type edgeLine struct{ ux, uy, len float64 }

// cross and dot of two whole vectors, exact below 2^30.
func cross(ax, ay, bx, by int64) int64 { return ax*by - ay*bx }
func dot(ax, ay, bx, by int64) int64   { return ax*bx + ay*by }

// between is the vector from corner a to corner b.
func (o *sites) between(a, b int32) (int64, int64) {
	p, q := o.pts[a], o.pts[b]
	return int64(q.X) - int64(p.X), int64(q.Y) - int64(p.Y)
}

// along is the vector of edge s.
func (o *sites) along(s int32) (int64, int64) { return o.between(s, o.after[s]) }

// touching computes the disc of three sites, counter-clockwise round it.
// Even sites are corners, odd ones the edges that start there.
//
// All distances between sites are quotients of whole numbers by edge lengths,
// so that each is right to a few roundings; the error bounds below follow
// them through the formulas, with the constants rounded up.
func (o *sites) touching(v [3]int32) disc {
	kind := v[0]&1 | v[1]&1<<1 | v[2]&1<<2
	switch bits.OnesCount8(uint8(kind)) {
	case 0:
		return o.threeCorners(o.lowestFirst(v))
	case 1:
		switch kind {
		case 1:
			return o.edgeTwoCorners(v[0]>>1, v[1]>>1, v[2]>>1)
		case 2:
			return o.edgeTwoCorners(v[1]>>1, v[2]>>1, v[0]>>1)
		}
		return o.edgeTwoCorners(v[2]>>1, v[0]>>1, v[1]>>1)
	case 2:
		switch kind {
		case 3:
			return o.twoEdgesCorner(v[0]>>1, v[1]>>1, v[2]>>1)
		case 6:
			return o.twoEdgesCorner(v[1]>>1, v[2]>>1, v[0]>>1)
		}
		return o.twoEdgesCorner(v[2]>>1, v[0]>>1, v[1]>>1)
	}
	return o.threeEdges(o.lowestFirst(v))
}

// lowestFirst puts the lowest of three corners, or of the starts of three edges,
// first, so that a disc is the same however its sites are numbered.
func (o *sites) lowestFirst(v [3]int32) (a, b, c int32) {
	a, b, c = v[0]>>1, v[1]>>1, v[2]>>1
	p, q, r := o.pts[a], o.pts[b], o.pts[c]
	switch {
	case lower(q, p) && lower(q, r):
		return b, c, a
	case lower(r, p) && lower(r, q):
		return c, a, b
	}
	return a, b, c
}

func lower(p, q plane.Point) bool { return p.Y < q.Y || p.Y == q.Y && p.X < q.X }

// threeCorners is the circle through three points.
func (o *sites) threeCorners(a, b, c int32) disc {
	bx, by := o.between(a, b)
	cx, cy := o.between(a, c)
	den := 2 * float64(cross(bx, by, cx, cy))
	fbx, fby, fcx, fcy := float64(bx), float64(by), float64(cx), float64(cy)
	b2, c2 := float64(dot(bx, by, bx, by)), float64(dot(cx, cy, cx, cy))
	x1, x2 := float64(fcy*b2), float64(fby*c2)
	y1, y2 := float64(fbx*c2), float64(fcx*b2)
	x, y := (x1-x2)/den, (y1-y2)/den
	r := math.Sqrt(float64(x*x) + float64(y*y))
	p := o.pts[a]
	e := 16 * ulp * ((math.Abs(x1)+math.Abs(x2)+math.Abs(y1)+math.Abs(y2))/math.Abs(den) + r)
	return newDisc(float64(p.X)+x, float64(p.Y)+y, r, e)
}

// newDisc makes a disc and adds to its error the rounding of the centre when the
// origin was added.
func newDisc(x, y, r, err float64) disc {
	return disc{x, y, r, err + 4*ulp*(math.Abs(x)+math.Abs(y))}
}

// edgeTwoCorners is the circle that touches edge s and goes through points a and b,
// met in this order when going round counter-clockwise from the edge.
//
// With da, db the distances of the points from the line, L their distance, t
// its part along the line and q = sqrt(da*db), the radius is
// L(L²+4q²) / 2(L(da+db)-2tq), and the centre lies r*t/L+q to the left of the
// middle between the points. (Both follow from the half angles sin²(A/2) =
// da/2r, sin²(B/2) = db/2r at which the points are seen from the centre.)
func (o *sites) edgeTwoCorners(s, a, b int32) disc {
	ln := &o.lines[s]
	ux, uy := o.along(s)
	ax, ay := o.between(s, a)
	bx, by := o.between(s, b)
	x, y := bx-ax, by-ay
	da := math.Max(float64(cross(ux, uy, ax, ay)), 0) / ln.len
	db := math.Max(float64(cross(ux, uy, bx, by)), 0) / ln.len
	t := float64(dot(ux, uy, x, y)) / ln.len
	diff := float64(cross(ux, uy, x, y)) / ln.len
	l := math.Sqrt(float64(dot(x, y, x, y)))
	q := math.Sqrt(float64(da * db))
	var den float64
	if t > 0 {
		// L(da+db)-2tq without the cancellation: L-t is diff²/(L+t), and
		// the roots of da and db differ by diff over their sum.
		sum := math.Sqrt(da) + math.Sqrt(db)
		g := diff / sum
		den = float64(float64(g*g) * (l + 2*float64(q*float64(sum*sum))/(l+t)))
	} else {
		den = float64(l*(da+db)) - 2*float64(t*q)
	}
	r := float64(l/2*(float64(l*l)+4*float64(q*q))) / den
	rho := float64(r*t)/l + q
	p := o.pts[a]
	fx, fy := float64(x), float64(y)
	cx := float64(p.X) + fx/2 - float64(rho*fy)/l
	cy := float64(p.Y) + fy/2 + float64(rho*fx)/l
	return newDisc(cx, cy, r, 128*ulp*(r+q+l))
}

// twoEdgesCorner is the circle that touches edges a and b and goes through point p, in
// this order counter-clockwise.
//
// With phi the turn from edge a to edge b, da and db the distances of the
// point from their lines and q = sqrt(da*db), the radius is
// (da+db-2q*cos(phi/2)) / 2sin²(phi/2), and the centre lies, seen from the
// point, r-da along the normal of a and (da*cos(phi/2)-q)/sin(phi/2) against
// its direction.
func (o *sites) twoEdgesCorner(a, b, p int32) disc {
	la, lb := &o.lines[a], &o.lines[b]
	ux, uy := o.along(a)
	vx, vy := o.along(b)
	px, py := o.between(a, p)
	qx, qy := o.between(b, p)
	da := math.Max(float64(cross(ux, uy, px, py)), 0) / la.len
	db := math.Max(float64(cross(vx, vy, qx, qy)), 0) / lb.len
	sh, ch := halfTurn(cross(ux, uy, vx, vy), dot(ux, uy, vx, vy), float64(la.len*lb.len))
	at := o.pts[p]
	x, y := float64(at.X), float64(at.Y)
	if da == 0 && db == 0 { // the corner between the two
		return disc{x, y, 0, 0}
	}
	ra, rb := math.Sqrt(da), math.Sqrt(db)
	q := float64(ra * rb)
	s2 := 2 * float64(sh*sh)
	var num, e float64
	if ch > 0 {
		g := ra - rb
		num = float64(g*g) + float64(q*s2)/(1+ch)
		e = math.Abs(da - db)
	} else {
		num = da + db - 2*float64(q*ch)
	}
	r := num / s2
	w := float64(ra*(float64(ra*ch)-rb)) / sh
	x += -float64((r-da)*la.uy) - float64(w*la.ux)
	y += float64((r-da)*la.ux) - float64(w*la.uy)
	return newDisc(x, y, r, 64*ulp*(r+da+e/s2+(float64(da*math.Abs(ch))+q)/sh))
}

// halfTurn is the sine and cosine of half the turn between two directions, from
// their cross and dot product and the product of their lengths. The turn is
// taken between 0 and 360 degrees, so that the sine is not negative; where one
// of the two is small it is still right to a few roundings.
func halfTurn(cross, dot int64, lens float64) (sin, cos float64) {
	s, c := math.Abs(float64(cross)/lens), float64(dot)/lens
	if c > 0 {
		cos = math.Sqrt((1 + c) / 2)
		sin = s / (2 * cos)
	} else {
		sin = math.Sqrt((1 - c) / 2)
		cos = s / (2 * sin)
	}
	if cross < 0 {
		cos = -cos
	}
	return sin, cos
}

// threeEdges is the circle that touches three edges. In a frame along edge a, with
// the turns to b and c, it is the solution of two linear equations.
func (o *sites) threeEdges(a, b, c int32) disc {
	la, lb, lc := &o.lines[a], &o.lines[b], &o.lines[c]
	ux, uy := o.along(a)
	vx, vy := o.along(b)
	wx, wy := o.along(c)
	// h is how far the frame's origin lies behind each line.
	ox, oy := o.between(a, b)
	hb := float64(cross(vx, vy, ox, oy)) / lb.len
	ox, oy = o.between(a, c)
	hc := float64(cross(wx, wy, ox, oy)) / lc.len
	sb, kb := versed(cross(ux, uy, vx, vy), dot(ux, uy, vx, vy), float64(la.len*lb.len))
	sc, kc := versed(cross(ux, uy, wx, wy), dot(ux, uy, wx, wy), float64(la.len*lc.len))
	// s*xi + k*eta = -h for b and c.
	d1, d2 := float64(sb*kc), float64(sc*kb)
	e1, e2 := float64(sc*hb), float64(sb*hc)
	f1, f2 := float64(kb*hc), float64(kc*hb)
	det := d1 - d2
	eta, xi := (e1-e2)/det, (f1-f2)/det
	p := o.pts[a]
	x := float64(p.X) + float64(xi*la.ux) - float64(eta*la.uy)
	y := float64(p.Y) + float64(xi*la.uy) + float64(eta*la.ux)
	ae, ax := math.Abs(eta), math.Abs(xi)
	err := (math.Abs(e1) + math.Abs(e2) + math.Abs(f1) + math.Abs(f2) + float64((ae+ax)*(math.Abs(d1)+math.Abs(d2)))) / math.Abs(det)
	return newDisc(x, y, eta, 32*ulp*(err+ae+ax))
}

// versed is the sine of a turn and 1 minus its cosine (the versed sine), each right to a
// few roundings.
func versed(cross, dot int64, lens float64) (sin, ver float64) {
	s, c := float64(cross)/lens, float64(dot)/lens
	if c > 0 {
		return s, float64(s*s) / (1 + c)
	}
	return s, 1 - c
}
