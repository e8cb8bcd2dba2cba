package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
)

// The faults of the whole workshop beside those of the brush: a bowed bed, a sheet
// that is put back, a tip that stands elsewhere, readings off by up to so much.
const (
	bow        = 0.2                 // mm
	mostTurn   = 0.6 * math.Pi / 180 // rad
	mostShift  = 0.8                 // mm
	across     = 0.003               // growth across the grain, and a quarter of it along
	tipOff     = 0.2                 // mm along each axis
	misread    = 0.1                 // mm, of a mark
	mistouched = 0.05                // mm, of a touch of the paper
	touchAtX   = 74.0                // mm: where the brush is touched off
	touchAtY   = 202.0
)

// wholeMarks are the register marks, in mm on the sheet.
var wholeMarks = []struct {
	name string
	x, y float64
}{{"one", 10, 10}, {"two", 138, 200}, {"three", 138, 10}, {"four", 10, 200}}

// whole runs a job in a workshop where brush, sheet and bed all have faults: a
// brush measured by one swatch sheet, a first layer that paints four marks, a sheet
// that is taken off and put back, nine touches of the bed, a check strip. before is
// the same sheet as it was painted without marks and touches.
func whole(binary, dir string, k kit, seed uint64) (before, after outcome, err error) {
	r := rand.New(rand.NewPCG(seed, 14))
	within := func(most float64) float64 { return most * (2*r.Float64() - 1) }
	all := gestures(r, k.thin, k.thick, sheetWidth, sheetHeight)
	ground := []gesture{{middle: [][2]float64{{30, 15}, {50, 15}, {70, 15}}, width: []float64{3, 3, 3}}}
	files := map[string]string{
		"studio.md": "# Workshop\n\nA simulated one.\n", "machines/bench.md": strings.Replace(benchNotebook, "± 0.02 mm", "± 0.20 mm", 1),
		"brushes/brush.md": fmt.Sprintf(newBrush, k.brush.full),
		"job/shapes.svg":   drawing(all, sheetWidth, sheetHeight), "job/ground.svg": drawing(ground, sheetWidth, sheetHeight),
		"job/job.md": fmt.Sprintf(wholeRecipe, "", k.feed, k.feed),
	}
	if err := layOut(dir, files); err != nil {
		return before, after, err
	}
	if err := k.learn(binary, dir, bench{deep: tooDeep, bow: 0, width: sheetWidth, height: sheetHeight}, r); err != nil {
		return before, after, err
	}
	laid := bench{deep: tooDeep, bow: bow, width: sheetWidth, height: sheetHeight, zeroX: touchAtX, zeroY: touchAtY, touchedOffOnBed: true}
	if err := run(binary, dir, "job/job.md"); err != nil {
		return before, after, err
	}
	back := laid
	back.turn, back.shiftX, back.shiftY, back.growX, back.growY = within(mostTurn), within(mostShift), within(mostShift), across, across/4
	second := k
	second.brush.tipX, second.brush.tipY = tipOff, -tipOff
	if before, err = second.paintJob(dir, secondProgram, all, back); err != nil {
		return before, after, err
	}
	centres, err := k.markCentres(dir, laid)
	if err != nil {
		return before, after, err
	}
	var seating, flatness strings.Builder
	seating.WriteString("\n## Seating\n\n| layer | mark | x | y | zero |\n|---|---|---|---|---|\n")
	for i, m := range wholeMarks {
		x, y := back.onBed(centres[i][0], centres[i][1])
		fmt.Fprintf(&seating, "| strokes | %s | %.2f mm | %.2f mm | |\n", m.name, x-second.brush.tipX+within(misread), y-second.brush.tipY+within(misread))
	}
	flatness.WriteString("\n## Flatness\n\n| x | y | height |\n|---|---|---|\n")
	for _, y := range []float64{8, 105, 202} {
		for _, x := range []float64{8, 74, 140} {
			fmt.Fprintf(&flatness, "| %g mm | %g mm | %.3f ± 0.03 mm |\n", x, y, laid.heightAt(x, y)+within(mistouched))
		}
	}
	rows := fmt.Sprintf("| growth | grain |\n| touch-off x | %g mm |\n| touch-off y | %g mm |\n", touchAtX, touchAtY)
	text := fmt.Sprintf(wholeRecipe, rows, k.feed, k.feed) + seating.String() + flatness.String()
	if err := os.WriteFile(filepath.Join(dir, "job/job.md"), []byte(text), 0o644); err != nil {
		return before, after, err
	}
	if err := run(binary, dir, "job/job.md"); err != nil {
		return before, after, err
	}
	raise, _, err := second.readStrip(binary, dir, secondProgram, back, r)
	if err != nil {
		return before, after, err
	}
	back.deep -= raise
	after, err = second.paintJob(dir, secondProgram, all, back)
	return before, after, err
}

