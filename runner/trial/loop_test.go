package trial_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"mahlstick/recipe"
	"mahlstick/recipe/measure"
	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
	"mahlstick/runner/trial"
)

// loopStudio is a brush that links its swatch sheet, the sheet, and a recipe that
// paints with the brush.
func loopStudio() fstest.MapFS {
	var trials strings.Builder
	for _, kind := range model.TrialKinds() {
		fmt.Fprintf(&trials, "| %s | %[1]s | [sable](../brushes/sable.md) | indigo | 300 mm/min | 4 mm | 2 |\n", kind)
	}
	const machine = "## Machine\n| machine | |\n|---|---|\n| reach x | 400 mm |\n| reach y | 500 mm |\n| reach z | 60 mm |\n| fastest feed | 5000 mm/min |\n| travel feed | 5000 mm/min |\n\n"
	return fstest.MapFS{
		"studio.md":        {Data: []byte("# Studio\n")},
		"brushes/sable.md": {Data: []byte("# Sable\n## Brush: sable\n| brush | |\n|---|---|\n| safe press | 4 mm |\n| caliper | 0.01 mm |\n\n## Swatch: sable\n[its sheet](../swatches/sable.md)\n")},
		"swatches/sable.md": {Data: []byte("# Sable, measured\n## Sheet\n| sheet | |\n|---|---|\n| size | A3 portrait |\n\n" + machine +
			"## Trials\n| trial | kind | brush | ink | feed | press | repeats |\n|---|---|---|---|---|---|---|\n" + trials.String() + "\n## Results\n### One day\n[readings](sable.csv)\n")},
		"swatches/sable.csv": {Data: []byte("number,measured (mm)\n")},
		"pond.md": {Data: []byte("# Pond\n## Sheet\n| sheet | |\n|---|---|\n| size | A4 portrait |\n\n" + machine +
			"## Registration\n| mark | x | y | size |\n|---|---|---|---|\n| a | 20 mm | 20 mm | 8 mm |\n\n## Layers\n| layer | drawing | brush | ink |\n|---|---|---|---|\n| a | [a](a.dxf) | [sable](brushes/sable.md) | ochre |\n")},
	}
}

// A painter who is a model of a brush: what is read from each mark of a sheet.
type painter struct {
	program *trial.Program
	before  trial.Reading
	runs    int
	dots    int
}

const (
	tooDeep  = 0.03 // mm, of the touch-off
	play     = 0.06 // mm
	lagSlope = 0.3  // mm a mm of press
)

func (p *painter) width(press float64) float64 {
	if press+tooDeep < 0 {
		return 0
	}
	return 0.25 + 0.5*(press+tooDeep)
}

// gestureAt is the gesture of one point, or that goes round a centre, at a place.
func (p *painter) gestureAt(x, y float64) (g *stroke.Gesture, radius float64) {
	for i := range p.program.Gestures {
		g := &p.program.Gestures[i]
		first := math.Hypot(plane.MM(g.Points[0].X)-x, plane.MM(g.Points[0].Y)-y)
		round := len(g.Points) == 1 && first < 0.01 || len(g.Points) > 20
		for _, q := range g.Points {
			round = round && math.Abs(math.Hypot(plane.MM(q.X)-x, plane.MM(q.Y)-y)-first) < 0.01
		}
		if round {
			return g, first
		}
	}
	return nil, 0
}

func (p *painter) read(t *testing.T, r trial.Reading) float64 {
	t.Helper()
	defer func() { p.before = r }()
	lag := lagSlope * (r.Press + tooDeep)
	switch r.Kind {
	case model.Ramp:
		d := math.Hypot(r.X-p.before.X, r.Y-p.before.Y)
		if p.before.Kind == model.Ramp && r.Press < p.before.Press {
			return p.width(r.Press - lag*(p.before.Press-r.Press)/d + play)
		}
		return p.width(r.Press)
	case model.Rings:
		_, radius := p.gestureAt(r.X, r.Y)
		return 2 * math.Sqrt(radius*radius-lag*lag)
	case model.Corners:
		return lag * measure.MissedShare(2*(r.Across-90))
	case model.Feeds:
		dry := p.width(r.Press)
		return dry + 2*math.Sqrt(0.005*dry*60/r.Feed)
	case model.Dwell:
		g, _ := p.gestureAt(r.X, r.Y)
		if g == nil {
			t.Fatalf("no dot at %g, %g", r.X, r.Y)
		}
		return math.Sqrt(0.8*0.8 + 4*0.02*g.Trial.Wait)
	case model.RunOut:
		p.runs++
		return []float64{2150, 12}[p.runs%2]
	case model.Touches:
		p.dots++
		return p.width(r.Press + 0.1*float64((p.dots-1)/2%2*2-1)) // 0.1 mm to either side
	case model.Tips:
		return r.Expected + map[float64]float64{0: 0.15, 90: -0.1}[r.Across]
	}
	return p.width(r.Press)
}

