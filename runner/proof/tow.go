package proof

import (
	"errors"
	"fmt"
	"math"
	"sort"
)

// Trail is one measured trailing distance: at a press (mm) the mark lies so far
// (mm) behind the tip's axis.
type Trail struct{ Press, Lag float64 }

const (
	// towStep is how far the handle goes, mm, before the mark is drawn after it.
	towStep = 0.005
	// towPiece is the longest straight piece, mm, that stands for a mark's way.
	towPiece = 0.1
	// mostTow bounds the steps of one move.
	mostTow = 1 << 20
)

// Towed is the same brush with a mark that trails behind its axis. The lag runs
// in straight lines between the trails, whose presses must rise, and is even
// before the first and beyond the last. Without trails the mark lies under the
// axis.
func (b *Brush) Towed(trails []Trail) (*Brush, error) {
	for i, t := range trails {
		switch {
		case !(t.Press >= 0 && t.Press <= MaxCoord && t.Lag >= 0 && t.Lag <= MaxCoord):
			return nil, fmt.Errorf("trail %d is not a press and a lag in mm, both 0 or more", i+1)
		case i > 0 && t.Press <= trails[i-1].Press:
			return nil, errors.New("the presses of the trails must rise")
		}
	}
	return &Brush{rungs: b.rungs, trails: append([]Trail(nil), trails...)}, nil
}

// tows says whether marks lie elsewhere than under the axis.
func (b *Brush) tows() bool { return b != nil && len(b.trails) > 0 }

func (b *Brush) lag(press float64) float64 {
	t := b.trails
	i := sort.Search(len(t), func(i int) bool { return t[i].Press > press })
	switch i {
	case 0:
		return t[0].Lag
	case len(t):
		return t[i-1].Lag
	}
	return t[i-1].Lag + float64((t[i].Lag-t[i-1].Lag)*(press-t[i-1].Press))/(t[i].Press-t[i-1].Press)
}

// marks yields what the brush leaves of each part of the path in contact. The
// mark begins under the axis; as soon as the axis is farther from it than the
// lag at the press, it is drawn straight towards the axis, and it is never
// pushed. So it follows the drag curve (tractrix), without anything being known
// of how the path was planned.
func (p *Path) marks(brush *Brush, flat bool, yield func(piece)) {
	if !brush.tows() {
		p.contact(flat, yield)
		return
	}
	var x, y float64
	p.contact(true, func(k piece) {
		if k.begins {
			x, y = k.from.X, k.from.Y
		}
		n := math.Ceil(max(k.plan, abs(k.to.Z-k.from.Z)) / towStep)
		n = min(max(n, 1), mostTow)
		out := piece{stroke: k.stroke, move: k.move, begins: k.begins, towed: true, from: Point{x, y, k.from.Z}}
		was := 0.0
		for i := 1.0; i <= n; i++ {
			h := between(k.from, k.to, i/n)
			dx, dy := h.X-x, h.Y-y
			far := root(dx, dy)
			if slack := brush.lag(-h.Z); far > slack {
				x, y = h.X-float64(dx*slack)/far, h.Y-float64(dy*slack)/far
			}
			gone := root(x-out.from.X, y-out.from.Y)
			if gone < towPiece && i < n {
				continue
			}
			out.to = Point{x, y, h.Z}
			out.plan, out.share = gone, float64(k.share*(i/n-was))
			yield(out)
			out.from, out.begins, was = out.to, false, i/n
		}
	})
}

// Mark is a disc that a brush leaves: its centre and width, mm. The centre is
// in programmed coordinates; the tip's offset is still to be added.
type Mark struct{ X, Y, Width float64 }

// Marks gives what a program paints, stroke by stroke: between two marks that
// follow each other, place and width change evenly. Of marks on one spot the
// widest stands for all.
func (p *Path) Marks(b *Brush) [][]Mark {
	var out [][]Mark
	p.marks(b, true, func(k piece) {
		if k.begins {
			out = append(out, nil)
		}
		marks := &out[len(out)-1]
		for _, q := range [...]Point{k.from, k.to} {
			m := Mark{q.X, q.Y, b.Width(-q.Z)}
			if n := len(*marks); n > 0 && (*marks)[n-1].X == m.X && (*marks)[n-1].Y == m.Y {
				(*marks)[n-1].Width = max((*marks)[n-1].Width, m.Width)
				continue
			}
			*marks = append(*marks, m)
		}
	})
	return out
}
