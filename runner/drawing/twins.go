package drawing

import (
	"cmp"
	"math"
	"slices"

	"mahlstick/recipe/problem"
	"mahlstick/runner/vector"
)

// twin is a closed contour with the box around it.
type twin struct {
	contour int
	vector.Box
}

// dropTwins drops closed contours that are drawn twice: a filled shape and
// its outline, or a copy left on top of itself. Twins would otherwise cancel
// each other out, one as a hole in the other.
//
// Of a hatch and an outline the hatch stays, as it knows its holes; of two
// alike the first. An object of several contours is a twin only as a whole:
// two objects may well share a boundary.
//
// Curves that were drawn in different ways are flattened differently, so
// contours count as the same where no point of either is farther from the
// other than twice the tolerance and what rounding leaves.
func (r *reading) dropTwins() {
	list := make([]twin, 0, len(r.contours))
	for i := range r.contours {
		c := &r.contours[i]
		if !c.Closed || c.Widths != nil {
			continue
		}
		list = append(list, twin{i, r.known[i].box})
	}
	slices.SortFunc(list, func(a, b twin) int {
		return cmp.Or(cmp.Compare(a.Min.X, b.Min.X), cmp.Compare(a.contour, b.contour))
	})
	size := map[int]int{} // contours of an object
	for i := range r.contours {
		if g := r.contours[i].Group; g != 0 {
			size[g]++
		}
	}
	slack := 2*r.opt.Tolerance + meetMM
	gone := make([]bool, len(r.contours))
	shared := map[[2]int]int{} // contours that two objects have in common
	work := 64*r.points + 10_000_000
	for i := range list {
		a := &list[i]
		for j := i + 1; j < len(list) && list[j].Min.X-a.Min.X <= slack && !gone[a.contour]; j++ {
			if work--; work < 0 {
				break
			}
			b := &list[j]
			if gone[b.contour] || math.Abs(a.Min.Y-b.Min.Y) > slack ||
				math.Abs(a.Max.X-b.Max.X) > slack || math.Abs(a.Max.Y-b.Max.Y) > slack || !r.mayBeTwins(a.contour, b.contour) {
				continue
			}
			p, q := r.contours[a.contour].Points, r.contours[b.contour].Points
			if !onRing(p, q, slack, &work) || !onRing(q, p, slack, &work) {
				continue
			}
			first, second := a.contour, b.contour
			if r.known[first].drawn > r.known[second].drawn {
				first, second = second, first
			}
			g, h := r.contours[first].Group, r.contours[second].Group
			switch {
			case h == 0:
				gone[second] = true
			case g == 0:
				gone[first] = true
			case size[g] == 1 && size[h] == 1:
				gone[second] = true
			case size[g] == size[h]:
				shared[[2]int{g, h}]++
			}
		}
	}
	twinned := map[int]bool{}
	for pair, n := range shared {
		if n == size[pair[0]] {
			twinned[pair[1]] = true
		}
	}
	for i := range r.contours {
		gone[i] = gone[i] || r.contours[i].Group != 0 && twinned[r.contours[i].Group]
	}
	if work < 0 {
		r.warnOnce(problem.NotCompared, "", 0, 0, problem.Advise("see that no shape is drawn twice, on top of itself"),
			"the drawing has so many shapes on the same spot that not all could be compared with each other")
	}
	if !slices.Contains(gone, true) {
		return
	}
	kept := 0
	for i := range r.contours {
		if gone[i] {
			c := &r.contours[i]
			r.count("outline", r.byName[foldName(c.Layer)], "drawn twice", c.Place.Start, c.Place.End)
			continue
		}
		r.contours[kept], r.known[kept] = r.contours[i], r.known[i]
		kept++
	}
	r.contours, r.known = r.contours[:kept], r.known[:kept]
}

// mayBeTwins keeps marks on layers of their own apart from everything else,
// and boundaries of one hatch from each other.
func (r *reading) mayBeTwins(i, j int) bool {
	a, b := &r.contours[i], &r.contours[j]
	if a.Group != 0 && a.Group == b.Group {
		return false
	}
	return a.Layer == b.Layer || !r.isKept(a.Layer) && !r.isKept(b.Layer)
}

func (r *reading) isKept(layer string) bool {
	key := foldName(layer)
	return slices.ContainsFunc(r.opt.KeepLayers, func(k string) bool { return foldName(k) == key })
}

// onRing says whether all points lie within the distance of a closed ring,
// as long as the work lasts.
func onRing(points, ring []XY, distance float64, work *int) bool {
	limit := float64(distance * distance)
	at := 0 // the edge at which the last point lay: the next is mostly near it
next:
	for _, p := range points {
		for n := range ring {
			if *work--; *work < 0 {
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
