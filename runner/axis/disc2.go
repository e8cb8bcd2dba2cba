package axis

import "math/bits"

// disc2 is a disc in twofold precision.
type disc2 struct{ x, y, r twofold }

// finer is by how much the error of a disc2 is smaller than that of the disc
// of the same sites: the formulas are the same, and a twofold rounding is
// 2^-50 of a single one at most.
const finer = 1.0 / (1 << 46)

// line2 is a line in twofold precision.
type line2 struct{ ux, uy, len twofold }

func (d *diagram) line2(s int32) line2 {
	ux, uy := d.along(s)
	l := whole(dot(ux, uy, ux, uy)).sqrt()
	return line2{whole(ux).div(l), whole(uy).div(l), l}
}

// touching2 does the work of touching, with the same formulas.
func (d *diagram) touching2(v [3]int32) disc2 {
	kind := v[0]&1 | v[1]&1<<1 | v[2]&1<<2
	for kind != 0 && kind != 1 && kind != 3 && kind != 7 {
		v = [3]int32{v[1], v[2], v[0]}
		kind = v[0]&1 | v[1]&1<<1 | v[2]&1<<2
	}
	a, b, c := v[0]>>1, v[1]>>1, v[2]>>1
	switch bits.OnesCount8(uint8(kind)) {
	case 0:
		return d.corners3twofold(a, b, c)
	case 1:
		return d.corners2twofold(a, b, c)
	case 2:
		return d.edges2twofold(a, b, c)
	}
	return d.edges3twofold(a, b, c)
}

func (d *diagram) corners3twofold(a, b, c int32) disc2 {
	bx, by := d.between(a, b)
	cx, cy := d.between(a, c)
	den := whole(cross(bx, by, cx, cy)).twice()
	b2, c2 := whole(dot(bx, by, bx, by)), whole(dot(cx, cy, cx, cy))
	x := whole(cy).mul(b2).sub(whole(by).mul(c2)).div(den)
	y := whole(bx).mul(c2).sub(whole(cx).mul(b2)).div(den)
	r := x.mul(x).add(y.mul(y)).sqrt()
	p := d.pts[a]
	return disc2{single(float64(p.X)).add(x), single(float64(p.Y)).add(y), r}
}

// from is the distance of corner p from the line of edge s; corners behind it
// count as on it.
func (d *diagram) from(s, p int32, ln line2) twofold {
	ux, uy := d.along(s)
	px, py := d.between(s, p)
	return whole(max(cross(ux, uy, px, py), 0)).div(ln.len)
}

func (d *diagram) corners2twofold(s, a, b int32) disc2 {
	ln := d.line2(s)
	ux, uy := d.along(s)
	x, y := d.between(a, b)
	da, db := d.from(s, a, ln), d.from(s, b, ln)
	t := whole(dot(ux, uy, x, y)).div(ln.len)
	diff := whole(cross(ux, uy, x, y)).div(ln.len)
	l := whole(dot(x, y, x, y)).sqrt()
	q := da.mul(db).sqrt()
	var den twofold
	if t.hi > 0 {
		sum := da.sqrt().add(db.sqrt())
		g := diff.div(sum)
		den = g.mul(g).mul(l.add(q.mul(sum).mul(sum).twice().div(l.add(t))))
	} else {
		den = l.mul(da.add(db)).sub(t.mul(q).twice())
	}
	r := l.half().mul(l.mul(l).add(q.mul(q).twice().twice())).div(den)
	rho := r.mul(t).div(l).add(q)
	p := d.pts[a]
	cx := single(float64(p.X)).add(whole(x).half()).sub(rho.mul(whole(y)).div(l))
	cy := single(float64(p.Y)).add(whole(y).half()).add(rho.mul(whole(x)).div(l))
	return disc2{cx, cy, r}
}

func (d *diagram) edges2twofold(a, b, p int32) disc2 {
	la, lb := d.line2(a), d.line2(b)
	ux, uy := d.along(a)
	vx, vy := d.along(b)
	da, db := d.from(a, p, la), d.from(b, p, lb)
	at := d.pts[p]
	x, y := single(float64(at.X)), single(float64(at.Y))
	if da.hi == 0 && db.hi == 0 {
		return disc2{x, y, twofold{}}
	}
	lens := la.len.mul(lb.len)
	s, c := whole(cross(ux, uy, vx, vy)).div(lens), whole(dot(ux, uy, vx, vy)).div(lens)
	var sh, ch twofold
	if c.hi > 0 {
		ch = one.add(c).half().sqrt()
		sh = s.abs().div(ch.twice())
	} else {
		sh = one.sub(c).half().sqrt()
		ch = s.abs().div(sh.twice())
	}
	if s.hi < 0 {
		ch = ch.neg()
	}
	ra, rb := da.sqrt(), db.sqrt()
	q := ra.mul(rb)
	s2 := sh.mul(sh).twice()
	var num twofold
	if ch.hi > 0 {
		g := ra.sub(rb)
		num = g.mul(g).add(q.mul(s2).div(one.add(ch)))
	} else {
		num = da.add(db).sub(q.mul(ch).twice())
	}
	r := num.div(s2)
	w := ra.mul(ra.mul(ch).sub(rb)).div(sh)
	v := r.sub(da)
	return disc2{x.sub(v.mul(la.uy)).sub(w.mul(la.ux)), y.add(v.mul(la.ux)).sub(w.mul(la.uy)), r}
}

func (d *diagram) edges3twofold(a, b, c int32) disc2 {
	la, lb, lc := d.line2(a), d.line2(b), d.line2(c)
	ux, uy := d.along(a)
	vx, vy := d.along(b)
	wx, wy := d.along(c)
	ox, oy := d.between(a, b)
	hb := whole(cross(vx, vy, ox, oy)).div(lb.len)
	ox, oy = d.between(a, c)
	hc := whole(cross(wx, wy, ox, oy)).div(lc.len)
	sb, kb := versed2(cross(ux, uy, vx, vy), dot(ux, uy, vx, vy), la.len.mul(lb.len))
	sc, kc := versed2(cross(ux, uy, wx, wy), dot(ux, uy, wx, wy), la.len.mul(lc.len))
	det := sb.mul(kc).sub(sc.mul(kb))
	eta := sc.mul(hb).sub(sb.mul(hc)).div(det)
	xi := kb.mul(hc).sub(kc.mul(hb)).div(det)
	p := d.pts[a]
	return disc2{
		single(float64(p.X)).add(xi.mul(la.ux)).sub(eta.mul(la.uy)),
		single(float64(p.Y)).add(xi.mul(la.uy)).add(eta.mul(la.ux)),
		eta,
	}
}

func versed2(cross, dot int64, lens twofold) (sin, ver twofold) {
	s, c := whole(cross).div(lens), whole(dot).div(lens)
	if c.hi > 0 {
		return s, s.mul(s).div(one.add(c))
	}
	return s, one.sub(c)
}
