package runner_test

import (
	"math"
	"os"
	"strings"
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
		t.Errorf("%+v, refused %g", l.Cover, l.Refused)
	}
	// J. Steiner's formula for the area round a curve: L·w + π(w/2)².
	around := func(long, wide float64) float64 { return long*wide + math.Pi*wide*wide/4 }
	drawn, painted := around(50, 6)+around(50, 0.2), around(50, 4)
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"drawn, in the plan", l.Plan.Drawn, drawn}, {"drawn, in the proof", l.Cover.Drawn, drawn},
		{"painted, in the plan", l.Painted, painted}, {"covered, in the proof", l.Cover.Covered, painted},
	} {
		if math.Abs(c.got-c.want) > 0.01*c.want {
			t.Errorf("%s: %.1f mm², want %.1f", c.what, c.got, c.want)
		}
	}
}

// Lines whose width passes the brush's within a millimetre, and necks of a
// shape that are painted although hairlines are left: much lies otherwise than
// drawn, and all of it is known.
func TestNoFalseAlarm(t *testing.T) {
	saw := "M20 60h10.5v-0.24"
	for range 24 {
		saw += "l-0.21875 -0.15 l-0.21875 0.15"
	}
	for _, c := range []struct{ name, width, shown string }{
		{"jumps", "`0.5*mm + 8*mm*along`", `<path d="M20 20h5M20 40h5" fill="none" stroke="black"/>`},
		{"spikes", "`3*mm + 2.8*mm*sin(2880*deg*along)`", `<path d="M20 20h60" fill="none" stroke="black"/>`},
		{"necks", "", `<path d="` + saw + `z"/>`},
	} {
		studio, _ := pond(t)
		recipe := oneLayer(t, studio, c.name, "leave", c.shown)
		text, err := os.ReadFile(recipe)
		if err != nil {
			t.Fatal(err)
		}
		wider := strings.NewReplacer("| hairlines |\n", "| hairlines | width | tolerance |\n", "|-----------|\n", "|---|---|---|\n", "| leave |\n", "| leave | "+c.width+" | 0.005 mm |\n")
		if err := os.WriteFile(recipe, []byte(wider.Replace(string(text))), 0o644); err != nil {
			t.Fatal(err)
		}
		r := mustRun(t, recipe, runner.Options{})
		l := r.Layers[0]
		if r.Failed() {
			t.Errorf("%s: %+v, refused %g", c.name, l.Cover, l.Refused)
		}
		if share := l.Refused / l.Plan.Drawn; c.width != "" && share < 0.05 {
			t.Errorf("%s: only %g of it is refused", c.name, share)
		}
	}
}
