package stroke_test

import (
	"encoding/binary"
	"math"
	"testing"

	"mahlstick/runner/contour"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
	"mahlstick/runner/stroke"
)

// FuzzMake draws outlines and one line from any bytes: the first says how wide
// the brush is and whether hairlines are painted, each further four are a point
// on a grid of 0.01 mm, and x = -32768 begins the next outline.
func FuzzMake(f *testing.F) {
	add := func(head byte, rings ...[]int16) { f.Add(bytesOf(head, rings...)) }
	add(40, []int16{0, 0, 2000, 0, 2000, 600, 0, 600})
	add(3, []int16{0, 0, 2000, 0, 2000, 2000, 0, 2000}, []int16{500, 500, 500, 900, 900, 900})
	add(9, []int16{0, 0, 1000, 1000, 1000, 0, 0, 1000})
	add(128+5, []int16{0, 0, 3000, 10, 0, 20}, []int16{0, 0, 1, 0, 1, 1})
	add(0, []int16{0, 0, 500, -20, 1000, 0, 500, 20, 500, 21})
	add(1, []int16{347, 265, 54, 55, 8, 57, 132, 114}) // nearly all of it too thin
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) < 1 || len(data) > 400 {
			return
		}
		l := layerWith(0.2, 0.3+float64(data[0]&127)/8)
		l.Hairlines = data[0] > 127
		in := contoursFrom(data[1:])
		closed, problems := region.Build(in, region.Options{})
		if len(problems) > 0 {
			t.Fatalf("%v", problems)
		}
		if closed.Drawn() > 40000 {
			return // lanes without end
		}
		line := stroke.OpenLine{Identity: contour.Identity{Shape: len(in)}, Points: in[0].Points}
		for i := range line.Points {
			line.Widths = append(line.Widths, float64(i%5))
		}
		p := plan(t, stroke.Drawn{Closed: closed, Lines: []stroke.OpenLine{line}}, l)
		pressed(t, p, l)
		accounted(t, p, closed.Shapes)
	})
}

func bytesOf(head byte, rings ...[]int16) []byte {
	out := []byte{head}
	for i, r := range rings {
		if i > 0 {
			out = append(out, 0, 0x80, 0, 0)
		}
		for _, v := range r {
			out = binary.LittleEndian.AppendUint16(out, uint16(v))
		}
	}
	return out
}

func contoursFrom(data []byte) []region.Contour {
	out := []region.Contour{{}}
	for ; len(data) >= 4; data = data[4:] {
		x, y := int16(binary.LittleEndian.Uint16(data)), int16(binary.LittleEndian.Uint16(data[2:]))
		if x == -32768 {
			out = append(out, region.Contour{Identity: contour.Identity{Shape: len(out)}})
			continue
		}
		c := &out[len(out)-1]
		c.Points = append(c.Points, plane.Point{X: int32(x) * 100, Y: int32(y) * 100})
	}
	return out
}

// accounted checks that what was drawn is painted and refused together, and
// that every shape has a gesture or a remark.
func accounted(t *testing.T, p *stroke.Plan, shapes []region.Shape) {
	refused := 0.0
	for _, a := range p.Refused {
		refused += a
	}
	if math.Abs(p.Painted()+refused-p.Drawn) > 1e-6*(1+p.Drawn) {
		t.Fatalf("drawn %g, painted %g, refused %v", p.Drawn, p.Painted(), p.Refused)
	}
	known := map[int]bool{}
	for _, g := range p.Gestures {
		known[g.Shape] = true
	}
	for _, r := range p.Remarks {
		known[r.Shape] = true
	}
	for _, s := range shapes {
		if !known[s.Number] {
			t.Fatalf("shape %d has neither a gesture nor a remark", s.Number)
		}
	}
}
