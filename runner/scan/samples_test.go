package scan_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/model"
	"mahlstick/runner"
	"mahlstick/runner/scan"
	"mahlstick/runner/scan/scene"
	"mahlstick/runner/vector"
)

// sample is a job that is painted and scanned again and again.
type sample struct {
	name   string
	result *runner.Result
	job    *scan.Job
	curve  *brush.Curve // of a picture's brush; nil for a swatch
	// trails says that what a mark that trails should be is known in closed form.
	trails bool
	// tip is the program whose brush has its tip elsewhere; -1: none.
	tip int
}

// samples are swatches of all kinds of trial that are read from a scan, one of them on
// two sheets, and pictures with check strips and painted register marks.
func samples(t *testing.T) []*sample {
	swatch := func(name, size string, trails bool, rows ...string) *sample {
		s := &sample{name: name, result: run(t, studio(t, size, rows...)), trails: trails, tip: -1}
		s.job = runner.Painted(s.result)
		return s
	}
	out := []*sample{
		swatch("ladder", "60 x 45 mm", true, trialRow("ladder", "ladder", sable, "4 mm")),
		swatch("ramp and corners", "80 x 60 mm", false, trialRow("ramp", "ramp", sable, "4 mm"), trialRow("corners", "corners", sable, "3 mm")),
		swatch("rings and feeds", "80 x 60 mm", true, trialRow("feeds", "feeds", sable, "2 mm"), trialRow("rings", "rings", sable, "3 mm")),
		swatch("dots", "60 x 45 mm", true, trialRow("dwell", "dwell", sable, "2 mm"), trialRow("touches", "touches", sable, "2 mm")),
		swatch("tips", "60 x 45 mm", true, trialRow("dwell", "dwell", sable, "2 mm"), trialRow("tips", "tips", sable, "2 mm"), trialRow("tips 2", "tips", rigger, "2 mm")),
		swatch("two ladders", "80 x 60 mm", true, trialRow("ladder", "ladder", sable, "4 mm"), trialRow("ladder 2", "ladder", rigger, "3 mm")),
	}
	out[4].tip = len(out[4].result.Layers) - 1
	for n := range 4 {
		s := &sample{name: fmt.Sprintf("picture %d", n+1), result: run(t, picture(t, uint64(n))), tip: -1}
		s.job, s.curve = runner.Painted(s.result), s.result.Layers[0].Model.Brush.Curve
		out = append(out, s)
	}
	return out
}

