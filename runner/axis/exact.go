package axis

import (
	"math/bits"

	"mahlstick/runner/surd"
)

// exactSites works on sites without rounding.
type exactSites struct {
	of    *sites
	field surd.Field // of the decision being made
}

// exactDisc is the disc of three sites without rounding: seen from corner o its centre
// lies at (x/w, y/w), and its radius is r/(w·√n). w is positive, or zero if there is no
// such disc.
type exactDisc struct {
	o       int32
	x, y, w surd.Number
	r       surd.Number
	edge    int32 // the edge whose squared length is n; -1 where n is 1
	n       int64
}

// disc is the disc that sites.touching rounds, by formulas of its own.
func (es *exactSites) disc(v [3]int32) exactDisc {
	kind := v[0]&1 | v[1]&1<<1 | v[2]&1<<2
	for kind != 0 && kind != 1 && kind != 3 && kind != 7 {
		v = [3]int32{v[1], v[2], v[0]}
		kind = v[0]&1 | v[1]&1<<1 | v[2]&1<<2
	}
	a, b, c := v[0]>>1, v[1]>>1, v[2]>>1
	var q exactDisc
	switch bits.OnesCount8(uint8(kind)) {
	case 0:
		q = es.threeCorners(a, b, c)
	case 1:
		q = es.edgeTwoCorners(a, b, c)
	case 2:
		q = es.twoEdgesCorner(a, b, c)
	default:
		q = es.threeEdges(a, b, c)
	}
	if f := &es.field; f.Sign(q.w) < 0 {
		q.x, q.y, q.w = f.Neg(q.x), f.Neg(q.y), f.Neg(q.w)
		if kind != 0 { // else the radius is a root
			q.r = f.Neg(q.r)
		}
	}
	return q
}

// sum of whole multiples of two numbers.
func (es *exactSites) sum(a int64, x surd.Number, b int64, y surd.Number) surd.Number {
	f := &es.field
	return f.Add(f.Mul(f.Int(a), x), f.Mul(f.Int(b), y))
}

func (es *exactSites) threeCorners(a, b, c int32) exactDisc {
	f := &es.field
	bx, by := es.of.between(a, b)
	cx, cy := es.of.between(a, c)
	b2, c2 := f.Int(dot(bx, by, bx, by)), f.Int(dot(cx, cy, cx, cy))
	x, y := es.sum(cy, b2, -by, c2), es.sum(bx, c2, -cx, b2)
	return exactDisc{
		o: a, x: x, y: y, w: f.Int(2 * cross(bx, by, cx, cy)),
		r: f.Root(f.Add(f.Mul(x, x), f.Mul(y, y))), edge: -1, n: 1,
	}
}

// edgeTwoCorners: the centre lies, seen from a, at b/2 + t·(b turned left). With
// ha and hb the distances of a and b from the line, times its length, the
// radius, times it, is (ha+hb)/2 + t·g, with g the part of b along the line,
// and the two together give t²e² - t·g(ha+hb) = (ha+hb)²/4 - (g²+e²)/4, with
// e = hb-ha.
func (es *exactSites) edgeTwoCorners(s, a, b int32) exactDisc {
	f := &es.field
	ux, uy := es.of.along(s)
	x, y := es.of.between(a, b)
	n := dot(ux, uy, ux, uy)
	ha, hb := f.Int(es.height(s, a)), f.Int(es.height(s, b))
	g, e := f.Int(dot(ux, uy, x, y)), f.Int(cross(ux, uy, x, y))
	m := f.Add(ha, hb)
	p := f.Mul(f.Int(n), f.Int(dot(x, y, x, y)))
	root := f.Mul(f.Int(2), f.Root(f.Mul(p, f.Mul(ha, hb))))
	var t, w surd.Number // t is t/w
	if gm := f.Mul(g, m); f.Sign(g) >= 0 {
		t, w = f.Add(gm, root), f.Mul(f.Int(2), f.Mul(e, e))
	} else {
		t, w = f.Sub(p, f.Mul(m, m)), f.Mul(f.Int(2), f.Sub(gm, root))
	}
	return exactDisc{
		o: a, x: es.sum(x, w, -2*y, t), y: es.sum(y, w, 2*x, t), w: f.Mul(f.Int(2), w),
		r: f.Add(f.Mul(m, w), f.Mul(f.Int(2), f.Mul(g, t))), edge: s, n: n,
	}
}

