// Command workshop paints jobs in a simulated everyday workshop: it makes random
// drawings and recipes, has the real program write machine programs for them,
// moves a simulated brush by what they say, and compares the sheet with the
// drawing. It shares no code with the program.
package main

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"sort"
	"strings"
)

// kit is a brush as it is, and the drawing that suits it.
type kit struct {
	name        string
	brush       brush
	thin, thick float64
	feed        float64 // of the job, mm/min
}

// The kits: a broad brush that trails, a fine one, and a wet one, whose marks
// spread, in a job that is slower than the swatch sheet.
var kits = []kit{
	{"broad", brush{touch: 0.4, slope: 1.05, flat: 0.02, full: 7, trail: 1.2, play: 0.05}, 3, 6.2, 750},
	{"fine", brush{touch: 0.25, slope: 0.62, flat: 0.012, full: 5, trail: 0.7, play: 0.05}, 0.8, 2.6, 750},
	{"wet", brush{touch: 0.25, slope: 0.62, flat: 0.012, full: 5, trail: 0.7, play: 0.05, spread: 0.008}, 0.8, 2.6, 300},
}

const sheetWidth, sheetHeight = 148.0, 210.0

func main() {
	binary := flag.String("mahlstick", "", "the program to try")
	sheets := flag.Int("sheets", 5, "drawings a kit")
	keep := flag.String("keep", "", "folder that keeps the studios, and pictures of the differences")
	real := flag.Bool("real", false, "paint the drawings that are named, not random ones")
	loop := flag.Bool("loop", false, "measure each brush by a swatch sheet, and paint with what was learnt")
	everything := flag.Bool("whole", false, "paint on a sheet that was put back, on a bowed bed, with a brush measured by a swatch sheet")
	interrupted := flag.Int("interruptions", 0, "interrupt jobs so often, and have them go on")
	begin := flag.Int("begin", 0, "number of the first drawing that is interrupted")
	verbose := flag.Bool("v", false, "print each drawing")
	workers := flag.Int("workers", 2, "how many at a time")
	flag.Parse()
	work := *keep
	if work == "" {
		work, _ = os.MkdirTemp("", "workshop")
		defer os.RemoveAll(work)
	}
	if *real {
		if !realDrawings(*binary, work, flag.Args(), *workers, *verbose) {
			os.Exit(1)
		}
		return
	}
	if *interrupted > 0 {
		if !interruptions(*binary, work, *interrupted, *begin, *workers, *verbose) {
			os.Exit(1)
		}
		return
	}
	if *everything {
		if !wholeWorkshop(*binary, work, *sheets, *verbose) {
			os.Exit(1)
		}
		return
	}
	if *loop {
		if !endToEnd(*binary, work, *sheets, *verbose) {
			os.Exit(1)
		}
		return
	}
	for _, k := range kits[:2] { // a table says nothing of feeds
		var covered, spilt []float64
		for n := range *sheets {
			c, s, err := ideal(*binary, filepath.Join(work, fmt.Sprintf("%s-%d", k.name, n)), k, uint64(n))
			if err != nil {
				fmt.Fprintln(os.Stderr, err)
				os.Exit(1)
			}
			covered, spilt = append(covered, c), append(spilt, s)
		}
		fmt.Printf("%-6s table from the true curve: covered %.4f, spilt %.4f (medians of %d)\n", k.name, median(covered), median(spilt), *sheets)
	}
}

func median(a []float64) float64 {
	b := append([]float64(nil), a...)
	sort.Float64s(b)
	return b[len(b)/2]
}

// ideal paints a drawing with a brush whose table is the true curve, in a
// workshop where only the brush has faults.
func ideal(binary, dir string, k kit, seed uint64) (covered, spilt float64, err error) {
	r := rand.New(rand.NewPCG(seed, 1))
	all := gestures(r, k.thin, k.thick, sheetWidth, sheetHeight)
	var table strings.Builder
	for p := 0.5; p <= k.brush.full; p += 0.5 {
		fmt.Fprintf(&table, "| %.2f mm | %.3f mm |\n", p, k.brush.width(p))
	}
	files := map[string]string{
		"studio.md":         "# Workshop\n\nA simulated one.\n",
		"machines/bench.md": benchNotebook,
		"brushes/brush.md":  fmt.Sprintf(brushNotebook, k.brush.width(k.brush.full), k.brush.full, k.brush.touch) + "\n## Swatch: brush\n\n| press | width |\n|---|---|\n" + table.String(),
		"job/shapes.svg":    drawing(all, sheetWidth, sheetHeight),
		"job/job.md":        jobRecipe,
	}
	if err := layOut(dir, files); err != nil {
		return 0, 0, err
	}
	if err := run(binary, dir, "job/job.md"); err != nil {
		return 0, 0, err
	}
	path, err := interpret(filepath.Join(dir, "logbook/job/1-strokes.nc"))
	if err != nil {
		return 0, 0, err
	}
	drawn, painted := newPicture(sheetWidth, sheetHeight), newPicture(sheetWidth, sheetHeight)
	for _, g := range all {
		drawn.polygon(g.outline())
	}
	for _, d := range k.brush.paint(path, bench{deep: 0.08, width: sheetWidth, height: sheetHeight}) {
		if !d.check {
			painted.disc(d)
		}
	}
	covered, spilt = shares(drawn, painted)
	return covered, spilt, nil
}

func layOut(dir string, files map[string]string) error {
	for name, text := range files {
		full := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(full), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(full, []byte(text), 0o644); err != nil {
			return err
		}
	}
	return nil
}

func run(binary, dir string, args ...string) error {
	c := exec.Command(binary, append([]string{"run"}, args...)...)
	c.Dir = dir
	if text, err := c.CombinedOutput(); err != nil {
		return fmt.Errorf("run %v in %s: %w\n%s", args, dir, err, text)
	}
	return nil
}

const benchNotebook = `# Bench

## Machine: bench

| machine       |             |
|---------------|-------------|
| reach x       | 300 mm      |
| reach y       | 400 mm      |
| reach z       | 80 mm       |
| safe height   | 6 mm        |
| travel feed   | 3000 mm/min |
| lowering feed | 450 mm/min  |
| z feed        | 900 mm/min  |
| acceleration  | 150 mm/s²   |
| bed           | ± 0.02 mm   |
`

const brushNotebook = `# Brush

## Brush: brush

| brush       |          |
|-------------|----------|
| widest mark | %.3f mm  |
| safe press  | %.1f mm  |
| touch       | 0.03 mm  |
| touch mark  | %.2f mm  |
| caliper     | 0.02 mm  |
| reserve     | 0 mm     |
`

const jobRecipe = `# Strokes

## Sheet

| sheet  |             |
|--------|-------------|
| size   | A5 portrait |
| margin | 8 mm        |

## Machine

[bench](../machines/bench.md)

## Layers

| layer   | drawing              | brush                         | ink   | feed       |
|---------|----------------------|-------------------------------|-------|------------|
| strokes | [shapes](shapes.svg) | [brush](../brushes/brush.md)  | black | 750 mm/min |
`
