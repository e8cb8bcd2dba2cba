package painting_test

import (
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"mahlstick/notebooks"
	"mahlstick/recipe/brush"
	"mahlstick/runner"
	scanned "mahlstick/runner/scan"
	"mahlstick/runner/scan/meaning"
	"mahlstick/runner/scan/painting"
	"mahlstick/runner/scan/raster"
	"mahlstick/runner/scan/scene"
)

// run runs the pond of the small studio.
func run(t *testing.T, studio string) *runner.Result {
	t.Helper()
	r, problems, err := runner.Run(filepath.Join(studio, "pond", "pond.md"), runner.Options{})
	if err != nil || len(problems) > 0 {
		t.Fatalf("%v %v", err, problems)
	}
	return r
}

// truth is the brush that paints: wider by a share than the curve that its notebook
// had at first, and beyond it as it goes on.
func truth(c *brush.Curve, more float64) func(press float64) float64 {
	return func(p float64) float64 {
		within := min(p, c.SafePress())
		w, err := c.WidthAt(within)
		if err != nil {
			return 0
		}
		return w + more*p
	}
}

// scan paints a job and reads it back.
func scan(t *testing.T, r *runner.Result, width func(float64) float64, mishaps ...scene.Mishap) *painting.Reading {
	t.Helper()
	var layers []scene.Layer
	for i, l := range r.Layers {
		layer := scene.Layer{Program: string(l.Program), Ink: []scene.Ink{scene.Moss, scene.Indigo}[i], Brush: scene.Brush{Width: width, Lag: scene.Proportional(0.4, 5)}}
		if i == 0 {
			layer.Mishaps = mishaps
		}
		layers = append(layers, layer)
	}
	sheet, err := scene.Paint(210, 148, layers...)
	if err != nil {
		t.Fatal(err)
	}
	scanner := scene.Scanner{DPI: 300, Turn: -0.5, Blur: 0.8, Noise: 0.008, Falloff: 0.1, Border: 3, Lid: 0.2, Seed: 9}
	return painting.Read(scanner.Look(sheet), 25.4/300, r.Job, r.Layers)
}

// paste puts the rows that are given into the notebook of the brush, as its text says.
func paste(t *testing.T, studio, rows string) {
	t.Helper()
	file := filepath.Join(studio, "brushes", "sable.md")
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	text := string(data)
	head, table, found := strings.Cut(rows, "In place of all below \"Swatch: sable\":\n\n")
	if !found {
		t.Fatalf("no table of the swatch:\n%s", rows)
	}
	for line := range strings.Lines(head) {
		if !strings.HasPrefix(line, "|") {
			continue
		}
		word := strings.TrimSpace(strings.Split(line, "|")[1])
		if old := regexp.MustCompile(`(?m)^\| ` + word + ` .*\n`); old.MatchString(text) {
			text = old.ReplaceAllLiteralString(text, line)
		} else {
			text = strings.Replace(text, "| caliper", line+"| caliper", 1)
		}
	}
	before, _, _ := strings.Cut(text, "## Swatch: sable\n")
	if err := os.WriteFile(file, []byte(before+"## Swatch: sable\n\n"+table), 0o644); err != nil {
		t.Fatal(err)
	}
}

// A painting of a real job is read back; the rows that are given are pasted, the job
// runs without a problem, and the next sheet is right.
func TestPasted(t *testing.T) {
	t.Parallel()
	studio := t.TempDir()
	if err := os.CopyFS(studio, os.DirFS("../../../testdata/studio")); err != nil {
		t.Fatal(err)
	}
	first := run(t, studio)
	width := truth(first.Layers[0].Model.Brush.Curve, 0.05)
	r := scan(t, first, width)
	var text strings.Builder
	if err := r.Write(&text); err != nil {
		t.Fatal(err)
	}
	t.Log("\n" + text.String())
	e, _ := r.Meaning.Effect(meaning.Slope, 0)
	if math.Abs(e.Value-0.05) > 0.01 {
		t.Errorf("the marks widen by %.4f mm a mm more, should be 0.05", e.Value)
	}
	_, rows, _ := strings.Cut(strings.TrimSuffix(text.String(), r.Results()), "\n\n")
	paste(t, studio, rows)
	second := scan(t, run(t, studio), width)
	t.Logf("%.4f mm, then %.4f mm", r.Meaning.Before, second.Meaning.Before)
	if !(second.Meaning.Before < 0.4*r.Meaning.Before) {
		t.Errorf("with the rows pasted, widths are off by %.4f mm, before by %.4f", second.Meaning.Before, r.Meaning.Before)
	}
}

