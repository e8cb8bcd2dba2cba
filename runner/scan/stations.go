package scan

import (
	"math"

	"mahlstick/runner/scan/align"
	"mahlstick/runner/scan/edge"
	"mahlstick/runner/stroke"
	"mahlstick/runner/vector"
)

// station is a place of a stroke at which its mark is measured across.
type station struct {
	at, across vector.XY
	width      float64 // mm, as asked
	along      float64 // mm of mark over which the edges are averaged
	bend       float64 // 1/mm
	round      float64 // diameter of a dot along; 0 for a line
}

const (
	clearOfEnds  = 1.5 // mm, besides half the width: the brush comes down and lifts there
	clearOfTurns = 5.0 // mm, on the marks of a swatch sheet, which trail behind a turn
	stationLong  = 2.0 // mm of mark that is averaged
)

// stations are places along a stroke at which its mark says where it lies.
func (s *Stroke) stations(step float64) (out []station) {
	if len(s.Points) == 1 {
		p := s.Points[0]
		for _, across := range [...]vector.XY{{X: 1}, {Y: 1}} {
			out = append(out, station{at: p.XY, across: across, width: p.Width, along: 0.3 * p.Width, round: p.Width})
		}
		return out
	}
	total, done := s.Length(), 0.0
	turns := s.turns()
	next := step / 2
	if total < 2*step {
		next = total / 2
	}
	for i := 1; i < len(s.Points); i++ {
		a, b := s.Points[i-1], s.Points[i]
		length := vector.Distance(a.XY, b.XY)
		for ; length > 0 && next <= done+length; next += step {
			t := (next - done) / length
			at := align.Point{XY: a.XY.Toward(b.XY, t), Width: vector.Lerp(a.Width, b.Width, t)}
			away := clearOfEnds + at.Width/2
			if s.Kind == stroke.Register { // an arm is short, but pulled straight: its middle line is right wherever it is down
				away = 0
			}
			if !s.closed() && (next < away || next > total-away) || nearTurn(turns, next) {
				continue
			}
			along := b.XY.Minus(a.XY).Times(1 / length)
			out = append(out, station{at: at.XY, across: along.Left(), width: at.Width, along: min(stationLong, total/4), bend: s.bendAt(next, along)})
		}
		done += length
	}
	return out
}

// closed reports whether a stroke ends where it began, or goes on round.
func (s *Stroke) closed() bool {
	first, last := s.Points[0].XY, s.Points[len(s.Points)-1].XY
	return vector.Distance(first, last) < 0.01 || s.ring()
}

// ring reports whether a stroke is a circle of a swatch sheet.
func (s *Stroke) ring() bool {
	return s.Kind == stroke.TrialMark && len(s.Points) > 8 && s.Readings == 1
}

// turns are how far along the stroke it turns, on a swatch sheet.
func (s *Stroke) turns() (out []float64) {
	if s.Kind != stroke.TrialMark || s.ring() {
		return nil
	}
	done := 0.0
	for i := 1; i+1 < len(s.Points); i++ {
		a, b, c := s.Points[i-1].XY, s.Points[i].XY, s.Points[i+1].XY
		done += vector.Distance(a, b)
		if u, v := b.Minus(a), c.Minus(b); math.Abs(u.Cross(v)) > 0.02*u.Length()*v.Length() || u.Dot(v) < 0 {
			out = append(out, done)
		}
	}
	return out
}

func nearTurn(turns []float64, at float64) bool {
	for _, t := range turns {
		if math.Abs(at-t) < clearOfTurns {
			return true
		}
	}
	return false
}

// pointAt is the place at a length along a stroke.
func (s *Stroke) pointAt(along float64) align.Point {
	for i := 1; i < len(s.Points); i++ {
		a, b := s.Points[i-1], s.Points[i]
		length := vector.Distance(a.XY, b.XY)
		if along <= length && length > 0 {
			t := max(0, along/length)
			return align.Point{XY: a.XY.Toward(b.XY, t), Width: vector.Lerp(a.Width, b.Width, t)}
		}
		along -= length
	}
	return s.Points[len(s.Points)-1]
}

// bendAt is the curvature of a stroke, from how far it leaves its tangent within 0.7 mm.
func (s *Stroke) bendAt(at float64, along vector.XY) float64 {
	if len(s.Points) == 2 {
		return 0
	}
	const away = 0.7
	p := s.pointAt(at).XY
	before, behind := s.pointAt(at-away).XY.Minus(p), s.pointAt(at+away).XY.Minus(p)
	return (before.Dot(along.Left()) + behind.Dot(along.Left())) / (away * away)
}

