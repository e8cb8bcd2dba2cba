package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
)

// tooDeep is by how much (mm) the painter touches off too deep, as a habit.
const tooDeep = 0.08

// outcome is how well a drawing was painted.
type outcome struct {
	covered, spilt float64 // shares of what was drawn
	off            float64 // mm, median error of the width
}

// measured runs the whole way once: a swatch sheet is laid out, painted, read and
// linked; then a drawing is painted with what was learnt. Then its check strip is
// read, Z zero corrected as the program says, and the drawing painted again.
func measured(binary, dir string, k kit, seed uint64) (before, after outcome, said string, err error) {
	r := rand.New(rand.NewPCG(seed, 1))
	all := gestures(r, k.thin, k.thick, sheetWidth, sheetHeight)
	notebook := fmt.Sprintf(newBrush, k.brush.full)
	files := map[string]string{
		"studio.md": "# Workshop\n\nA simulated one.\n", "machines/bench.md": benchNotebook, "brushes/brush.md": notebook,
		"job/shapes.svg": drawing(all, sheetWidth, sheetHeight), "job/job.md": fmt.Sprintf(stripRecipe, k.feed),
	}
	if err := layOut(dir, files); err != nil {
		return before, after, "", err
	}
	on := bench{deep: tooDeep, width: sheetWidth, height: sheetHeight}
	if err := k.learn(binary, dir, on, r); err != nil {
		return before, after, "", err
	}
	if err := run(binary, dir, "job/job.md"); err != nil {
		return before, after, "", err
	}
	if before, err = k.paintJob(dir, program, all, on); err != nil {
		return before, after, "", err
	}
	raise, said, err := k.readStrip(binary, dir, program, on, r)
	if err != nil {
		return before, after, said, err
	}
	on.deep -= raise
	after, err = k.paintJob(dir, program, all, on)
	return before, after, said, err
}

// learn lays out a swatch sheet for the brush, paints and reads it, and links it to
// the brush.
func (k kit) learn(binary, dir string, on bench, r *rand.Rand) error {
	if _, err := command(binary, dir, "swatch", "brushes/brush.md"); err != nil {
		return err
	}
	if err := run(binary, dir, "swatches/brush.md"); err != nil {
		return err
	}
	if err := k.measureSheet(filepath.Join(dir, "logbook/swatches/brush"), filepath.Join(dir, "swatches/brush-readings.csv"), on, r); err != nil {
		return err
	}
	if err := appendTo(dir, "swatches/brush.md", "\n\n[readings](brush-readings.csv)\n"); err != nil {
		return err
	}
	return appendTo(dir, "brushes/brush.md", "\n## Swatch: brush\n\n[its sheet](../swatches/brush.md)\n")
}

func appendTo(dir, name, text string) error {
	f, err := os.OpenFile(filepath.Join(dir, name), os.O_APPEND|os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	defer f.Close()
	_, err = f.WriteString(text)
	return err
}

func command(binary, dir string, args ...string) (string, error) {
	c := exec.Command(binary, args...)
	c.Dir = dir
	text, err := c.CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("%v in %s: %w\n%s", args, dir, err, text)
	}
	return string(text), nil
}

const program = "logbook/job/1-strokes.nc"

// paintJob paints the job's program and compares it with what was drawn.
func (k kit) paintJob(dir, program string, all []gesture, on bench) (outcome, error) {
	path, err := interpret(filepath.Join(dir, program))
	if err != nil {
		return outcome{}, err
	}
	drawn, ink := newPicture(sheetWidth, sheetHeight), newPicture(sheetWidth, sheetHeight)
	for _, g := range all {
		drawn.polygon(g.outline())
	}
	var marks []disc
	for _, d := range k.brush.paint(path, on) {
		if !d.check {
			ink.disc(d)
			marks = append(marks, d)
		}
	}
	var o outcome
	o.covered, o.spilt = shares(drawn, ink)
	var off []float64
	for _, g := range all {
		off = append(off, g.errors(marks)...)
	}
	o.off = median(off)
	return o, nil
}

// errors are by how much a gesture's mark is wider or narrower than drawn, at
// places along it, but for its ends.
func (g gesture) errors(marks []disc) []float64 {
	var out []float64
	for i := 8; i < len(g.middle)-8; i += 8 {
		a, b, m := g.middle[i-1], g.middle[i+1], g.middle[i]
		across := math.Atan2(b[1]-a[1], b[0]-a[0])*180/math.Pi + 90
		var near []disc
		for _, d := range marks {
			if math.Hypot(d.x-m[0], d.y-m[1]) < g.width[i]+1 {
				near = append(near, d)
			}
		}
		out = append(out, math.Abs(widthAcross(near, m[0], m[1], across)-g.width[i]))
	}
	return out
}

