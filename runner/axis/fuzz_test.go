package axis_test

import (
	"testing"

	"mahlstick/runner/axis"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

// rings reads outlines from bytes, two for a corner: offsets from the one
// before, times scale; (0, 0) starts a new ring.
func rings(data []byte, scale int32) [][]plane.Point {
	out := [][]plane.Point{nil}
	at := plane.Point{X: -scale, Y: -scale}
	for i := 0; i+1 < len(data) && i < 120; i += 2 {
		dx, dy := int32(int8(data[i])), int32(int8(data[i+1]))
		if dx == 0 && dy == 0 {
			out = append(out, nil)
			continue
		}
		at.X, at.Y = at.X+dx*scale, at.Y+dy*scale
		out[len(out)-1] = append(out[len(out)-1], at)
	}
	return out
}

func corners(rs ...[]plane.Point) []byte {
	var out []byte
	at := plane.Point{X: -1, Y: -1}
	for i, r := range rs {
		if i > 0 {
			out = append(out, 0, 0)
		}
		for _, p := range r {
			out = append(out, byte(p.X-at.X), byte(p.Y-at.Y))
			at = p
		}
	}
	return out
}

// FuzzPolygon makes axes of outlines of every kind. Cleaned first, each must
// have a right axis; taken raw, they may be refused but never harm.
func FuzzPolygon(f *testing.F) {
	p := func(x, y int32) plane.Point { return plane.Point{X: x, Y: y} }
	square := []plane.Point{p(0, 0), p(100, 0), p(100, 100), p(0, 100)}
	hole := []plane.Point{p(20, 20), p(20, 70), p(70, 70), p(70, 20)}
	touching := []plane.Point{p(0, 0), p(20, 70), p(70, 70), p(70, 20)}
	pieces := []plane.Point{p(0, 0), p(10, 0), p(50, 0), p(60, 0), p(60, 30), p(60, 60), p(0, 60)}
	bow := []plane.Point{p(0, 0), p(90, 90), p(90, 0), p(0, 90)}
	comb := []plane.Point{p(0, 0), p(0, -50), p(5, -50), p(5, 0), p(10, 0), p(10, -50), p(15, -50), p(15, 0), p(20, 0), p(20, -50), p(25, -50), p(25, 10), p(0, 10)}
	round := []plane.Point{p(25, 0), p(24, 7), p(20, 15), p(15, 20), p(7, 24), p(0, 25), p(-7, 24), p(-15, 20), p(-20, 15), p(-24, 7), p(-25, 0), p(-20, -15), p(-7, -24), p(0, -25), p(15, -20)}
	needle := []plane.Point{p(0, 0), p(120, 1), p(0, 2)}
	for _, s := range [][]byte{
		corners(square), corners(square, hole), corners(square, touching), corners(pieces), corners(bow), corners(comb),
		corners(round), corners(needle), corners(square, hole, []plane.Point{p(30, 30), p(60, 30), p(45, 60)}), {1, 0, 0, 1, 255, 255},
	} {
		for _, scale := range []uint16{1, 97, 3000} {
			f.Add(s, scale, uint8(20))
		}
		f.Add(s, uint16(1000), uint8(0))
	}
	f.Fuzz(func(t *testing.T, data []byte, scale uint16, microns uint8) {
		outlines := rings(data, int32(scale)+1)
		tolerance := float64(microns) / 1000
		if g, err := axis.Medial(regionOf(outlines...), tolerance); err == nil {
			valid(t, g)
		}
		clean, ok := region.Positive(outlines, 1<<28)
		if !ok {
			return
		}
		for _, r := range clean {
			g, err := axis.Medial(r, tolerance)
			if err != nil {
				t.Fatalf("%v\n%v", err, r.Rings)
			}
			valid(t, g)
			covered(t, r, g, tolerance)
		}
	})
}
