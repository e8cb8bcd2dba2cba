package main

import (
	"cmp"
	"fmt"
	"image"
	"image/color"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// Real drawings are painted with a brush without faults and compared, colour by
// colour, with what a renderer shows of that colour.
const (
	realSize  = 120.0 // mm, the longer side of a page on the sheet
	realShift = 12.0  // mm, from the sheet's edges
	realPixel = 0.1   // mm
	dxfPixel  = 0.05  // mm, as lines are narrow
	finer     = 8     // samples of paint a pixel, each way
	dxfFiner  = 16    // of lines, which are narrow
	leastArea = 8.0   // mm² of a colour that is worth a layer
	mostInks  = 3     // layers a drawing
	coverWant = 0.998 // of what is shown
	spillMost = 0.002 // of what is shown
)

// Where lines with widths of their own have less than this area (mm²), so much finer
// pictures are compared.
const narrowArea, narrowFiner = 60, 4

var realBrush = brush{touch: 0.06, slope: 0.6, full: 6}

// shown is a layer of a real drawing, and what was found.
type shown struct {
	file, ink      string
	layer          string  // of a drawing in DXF
	look           string  // lines, areas, or both, of a drawing in DXF
	area           float64 // mm² that the renderer shows
	covered, spilt float64
	bands          bool   // it has lines with widths of their own
	warned         string // what the program says about it
	explained      bool   // it says why what it paints differs, and by as much
	causes         []string
}

// on names the drawing layer, if there is one.
func (s *shown) on() string {
	if s.look == "" {
		return ""
	}
	return fmt.Sprintf("layer %q (%s) ", s.layer, s.look)
}

// key tells the layers of a drawing apart.
func (s *shown) key() string { return s.layer + "\x00" + s.ink }

func (s shown) good() bool {
	return s.covered >= coverWant && s.spilt <= spillMost
}

// page is a drawing on its way to the sheet.
type page struct {
	file, text string
	w, h       int     // of the rendering, pixels
	pixel      float64 // mm
	high       float64 // mm
	size       string  // as the recipe states it
	inks       int
	layers     []shown
	dxf        *dxfPlan // nil for SVG
	finer      int      // samples of paint a pixel, each way
	skipped    [][2]string
	picture    func(s *shown) string // as SVG
	pictures   map[string]*image.Gray
}

// readPage reads a drawing and chooses the colours of which most shows; nil if
// there are none, or if some of it is half covered.
func readPage(file string) (*page, error) {
	data, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	p := &page{file: file, text: string(data), pixel: realPixel, finer: finer}
	if strings.Contains(p.text, "opacity") {
		return nil, nil // what is half covered is no layer of one ink
	}
	box := viewBox.FindStringSubmatch(p.text)
	if box == nil {
		return nil, fmt.Errorf("%s has no viewBox", file)
	}
	bw, _ := strconv.ParseFloat(box[3], 64)
	bh, _ := strconv.ParseFloat(box[4], 64)
	scale := realSize / math.Max(bw, bh)
	p.w, p.h, p.high = int(math.Ceil(bw*scale/realPixel)), int(math.Ceil(bh*scale/realPixel)), bh*scale
	p.size = fmt.Sprintf("%g mm wide", realSize)
	if bh > bw {
		p.size = fmt.Sprintf("%g mm high", realSize)
	}
	for _, c := range inks(p.text) {
		p.layers = append(p.layers, shown{file: file, ink: c})
	}
	p.inks = len(p.layers)
	p.picture = func(s *shown) string {
		return wholePixels(trueCircles(alone(p.text, s.ink)), box, p.w, p.h, realPixel/scale)
	}
	return p, p.choose()
}

// choose picks the layers by a coarse rendering, and renders those finely.
func (p *page) choose() error {
	const coarse = 10
	all := p.layers
	p.layers = nil
	for _, s := range all {
		grey, err := render(p.picture(&s), max(1, p.w/coarse), max(1, p.h/coarse))
		if err != nil {
			return fmt.Errorf("%s: %w", p.file, err)
		}
		for _, v := range grey.Pix {
			s.area += float64(255-v) / 255 * (p.pixel * p.pixel * coarse * coarse)
		}
		if s.area >= leastArea {
			p.layers = append(p.layers, s)
		}
	}
	slices.SortStableFunc(p.layers, func(a, b shown) int { return cmp.Compare(b.area, a.area) })
	p.layers = p.layers[:min(len(p.layers), mostInks)]
	// Narrow lines fill few pixels, whose shades are rounded: at 0.05 mm those of 0.08 mm
	// seem off by 0.6 %.
	if slices.ContainsFunc(p.layers, func(s shown) bool { return s.bands && s.area < narrowArea }) {
		p.w, p.h, p.pixel = p.w*narrowFiner, p.h*narrowFiner, p.pixel/narrowFiner
	}
	p.pictures = map[string]*image.Gray{}
	for _, l := range p.layers {
		grey, err := render(p.picture(&l), p.w, p.h)
		if err != nil {
			return fmt.Errorf("%s: %w", p.file, err)
		}
		p.pictures[l.key()] = grey
	}
	return nil
}

// studio lays out a studio whose job paints the page.
func (p *page) studio(dir string) error {
	var rows, table strings.Builder
	rows.WriteString("| layer | drawing | drawing colour | drawn size | offset x | offset y | covered | brush | ink | feed |\n|---|---|---|---|---|---|---|---|---|---|\n")
	for i, l := range p.layers {
		choose := l.ink
		if p.inks == 1 {
			choose = ""
		}
		fmt.Fprintf(&rows, "| ink %d | [drawing](drawing.svg) | %s | %s | %g mm | %g mm | leave | [brush](../brushes/brush.md) | black | 900 mm/min |\n", i+1, choose, p.size, realShift, realShift)
	}
	for press := 0.5; press <= realBrush.full; press += 0.5 {
		fmt.Fprintf(&table, "| %.2f mm | %.3f mm |\n", press, realBrush.width(press))
	}
	name, layers := "drawing.svg", rows.String()
	if p.dxf != nil {
		name, layers = "drawing.dxf", p.dxfRows()
	}
	return layOut(dir, map[string]string{
		"studio.md":         "# Workshop\n\nReal drawings.\n",
		"machines/bench.md": benchNotebook + "| decimals      | 4           |\n", // 0.0005 mm is 0.6 % of a mark of 0.08 mm
		"brushes/brush.md":  fmt.Sprintf(fineNotebook, realBrush.width(realBrush.full), realBrush.full, realBrush.touch) + "\n## Swatch: brush\n\n| press | width |\n|---|---|\n" + table.String(),
		"job/" + name:       p.text,
		"job/job.md":        fmt.Sprintf(realRecipe, layers),
	})
}

// paintReal runs one drawing and compares its layers.
func paintReal(binary, dir, file string) ([]shown, error) {
	read := func() (*page, error) { return readPage(file) }
	if strings.EqualFold(filepath.Ext(file), ".dxf") {
		read = func() (*page, error) { return readDXF(filepath.Join(dir, "pictures"), file) }
	}
	p, err := read()
	if err != nil || p == nil || len(p.layers) == 0 {
		return nil, err
	}
	return p.paint(binary, dir)
}

// paint has the program paint the layers, each alone if together they are refused.
func (p *page) paint(binary, dir string) ([]shown, error) {
	said, refused, err := p.run(binary, dir)
	switch {
	case err != nil:
		return nil, err
	case refused && len(p.layers) == 1:
		s := &p.layers[0]
		s.warned, s.explained, s.causes = "refused: "+firstError(said), true, []string{"an error"}
		return p.layers, nil
	case refused:
		var out []shown
		for i := range p.layers {
			found, err := p.alone(i).paint(binary, filepath.Join(dir, fmt.Sprintf("alone-%d", i+1)))
			if err != nil {
				return nil, err
			}
			out = append(out, found...)
		}
		return out, nil
	}
	for i := range p.layers {
		if err := p.judge(binary, dir, said, i); err != nil {
			return nil, err
		}
	}
	logbook, err := os.ReadFile(filepath.Join(dir, "logbook/job/index.html"))
	if err != nil {
		return nil, err
	}
	// What shone through where it is covered made some seem larger.
	out := slices.DeleteFunc(slices.Clone(p.layers), func(s shown) bool { return s.area < leastArea })
	if silent := p.unsaid(string(logbook)); len(silent) > 0 {
		out = append(out, shown{file: p.file, warned: "NOT COMPARED: skipped without a word: " + strings.Join(silent, ", ")})
	}
	return out, nil
}

// judge compares a layer with what is shown of it, and what the program says of it
// where they differ: said alone, as the words on a drawing name no layer.
func (p *page) judge(binary, dir, said string, i int) error {
	s := &p.layers[i]
	path, err := interpret(filepath.Join(dir, fmt.Sprintf("logbook/job/%d-ink-%d.nc", i+1, i+1)))
	if err != nil {
		return err
	}
	diff := compareReal(s, path, p.pictures[s.key()], p.high, p.pixel, p.finer)
	if !s.good() && p.pixel >= dxfPixel {
		// The shades of pixels along edges are rounded; and where two shapes share an
		// edge, both are smoothed, and the lower one shines through: the less the finer
		// the pixels are.
		grey, err := render(p.picture(s), p.w*narrowFiner, p.h*narrowFiner)
		if err != nil {
			return fmt.Errorf("%s: %w", p.file, err)
		}
		diff = compareReal(s, path, grey, p.high, p.pixel/narrowFiner, p.finer)
	}
	if err := writePNG(filepath.Join(dir, fmt.Sprintf("difference-%d.png", i+1)), diff); err != nil {
		return err
	}
	name := fmt.Sprintf("ink %d", i+1)
	if !s.good() && len(p.layers) > 1 {
		name = "ink 1"
		if said, _, err = p.alone(i).run(binary, filepath.Join(dir, fmt.Sprintf("alone-%d", i+1))); err != nil {
			return err
		}
	}
	s.warned = remarks(said, name)
	s.explain(reasonsFor(said, name, s))
	return nil
}

// alone is the page with one of its layers.
func (p *page) alone(layer int) *page {
	one := *p
	one.layers = slices.Clone(p.layers[layer : layer+1])
	return &one
}

// run lays out a studio and runs its job. It returns what was said, and whether the
// job was refused.
func (p *page) run(binary, dir string) (said string, refused bool, err error) {
	if err := p.studio(dir); err != nil {
		return "", false, err
	}
	c := exec.Command(binary, "run", "job/job.md")
	c.Dir = dir
	text, err := c.CombinedOutput()
	if _, failed := err.(*exec.ExitError); err != nil && !failed {
		return "", false, err
	}
	return string(text), err != nil, nil
}

// firstError is the first line of a run that is an error.
func firstError(said string) string {
	for line := range strings.Lines(said) {
		if coded.MatchString(line) && !strings.Contains(line, "warning:") && !strings.Contains(line, "hint:") {
			return strings.TrimSpace(line)
		}
	}
	return said
}

var coded = regexp.MustCompile(`\[[a-z-]+\]\s*$`)

// harmless warnings are of what looks the same.
var harmless = regexp.MustCompile(`\[(drawn-twice|unpainted-layer)\]`)

// remarks are the warnings of a run, and what it says of one layer.
func remarks(said, layer string) string {
	var out []string
	for line := range strings.Lines(said) {
		if strings.Contains(line, "warning:") && !harmless.MatchString(line) || strings.HasPrefix(strings.TrimSpace(line), layer+": too") || strings.HasPrefix(strings.TrimSpace(line), layer+": held") {
			out = append(out, strings.TrimSpace(line))
		}
	}
	return strings.Join(out, "; ")
}

// room is the border around a page in mm where paint may be outside of it.
const room = 4

// compareReal compares paint with what is shown, both as shares of each pixel.
// Its picture of them is red where paint is missing and blue where it is too much.
func compareReal(s *shown, path []station, grey *image.Gray, high, pixel float64, finer int) image.Image {
	edge := int(room / pixel)
	w, h := grey.Bounds().Dx()+2*edge, grey.Bounds().Dy()+2*edge
	marks := thinned(realBrush.paint(path, bench{width: 1, height: 1}))
	for i, d := range marks {
		marks[i].x, marks[i].y = d.x-realShift+room, high-(d.y-realShift)+room
	}
	ink := inked(marks, w, h, pixel, finer)
	both, drawn, out := 0.0, 0.0, 0.0
	diff := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			p, d := float64(ink[y*w+x]), 0.0
			if at := image.Pt(x-edge, y-edge); at.In(grey.Bounds()) {
				d = float64(255-grey.GrayAt(at.X, at.Y).Y) / 255
			}
			drawn += d
			both += math.Min(p, d)
			out += math.Max(0, p-d)
			fade := 1 - math.Min(p, d)/2
			diff.SetRGBA(x, y, color.RGBA{R: uint8(255 * (fade - math.Max(0, p-d))), G: uint8(255 * (fade - math.Max(0, p-d) - math.Max(0, d-p))), B: uint8(255 * (fade - math.Max(0, d-p))), A: 255})
		}
	}
	s.area, s.covered, s.spilt = drawn*pixel*pixel, both/drawn, out/drawn
	return diff
}

// thinned leaves out discs that lie so close to the one before that they add
// nothing, but for the last of a stroke.
func thinned(marks []disc) []disc {
	var out []disc
	last := disc{x: -1e9}
	for i, d := range marks {
		near := math.Hypot(d.x-last.x, d.y-last.y) < math.Min(0.03*d.r, 0.003) && math.Abs(d.r-last.r) < 0.005
		if near && i+1 < len(marks) && math.Hypot(marks[i+1].x-d.x, marks[i+1].y-d.y) < 2*step {
			continue
		}
		last = d
		out = append(out, d)
	}
	return out
}

const fineNotebook = `# Brush

## Brush: brush

| brush       |          |
|-------------|----------|
| widest mark | %.3f mm  |
| safe press  | %.1f mm  |
| touch       | 0.01 mm  |
| touch mark  | %.2f mm  |
| caliper     | 0.001 mm |
| reserve     | 0 mm     |
`

const realRecipe = `# Real

## Sheet

| sheet  |              |
|--------|--------------|
| size   | 150 x 150 mm |
| margin | 4 mm         |

## Machine

[bench](../machines/bench.md)

## Layers

%s`
