package region_test

import (
	"fmt"
	"testing"

	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

// check says what is wrong with a region, comparing every edge with every
// other. It shares nothing with the package but the types.
func check(r region.Region) error {
	var edges [][2]plane.Point
	if len(r.Rings) == 0 {
		return fmt.Errorf("no ring")
	}
	for k, ring := range r.Rings {
		if err := checkRing(ring, k == 0); err != nil {
			return fmt.Errorf("ring %d %w", k, err)
		}
		for i, p := range ring {
			edges = append(edges, [2]plane.Point{p, ring[(i+1)%len(ring)]})
		}
	}
	for i, e := range edges {
		for _, f := range edges[:i] {
			if bad := badPair(e[0], e[1], f[0], f[1]); bad != "" {
				return fmt.Errorf("edges %v and %v %s", e, f, bad)
			}
		}
	}
	for k, hole := range r.Rings[1:] {
		// The middle of an edge of a hole lies in the outer ring and in no
		// other hole.
		x, y := int64(hole[0].X)+int64(hole[1].X), int64(hole[0].Y)+int64(hole[1].Y)
		for l, ring := range r.Rings {
			if in := contains(ring, x, y); l != k+1 && in != (l == 0) {
				return fmt.Errorf("hole %d lies wrongly to ring %d", k+1, l)
			}
		}
	}
	return nil
}

// checkRing reports what is wrong with one ring by itself.
func checkRing(ring []plane.Point, outer bool) error {
	if len(ring) < 3 {
		return fmt.Errorf("has %d points", len(ring))
	}
	seen := map[plane.Point]bool{}
	var twice int64
	for i, p := range ring {
		if seen[p] {
			return fmt.Errorf("passes %v twice", p)
		}
		seen[p] = true
		q := ring[(i+1)%len(ring)]
		twice += int64(p.X)*int64(q.Y) - int64(q.X)*int64(p.Y)
	}
	if outer && twice <= 0 || !outer && twice >= 0 {
		return fmt.Errorf("has area %d/2", twice)
	}
	return nil
}

// badPair reports whether two edges share more than one end of both.
func badPair(a, b, c, d plane.Point) string {
	cross := func(p, q, r plane.Point) int64 {
		return (int64(q.X)-int64(p.X))*(int64(r.Y)-int64(p.Y)) - (int64(q.Y)-int64(p.Y))*(int64(r.X)-int64(p.X))
	}
	on := func(p, q, r plane.Point) bool { // r on pq
		return cross(p, q, r) == 0 && min(p.X, q.X) <= r.X && r.X <= max(p.X, q.X) && min(p.Y, q.Y) <= r.Y && r.Y <= max(p.Y, q.Y)
	}
	inner := func(p, q, r plane.Point) bool { return on(p, q, r) && r != p && r != q }
	if inner(a, b, c) || inner(a, b, d) || inner(c, d, a) || inner(c, d, b) {
		return "touch inside one of them"
	}
	if a == c && b == d || a == d && b == c {
		return "are the same"
	}
	if (cross(a, b, c) > 0) != (cross(a, b, d) > 0) && (cross(c, d, a) > 0) != (cross(c, d, b) > 0) &&
		cross(a, b, c) != 0 && cross(a, b, d) != 0 && cross(c, d, a) != 0 && cross(c, d, b) != 0 {
		return "cross"
	}
	return ""
}

// contains reports whether the point (x/2, y/2) is inside a ring, by the parity
// of the edges above it. The point must not lie on the ring.
func contains(ring []plane.Point, x, y int64) bool {
	return winding(ring, x, y)&1 != 0
}

// winding is the winding number of a closed line round (x/2, y/2), which must
// not lie on it, counted over the edges above the point.
func winding(ring []plane.Point, x, y int64) int {
	n := 0
	for i, p := range ring {
		q := ring[(i+1)%len(ring)]
		ax, ay, bx, by := 2*int64(p.X), 2*int64(p.Y), 2*int64(q.X), 2*int64(q.Y)
		side := (bx-ax)*(y-ay) - (by-ay)*(x-ax)
		if ax <= x && x < bx && side < 0 { // runs right, above
			n--
		} else if bx <= x && x < ax && side > 0 { // runs left, above
			n++
		}
	}
	return n
}

// covered counts the regions that hold the point (x/2, y/2).
func covered(regions []region.Region, x, y int64) int {
	n := 0
	for _, r := range regions {
		w := 0
		for _, ring := range r.Rings {
			w += winding(ring, x, y)
		}
		n += w
	}
	return n
}

func checkAll(t interface{ Fatalf(string, ...any) }, regions []region.Region) {
	for i, r := range regions {
		if err := check(r); err != nil {
			t.Fatalf("region %d: %v\n%v", i, err, r.Rings)
		}
	}
}

func pts(xy ...int32) []plane.Point {
	out := make([]plane.Point, 0, len(xy)/2)
	for i := 0; i < len(xy); i += 2 {
		out = append(out, plane.Point{X: xy[i], Y: xy[i+1]})
	}
	return out
}

func TestCheckFindsFaults(t *testing.T) {
	for name, rings := range map[string][][]plane.Point{
		"clockwise":     {pts(0, 0, 0, 9, 9, 9)},
		"bow tie":       {pts(0, 0, 9, 9, 9, 0, 0, 9)},
		"pinched":       {pts(0, 0, 4, 4, 9, 0, 9, 9, 4, 4, 0, 9)},
		"touching edge": {pts(0, 0, 9, 0, 9, 9, 4, 0)},
		"hole outside":  {pts(0, 0, 9, 0, 9, 9, 0, 9), pts(20, 20, 20, 25, 25, 20)},
		"hole crossing": {pts(0, 0, 9, 0, 9, 9, 0, 9), pts(5, 5, 5, 20, 6, 5)},
	} {
		if check(region.Region{Rings: rings}) == nil {
			t.Errorf("%s: not found", name)
		}
	}
}
