package dxf

import (
	"fmt"

	"mahlstick/runner/drawing/sink"
)

// insUnits holds the units by their number in $INSUNITS, from 0 (none). Lengths by
// definition: the inch of 1959 (25.4 mm exactly), the astronomical unit (IAU
// 2012 resolution B2), the light year (Julian year times the speed of light),
// the parsec (IAU 2015 resolution B2).
//
// Source: DXF Reference, HEADER section, $INSUNITS.
var insUnits = [...]struct {
	name string
	mm   float64
}{
	{"", 0}, {"in", 25.4}, {"ft", 304.8}, {"mi", 1609344}, {"mm", 1}, {"cm", 10}, {"m", 1000}, {"km", 1e6},
	{"microinch", 2.54e-5}, {"mil", 0.0254}, {"yd", 914.4}, {"angstrom", 1e-7}, {"nm", 1e-6}, {"micron", 1e-3},
	{"dm", 100}, {"dam", 1e4}, {"hm", 1e5}, {"Gm", 1e12},
	{"au", 1.495978707e14}, {"light year", 9.4607304725808e18}, {"parsec", 3.0856775814913673e19},
}

// statedUnit is the unit that the current group, the value of $INSUNITS,
// states.
func statedUnit(g *groups) sink.Unit {
	u := sink.Unit{At: g.at, End: g.to}
	n, ok := g.integer()
	switch {
	case !ok:
		u.Wrong = true
		u.How = fmt.Sprintf("$INSUNITS %q", clip(g.val()))
	case n < 0 || n >= len(insUnits):
		u.Wrong = true
		u.How = fmt.Sprintf("$INSUNITS %d", n)
	default:
		u.Name, u.MM = insUnits[n].name, insUnits[n].mm
		u.How = fmt.Sprintf("$INSUNITS %d", n)
	}
	return u
}
