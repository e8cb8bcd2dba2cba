package along_test

import (
	"math"
	"testing"

	"mahlstick/runner/scan/along"
	"mahlstick/runner/vector"
)

// tiles is light that repeats some bytes as squares of 0.2 mm.
type tiles []byte

func (l tiles) At(p vector.XY) (out [3]float32, on bool) {
	x, y := int(math.Floor(p.X*5)), int(math.Floor(p.Y*5))
	if len(l) == 0 || x < 0 || y < 0 || x > 150 || y > 150 {
		return out, false
	}
	for c := range out {
		out[c] = float32(l[(7*x+31*y+c)%len(l)]) / 255
	}
	return out, true
}

// anyStrokes takes strokes from bytes: three bytes a mark, strokes of up to eight.
func anyStrokes(data []byte) []along.Stroke {
	var out []along.Stroke
	for len(data) >= 4 && len(out) < 20 {
		s := along.Stroke{Layer: int(data[0]) % 3, Number: len(out) + 1, Sure: float64(data[0]) / 200}
		n := int(data[0] / 32)
		data = data[1:]
		for ; n >= 0 && len(data) >= 3; n, data = n-1, data[3:] {
			s.Marks = append(s.Marks, along.Mark{X: float64(data[0])/8 - 1, Y: float64(data[1])/8 - 1, Width: float64(data[2]) / 50})
		}
		out = append(out, s)
	}
	return out
}

// Any strokes are measured in any light: places lie on their strokes, what is measured has
// a width and a doubt, and each stroke has one verdict.
func FuzzMeasure(f *testing.F) {
	line := []byte{32, 20, 40, 60, 180, 44, 80}
	f.Add(line, []byte{240, 238, 20, 21, 239, 240, 22, 30}, uint8(10))
	f.Add(append([]byte{255, 10, 10, 30, 50, 20, 30, 90, 90, 60, 10, 200, 90, 90, 100, 3, 50, 60, 0, 50, 60, 0, 120, 60, 100}, line...), []byte("light and shade"), uint8(60))
	f.Add([]byte{0, 50, 50, 0, 0, 50, 50, 0}, []byte{0}, uint8(0))
	f.Fuzz(func(t *testing.T, data, light []byte, coarse uint8) {
		strokes := anyStrokes(data)
		r := along.Measure(tiles(light), 0.02+float64(coarse)/500, strokes)
		if len(r.Strokes) != len(strokes) {
			t.Fatalf("%d verdicts on %d strokes", len(r.Strokes), len(strokes))
		}
		for _, p := range r.Places {
			if !(p.Way >= 0) || !(p.Asked >= 0) || math.Abs(p.Along.Length()-1) > 1e-6 {
				t.Fatalf("%+v", p)
			}
			if p.State == along.Measured && (!(p.Width >= 0) || !(p.U > 0) || math.IsInf(p.Width, 0) || math.IsNaN(p.Offset)) {
				t.Fatalf("%+v", p)
			}
		}
		for _, e := range r.Ends {
			if e.State == along.Measured && (math.IsNaN(e.Beyond) || !(e.U > 0)) {
				t.Fatalf("%+v", e)
			}
		}
		for _, v := range r.Strokes {
			if v.Measured > v.Places {
				t.Fatalf("%+v", v)
			}
		}
	})
}
