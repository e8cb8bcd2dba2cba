package presenting

import (
	"strings"
	"testing"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/measure"
	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
	"mahlstick/runner/stage"
	"mahlstick/runner/stroke"
)

// measuredLayer is one stroke that swells and narrows, of a brush half as wide as it
// is pressed.
func measuredLayer(t *testing.T) (stage.Proven, *model.Brush) {
	t.Helper()
	curve, err := brush.Taper(2.5, 5, 0)
	if err != nil {
		t.Fatal(err)
	}
	b := &model.Brush{Curve: curve, SafePress: 5, Touch: 0.1, Measured: &model.Measured{}}
	l := stage.Proven{}
	l.Model = &model.Layer{Brush: b, Feed: 300}
	l.Gestures = []stroke.Gesture{{Points: []stroke.Point{
		{X: plane.Snap(10), Press: 1, Width: 0.5}, {X: plane.Snap(20), Press: 3, Width: 1.5}, {X: plane.Snap(40), Press: 1, Width: 0.5}}}}
	return l, b
}

func effectText(l stage.Proven, what string) string {
	for _, e := range effectsOf(l) {
		if e.What == what {
			return strings.ReplaceAll(e.Text, "\u00a0", " ")
		}
	}
	return ""
}

// What play, feed, lag and tip offset do is said with the figures that follow from
// the curve by hand.
func TestEffects(t *testing.T) {
	l, b := measuredLayer(t)
	if got := effectsOf(l); len(got) != 0 {
		t.Errorf("nothing was measured: %v", got)
	}
	b.Measured.Play = measure.Estimate{Value: 0.02, U: 0.04, Readings: 4}
	if got := effectText(l, "play"); !strings.Contains(got, "0.02 mm with a doubt of 0.08 mm: too little") {
		t.Error(got)
	}
	b.Play = 0.2
	if got := effectText(l, "play"); !strings.Contains(got, "pressed 0.2 mm less on the 20.0 mm of way") || !strings.Contains(got, "up to 0.1 mm too wide") {
		t.Error(got)
	}
	l.Ahead, b.TipX, b.TipY = 1, 0.3, -0.1
	if got := effectText(l, "lag"); !strings.Contains(got, "up to 1 mm") || !strings.Contains(got, "up to 0.66 mm") {
		t.Error(got)
	}
	if got := effectText(l, "tip offset"); !strings.Contains(got, "0.3 mm to the left and 0.1 mm up") {
		t.Error(got)
	}
	s := measure.Spread{Slowest: 100, Fastest: 1200, Root: measure.Estimate{Value: 0.1, U: 0.01, Readings: 9}}
	b.Measured.Spread = s
	if got := effectText(l, "width by feed"); !strings.Contains(got, "too much doubt") {
		t.Error(got)
	}
	b.Spreading = &model.Spreading{Spread: s, Feed: 1200, Painted: 300, Curve: b.Curve}
	b.Curve = b.Curve.Reshaped(func(w float64) float64 { return s.At(w, 1200, 300) })
	// The straight curve to 2.5 mm becomes one to 2.5697 mm: by hand, x = √(0.0005 + 2.5) - √0.0005.
	for i := range l.Gestures[0].Points {
		p := &l.Gestures[0].Points[i]
		p.Width, _ = b.Curve.WidthAt(p.Press)
	}
	if got := effectText(l, "width by feed"); !strings.Contains(got, "at 300 mm/min marks are up to 0.04 mm wider than at 1200 mm/min") || !strings.HasSuffix(got, "pressed up to 0.08 mm less") {
		t.Error(got)
	}
	b.Spreading.Painted = 1200
	if got := effectText(l, "width by feed"); !strings.Contains(got, "nothing is corrected") {
		t.Error(got)
	}
}

// The strokes at risk say what helps; without a sheet there are none.
func TestRisks(t *testing.T) {
	l, b := measuredLayer(t)
	v := risksView(l, &model.Machine{Bed: 0.05})
	if v == nil || v.N != 1 || len(v.Strokes) != 1 || !strings.HasPrefix(v.Strokes[0].Help, "touch off more exactly") || !(v.Strokes[0].Without < v.Strokes[0].Error) {
		t.Errorf("%+v", v)
	}
	if v := risksView(l, &model.Machine{Bed: 1}); !strings.HasPrefix(v.Strokes[0].Help, "level the bed") {
		t.Errorf("%+v", v)
	}
	b.Measured = nil
	if v := risksView(l, &model.Machine{}); v != nil {
		t.Errorf("%+v", v)
	}
}
