package scan_test

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"mahlstick/recipe/model"
	"mahlstick/runner"
	"mahlstick/runner/scan"
	"mahlstick/runner/scan/raster"
	"mahlstick/runner/scan/scene"
	"mahlstick/runner/vector"
)

// studio writes a studio with one swatch recipe, whose trials are rows of its table.
func studio(t testing.TB, size string, rows ...string) (recipe string) {
	t.Helper()
	dir := t.TempDir()
	files := map[string]string{
		"brushes/rigger.md": "# Rigger\n\n## Brush: rigger\n\n| brush | |\n|---|---|\n| touch | 0.1 mm |\n",
		"swatches/sheet.md": "# Sheet\n\n## Sheet\n\n| sheet | |\n|---|---|\n| size | " + size + " |\n\n" +
			"## Machine\n\n[bench](../machines/bench.md)\n\n## Trials\n\n" +
			"| trial | kind | brush | ink | feed | press | repeats |\n|---|---|---|---|---|---|---|\n" + strings.Join(rows, "\n") + "\n",
	}
	for _, name := range []string{"studio.md", "machines/bench.md", "brushes/sable.md"} {
		data, err := os.ReadFile(filepath.Join("../../testdata/studio", name))
		if err != nil {
			t.Fatal(err)
		}
		files[name] = string(data)
	}
	for name, text := range files {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return filepath.Join(dir, "swatches", "sheet.md")
}

const (
	sable  = "[sable](../brushes/sable.md)"
	rigger = "[rigger](../brushes/rigger.md)"
)

func trialRow(name, kind, brush, press string) string {
	return fmt.Sprintf("| %s | %s | %s | indigo | 600 mm/min | %s | 1 |", name, kind, brush, press)
}

func run(t testing.TB, recipe string) *runner.Result {
	t.Helper()
	r, problems, err := runner.Run(recipe, runner.Options{})
	if err != nil || problems.HasErrors() {
		t.Fatalf("%v %v", problems, err)
	}
	return r
}

// layers are the programs of a result, painted by one brush.
func layers(r *runner.Result, brush scene.Brush, ink scene.Ink) (out []scene.Layer) {
	for _, l := range r.Layers {
		out = append(out, scene.Layer{Program: string(l.Program), Brush: brush, Ink: ink})
	}
	return out
}

func paint(t testing.TB, job *scan.Job, layers ...scene.Layer) *scene.Sheet {
	t.Helper()
	s, err := scene.Paint(job.Width, job.Height, layers...)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// rasterOf is a scan as the reader gets it, by way of JPEG.
func rasterOf(t testing.TB, img image.Image, dpi float64) *raster.Image {
	t.Helper()
	var file bytes.Buffer
	if err := jpeg.Encode(&file, img, &jpeg.Options{Quality: 85}); err != nil {
		t.Fatal(err)
	}
	m, err := raster.Decode(file.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	m.DPIX, m.DPIY = dpi, dpi
	return m
}

// flatbed is a scanner with common faults.
func flatbed(dpi float64, seed uint64) scene.Scanner {
	return scene.Scanner{DPI: dpi, Turn: 1, ErrorX: 0.003, ErrorY: -0.003, Blur: 0.8, Noise: 0.01, Falloff: 0.1, Lid: 0.8, Border: 4, Seed: seed}
}

// Widths of a ladder are those of the brush's closed form.
func TestLadder(t *testing.T) {
	t.Parallel()
	job, sheet, width := ladderSheet(t)
	for _, c := range []struct {
		dpi, most float64
	}{{300, 0.05}, {600, 0.03}} {
		s, err := scan.Lay(rasterOf(t, flatbed(c.dpi, 1).Scan(sheet), c.dpi), job, nil)
		if err != nil {
			t.Fatal(err)
		}
		rms, n := 0.0, 0
		for _, m := range s.Measure(nil) {
			want := 0.0
			if m.Press > 0 {
				want = width(m.Press)
			}
			if m.Press == 0 {
				continue // the touch itself
			}
			if testing.Verbose() {
				t.Logf("%d press %.2f: %.3f ± %.3f, want %.3f %s", m.Number, m.Press, m.MM, m.U, want, m.Why)
			}
			if !m.OK {
				t.Errorf("mark %d: %s", m.Number, m.Why)
				continue
			}
			rms += (m.MM - want) * (m.MM - want)
			n++
		}
		if rms = math.Sqrt(rms / float64(n)); rms > c.most {
			t.Errorf("%g dpi: widths are off by %.4f mm RMS", c.dpi, rms)
		}
		t.Logf("%g dpi: %.4f mm RMS of %d; blur %.4f mm, scatter %.3f, alike %.3f", c.dpi, rms, n, s.Blur, s.Scatter, s.Alike)
		checkPlaces(t, s, flatbed(c.dpi, 1), sheet)
	}
}

// checkPlaces wants the marks where the scanner saw them.
func checkPlaces(t *testing.T, s *scan.Sheet, scanner scene.Scanner, sheet *scene.Sheet) {
	t.Helper()
	worst := 0.0
	for _, r := range s.Job.Readings {
		x, y := scanner.Pixel(sheet, r.X, r.Y)
		at := s.Map.Sheet(vector.XY{X: x, Y: y})
		worst = max(worst, math.Hypot(at.X-r.X, at.Y-r.Y))
	}
	t.Logf("places within %.4f mm", worst)
	if worst > 0.03 {
		t.Errorf("places are off by %.3f mm", worst)
	}
}

// Each kind of trial is read as its note asks for it; the brush's marks trail by a
// known lag.
func TestKinds(t *testing.T) {
	t.Parallel()
	r := run(t, studio(t, "A4 portrait", trialRow("ramp", "ramp", sable, "4 mm"), trialRow("rings", "rings", sable, "3 mm"),
		trialRow("dwell", "dwell", sable, "2 mm"), trialRow("touches", "touches", sable, "2 mm"),
		trialRow("corners", "corners", sable, "3 mm"), trialRow("feeds", "feeds", sable, "2 mm"), trialRow("tips", "tips", sable, "2 mm"), trialRow("tips 2", "tips", rigger, "2 mm")))
	job := runner.Painted(r)
	const lag = 0.6 // mm at 3 mm of press
	width := scene.Cone(0.25, 12, 0)
	brush := scene.Brush{Width: width, Lag: scene.Proportional(lag, 3)}
	other := brush
	other.TipX, other.TipY = 0.3, -0.2
	painted := layers(r, brush, scene.Black)
	painted[len(painted)-1].Brush = other // the brush of the second trial of tips
	sheet := paint(t, job, painted...)
	s, err := scan.Lay(rasterOf(t, flatbed(300, 2).Scan(sheet), 300), job, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range s.Measure(nil) {
		want, most := width(m.Press), 0.03
		switch m.Kind {
		case model.Ramp:
			most = 0.06 // the mark trails, so it is that of another press
		case model.Rings: // the steady state of a drag curve
			radius, at := 0.0, lag*m.Press/3
			for _, k := range job.Strokes {
				if k.Reading == m.Number {
					radius = vector.Distance(k.Points[0].XY, vector.XY{X: m.X, Y: m.Y})
				}
			}
			want = 2 * math.Sqrt(radius*radius-at*at)
		case model.Corners:
			continue
		case model.Tips:
			want = m.Expected
			if m.Trial == "tips 2" {
				want += map[float64]float64{0: 0.3, 90: -0.2}[m.Across]
			}
		}
		if testing.Verbose() {
			t.Logf("%d %s press %.2f across %g: %.3f ± %.3f, want %.3f %s", m.Number, m.Trial, m.Press, m.Across, m.MM, m.U, want, m.Why)
		}
		if !m.OK || math.Abs(m.MM-want) > most {
			t.Errorf("%d %s press %.2f across %g: %.3f ± %.3f, want %.3f %s", m.Number, m.Trial, m.Press, m.Across, m.MM, m.U, want, m.Why)
		}
	}
}

// quarters turns a picture by quarter turns counter-clockwise.
func quarters(from image.Image, n int) image.Image {
	for range n {
		b := from.Bounds()
		to := image.NewNRGBA(image.Rect(0, 0, b.Dy(), b.Dx()))
		for y := range b.Dx() {
			for x := range b.Dy() {
				to.Set(x, y, from.At(b.Dx()-1-y, x))
			}
		}
		from = to
	}
	return from
}

// photographed is a picture by a camera with a view of 60 degrees, which the plane goes
// away from in a direction (radians) so that its far edge is shorter by a share. The
// camera's central projection is worked out with a plane in space.
func photographed(from *image.NRGBA, share, direction float64) image.Image {
	w, h := float64(from.Rect.Dx()), float64(from.Rect.Dy())
	away := max(w, h) / 2 / math.Tan(math.Pi/6) // pixels from the lens to the middle
	sin, cos := math.Sincos(direction)
	half := (math.Abs(cos)*w + math.Abs(sin)*h) / 2
	// (away - half·sin)/(away + half·sin) is how long the far edge is, of the near one.
	tilt := math.Asin(share / (2 - share) * away / half)
	to := image.NewNRGBA(from.Rect)
	for y := range from.Rect.Dy() {
		for x := range from.Rect.Dx() {
			px, py := float64(x)-w/2, float64(y)-h/2
			a, b := px*cos+py*sin, py*cos-px*sin // on the film, along the tilt and across
			// A point u along the plane lies u·cos(tilt) to the side and u·sin(tilt) further.
			u := a * away / (away*math.Cos(tilt) - a*math.Sin(tilt))
			v := b * (away + u*math.Sin(tilt)) / away
			i, j := int(math.Floor(u*cos-v*sin+w/2)), int(math.Floor(u*sin+v*cos+h/2))
			if image.Pt(i, j).In(from.Rect) {
				to.SetNRGBA(x, y, from.NRGBAAt(i, j))
			} else {
				to.SetNRGBA(x, y, color.NRGBA{90, 80, 70, 255})
			}
		}
	}
	return to
}

// ladderOnce is a small job as painted, which several tests scan.
var ladderOnce struct {
	sync.Once
	job   *scan.Job
	sheet *scene.Sheet
}

// ladderSheet is that job, and the width of its marks by the press.
func ladderSheet(t testing.TB) (*scan.Job, *scene.Sheet, func(float64) float64) {
	t.Helper()
	width := scene.Cone(0.25, 13, 0.01)
	ladderOnce.Do(func() {
		r := run(t, studio(t, "A6 landscape", trialRow("ladder", "ladder", rigger, "4 mm")))
		ladderOnce.job = runner.Painted(r)
		ladderOnce.sheet = paint(t, ladderOnce.job, layers(r, scene.Brush{Width: width}, scene.Indigo)...)
	})
	if ladderOnce.sheet == nil {
		t.Fatal("the ladder was not painted")
	}
	return ladderOnce.job, ladderOnce.sheet, width
}

// A scan may lie any of four ways up; whether it states its resolution does not matter.
func TestWaysUp(t *testing.T) {
	t.Parallel()
	job, sheet, width := ladderSheet(t)
	scanner := flatbed(200, 3)
	img := scanner.Scan(sheet)
	for n := range 4 {
		for _, dpi := range [][]float64{{0, 200}, {72}, {300}, {200}}[n] {
			s, err := scan.Lay(rasterOf(t, quarters(img, n), dpi), job, nil)
			if err != nil {
				t.Errorf("%d quarter turns, %g dpi stated: %v", n, dpi, err)
				continue
			}
			for _, m := range s.Measure(nil) {
				if m.Press > 1 && (!m.OK || math.Abs(m.MM-width(m.Press)) > 0.05) {
					t.Errorf("%d quarter turns: %+v", n, m)
				}
			}
		}
	}
}

// What cannot be read is refused by its reason.
func TestRefusals(t *testing.T) {
	t.Parallel()
	job, sheet, _ := ladderSheet(t)
	other := runner.Painted(run(t, studio(t, "A6 landscape", trialRow("ramp", "ramp", sable, "4 mm"), trialRow("rings", "rings", sable, "2 mm"))))
	// Crosses with dots in one row are alike upside down in a mirror.
	row := run(t, studio(t, "60 x 45 mm", trialRow("tips", "tips", sable, "2 mm"), trialRow("tips 2", "tips", rigger, "2 mm")))
	rowSheet := paint(t, runner.Painted(row), layers(row, scene.Brush{Width: scene.Cone(0.25, 13, 0)}, scene.Indigo)...)
	scanner := flatbed(200, 4)
	good := scanner.Scan(sheet)
	b := good.Rect
	mirrored, dark, coarse := scanner, scanner, scanner
	mirrored.Mirrored, coarse.DPI = true, 100
	dark.Paper = scene.Ink{0.06, 0.06, 0.06}
	empty := paint(t, job)
	for name, c := range map[string]struct {
		img  image.Image
		dpi  float64
		job  *scan.Job
		want scan.Why
	}{
		"mirrored":         {mirrored.Scan(sheet), 200, job, scan.Mirrored},
		"dark":             {dark.Scan(sheet), 200, job, scan.TooDark},
		"coarse":           {coarse.Scan(sheet), 100, job, scan.TooCoarse},
		"foreign":          {good, 200, other, scan.Foreign},
		"blank":            {scanner.Scan(empty), 200, job, scan.Blank},
		"cut off":          {good.SubImage(image.Rect(0, 0, b.Dx()/2, b.Dy())), 200, job, scan.CutOff},
		"at 4 %":           {photographed(good, 0.04, 0.4), 200, job, scan.Slanted},
		"at 12 %":          {photographed(good, 0.12, 0.4), 200, job, scan.Slanted},
		"at 30 %":          {photographed(good, 0.3, 1.9), 200, job, scan.Slanted},
		"foreign, at 20 %": {photographed(good, 0.2, 1), 200, other, scan.Foreign},
		"own mirror image": {scanner.Scan(rowSheet), 200, runner.Painted(row), scan.Ambiguous},
		"nothing":          {good, 200, &scan.Job{Width: 148, Height: 105, Sheets: 1}, scan.Unfilled},
	} {
		_, err := scan.Lay(rasterOf(t, c.img, c.dpi), c.job, nil)
		var refused *scan.Refusal
		if !errors.As(err, &refused) || refused.Why != c.want {
			t.Errorf("%s: %v", name, err)
			continue
		}
		t.Logf("%s: %s; %s", name, refused.Text, refused.Fix)
	}
}

// Eight lines in two columns are nearly the same from top to bottom: only that they lie
// farther apart where they are thicker says which is which.
func TestNearlyTheSame(t *testing.T) {
	r := run(t, studio(t, "60 x 45 mm", trialRow("ladder", "ladder", sable, "4 mm")))
	job := runner.Painted(r)
	width := scene.Cone(0.25, 13, 0)
	var second []scene.Layer
	for i, l := range layers(r, scene.Brush{Width: width}, scene.Indigo) {
		if r.Layers[i].Trial.Sheet == 2 {
			second = append(second, l)
		}
	}
	sheet := paint(t, job, second...)
	for seed := range uint64(3) {
		scanner := flatbed(300, seed)
		scanner.UpsideDown = seed == 1
		s, err := scan.Lay(rasterOf(t, scanner.Scan(sheet), 300), job, nil)
		if err != nil {
			t.Errorf("scan %d: %v", seed, err)
			continue
		}
		for _, m := range s.Measure(nil) {
			if !m.OK || math.Abs(m.MM-width(m.Press)) > 0.03 {
				t.Errorf("scan %d: %+v, should be %.3f mm", seed, m, width(m.Press))
			}
		}
		scanner.Mirrored = true
		var refused *scan.Refusal
		if _, err := scan.Lay(rasterOf(t, scanner.Scan(sheet), 300), job, nil); !errors.As(err, &refused) || refused.Why != scan.Mirrored {
			t.Errorf("scan %d in a mirror: %v", seed, err)
		}
	}
}