// picture writes a studio with a picture of two layers of swelling strokes.
func picture(t *testing.T, seed uint64) string {
	t.Helper()
	recipe := studio(t, "80 x 60 mm")
	dir := filepath.Dir(recipe)
	r := rand.New(rand.NewPCG(seed, 21))
	for _, name := range []string{"first", "second"} {
		if err := os.WriteFile(filepath.Join(dir, name+".svg"), []byte(drawing(r)), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	text := "# Picture\n\n## Sheet\n\n| sheet | |\n|---|---|\n| size | 80 x 60 mm |\n\n## Machine\n\n[bench](../machines/bench.md)\n\n" +
		"## Registration\n\n| mark | x | y | size | painted |\n|---|---|---|---|---|\n"
	for i, m := range registers {
		text += fmt.Sprintf("| mark %d | %g mm | %g mm | 6 mm | first |\n", i+1, m.X, m.Y)
	}
	text += "\n## Layers\n\n| layer | drawing | brush | ink | check strip |\n|---|---|---|---|---|\n" +
		"| first | [first](first.svg) | " + sable + " | moss #6c7a45 | yes |\n| second | [second](second.svg) | " + sable + " | indigo #1f2a49 | yes |\n"
	if err := os.WriteFile(recipe, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return recipe
}

// registers are the register marks of a picture, in mm on the sheet.
var registers = []vector.XY{{X: 13, Y: 13}, {X: 67, Y: 47}, {X: 67, Y: 13}}

// drawing is a drawing of strokes that swell, some of them bowed, and of the register
// marks.
func drawing(r *rand.Rand) string {
	var text strings.Builder
	text.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" width="80mm" height="60mm" viewBox="0 0 80 60">` + "\n")
	for _, m := range registers {
		x, y := m.X-3, 60-m.Y-3
		fmt.Fprintf(&text, `<path d="M%g %gH%gV%gH%gZ"/>`+"\n", x, y, x+6, y+6, x)
	}
	for i := range 6 {
		x, y := 24+12*float64(i%3)+6*r.Float64(), 18+16*float64(i/3)+6*r.Float64()
		out := vector.XY{X: 22 * (r.Float64() - 0.5), Y: 22 * (r.Float64() - 0.5)}
		out = out.Plus(out.Unit().Times(8))
		bow, thick := 4*(r.Float64()-0.5), 0.7+1.1*r.Float64()
		left := out.Unit().Left()
		a, b := out.Times(0.5).Plus(left.Times(bow+thick)), out.Times(0.5).Plus(left.Times(bow-thick))
		end := func(v, limit, edge float64) float64 { return max(edge, min(limit-edge, v)) } // clear of the marks and the margin
		fmt.Fprintf(&text, `<path d="M%.3f %.3fQ%.3f %.3f %.3f %.3fQ%.3f %.3f %.3f %.3fZ"/>`+"\n", x, y, x+a.X, y+a.Y, end(x+out.X, 80, 22), end(y+out.Y, 60, 12), x+b.X, y+b.Y, x, y)
	}
	return text.String() + "</svg>\n"
}

// painter is what nobody at the scanner knows.
type painter struct {
	width   func(press float64) float64 // mm
	lag     float64                     // mm at a press of 3 mm
	deep    []float64                   // mm, by program
	tip     vector.XY
	mishaps map[int][]scene.Mishap // by program
}

// hidden draws a painter for a sheet of a job.
func (s *sample) hidden(r *rand.Rand, sheet int) *painter {
	p := &painter{mishaps: map[int][]scene.Mishap{}}
	if s.curve != nil {
		p.width = wider(s.curve, 0.12*r.Float64()-0.05)
	} else {
		p.width = scene.Cone(0.25, 9+5*r.Float64(), 0)
	}
	if s.trails {
		p.lag = 0.5 * r.Float64()
	}
	if s.tip >= 0 {
		p.tip = vector.XY{X: 0.8 * (r.Float64() - 0.5), Y: 0.8 * (r.Float64() - 0.5)}
	}
	for range s.result.Layers {
		p.deep = append(p.deep, 0.03*max(-2, min(r.NormFloat64(), 2)))
	}
	for _, k := range s.job.Strokes {
		switch chance := r.Float64(); {
		case k.Sheet != sheet:
		case chance < 0.04:
			p.mishaps[k.Program] = append(p.mishaps[k.Program], scene.Mishap{Stroke: k.Number, Missing: true})
		case chance < 0.07:
			p.mishaps[k.Program] = append(p.mishaps[k.Program], scene.Mishap{Stroke: k.Number, Smear: 0.5 + 2.5*r.Float64()})
		}
	}
	return p
}

// wider is a brush whose marks are wider than its table has them, by a share of the
// press.
func wider(c *brush.Curve, by float64) func(press float64) float64 {
	return func(press float64) float64 {
		within := min(press, c.SafePress())
		w, err := c.WidthAt(within)
		if err != nil {
			return 0
		}
		return w + float64(by*press)
	}
}

// layers are the programs of a sheet as the painter paints them.
func (p *painter) layers(s *sample, sheet int, ink scene.Ink) (out []scene.Layer) {
	for i, l := range s.result.Layers {
		if l.Trial != nil && l.Trial.Sheet != sheet {
			continue
		}
		b := scene.Brush{Width: p.width, Lag: scene.Proportional(p.lag, 3)}
		if i == s.tip {
			b.TipX, b.TipY = p.tip.X, p.tip.Y
		}
		out = append(out, scene.Layer{Program: string(l.Program), Brush: b, Ink: ink, Deep: p.deep[i], Mishaps: p.mishaps[i]})
	}
	return out
}

// want is what a mark of a stroke should measure, in mm.
func (p *painter) want(s *sample, m *scan.Measured, k *scan.Stroke) float64 {
	press := m.Press + p.deep[k.Program]
	switch m.Kind {
	case model.Rings: // the steady state of a drag curve
		r := vector.Distance(k.Points[0].XY, vector.XY{X: m.X, Y: m.Y})
		lag := p.lag * press / 3
		return 2 * math.Sqrt(r*r-lag*lag)
	case model.Corners:
		return 0 // a mark that does not trail
	case model.Tips:
		if k.Program != s.tip {
			return m.Expected
		}
		return m.Expected + map[float64]float64{0: p.tip.X, 90: p.tip.Y}[m.Across]
	}
	return p.width(press)
}