var zeroAdvice = regexp.MustCompile(`(raise|lower) Z zero by ([0-9.]+) mm`)

// readStrip measures the check strip, writes it under Results, and returns by how
// much the program wants Z zero raised.
func (k kit) readStrip(binary, dir, program string, on bench, r *rand.Rand) (raise float64, said string, err error) {
	path, err := interpret(filepath.Join(dir, program))
	if err != nil {
		return 0, "", err
	}
	strip, err := os.ReadFile(filepath.Join(dir, "logbook/job/to-measure.csv"))
	if err != nil {
		return 0, "", err
	}
	var marks []disc
	for _, d := range k.brush.paint(path, on) {
		if d.check {
			marks = append(marks, d)
		}
	}
	var table strings.Builder
	table.WriteString("\n## Results\n\n### Check strip\n\n| layer | strip | asked | measured |\n|---|---|---|---|\n")
	c := caliper{r}
	for i, line := range strings.Split(strings.TrimSpace(string(strip)), "\n")[1:] {
		cell := strings.Split(line, ",")
		read := c.read(widthAcross(marks, value(cell[2]), value(cell[3]), value(cell[4])))
		mean := 0.0
		for _, v := range read {
			mean += v / float64(len(read))
		}
		fmt.Fprintf(&table, "| strokes | %c | %s mm | %.2f mm ± %.3f mm |\n", 'a'+i, cell[7], mean, math.Hypot(readScatter/math.Sqrt(readings), edgeWander))
	}
	if err := appendTo(dir, "job/job.md", table.String()); err != nil {
		return 0, "", err
	}
	if said, err = command(binary, dir, "run", "job/job.md"); err != nil {
		return 0, "", err
	}
	if m := zeroAdvice.FindStringSubmatch(said); m != nil {
		raise, _ = strconv.ParseFloat(m[2], 64)
		if m[1] == "lower" {
			raise = -raise
		}
	}
	return raise, said, nil
}

// endToEnd measures brushes and paints drawings; false if the figures fall short.
func endToEnd(binary, work string, sheets int, verbose bool) bool {
	good := true
	for _, k := range kits {
		m, err := k.endToEnd(binary, work, sheets, verbose)
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			return false
		}
		if k.thin >= 3 {
			good = good && m.covered >= 0.99 && m.spilt <= 0.015
		} else {
			good = good && m.off <= 0.05
		}
	}
	return good
}

// endToEnd returns the medians once Z zero is corrected.
func (k kit) endToEnd(binary, work string, sheets int, verbose bool) (outcome, error) {
	var before, after []outcome
	for n := range sheets {
		b, a, said, err := measured(binary, filepath.Join(work, fmt.Sprintf("measured-%s-%d", k.name, n)), k, uint64(n+1000))
		if err != nil {
			return outcome{}, err
		}
		before, after = append(before, b), append(after, a)
		if verbose {
			fmt.Printf("  %s %d: %.4f %.4f %.3f mm, after the strip %.4f %.4f %.3f mm. %s\n", k.name, n, b.covered, b.spilt, b.off, a.covered, a.spilt, a.off, firstOf(said, "Z zero"))
		}
	}
	k.report("measured by one sheet, touched off too deep", before)
	return k.report("measured by one sheet, Z zero corrected by the check strip", after), nil
}

// report prints the medians.
func (k kit) report(when string, all []outcome) outcome {
	of := func(f func(outcome) float64) float64 {
		var values []float64
		for _, o := range all {
			values = append(values, f(o))
		}
		return median(values)
	}
	m := outcome{of(func(o outcome) float64 { return o.covered }), of(func(o outcome) float64 { return o.spilt }), of(func(o outcome) float64 { return o.off })}
	fmt.Printf("%-6s %s: covered %.4f, spilt %.4f, width within %.3f mm (medians of %d)\n", k.name, when, m.covered, m.spilt, m.off, len(all))
	return m
}

// firstOf is the first line with some words.
func firstOf(text, words string) string {
	for line := range strings.Lines(text) {
		if strings.Contains(line, words) {
			return strings.TrimSpace(line)
		}
	}
	return ""
}

const newBrush = `# Brush

## Brush: brush

| brush       |          |
|-------------|----------|
| safe press  | %.1f mm  |
| touch       | 0.03 mm  |
| caliper     | 0.01 mm  |
| reserve     | 0 mm     |
`

const stripRecipe = `# Strokes

## Sheet

| sheet  |             |
|--------|-------------|
| size   | A5 portrait |
| margin | 8 mm        |

## Machine

[bench](../machines/bench.md)

## Layers

| layer   | drawing              | brush                         | ink   | feed       | check strip |
|---------|----------------------|-------------------------------|-------|------------|-------------|
| strokes | [shapes](shapes.svg) | [brush](../brushes/brush.md)  | black | %g mm/min | yes         |
`
