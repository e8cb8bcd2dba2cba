package main

import "mahlstick/runner/vector"

// loft is the surface between two lines that run side by side: along from 0
// to 1, across from the first (0) to the second (1).
type loft struct{ a, b *curve }

func (l loft) at(along, across float64) pt {
	p, _ := l.a.locate(mul(along, l.a.length()))
	q, _ := l.b.locate(mul(along, l.b.length()))
	return p.Toward(q, across)
}

// from runs along the surface in a few steps, sagging across by sag.
func (l loft) from(u0, v0, u1, v1, sag float64) []pt {
	var out []pt
	for i := range 4 {
		k := float64(i) / 3
		bow := mul(mul(4, k), 1-k)
		out = append(out, l.at(vector.Lerp(u0, u1, k), vector.Lerp(v0, v1, k)+mul(sag, bow)))
	}
	return out
}
