package collect

import (
	"cmp"
	"fmt"
	"slices"

	"mahlstick/recipe/problem"
	"mahlstick/runner/contour"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/doubles"
	"mahlstick/runner/drawing/joining"
	"mahlstick/runner/vector"
)

// finish makes the contours of a drawing, and records its loose ends. Doubles on kept
// layers are looked for separately.
func (s *shapes) finish(d *drawing.Drawing, kept func(layer string) bool) []drawing.Contour {
	f := finisher{s: s, d: d}
	f.join()
	f.sort()
	f.dropDoubles(kept)
	return s.contours
}

// finisher makes contours from shapes.
type finisher struct {
	s *shapes
	d *drawing.Drawing
}

// join makes outlines from the loose lines.
func (f *finisher) join() {
	if len(f.s.lines) == 0 {
		return
	}
	f.group()
	joined := joining.Join(f.s.lines, f.s.gap)
	f.s.lines = nil
	for _, k := range joined.Dropped {
		if k.Why == joining.DrawnTwice {
			f.warnDouble(int(k.Line.At), int(k.Line.End))
		}
		f.countLoose(k.Line, k.Why)
	}
	f.warnCrossings(joined)
	if l := joined.TooManyNear; l != nil {
		f.s.notes.errorf(problem.GapTooWide, int(l.At), int(l.End), problem.Advise("state a smaller gap for the layer"),
			"so many loose ends lie within the gap of %s mm of each other that it is not clear which belong together", drawing.Short(f.s.gap))
	}
	f.d.Loose, f.d.LooseEnds = f.ends(joined.Loose), joined.LooseCount
	f.d.Crossings = f.ends(joined.Crossings)
	f.s.contours, f.s.info = slices.Grow(f.s.contours, joined.Len()), slices.Grow(f.s.info, joined.Len())
	for o := range joined.Outlines {
		if o.Points == nil {
			f.countLoose(o.First, "closed, but has no area")
			continue
		}
		f.s.contours = append(f.s.contours, drawing.Contour{
			Identity: contour.Identity{Paint: o.First.Paint, Place: f.s.notes.place(int(o.First.At), int(o.First.End))},
			Points:   o.Points, Closed: o.Closed, Layer: f.s.tally.layers.list[o.First.Layer].name,
		})
		f.s.info = append(f.s.info, doubles.Info{Order: o.First.Order, Box: vector.Bounds(o.Points)})
	}
}

// group says which loose lines may join: those of one layer and, where colours
// are kept apart, of one colour.
func (f *finisher) group() {
	type key struct {
		layer int32
		paint contour.Paint
	}
	number := map[key]int32{}
	for i := range f.s.lines {
		l := &f.s.lines[i]
		if l.Group = l.Layer; !f.s.apart {
			continue
		}
		k := key{l.Layer, l.Paint.Colour()}
		if _, seen := number[k]; !seen {
			number[k] = int32(len(number))
		}
		l.Group = number[k]
	}
}

func (f *finisher) countLoose(l *joining.Line, why string) {
	f.s.tally.count("loose line", l.Layer, why, int(l.At), int(l.End))
}

func (f *finisher) ends(list []joining.End) []drawing.LooseEnd {
	var out []drawing.LooseEnd
	for _, e := range list {
		out = append(out, drawing.LooseEnd{At: e.At, Ends: e.Ends, Nearest: e.Nearest, Place: f.s.notes.place(int(e.Line.At), int(e.Line.End))})
	}
	return out
}

// warnCrossings warns of points where several lines meet, and names the first ones.
func (f *finisher) warnCrossings(joined *joining.Joined) {
	list, n := joined.Crossings, joined.CrossingCount
	if n == 0 {
		return
	}
	const named = 6
	first := list[0]
	more := ""
	for i, e := range list[1:min(len(list), named)] {
		if more += ", "; i == 0 {
			more = ", and also at "
		}
		more += "(" + drawing.Short(e.At.X) + ", " + drawing.Short(e.At.Y) + ") mm"
	}
	if n > named {
		more += fmt.Sprintf(" and at %d more", n-named)
	}
	f.s.notes.warnOnce(problem.EndsCrossing, int(first.Line.At), int(first.Line.End), problem.Advise("draw the shapes apart, or as closed polylines"),
		"%d ends meet at (%s, %s) mm%s; each line was continued in the straightest direction", first.Ends, drawing.Short(first.At.X), drawing.Short(first.At.Y), more)
}

func (f *finisher) warnDouble(at, end int) {
	f.s.notes.warnOnce(problem.DrawnTwice, at, end, problem.Advise("delete one of the two in the drawing"),
		"this line is drawn twice on the same spot; it is read once")
}

// sort puts the contours into the order of drawing.
func (f *finisher) sort() {
	byOrder := func(a, b doubles.Info) int { return cmp.Compare(a.Order, b.Order) }
	if slices.IsSortedFunc(f.s.info, byOrder) {
		return
	}
	index := make([]int32, len(f.s.info))
	for i := range index {
		index[i] = int32(i)
	}
	slices.SortFunc(index, func(i, j int32) int { return byOrder(f.s.info[i], f.s.info[j]) })
	contours, info := make([]drawing.Contour, len(index)), make([]doubles.Info, len(index))
	for k, i := range index {
		contours[k], info[k] = f.s.contours[i], f.s.info[i]
	}
	f.s.contours, f.s.info = contours, info
}

// dropDoubles drops closed contours that are drawn twice. Two ways of drawing one
// curve are flattened differently, each within the tolerance, and rounding in the file
// adds a little.
func (f *finisher) dropDoubles(apart func(layer string) bool) {
	double, complete := doubles.Find(f.s.contours, f.s.info, doubles.Options{
		Distance: 2*f.s.pen.Tolerance + samePointMM,
		Apart:    apart,
		ByPaint:  f.s.apart,
		ByKind:   f.s.byKind,
		Work:     64*f.s.points + 10_000_000,
	})
	if !complete {
		f.s.notes.warnOnce(problem.NotCompared, 0, 0, problem.Advise("check that no shape is drawn twice on the same spot"),
			"the drawing has so many shapes on the same spot that not all could be compared with each other")
	}
	if !slices.Contains(double, true) {
		return
	}
	left := f.s.contours[:0]
	for i, k := range f.s.contours {
		if double[i] {
			if !k.Closed {
				f.warnDouble(k.Place.Start, k.Place.End)
			}
			f.s.tally.count("outline", f.s.tally.layers.number(k.Layer), joining.DrawnTwice, k.Place.Start, k.Place.End)
			continue
		}
		left = append(left, k)
	}
	f.s.contours = left
}
