package painting_test

import (
	"math"
	"strings"
	"testing"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/model"
	"mahlstick/runner/scan/along"
	"mahlstick/runner/scan/painting"
	"mahlstick/runner/stage"
)

// places are those of strokes whose widths are all off by a share of the width and each
// stroke by its own; every tenth may be a blot.
func places(strokes int, share float64, blots bool, own func(stroke int) float64) *along.Result {
	out := &along.Result{}
	for s := range strokes {
		for i := range 20 {
			asked := 0.4 + 0.08*float64(i)
			p := along.Place{Stroke: s + 1, Asked: asked, State: along.Measured, Width: asked*(1+share) + own(s), U: 0.01}
			if blots && (s+i)%10 == 0 {
				p.Width += 1
			}
			out.Places = append(out.Places, p)
		}
	}
	return out
}

// cone is a layer whose brush paints 0.5 mm for each mm of press.
func cone(t *testing.T) stage.Proven {
	t.Helper()
	curve, err := brush.Fit([]brush.Mark{{Press: 2, Width: 1}}, 6, 3, 0)
	if err != nil {
		t.Fatal(err)
	}
	var l stage.Proven
	l.Model = &model.Layer{Name: "reeds", Brush: &model.Brush{Curve: curve}}
	return l
}

// Groups have the median width of their places: a blot in ten changes nothing, and the
// press is that of the width asked for.
func TestRows(t *testing.T) {
	r := &painting.Reading{Layers: []stage.Proven{cone(t)}, Measured: places(12, 0.1, true, func(int) float64 { return 0 })}
	rows := r.Widths(0)
	if len(rows) < 8 || len(rows) > 10 {
		t.Fatalf("%d rows", len(rows))
	}
	last := 0.0
	for _, w := range rows {
		if math.Abs(w.Measured-1.1*w.Asked) > 0.01 || math.Abs(w.Press-2*w.Asked) > 1e-9 || w.Asked <= last {
			t.Errorf("%+v after %v", w, last)
		}
		last = w.Asked
	}
	if text := r.Results(); strings.Count(text, "\n| reeds | ") != len(rows) {
		t.Error(text)
	}
	if r := (&painting.Reading{Layers: r.Layers, Measured: &along.Result{}}); r.Results() != "" {
		t.Errorf("rows of nothing: %s", r.Results())
	}
}

// The doubt of a row is that of the median of its strokes: where strokes are off by
// amounts of their own, more places of each do not lower it. Of 16 strokes with a normal
// distribution of 0.03 mm it is 0.03 mm · √(π/2/16) (H. Cramér, 28.5).
func TestDoubtOfRows(t *testing.T) {
	normal := func(s int) float64 { return 0.03 * math.Sqrt2 * math.Erfinv(2*(float64(s)+0.5)/16-1) }
	r := &painting.Reading{Layers: []stage.Proven{cone(t)}, Measured: places(16, 0, false, normal)}
	want := 0.03 * math.Sqrt(math.Pi/2/16)
	for _, w := range r.Widths(0) {
		if w.U < 0.8*want || w.U > 1.3*want {
			t.Errorf("%.4f mm ± %.4f mm, want about ± %.4f mm", w.Asked, w.U, want)
		}
	}
}
