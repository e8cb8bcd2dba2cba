package meaning_test

import (
	"math"
	"strings"
	"testing"

	"mahlstick/recipe/brush"
	"mahlstick/runner/scan/along"
	"mahlstick/runner/scan/meaning"
	"mahlstick/runner/vector"
)

// anyPlaces takes measured places of two layers from bytes, five a place.
func anyPlaces(data []byte) *along.Result {
	out := &along.Result{}
	for len(data) >= 5 && len(out.Places) < 400 {
		turn := float64(data[3]) / 40
		p := along.Place{Layer: int(data[0]) % 2, Stroke: 1 + int(data[0])/16, Way: float64(len(out.Places)%20) / 2, At: vector.XY{X: float64(data[1]), Y: float64(data[3])},
			Along: vector.XY{X: math.Cos(turn), Y: math.Sin(turn)}, Asked: float64(data[1]) / 80, Rise: float64(int8(data[2])) / 500, State: along.State(data[2] % 5),
			Width: float64(data[2]) / 70, U: 0.001 + float64(data[3])/2000, Offset: float64(int8(data[4])) / 300, OffsetU: 0.01, Depth: float64(data[4]) / 200}
		if n := len(out.Strokes); n == 0 || out.Strokes[n-1].Stroke != p.Stroke || out.Strokes[n-1].Layer != p.Layer {
			out.Strokes = append(out.Strokes, along.Verdict{Layer: p.Layer, Stroke: p.Stroke, Doubled: data[4] == 7})
			out.Ends = append(out.Ends, along.End{Layer: p.Layer, Stroke: p.Stroke, First: data[4]%2 == 0, At: p.At, Along: p.Along, Asked: p.Asked, State: p.State, Beyond: p.Offset, U: p.U})
		}
		out.Places, data = append(out.Places, p), data[5:]
	}
	return out
}

// Whatever is measured has a meaning of finite numbers, and its text can be written.
func FuzzOf(f *testing.F) {
	f.Add([]byte{0, 100, 90, 10, 0, 0, 120, 110, 11, 1, 16, 140, 130, 12, 2}, false)
	f.Add([]byte(strings.Repeat("many places that are all alike ", 40)), true)
	f.Add([]byte{}, true)
	f.Add([]byte{1, 0, 0, 0, 0}, false)
	f.Fuzz(func(t *testing.T, data []byte, table bool) {
		curve, err := brush.Fit([]brush.Mark{{Press: 1, Width: 0.9}, {Press: 2.5, Width: 2}}, 4, 3, 0.2)
		if err != nil {
			t.Fatal(err)
		}
		b := meaning.Brush{Name: "sable", Touch: 0.1, WidestMark: 3, TouchMark: 0.2, SafePress: 4, Curve: curve}
		if table {
			b.Rows = []meaning.Row{{Press: 1, Width: 0.9}, {Press: 2.5, Width: 2}}
		}
		layers := []meaning.Layer{{Name: "reeds", Frame: true, Curve: curve}, {Name: "bird", Curve: curve, Loads: []int{3}}}
		r := meaning.Of(anyPlaces(data), layers, []meaning.Brush{b})
		for _, e := range r.Effects {
			if math.IsNaN(e.Value) || math.IsInf(e.Value, 0) || !(e.U >= 0) {
				t.Fatalf("%+v", e)
			}
		}
		var text strings.Builder
		if err := r.Write(&text); err != nil {
			t.Fatal(err)
		}
		if strings.Contains(text.String(), "NaN") || strings.Contains(text.String(), "Inf") {
			t.Fatal(text.String())
		}
	})
}
