// Package doubles finds what is drawn twice: a filled shape and its outline, or
// an outline or a line with a copy of itself on top. They would otherwise cancel
// each other out, one as a hole in the other.
package doubles

import (
	"cmp"
	"math"
	"slices"

	"mahlstick/runner/drawing"
	"mahlstick/runner/vector"
)

// Info is what else is known of a contour.
type Info struct {
	Order int32 // its number in the order of drawing
	Box   vector.Box
}

// Options for Find.
type Options struct {
	// Distance in mm: two outlines are one where no point of either is farther
	// from the other.
	Distance float64
	// Apart says of a layer that nothing on it is the double of anything on
	// another layer.
	Apart func(layer string) bool
	// ByPaint says that nothing is the double of what has another paint.
	ByPaint bool
	// ByKind says that no outline is the double of an area that the drawing fills.
	ByKind bool
	// Work bounds the comparisons of a point with an edge.
	Work int
}

// Find says of each contour whether it is a double and not wanted. Of an area
// with a fill rule and an outline the area stays, as it knows its holes; of two
// alike the first. An area of several contours is a double only as a whole: two
// areas may well share a boundary. It answers complete as false where the work
// did not suffice to compare all.
func Find(contours []drawing.Contour, info []Info, opt Options) (double []bool, complete bool) {
	f := &finder{
		contours: contours, info: info, opt: opt, work: opt.Work,
		double: make([]bool, len(contours)), size: map[int]int{}, shared: map[[2]int]int{},
	}
	candidates := make([]candidate, 0, len(contours))
	for i := range contours {
		c := &contours[i]
		if c.Group != 0 {
			f.size[c.Group]++
		}
		if c.Closed == (c.Widths == nil) {
			candidates = append(candidates, candidate{i, info[i].Box})
		}
	}
	slices.SortFunc(candidates, func(a, b candidate) int {
		return cmp.Or(cmp.Compare(a.Min.X, b.Min.X), cmp.Compare(a.contour, b.contour))
	})
	f.compareAll(candidates)
	f.groups()
	return f.double, f.work >= 0
}

// candidate is a closed outline, or an open line with widths, with the box
// around it.
type candidate struct {
	contour int
	vector.Box
}

type finder struct {
	contours []drawing.Contour
	info     []Info
	opt      Options
	work     int
	double   []bool
	size     map[int]int    // contours of a group
	shared   map[[2]int]int // contours that two groups have in common
}

// compareAll compares candidates, in the order of their left sides, with all
// that begin nearly as far left.
func (f *finder) compareAll(list []candidate) {
	for i := range list {
		a := &list[i]
		for k := i + 1; k < len(list) && list[k].Min.X-a.Min.X <= f.opt.Distance && !f.double[a.contour]; k++ {
			if f.work--; f.work < 0 {
				return
			}
			if b := &list[k]; !f.double[b.contour] && f.sameBox(a.Box, b.Box) && f.mayBeDoubles(a.contour, b.contour) && f.sameRing(a.contour, b.contour) {
				f.found(a.contour, b.contour)
			}
		}
	}
}

func (f *finder) sameBox(a, b vector.Box) bool {
	d := f.opt.Distance
	return math.Abs(a.Min.Y-b.Min.Y) <= d && math.Abs(a.Max.X-b.Max.X) <= d && math.Abs(a.Max.Y-b.Max.Y) <= d
}

// mayBeDoubles keeps some layers apart from everything else, and the contours
// of one group from each other.
func (f *finder) mayBeDoubles(i, k int) bool {
	a, b := &f.contours[i], &f.contours[k]
	if a.Group != 0 && a.Group == b.Group {
		return false
	}
	if a.Closed != b.Closed || f.opt.ByPaint && a.Paint.Colour() != b.Paint.Colour() || !slices.Equal(a.Widths, b.Widths) {
		return false
	}
	if a.Look.Stretch != b.Look.Stretch {
		return false
	}
	if f.opt.ByKind && a.Filled != b.Filled || !slices.Equal(a.Clips, b.Clips) {
		return false // what is left of them differs
	}
	return a.Layer == b.Layer || !f.opt.Apart(a.Layer) && !f.opt.Apart(b.Layer)
}

// sameRing compares the points of both with the edges of the other: curves that
// were drawn in different ways are flattened differently.
func (f *finder) sameRing(i, k int) bool {
	p, q := f.contours[i].Points, f.contours[k].Points
	if !f.contours[i].Closed {
		return SameLine(p, q, f.opt.Distance)
	}
	return f.onRing(p, q) && f.onRing(q, p)
}

// SameLine reports whether two open lines have the same points, from either
// end, within a distance in mm.
func SameLine(p, q []vector.XY, distance float64) bool {
	if len(p) != len(q) {
		return false
	}
	limit := float64(distance * distance)
	forth, back := true, true
	for i := range p {
		forth = forth && vector.Distance2(p[i], q[i]) <= limit
		back = back && vector.Distance2(p[i], q[len(q)-1-i]) <= limit
	}
	return forth || back
}

// onRing says whether all points lie near a closed ring, as long as the work
// lasts.
func (f *finder) onRing(points, ring []vector.XY) bool {
	limit := float64(f.opt.Distance * f.opt.Distance)
	at := 0 // the edge at which the last point lay: the next is mostly near it
next:
	for _, p := range points {
		for n := range ring {
			if f.work--; f.work < 0 {
				return false
			}
			k := (at + n) % len(ring)
			if way, _ := vector.ToSegment(p, ring[k], ring[(k+1)%len(ring)]); way.Dot(way) <= limit {
				at = k
				continue next
			}
		}
		return false
	}
	return true
}

// found decides which of two equal contours is not wanted.
func (f *finder) found(i, k int) {
	if f.info[i].Order > f.info[k].Order {
		i, k = k, i
	}
	g, h := f.contours[i].Group, f.contours[k].Group
	switch {
	case h == 0:
		f.double[k] = true
	case g == 0:
		f.double[i] = true
	case f.size[g] == 1 && f.size[h] == 1:
		f.double[k] = true
	case f.size[g] == f.size[h]:
		f.shared[[2]int{g, h}]++
	}
}

// groups marks the groups of which every contour is one of another group.
func (f *finder) groups() {
	double := map[int]bool{}
	for pair, n := range f.shared {
		if n == f.size[pair[0]] {
			double[pair[1]] = true
		}
	}
	for i := range f.contours {
		f.double[i] = f.double[i] || double[f.contours[i].Group]
	}
}
