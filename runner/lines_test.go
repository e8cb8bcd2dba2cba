package runner_test

import (
	"math"
	"testing"

	"mahlstick/runner"
)

// Lines wider than the brush, and some too thin for it: the proof holds the
// marks against the widths that were drawn, not against those that were planned.
func TestProofOfLinesHoldsWhatWasDrawn(t *testing.T) {
	studio, _ := pond(t)
	recipe := oneLayer(t, studio, "lines", "leave",
		`<g fill="none" stroke="black" stroke-linecap="round"><path d="M20.013 20.031 h50" stroke-width="6"/><path d="M20.013 40.007 h50" stroke-width="0.2"/></g>`)
	r := mustRun(t, recipe, runner.Options{})
	l := r.Layers[0]
	if r.Failed() {
		t.Errorf("%+v, refused %g", l.Cover, l.Refused())
	}
	// J. Steiner's formula for the area round a curve: L·w + π(w/2)².
	around := func(long, wide float64) float64 { return long*wide + math.Pi*wide*wide/4 }
	drawn, painted := around(50, 6)+around(50, 0.2), around(50, 4)
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"drawn, in the plan", l.Plan.Drawn, drawn}, {"drawn, in the proof", l.Cover.Drawn, drawn},
		{"painted, in the plan", l.Painted(), painted}, {"covered, in the proof", l.Cover.Covered, painted},
	} {
		if math.Abs(c.got-c.want) > 0.01*c.want {
			t.Errorf("%s: %.1f mm², want %.1f", c.what, c.got, c.want)
		}
	}
}
