package region_test

import (
	"encoding/binary"
	"testing"

	"mahlstick/runner/contour"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

// decode reads contours from any bytes: the first byte gives the rule and
// whether inner contours are strokes, the second the size of the grid, and
// each further four a point; x = -32768 begins a new contour.
func decode(data []byte) ([]region.Contour, region.Options) {
	if len(data) < 2 {
		return nil, region.Options{}
	}
	head, shift := data[0], data[1]%12
	opt := region.Options{Strokes: head&4 != 0}
	var out []region.Contour
	next := func() {
		out = append(out, region.Contour{Identity: contour.Identity{Rule: contour.FillRule(head & 3 % 3), Group: len(out) % 3, Shape: len(out)}})
	}
	next()
	for data = data[2:]; len(data) >= 4; data = data[4:] {
		x, y := int16(binary.LittleEndian.Uint16(data)), int16(binary.LittleEndian.Uint16(data[2:]))
		if x == -32768 {
			next()
			continue
		}
		c := &out[len(out)-1]
		c.Points = append(c.Points, plane.Point{X: int32(x) << shift, Y: int32(y) << shift})
	}
	return out, opt
}

func encode(head, shift byte, rings ...[]plane.Point) []byte {
	out := []byte{head, shift}
	for i, ring := range rings {
		if i > 0 {
			out = append(out, 0, 0x80, 0, 0)
		}
		for _, p := range ring {
			out = binary.LittleEndian.AppendUint16(out, uint16(p.X))
			out = binary.LittleEndian.AppendUint16(out, uint16(p.Y))
		}
	}
	return out
}

func FuzzRegion(f *testing.F) {
	f.Add(encode(0, 11, square(0, 0, 30), square(5, 5, 9), square(20, 20, 30)))
	f.Add(encode(1, 0, pts(0, 0, 9, 9, 9, 0, 0, 9), pts(3, 3, 7, 2, 5, 8)))
	f.Add(encode(2, 4, pts(0, 0, 40, 0, 40, 40, 20, 40, 30, 10, 10, 10, 20, 40, 0, 40)))
	f.Add(encode(4, 3, square(0, 0, 5), square(0, 0, 5), pts(1, 1, 1, 1)))
	f.Add(encode(0, 0, pts(0, 0, 7, 1, 1, 3, 6, 4, 2, 0, 3, 7, 5, 0, 0, 5, 7, 6)))
	f.Add(encode(0, 11, pts(-32000, -32000, 32000, 32000, 32000, -32000, -32000, 32001, 7, -31999)))
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 600 {
			return
		}
		in, opt := decode(data)
		got, problems := region.Build(in, opt)
		if len(problems) > 0 {
			t.Fatalf("%v", problems)
		}
		checkAll(t, got.Regions)
	})
}
