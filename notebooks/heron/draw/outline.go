package main

import (
	"math"

	"mahlstick/notebooks/brushwork"
	"mahlstick/recipe/arith"
)

// outline is one closed contour on the sheet, in mm, and how to write it.
type outline struct {
	subject string
	as      kind
	joints  []joint
	circle  float64 // radius of a circle round joints[0].p, instead of the rest
	depth   int     // how many others it lies in; odd for a hole
}

// spline gives the control points and the knots of a closed cubic through the
// joints. Its direction never jumps: the knots between come twice.
func spline(js []joint) (control []pt, knots []float64) {
	control = []pt{js[0].p, js[0].p.Plus(js[0].along.Times(js[0].span / 3))}
	knots = []float64{0, 0, 0, 0}
	u := js[0].span
	for i := 1; i < len(js); i++ {
		j := js[i]
		control = append(control, j.p.Minus(j.along.Times(js[i-1].span/3)), j.p.Plus(j.along.Times(j.span/3)))
		knots = append(knots, u, u)
		u += j.span
	}
	last := js[len(js)-1].span
	control = append(control, js[0].p.Minus(js[0].along.Times(last/3)), js[0].p)
	return control, append(knots, u, u, u, u)
}

// flatten gives the contour as it was meant, with points at most step mm
// apart.
func (o outline) flatten(step float64) []pt {
	var out []pt
	if o.circle > 0 {
		n := int(mul(6.3, o.circle)/step) + 12
		for i := range n {
			sin, cos := arith.SinCosDegrees(360 * float64(i) / float64(n))
			out = append(out, o.joints[0].p.Plus(xy(mul(o.circle, cos), mul(o.circle, sin))))
		}
		return out
	}
	n := len(o.joints)
	for i, a := range o.joints {
		b := o.joints[(i+1)%n]
		k := int(math.Ceil(a.span/step)) + 2
		for q := range k {
			h := a.span / 3
			out = append(out, brushwork.Cubic(a.p, a.p.Plus(a.along.Times(h)), b.p.Minus(b.along.Times(h)), b.p, float64(q)/float64(k)))
		}
	}
	return out
}
