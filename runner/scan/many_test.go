package scan_test

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"os"
	"runtime"
	"slices"
	"strconv"
	"sync"
	"testing"

	"mahlstick/runner/scan"
	"mahlstick/runner/scan/painting"
	"mahlstick/runner/scan/raster"
	"mahlstick/runner/scan/scene"
	"mahlstick/runner/trial"
	"mahlstick/runner/vector"
)

// away is by how much, in mm, what is read of a clean mark is off if it is taken from
// something else.
const away = 0.15

// seen is what came of one scan. Lengths are in mm.
type seen struct {
	what     string
	dpi      float64
	refused  error
	painted  int       // strokes of the sheet that were not left out
	marks    []float64 // errors of clean marks
	strokes  []float64 // errors of widths along clean strokes
	place    float64   // how far the worst place of the sheet is off
	unread   []string  // clean marks that could not be read
	missing  int       // marks that were not painted
	smeared  int       // marks in a smear: those that are read, and read well
	read     int
	readWell int
	mistaken []string  // what is taken for something else
	smears   []string  // what is read in a smear, and wrong
	beyond   []float64 // errors of clean marks in their stated standard uncertainties
}

func (s *seen) String() string {
	if s.refused != nil {
		return fmt.Sprintf("%s: refused: %v", s.what, s.refused)
	}
	return fmt.Sprintf("%s: %d marks off by %.4f mm RMS, %d places of strokes by %.4f, places of the sheet by %.4f; %d not read, %d mistaken",
		s.what, len(s.marks), rms(s.marks), len(s.strokes), rms(s.strokes), s.place, len(s.unread), len(s.mistaken))
}

// A run of synthetic scans: each draws a job, a painter with faults, and how the sheet
// lies on the scanner. SCANS is how many.
func TestManyScans(t *testing.T) {
	n, fine := 10, 5 // one in five is of 600 dpi, which takes four times as long
	if more, err := strconv.Atoi(os.Getenv("SCANS")); err == nil && more > 0 {
		n, fine = more, 2
	}
	jobs := samples(t)
	all := make([]*seen, n)
	var group sync.WaitGroup
	next := make(chan int)
	for range runtime.GOMAXPROCS(0) {
		group.Go(func() {
			for i := range next {
				all[i] = look(jobs, i, fine)
				t.Log(all[i])
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	group.Wait()
	for _, c := range []struct{ dpi, most float64 }{{300, 0.05}, {600, 0.03}} {
		report(t, slices.DeleteFunc(slices.Clone(all), func(s *seen) bool { return s.dpi != c.dpi }), c.dpi, c.most)
	}
}

// look paints and scans a sheet and reads it back. One sheet in fine is scanned at 600 dpi.
func look(jobs []*sample, n, fine int) *seen {
	r := rand.New(rand.NewPCG(uint64(n), 11))
	s := jobs[n%len(jobs)]
	out := &seen{dpi: 300}
	if (n+n/len(jobs))%fine == fine-1 {
		out.dpi = 600
	}
	sheet := 1 + r.IntN(s.job.Sheets)
	p := s.hidden(r, sheet)
	for i := range s.job.Strokes {
		if k := &s.job.Strokes[i]; k.Sheet == sheet && p.fate(s, k) != missing {
			out.painted++
		}
	}
	inks := []scene.Ink{scene.Indigo, scene.Black, scene.Moss}
	painted, err := scene.Paint(s.job.Width, s.job.Height, p.layers(s, sheet, inks[r.IntN(len(inks))])...)
	if err != nil {
		out.refused = err
		return out
	}
	sign := func() float64 { return float64(2*r.IntN(2) - 1) }
	scanner := scene.Scanner{DPI: out.dpi, Turn: sign(), UpsideDown: r.IntN(2) == 1, ErrorX: 0.003 * sign(), ErrorY: 0.003 * sign(), Blur: 0.8, Noise: 0.01, Falloff: 0.1,
		Paper: scene.Ink{0.94, 0.94 - 0.04*r.Float64(), 0.94 - 0.12*r.Float64()}, Lid: []float64{0.1, 0.4, 0.8}[r.IntN(3)], Border: 2 * r.Float64(), Seed: uint64(n)}
	side := r.IntN(8) == 0 // lies on its side
	out.what = fmt.Sprintf("scan %d, %s, sheet %d, %g dpi, turned %g, upside down %t, on its side %t", n, s.name, sheet, out.dpi, scanner.Turn, scanner.UpsideDown, side)
	lain, err := lay(s, scanner.Scan(painted), out.dpi, side)
	if err != nil {
		out.refused = err
		return out
	}
	if lain.Number != sheet {
		out.mistaken = append(out.mistaken, fmt.Sprintf("taken for sheet %d", lain.Number))
		return out
	}
	for _, at := range p.places(s, sheet) {
		x, y := scanner.Pixel(painted, at.X, at.Y)
		if side {
			x, y = y, float64(lain.Image().Height)-x
		}
		off := lain.Map.Sheet(vector.XY{X: x, Y: y}).Minus(at.XY)
		shift := lain.Shifts[at.program]
		out.place = max(out.place, math.Abs(off.Minus(vector.XY{X: shift.X, Y: shift.Y}).Dot(at.across)))
	}
	if out.place > 1 {
		out.mistaken = append(out.mistaken, "laid elsewhere")
		return out
	}
	out.compare(s, p, lain)
	if s.curve != nil {
		out.follow(s, p, painting.Read(lain, 25.4/out.dpi, s.result.Job, s.result.Layers).Measured)
	}
	return out
}

// lay sends a picture through a JPEG file and lays it on its sheet.
func lay(s *sample, img image.Image, dpi float64, side bool) (*scan.Sheet, error) {
	if side {
		img = quarters(img, 1)
	}
	if n, is := img.(*image.NRGBA); is { // nothing is transparent, and the encoder is faster at this
		img = &image.RGBA{Pix: n.Pix, Stride: n.Stride, Rect: n.Rect}
	}
	var file bytes.Buffer
	if err := jpeg.Encode(&file, img, &jpeg.Options{Quality: 85}); err != nil {
		return nil, err
	}
	m, err := raster.Decode(file.Bytes())
	if err != nil {
		return nil, err
	}
	m.DPIX, m.DPIY = dpi, dpi
	return scan.Lay(m, s.job, nil)
}

// place is a place of the sheet where a mark lies, and the direction across the mark:
// along it, only its ends say where it is, and how it trails.
type place struct {
	vector.XY
	across  vector.XY
	program int
}

// places are where clean marks of a sheet are measured; on a picture, its register marks
// too. Those of a tip that stands elsewhere lie elsewhere.
func (p *painter) places(s *sample, sheet int) (out []place) {
	for i := range s.job.Strokes {
		k := &s.job.Strokes[i]
		if k.Sheet != sheet || k.Program == s.tip || k.Reading == 0 {
			continue
		}
		n := slices.IndexFunc(s.job.Readings, func(m trial.Reading) bool { return m.Number == k.Reading })
		m := scan.Measured{Reading: s.job.Readings[n]}
		if p.fate(s, k, around(s, &m, k)...) != clean {
			continue
		}
		sin, cos := math.Sincos(m.Across * math.Pi / 180)
		out = append(out, place{vector.XY{X: m.X, Y: m.Y}, vector.XY{X: cos, Y: sin}, k.Program})
	}
	if s.curve != nil {
		for _, m := range registers {
			out = append(out, place{m, vector.XY{X: 1}, 0}, place{m, vector.XY{Y: 1}, 0})
		}
	}
	return out
}