// The way of a real scan: a file of the sheet, upside down and askew, whose place is
// found by its paint.
func TestFoundByItsPaint(t *testing.T) {
	t.Parallel()
	studio := t.TempDir()
	if err := os.CopyFS(studio, os.DirFS("../../../testdata/studio")); err != nil {
		t.Fatal(err)
	}
	job := run(t, studio)
	width := truth(job.Layers[0].Model.Brush.Curve, 0.05)
	var layers []scene.Layer
	for i, l := range job.Layers {
		layers = append(layers, scene.Layer{Program: string(l.Program), Ink: []scene.Ink{scene.Moss, scene.Indigo}[i], Brush: scene.Brush{Width: width}})
	}
	layers[0].Mishaps = []scene.Mishap{{Stroke: 3, Missing: true}}
	sheet, err := scene.Paint(210, 148, layers...)
	if err != nil {
		t.Fatal(err)
	}
	data, err := scene.Scanner{DPI: 300, Turn: 1, UpsideDown: true, ErrorX: 0.003, Blur: 0.8, Noise: 0.01, Falloff: 0.1, Border: 4, Lid: 0.2, Seed: 2}.JPEG(sheet, 85)
	if err != nil {
		t.Fatal(err)
	}
	picture, err := raster.Decode(data)
	if err != nil {
		t.Fatal(err)
	}
	lain, err := scanned.Lay(picture, runner.Painted(job), nil)
	if err != nil {
		t.Fatal(err)
	}
	r := painting.Read(lain, 25.4/lain.Geometry().DPIX, job.Job, job.Layers)
	if e, _ := r.Meaning.Effect(meaning.Slope, 0); math.Abs(e.Value-0.05) > 0.01 {
		t.Errorf("the marks widen by %.4f mm a mm more, should be 0.05", e.Value)
	}
	for _, v := range r.Measured.Strokes {
		if v.Missing != (v.Layer == 0 && v.Stroke == 3) {
			t.Errorf("%+v", v)
		}
	}
}

// A sheet that was put back and read wrongly is found out: the rows of Seating that are
// given lay it where it was, within 0.03 mm at each mark.
func TestSeatedAgain(t *testing.T) {
	t.Parallel()
	studio := t.TempDir()
	if err := os.CopyFS(studio, notebooks.Files); err != nil {
		t.Fatal(err)
	}
	job, problems, err := runner.Run(filepath.Join(studio, "guide", "15-put-back.md"), runner.Options{})
	if err != nil || problems.HasErrors() {
		t.Fatalf("%v %v", err, problems)
	}
	var layers []scene.Layer
	for i, l := range job.Layers {
		b := l.Model.Brush
		layers = append(layers, scene.Layer{Program: string(l.Program), Ink: []scene.Ink{scene.Straw, scene.Indigo}[i],
			Brush: scene.Brush{Width: truth(b.Curve, 0), TipX: b.TipX, TipY: b.TipY}})
	}
	// The sheet lay as the readings say, and in truth a little otherwise.
	fit := job.Layers[1].Model.Seating.Fit
	const offX, offY = 0.2, -0.15
	x0, y0 := fit.At(0, 0)
	layers[1].Lying = scene.Lying{Turn: fit.Turn, ShiftX: x0 - offX, ShiftY: y0 - offY, GrowX: fit.GrowthX - 1, GrowY: fit.GrowthY - 1}
	sheet, err := scene.Paint(148, 105, layers...)
	if err != nil {
		t.Fatal(err)
	}
	r := painting.Read(scene.Scanner{DPI: 300, Blur: 0.8, Noise: 0.008, Border: 2, Seed: 4}.Look(sheet), 25.4/300, job.Job, job.Layers)
	var text strings.Builder
	if err := r.Write(&text); err != nil {
		t.Fatal(err)
	}
	t.Log("\n" + text.String())
	_, rows, found := strings.Cut(text.String(), "Rows of Seating")
	if !found {
		t.Fatal("no rows of Seating")
	}
	for _, read := range job.Layers[1].Model.Seating.Readings {
		m := regexp.MustCompile(`\| ` + read.Mark + ` \| (\S+) mm \| (\S+) mm`).FindStringSubmatch(rows)
		if m == nil {
			t.Errorf("no row for %s", read.Mark)
			continue
		}
		x, _ := strconv.ParseFloat(m[1], 64)
		y, _ := strconv.ParseFloat(m[2], 64)
		if math.Abs(x-(read.AxisX-offX)) > 0.03 || math.Abs(y-(read.AxisY-offY)) > 0.03 {
			t.Errorf("%s: %.2f, %.2f mm, should be %.2f, %.2f", read.Mark, x, y, read.AxisX-offX, read.AxisY-offY)
		}
	}
}

// What went wrong is named by the stroke's number in its program.
func TestMishapsOfAJob(t *testing.T) {
	t.Parallel()
	studio := t.TempDir()
	if err := os.CopyFS(studio, os.DirFS("../../../testdata/studio")); err != nil {
		t.Fatal(err)
	}
	job := run(t, studio)
	r := scan(t, job, truth(job.Layers[0].Model.Brush.Curve, 0), scene.Mishap{Stroke: 3, Missing: true})
	for _, v := range r.Measured.Strokes {
		if v.Missing != (v.Layer == 0 && v.Stroke == 3) || v.Doubled || v.Gaps != nil {
			t.Errorf("%+v", v)
		}
	}
}