// measure measures a stroke at a station.
func (s *Sheet) measure(index int, st station, search float64) edge.Mark {
	k := &s.Job.Strokes[index]
	at := s.moved(st.at, k.Program)
	l := edge.Line{At: at, Across: st.across, Reach: float64(0.75*st.width) + 0.6 + search, Search: search, Along: st.along, Pixel: s.Pixel(),
		Blur: s.Blur, Core: s.cores[k.Program], Round: st.round, Bend: st.bend}
	l.Free = func(along float64) bool {
		p := st.at.Plus(st.across.Left().Times(-along)).Plus(st.across.Times(st.bend * along * along / 2))
		return s.near.free(p, st.across, st.width, index)
	}
	return edge.Measure(s.relative, l)
}

// ends says where a straight stroke lies along its way, by its two ends.
func (s *Sheet) ends(index int) (align.Offset, bool) {
	k := &s.Job.Strokes[index]
	first, last := k.Points[0], k.Points[len(k.Points)-1]
	d := last.XY.Minus(first.XY)
	length := d.Length()
	const longest = 60 // mm
	if length < 3 || length > longest || k.Length() > 1.001*length {
		return align.Offset{}, false
	}
	along, middle := d.Times(1/length), first.XY.Toward(last.XY, 0.5)
	m := edge.Measure(s.relative, edge.Line{At: s.moved(middle, k.Program), Across: along, Reach: length/2 + max(first.Width, last.Width) + 1,
		Search: 0.2, Along: 0.3 * min(first.Width, last.Width), Pixel: 4 * s.Pixel()})
	if m.Why != edge.None || math.Abs(m.Width()-length) > float64(0.2*length)+float64(2*max(first.Width, last.Width)) {
		return align.Offset{}, false
	}
	const u = 0.15 // mm: the brush comes down and lifts with its own manners
	by := m.Middle() - (last.Width-first.Width)/4
	return align.Offset{At: middle, Along: along, By: by + s.shiftAlong(k.Program, along), U: u, Program: k.Program}, true
}

// neighbours finds what else is painted near a place of a stroke.
type neighbours struct {
	job   *Job
	cells map[[2]int32][]segment
}

type segment struct{ stroke, from int32 }

const cell = 4.0 // mm

func newNeighbours(job *Job, sheet int) *neighbours {
	n := &neighbours{job, map[[2]int32][]segment{}}
	for i := range job.Strokes {
		k := &job.Strokes[i]
		if k.Sheet != sheet {
			continue
		}
		for j := range max(1, len(k.Points)-1) {
			a, b := k.Points[j], k.Points[min(j+1, len(k.Points)-1)]
			box := vector.Empty()
			box.AddDisc(a.XY, a.Width/2+1)
			box.AddDisc(b.XY, b.Width/2+1)
			for x := int32(math.Floor(box.Min.X / cell)); x <= int32(math.Floor(box.Max.X/cell)); x++ {
				for y := int32(math.Floor(box.Min.Y / cell)); y <= int32(math.Floor(box.Max.Y/cell)); y++ {
					n.cells[[2]int32{x, y}] = append(n.cells[[2]int32{x, y}], segment{int32(i), int32(j)})
				}
			}
		}
	}
	return n
}

// inside is how deep a place lies in the asked mark of another stroke, in mm; less than 0 beside
// all of them, down to -1.
func (n *neighbours) inside(p vector.XY, but int) float64 {
	deepest := -1.0
	for _, g := range n.cells[[2]int32{int32(math.Floor(p.X / cell)), int32(math.Floor(p.Y / cell))}] {
		if int(g.stroke) == but {
			continue
		}
		k := &n.job.Strokes[g.stroke]
		a, b := k.Points[g.from], k.Points[min(int(g.from)+1, len(k.Points)-1)]
		way, t := vector.ToSegment(p, a.XY, b.XY)
		deepest = max(deepest, vector.Lerp(a.Width, b.Width, t)/2-way.Length())
	}
	return deepest
}

// free reports whether both edges of a mark can be seen: what lies beside and under them is
// all bare, or all painted by others.
func (n *neighbours) free(p, across vector.XY, width float64, but int) bool {
	const margin = 0.2 // mm
	for _, side := range [...]float64{-1, 1} {
		bare, under := true, true
		for _, away := range [...]float64{-0.25, 0.05, 0.35, 0.6} {
			d := n.inside(p.Plus(across.Times(side*(width/2+away))), but)
			bare, under = bare && d < -margin, under && d > margin
		}
		if !bare && !under {
			return false
		}
	}
	return true
}
