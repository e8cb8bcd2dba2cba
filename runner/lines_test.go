package runner_test

import (
	"math"
	"os"
	"strings"
	"testing"

	"mahlstick/runner"
)

// A line wider than the brush, one that is held back, and one too thin: the
// proof holds the marks against the widths that were drawn, not against those that were planned.
func TestProofOfLinesHoldsWhatWasDrawn(t *testing.T) {
	studio, _ := pond(t)
	recipe := oneLayer(t, studio, "lines", "leave",
		`<g fill="none" stroke="black" stroke-linecap="round"><path d="M20.013 20.031 h50" stroke-width="6"/><path d="M20.013 30.007 h50" stroke-width="3.99"/><path d="M20.013 40.007 h50" stroke-width="0.2"/></g>`)
	r := mustRun(t, recipe, runner.Options{})
	l := r.Layers[0]
	if r.Failed() {
		t.Errorf("%+v, refused %g, checks %v", l.Cover, l.Refused, r.Checks)
	}
	// J. Steiner's formula for the area round a curve: L·w + π(w/2)².
	around := func(long, wide float64) float64 { return long*wide + math.Pi*wide*wide/4 }
	drawn, painted := around(50, 6)+around(50, 3.99)+around(50, 0.2), around(50, 6)+around(50, l.Model.Brush.WidestPainted())
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

// A width formula with bars shorter than a millimetre, and one that asks for the
// angle as the text books write it: each mark has its width where the formula
// puts it, and the proof, which samples by its own step, finds them.
func TestWidthsThatChangeQuickly(t *testing.T) {
	for name, width := range map[string]string{
		"bars":    "`floor(from_start/(0.4*mm)) - 2*floor(from_start/(0.8*mm)) < 0.5 ? 0.8*mm : 2.4*mm`",
		"ripples": "`2*mm + 0.4*mm*sin(3600*deg*from_start/length)`",
	} {
		studio, _ := pond(t)
		recipe := oneLayer(t, studio, name, "leave", `<path d="M20.013 20.031 h40" fill="none" stroke="black" stroke-linecap="round"/>`)
		rewrite(t, recipe, func(line string) string {
			switch line {
			case "| layer | drawing      | brush | ink   | hairlines |":
				return line + " width |"
			case "|-------|--------------|-------|-------|-----------|":
				return line + "---|"
			}
			return strings.Replace(line, "| leave |", "| leave | "+width+" |", 1)
		})
		r := mustRun(t, recipe, runner.Options{})
		l := r.Layers[0]
		if r.Failed() || l.Cover.Coverage < 0.99 || l.Cover.Excess > 0.01 {
			t.Errorf("%s: %+v, refused %g", name, l.Cover, l.Refused)
		}
		// In all, the width of the mark changes 99 times by 1.6 mm, or 20 times by 0.8.
		want := map[string]float64{"bars": 99 * 1.6, "ripples": 20 * 0.8}[name]
		changes := 0.0
		for i, m := range l.Marks[0][1:] {
			changes += math.Abs(m.Width - l.Marks[0][i].Width)
		}
		if math.Abs(changes-want) > 0.03*want {
			t.Errorf("%s: the width of the mark changes by %g mm in all, want %g", name, changes, want)
		}
	}
}

// Lines whose width passes the brush's within a millimetre are filled where they
// are wider, and necks of a shape are painted although hairlines are left: the
// proof raises no alarm, and hardly anything is left bare.
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
		if share := l.Refused / l.Plan.Drawn; c.width != "" && (share > 0.01 || l.Cover.Coverage < 0.99) {
			t.Errorf("%s: %g of it is refused, %+v", c.name, share, l.Cover)
		}
	}
}
