package proof

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"
)

// Trail is one measured lag: at a press (mm) the mark is that far (mm) behind
// the tip's axis.
type Trail struct{ Press, Lag float64 }

const (
	towStep    = 0.005   // mm that the axis moves before the mark follows
	towSegment = 0.1     // length in mm of the straight segments of the mark's path
	maxTow     = 1 << 20 // steps of one move
)

// Towed is the same brush with a mark that lags behind its axis. The lag is
// linear between the trails, whose presses must rise, and constant before the
// first and after the last. Without trails the mark is under the axis.
func (b *Brush) Towed(trails []Trail) (*Brush, error) {
	for i, t := range trails {
		switch {
		case !(t.Press >= 0 && t.Press <= MaxCoord && t.Lag >= 0 && t.Lag <= MaxCoord):
			return nil, fmt.Errorf("trail %d is not a press and a lag in mm, both 0 or more", i+1)
		case i > 0 && t.Press <= trails[i-1].Press:
			return nil, errors.New("the presses of the trails must rise")
		}
	}
	out := *b
	out.trails = append([]Trail(nil), trails...)
	return &out, nil
}

// tows reports whether marks lag behind the axis. The brush may be nil.
func (b *Brush) tows() bool { return b != nil && len(b.trails) > 0 }

// lag is the lag at a press, mm.
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

// marks yields the path of the mark for each part of the path in contact. The
// mark begins under the axis. As soon as the axis is farther from it than the
// lag at the press, it is pulled straight towards the axis; it is never
// pushed. So it follows the drag curve (tractrix), without knowing how the path
// was planned.
func (p *Path) marks(brush *Brush, flat bool, yield func(segment)) {
	if !brush.tows() {
		p.acting(brush, flat, yield)
		return
	}
	var x, y float64
	p.acting(brush, true, func(k segment) {
		if k.begins {
			x, y = k.from.X, k.from.Y
		}
		n := math.Ceil(max(k.length, abs(k.to.Z-k.from.Z)) / towStep)
		n = min(max(n, 1), maxTow)
		out := segment{stroke: k.stroke, move: k.move, begins: k.begins, towed: true, from: Point{x, y, k.from.Z}, feed: k.feed, fastest: k.fastest}
		was := 0.0
		for i := 1.0; i <= n; i++ {
			h := between(k.from, k.to, i/n)
			dx, dy := h.X-x, h.Y-y
			distance := root(dx, dy)
			if lag := brush.lag(-h.Z); distance > lag {
				x, y = h.X-float64(dx*lag)/distance, h.Y-float64(dy*lag)/distance
			}
			moved := root(x-out.from.X, y-out.from.Y)
			if moved < towSegment && i < n {
				continue
			}
			out.to = Point{x, y, h.Z}
			out.length, out.share = moved, float64(k.share*(i/n-was))
			if out.feed = k.feed; moved == 0 { // the mark rests
				out.feed = k.fastest
			}
			yield(out)
			out.from, out.begins, was = out.to, false, i/n
		}
	})
}

// Mark is a disc that a brush paints: its centre and width, mm. The centre is
// in the program's coordinates, without the tip offset.
type Mark struct{ X, Y, Width float64 }

// Marks is what a program paints, stroke by stroke: from each mark to the next,
// position and width change evenly. Where the width changes in one position,
// that has the mark before, the mark behind, and the widest if it is neither.
func (p *Path) Marks(b *Brush) [][]Mark {
	var out [][]Mark
	var stroke strokeMarks
	end := func() {
		if len(stroke.marks) > 0 {
			out = append(out, slices.Clone(stroke.end()))
		}
		stroke = strokeMarks{marks: stroke.marks[:0]}
	}
	p.marks(b, true, func(k segment) {
		if k.begins {
			end()
		}
		stroke.add(Mark{k.from.X, k.from.Y, b.at(k.from.Z, k.feed)})
		stroke.add(Mark{k.to.X, k.to.Y, b.at(k.to.Z, k.feed)})
	})
	end()
	return out
}

// strokeMarks collects the marks of one stroke. Those from here on are in one
// position.
type strokeMarks struct {
	marks []Mark
	here  int
}

func (s *strokeMarks) add(m Mark) {
	n := len(s.marks)
	if n > 0 && (s.marks[n-1].X != m.X || s.marks[n-1].Y != m.Y) {
		s.leave(s.here == 0)
		n = len(s.marks)
		s.here = n
	}
	if n-s.here == 3 { // the first, the widest between, and the last
		if s.marks[n-1].Width > s.marks[n-2].Width {
			s.marks[n-2] = s.marks[n-1]
		}
		s.marks = s.marks[:n-1]
	}
	s.marks = append(s.marks, m)
}

// leave drops the marks in the last position that are inside others: narrower
// ones before the widest at the start of a stroke, and the one between if it is
// not the widest.
func (s *strokeMarks) leave(start bool) {
	at := s.marks[s.here:]
	if start {
		for len(at) > 1 && at[0].Width <= at[1].Width {
			at = at[1:]
		}
	}
	if len(at) == 3 && at[1].Width <= max(at[0].Width, at[2].Width) {
		at = []Mark{at[0], at[2]}
	}
	if len(at) == 2 && at[0] == at[1] {
		at = at[:1]
	}
	s.marks = append(s.marks[:s.here], at...)
}

// end is the whole stroke: at its end the narrower marks behind the widest are
// inside it, too.
func (s *strokeMarks) end() []Mark {
	start := s.here == 0
	s.leave(start)
	for n := len(s.marks); n-s.here > 1 && s.marks[n-1].Width <= s.marks[n-2].Width; n = len(s.marks) {
		s.marks = s.marks[:n-1]
	}
	return s.marks
}