const secondProgram = "logbook/job/2-strokes.nc"

// onBed is the inverse of onSheet.
func (b bench) onBed(x, y float64) (float64, float64) {
	x, y = x*(1+b.growX), y*(1+b.growY)
	c, s := math.Cos(b.turn), math.Sin(b.turn)
	return x*c - y*s + b.shiftX, x*s + y*c + b.shiftY
}

// markCentres are the middles of the register marks as they were painted.
func (k kit) markCentres(dir string, on bench) ([][2]float64, error) {
	path, err := interpret(filepath.Join(dir, "logbook/job/1-ground.nc"))
	if err != nil {
		return nil, err
	}
	var out [][2]float64
	for _, m := range wholeMarks {
		var own []station
		for _, s := range path {
			if strings.HasSuffix(s.name, "register mark "+m.name) {
				own = append(own, s)
			}
		}
		lowX, highX, lowY, highY := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
		for _, d := range k.brush.paint(own, on) {
			lowX, highX, lowY, highY = math.Min(lowX, d.x-d.r), math.Max(highX, d.x+d.r), math.Min(lowY, d.y-d.r), math.Max(highY, d.y+d.r)
		}
		if lowX > highX {
			return nil, fmt.Errorf("%s: the mark %s was not painted", dir, m.name)
		}
		out = append(out, [2]float64{(lowX + highX) / 2, (lowY + highY) / 2})
	}
	return out, nil
}

// wholeWorkshop paints drawings in the whole workshop; false if the figures fall
// short.
func wholeWorkshop(binary, work string, sheets int, verbose bool) bool {
	good := true
	for _, k := range kits[:2] {
		var before, after []outcome
		for n := range sheets {
			b, a, err := whole(binary, filepath.Join(work, fmt.Sprintf("whole-%s-%d", k.name, n)), k, uint64(n+2000))
			if err != nil {
				fmt.Fprintln(os.Stderr, err)
				return false
			}
			before, after = append(before, b), append(after, a)
			if verbose {
				fmt.Printf("  %s %d: %.4f %.4f %.3f mm, with marks and touches %.4f %.4f %.3f mm\n", k.name, n, b.covered, b.spilt, b.off, a.covered, a.spilt, a.off)
			}
		}
		k.report("whole workshop, as if nothing had moved", before)
		m := k.report("whole workshop, with four marks, nine touches and a check strip", after)
		if k.thin >= 3 {
			good = good && m.covered >= 0.985 && m.spilt <= 0.02
		}
	}
	return good
}

const wholeRecipe = `# Strokes

## Sheet

| sheet  |             |
|--------|-------------|
| size   | A5 portrait |
| margin | 8 mm        |
| grain  | long        |
%s
## Machine

[bench](../machines/bench.md)

## Registration

| mark  | x      | y      | size | painted |
|-------|--------|--------|------|---------|
| one   | 10 mm  | 10 mm  | 9 mm | ground  |
| two   | 138 mm | 200 mm | 9 mm | ground  |
| three | 138 mm | 10 mm  | 9 mm | ground  |
| four  | 10 mm  | 200 mm | 9 mm | ground  |

## Layers

| layer   | drawing              | brush                        | ink   | feed      | check strip |
|---------|----------------------|------------------------------|-------|-----------|-------------|
| ground  | [ground](ground.svg) | [brush](../brushes/brush.md) | ochre | %g mm/min | no          |
| strokes | [shapes](shapes.svg) | [brush](../brushes/brush.md) | black | %g mm/min | yes         |
`
