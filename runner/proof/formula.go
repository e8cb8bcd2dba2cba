package proof

import (
	"fmt"
	"math"
)

// Feeds is the feed that a formula gives, as a table: the fastest feed (mm/min) at
// presses spread evenly from 0 to Deepest (mm) and at shares of the way along a
// stroke spread evenly from 0 to 1; one column where the way does not count.
type Feeds struct {
	Deepest float64
	Fastest [][]float64 // by press, then by share
	// Parts are the shares of its whole way at which each stroke begins and ends;
	// 0 and 1 for those that are not listed.
	Parts [][2]float64
	// AnyBend says that the feed depends on the bend, so that the table has the
	// fastest at any.
	AnyBend bool
}

const (
	// feedSlack (mm/min) is how much faster than the table a feed may be, and
	// pressSlack (mm) how much a press may differ, because both are rounded.
	feedSlack  = 1.0
	pressSlack = 0.002
	// slower is the share of the formula's feed below which a move counts as slower.
	slower = 0.9
)

// followsFormula requires that the brush is nowhere on the paper faster than the
// formula of the feed gives at that press.
func followsFormula(p *Path, lim *Limits) *verdict {
	if lim.Feeds == nil {
		return nil
	}
	f := lim.Feeds
	c := &verdict{name: FormulaFeed, allowed: "the feed at that press", kept: "no mark",
		why: "a feed that is not that of the formula paints marks of another width, or runs dry"}
	if len(f.Fastest) > 0 && len(f.Fastest[0]) > 1 {
		c.allowed += " and part of the stroke"
	}
	if f.AnyBend {
		c.allowed += ", at the bend where it is fastest"
	}
	ways := strokeWays(p)
	way, slow, all := 0.0, 0.0, 0.0
	low, high := math.Inf(1), 0.0
	p.contact(true, func(k segment) {
		if k.begins {
			way = 0
		}
		if k.length == 0 {
			return
		}
		part := [2]float64{0, 1}
		if k.stroke < len(f.Parts) {
			part = f.Parts[k.stroke]
		}
		share := func(way float64) float64 { return part[0] + float64((part[1]-part[0])*(way/ways[k.stroke])) }
		m := &p.Moves[k.move]
		most := f.most(-k.from.Z, -k.to.Z, share(way), share(way+k.length))
		way += k.length
		low, high, all = min(low, m.Feed), max(high, m.Feed), all+k.length
		if m.Feed < float64(slower*most) {
			slow += k.length
		}
		if m.Feed > most+feedSlack {
			c.breaks(m.Line, "%s mm/min at a press of %s to %s mm, where the formula gives %s", feedText(m.Feed), mm(-k.from.Z), mm(-k.to.Z), fixed(most, 1))
		}
	})
	if all > 0 {
		c.kept = fmt.Sprintf("%s to %s mm/min, on %s of the way slower by more than a tenth", feedText(low), feedText(high), fixed(float64(100*slow)/all, 1)+" %")
	}
	return c
}

// strokeWays are the ways of all strokes on the paper, seen from above, in mm.
func strokeWays(p *Path) []float64 {
	var out []float64
	p.contact(true, func(k segment) {
		for len(out) <= k.stroke {
			out = append(out, 0)
		}
		out[k.stroke] += k.length
	})
	return out
}

// most is the fastest feed that a move may have: nowhere on its way more than the
// table has there, to the nearest entries.
func (f *Feeds) most(press, next, share, then float64) float64 {
	rows := len(f.Fastest)
	if rows == 0 {
		return 0
	}
	columns := len(f.Fastest[0])
	row := func(press float64) float64 {
		if f.Deepest <= 0 {
			return 0
		}
		return float64(min(max(press/f.Deepest, 0), 1) * float64(rows-1))
	}
	slack := 0.0
	if f.Deepest > 0 {
		slack = float64(pressSlack / f.Deepest * float64(rows-1))
	}
	from, to := row(press), row(next)
	column, end := float64(min(max(share, 0), 1)*float64(columns-1)), float64(min(max(then, 0), 1)*float64(columns-1))
	steps := 1 + int(max(abs(to-from), abs(end-column)))
	out := math.Inf(1)
	for i := range steps + 1 {
		t := float64(i) / float64(steps)
		out = min(out, f.near(from+float64(t*(to-from)), column+float64(t*(end-column)), slack))
	}
	return out
}

// near is the fastest entry of the table beside a place in it.
func (f *Feeds) near(row, column, slack float64) float64 {
	rows, columns := len(f.Fastest), len(f.Fastest[0])
	out := 0.0
	for i := max(0, int(row-slack)); i <= min(rows-1, int(math.Ceil(row+slack))); i++ {
		for k := max(0, int(column-1)); k <= min(columns-1, int(math.Ceil(column+1))); k++ {
			out = max(out, f.Fastest[i][k])
		}
	}
	return out
}