// What is laid out, listed to be measured, filled in and linked comes back as the
// brush that painted it.
func TestFromSheetToBrush(t *testing.T) {
	files := loopStudio()
	job, list := recipe.ReadUndrawn(files, "swatches/sable.md")
	if list.HasErrors() {
		t.Fatal(list)
	}
	var readings []trial.Reading
	measured := map[int]float64{}
	s := layOut(t, job)
	for i := range s.Programs {
		p := &painter{program: &s.Programs[i]}
		for _, r := range s.Programs[i].Readings {
			readings = append(readings, r)
			measured[r.Number] = p.read(t, r)
		}
	}
	lines := strings.Split(strings.TrimSpace(string(trial.ToMeasure(readings))), "\n")
	for i := range lines[1:] {
		lines[i+1] += fmt.Sprintf("%.4f", measured[i+1])
	}
	files["swatches/sable.csv"].Data = []byte(strings.Join(lines, "\n") + "\n")
	job, list = recipe.ReadUndrawn(files, "pond.md")
	if list.HasErrors() || len(job.Brushes) != 1 || job.Brushes[0].Measured == nil {
		t.Fatal(list)
	}
	untold := loopStudio()
	untold["swatches/sable.csv"] = files["swatches/sable.csv"]
	untold["brushes/sable.md"].Data = []byte(strings.Replace(string(files["brushes/sable.md"].Data), "| safe press | 4 mm |\n", "", 1))
	if _, list := recipe.ReadUndrawn(untold, "pond.md"); !list.HasErrors() || !strings.Contains(fmt.Sprint(list), "do not show the safe press of sable: the light mark after each rung was as narrow as ever") {
		t.Errorf("a safe press that nobody saw: %v", list)
	}
	b, m := job.Brushes[0], job.Brushes[0].Measured
	for _, c := range []struct {
		what              string
		got, want, within float64
	}{
		{"touch", m.Touches[0].Value, -tooDeep, 0.02}, {"touch mark", b.TouchMark, 0.25, 0.01}, {"safe press", m.Safe.Value, 4.03, 0.01},
		{"lag at 2 mm", b.Lag.At(2), 2 * lagSlope, 0.03}, {"play", m.Play.Value, play, 0.01}, {"play that is used", b.Play, m.Play.Value, 1e-9}, {"spreading", m.Spread.Rate.Value, 0.005, 0.0003},
		{"growth of a dot", m.Dot.Rate.Value, 0.02, 0.001}, {"load", m.Load.Length.Value, 2150, 1e-9}, {"run-in", m.RunIn.Value, 12, 1e-9},
		{"touching off", m.Touch.Value, 0.1, 0.02}, {"tip x", b.TipX, 0.15, 1e-4}, {"tip y", b.TipY, -0.1, 1e-4},
		{"half-angle", math.Tan(m.HalfAngle.Value), 0.25, 0.002},
	} {
		if !(math.Abs(c.got-c.want) <= c.within) {
			t.Errorf("%s = %.5f, want %g ± %g", c.what, c.got, c.want, c.within)
		}
	}
	// The sheet was painted at 300 mm/min, and the layer is at 900.
	feed, layer := m.Feed, job.Layers[0].Brush
	d := m.Spread.Rate.Value * 60
	wide, _ := b.Curve.WidthAt(2)
	narrower, _ := layer.Curve.WidthAt(2)
	dry := math.Pow(math.Sqrt(d/feed+wide)-math.Sqrt(d/feed), 2)
	if want := dry + 2*math.Sqrt(d*dry/job.Layers[0].Feed); feed != 300 || math.Abs(narrower-want) > 1e-3 || wide-narrower < 0.02 {
		t.Errorf("%.4f mm wide at %g mm/min, and %.4f mm at %g, want %.4f", wide, feed, narrower, job.Layers[0].Feed, want)
	}
	for press := 0.2; press < b.SafePress; press += 0.3 {
		low, high, err := b.Curve.Band(press)
		if truth := 0.25 + 0.5*press; err != nil || truth < low || truth > high {
			t.Errorf("at %.1f mm the band is %.3f to %.3f, the truth %.3f", press, low, high, truth)
		}
	}
}
