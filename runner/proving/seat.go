package proving

import (
	"math"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/model"
	"mahlstick/recipe/seating"
	"mahlstick/runner/proof"
)

// seat is where a sheet lies, by the readings that the recipe states. It shares
// no code with the package that finds it for the planner: that has a closed form,
// this follows the slopes of the sum of squares downhill.
type seat struct {
	turn, growthX, growthY float64
	x, y                   float64 // shift
	zeroX, zeroY           float64 // of the first layer, counted from the machine's zero
}

// seatOf is the seat of a sheet by a seating; nil is a sheet at its stops.
func seatOf(s *model.Seating, growth seating.Growth, f sheetFrame) *seat {
	if s == nil {
		return nil
	}
	var pairs []pair
	for _, r := range s.Readings {
		x, y := f.onBed(r.SheetX, r.SheetY)
		pairs = append(pairs, pair{x, y, r.FoundX, r.FoundY, 1 / (r.U * r.U)})
	}
	out := descend(pairs, growth)
	before := seatOf(s.Before, growth, f)
	if before != nil {
		out.zeroX, out.zeroY = before.zeroX, before.zeroY
	}
	if s.Lost {
		sum, dx, dy := 0.0, 0.0, 0.0
		for _, p := range pairs {
			x, y := p.x, p.y
			if before != nil {
				x, y = before.at(x, y)
			}
			sum += p.weight
			dx += float64(p.weight * (p.u - x))
			dy += float64(p.weight * (p.v - y))
		}
		out.zeroX, out.zeroY = out.zeroX+dx/sum, out.zeroY+dy/sum
	}
	return out
}

// pair is a point at the stops, where it was found, and how much that counts.
type pair struct{ x, y, u, v, weight float64 }

// steps is how often the sum of squares is followed downhill: each step doubles
// the right digits.
const steps = 12

// descend finds turn, growths and shift from the longest line between two marks,
// by the method of Gauss and Newton.
func descend(pairs []pair, growth seating.Growth) *seat {
	s := &seat{growthX: 1, growthY: 1}
	longest := 0.0
	a := pairs[0]
	for _, b := range pairs {
		dx, dy := b.x-a.x, b.y-a.y
		if d := arith.Hypot(dx, dy); d > longest {
			longest = d
			s.turn = arith.Atan2(b.v-a.v, b.u-a.u) - arith.Atan2(dy, dx)
		}
	}
	s.x, s.y = 0, 0
	x, y := s.at(a.x, a.y)
	s.x, s.y = a.u-x, a.v-y
	for range steps {
		s.step(pairs, growth, longest > 0)
	}
	return s
}

// at is where a point at the stops lies.
func (s *seat) at(x, y float64) (float64, float64) {
	sin, cos := arith.SinCos(s.turn)
	x, y = float64(x*s.growthX), float64(y*s.growthY)
	return float64(cos*x) - float64(sin*y) + s.x, float64(sin*x) + float64(cos*y) + s.y
}

// step solves for small changes of the shift, the turn and the growths.
func (s *seat) step(pairs []pair, growth seating.Growth, turns bool) {
	sin, cos := arith.SinCos(s.turn)
	n := 2
	if turns {
		n += [...]int{1, 2, 3}[growth]
	}
	var m [5][6]float64 // the equations, the right sides last
	for _, p := range pairs {
		x, y := s.at(p.x, p.y)
		along := [5]float64{1, 0, s.y - y, float64(cos * p.x), -float64(sin * p.y)}
		across := [5]float64{0, 1, x - s.x, float64(sin * p.x), float64(cos * p.y)}
		if growth == seating.Even {
			along[3], across[3] = along[3]+along[4], across[3]+across[4]
		}
		for i := range n {
			for k := range n {
				m[i][k] += float64(p.weight * (float64(along[i]*along[k]) + float64(across[i]*across[k])))
			}
			m[i][5] += float64(p.weight * (float64(along[i]*(p.u-x)) + float64(across[i]*(p.v-y))))
		}
	}
	var by [5]float64
	eliminate(&m, n, &by)
	s.x, s.y, s.turn = s.x+by[0], s.y+by[1], s.turn+by[2]
	switch growth {
	case seating.Even:
		s.growthX, s.growthY = s.growthX+by[3], s.growthY+by[3]
	case seating.Grain:
		s.growthX, s.growthY = s.growthX+by[3], s.growthY+by[4]
	}
}

// eliminate solves n equations, taking the largest pivot first.
func eliminate(m *[5][6]float64, n int, out *[5]float64) {
	for i := range n {
		best := i
		for j := i; j < n; j++ {
			if math.Abs(m[j][i]) > math.Abs(m[best][i]) {
				best = j
			}
		}
		m[i], m[best] = m[best], m[i]
		for j := i + 1; j < n; j++ {
			q := m[j][i] / m[i][i]
			for k := i; k < n; k++ {
				m[j][k] -= float64(q * m[i][k])
			}
			m[j][5] -= float64(q * m[i][5])
		}
	}
	for i := n - 1; i >= 0; i-- {
		v := m[i][5]
		for k := i + 1; k < n; k++ {
			v -= float64(m[i][k] * out[k])
		}
		out[i] = v / m[i][i]
	}
}

// lie is the map of the axes' positions, with a brush whose tip is at an offset,
// back to where they would be with the sheet at its stops.
func (s *seat) lie(tipX, tipY float64) *proof.Lie {
	if s == nil {
		return nil
	}
	sin, cos := arith.SinCos(s.turn)
	l := &proof.Lie{XX: cos / s.growthX, XY: sin / s.growthX, YX: -sin / s.growthY, YY: cos / s.growthY}
	x, y := tipX-s.x, tipY-s.y
	l.X = float64(l.XX*x) + float64(l.XY*y) - tipX
	l.Y = float64(l.YX*x) + float64(l.YY*y) - tipY
	return l
}

// moveZero moves what is fixed on the bed by a lost zero.
func (s *seat) moveZero(l *proof.Limits) {
	if s == nil {
		return
	}
	l.Reach.MinX, l.Reach.MaxX = l.Reach.MinX+s.zeroX, l.Reach.MaxX+s.zeroX
	l.Reach.MinY, l.Reach.MaxY = l.Reach.MinY+s.zeroY, l.Reach.MaxY+s.zeroY
	l.Rest.X, l.Rest.Y = l.Rest.X+s.zeroX, l.Rest.Y+s.zeroY
}