// height is the distance of corner p from the line of edge s, times the edge's
// length; corners behind it count as on it.
func (es *exactSites) height(s, p int32) int64 {
	ux, uy := es.of.along(s)
	px, py := es.of.between(s, p)
	return max(cross(ux, uy, px, py), 0)
}

// twoEdgesCorner: with φ the turn from a to b, ha and hb the distances of p from
// their lines, times the edges' lengths, and k = |a|²|b|², the radius times |a|
// and W = √k - a·b is ha√k + hb|a|² - σ√(2 ha hb |a|² (√k + a·b)), σ the sign of
// cos φ/2. The formulas are those of sites.twoEdgesCorner with sin² and cos² of φ/2 written
// as (√k ∓ a·b)/2√k.
func (es *exactSites) twoEdgesCorner(a, b, p int32) exactDisc {
	f := &es.field
	ux, uy := es.of.along(a)
	vx, vy := es.of.along(b)
	n := dot(ux, uy, ux, uy)
	nu := f.Int(n)
	ha, hb := f.Int(es.height(a, p)), f.Int(es.height(b, p))
	turn, c := cross(ux, uy, vx, vy), f.Int(dot(ux, uy, vx, vy))
	out := exactDisc{o: p, edge: a, n: n}
	if zero := f.Int(0); f.Sign(ha) == 0 && f.Sign(hb) == 0 { // the corner between the two
		out.x, out.y, out.w, out.r = zero, zero, f.Int(1), zero
		return out
	}
	root := f.Root(f.Mul(nu, f.Int(dot(vx, vy, vx, vy))))
	// Seen from p the centre lies at k/w along a and h/w to its left, times |a|.
	var k, h surd.Number
	if turn == 0 {
		// In opposite directions: the radius is half the distance between them.
		k = f.Mul(f.Int(2), f.Root(f.Mul(f.Mul(ha, hb), f.Mul(nu, root))))
		bn := f.Mul(hb, nu)
		h, out.r = f.Sub(bn, f.Mul(ha, root)), f.Mul(nu, f.Add(bn, f.Mul(ha, root)))
		out.w = f.Mul(f.Int(2), f.Mul(root, nu))
	} else {
		plus, w := f.Add(root, c), f.Sub(root, c)
		bow := f.Root(f.Mul(f.Int(2), f.Mul(f.Mul(ha, hb), f.Mul(nu, plus))))
		if turn < 0 {
			bow = f.Neg(bow)
		}
		r := f.Sub(f.Add(f.Mul(ha, root), f.Mul(hb, nu)), bow)
		tn := f.Int(turn)
		k = f.Mul(w, f.Sub(bow, f.Mul(ha, plus)))
		h = f.Mul(tn, f.Sub(r, f.Mul(ha, w)))
		tn = f.Mul(tn, nu)
		out.r, out.w = f.Mul(tn, r), f.Mul(tn, w)
	}
	out.x, out.y = es.sum(ux, k, -uy, h), es.sum(uy, k, ux, h)
	return out
}

// threeEdges solves the three equations u×c + h = r|u|, one for each line, by
// the determinants of the directions.
func (es *exactSites) threeEdges(a, b, c int32) exactDisc {
	f := &es.field
	ux, uy := es.of.along(a)
	vx, vy := es.of.along(b)
	wx, wy := es.of.along(c)
	lu, lv, lw := es.length(a), es.length(b), es.length(c)
	bx, by := es.of.between(b, a)
	cx, cy := es.of.between(c, a)
	// The frame lies along a, so that a's own distance is 0.
	hv, hw := f.Int(cross(vx, vy, bx, by)), f.Int(cross(wx, wy, cx, cy))
	vw, wu, uv := cross(vx, vy, wx, wy), cross(wx, wy, ux, uy), cross(ux, uy, vx, vy)
	at := func(u, v, w int64) surd.Number {
		return f.Add(f.Mul(lu, es.sum(v, hw, -w, hv)), f.Sub(f.Mul(f.Mul(lw, f.Int(u)), hv), f.Mul(f.Mul(lv, f.Int(u)), hw)))
	}
	return exactDisc{
		o: a, x: at(ux, vx, wx), y: at(uy, vy, wy),
		w: f.Add(f.Mul(f.Int(vw), lu), es.sum(wu, lv, uv, lw)),
		r: es.sum(wu, hv, uv, hw), edge: -1, n: 1,
	}
}

// length is the length of an edge.
func (es *exactSites) length(s int32) surd.Number {
	ux, uy := es.of.along(s)
	return es.field.Root(es.field.Int(dot(ux, uy, ux, uy)))
}

// fromCorner is w times the vector from corner p to the centre.
func (es *exactSites) fromCorner(q *exactDisc, p int32) (x, y surd.Number) {
	ox, oy := es.of.between(p, q.o)
	f := &es.field
	return f.Add(q.x, f.Mul(f.Int(ox), q.w)), f.Add(q.y, f.Mul(f.Int(oy), q.w))
}

// beyond is the sign of how far the centre of cell n lies beyond corner p
// in the direction of edge s.
func (es *exactSites) beyond(s int32, cell [3]int32, p int32) int {
	q := es.disc(cell)
	x, y := es.fromCorner(&q, p)
	ux, uy := es.of.along(s)
	return es.field.Sign(es.sum(ux, x, uy, y))
}

// depthSign is the sign of how deep the line of edge s reaches into the disc
// of cell n.
func (es *exactSites) depthSign(s int32, cell [3]int32) int {
	f := &es.field
	q := es.disc(cell)
	x, y := es.fromCorner(&q, s)
	ux, uy := es.of.along(s)
	// r/√n - (u×c)/|u|, times n|u|
	over := es.sum(ux, y, -uy, x)
	roots := f.Root(f.Mul(f.Int(q.n), f.Int(dot(ux, uy, ux, uy))))
	return f.Sign(f.Sub(f.Mul(q.r, roots), f.Mul(f.Int(q.n), over)))
}

// order is the sign of how far the centre of cell n lies beyond that of
// cell t along edge m.
func (es *exactSites) order(t, n [3]int32, m int32) int {
	f := &es.field
	from, to := es.disc(t), es.disc(n)
	fx, fy := es.fromCorner(&from, m)
	tx, ty := es.fromCorner(&to, m)
	ux, uy := es.of.along(m)
	return f.Sign(f.Sub(f.Mul(from.w, es.sum(ux, tx, uy, ty)), f.Mul(to.w, es.sum(ux, fx, uy, fy))))
}

// rises is the sign with which the depth of edge s grows at the disc of
// cell n along the stretch between corner i and site q, in the direction in
// which passes goes along it.
func (es *exactSites) rises(s int32, cell [3]int32, i, q int32) int {
	f := &es.field
	c := es.disc(cell)
	x, y := es.fromCorner(&c, i)
	lx, ly := es.of.along(s)
	l2 := dot(lx, ly, lx, ly)
	if q&1 == 0 {
		// With v the stretch's direction: c·v/r - (l×v)/|l|, times r|l|√n.
		qx, qy := es.of.between(i, q>>1)
		vx, vy := -qy, qx
		roots := f.Root(f.Mul(f.Int(c.n), f.Int(l2)))
		return f.Sign(f.Sub(f.Mul(es.sum(vx, x, vy, y), roots), f.Mul(c.r, f.Int(cross(lx, ly, vx, vy)))))
	}
	// c·(m/|m| - l/|l|) + r (m×l)/|m||l|, times |l||m|².
	m := q >> 1
	mx, my := es.of.along(m)
	m2 := dot(mx, my, mx, my)
	r, w := c.r, f.Int(1)
	if c.edge != m {
		// The radius is a multiple of 1/√n, by the other edge's length.
		r, w = f.Mul(r, f.Root(f.Mul(f.Int(c.n), f.Int(m2)))), f.Int(c.n)
	}
	root := f.Root(f.Mul(f.Int(l2), f.Int(m2)))
	sum := f.Sub(f.Mul(es.sum(mx, x, my, y), root), f.Mul(f.Int(m2), es.sum(lx, x, ly, y)))
	return f.Sign(f.Add(f.Mul(w, sum), f.Mul(r, f.Int(cross(mx, my, lx, ly)))))
}
