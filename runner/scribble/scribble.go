// Package scribble makes random jobs that are complete and valid: a recipe with
// its brushes, machine and drawings. The same number gives the same job. They
// are used to compare what different builds make of the same input.
package scribble

import (
	"fmt"
	"math/rand/v2"
	"path"
	"strings"
)

// File is a file of a studio, by its path below the root.
type File struct {
	Name string
	Data []byte
}

// Studio is the file that makes a folder of jobs a studio.
func Studio() File { return File{"studio.md", []byte("# Scribbles\n\nRandom jobs.\n")} }

// scribbler writes a job's recipe and notebooks. Lengths are in mm.
type scribbler struct {
	random
	*frame
	brushes []brush
}

// frame is the sheet with its register marks, on which all parts of a job have
// to agree. Lengths are in mm.
type frame struct {
	width, height float64
	margin        float64
	marks         []mark
}

// random draws the numbers of a job.
type random struct{ *rand.Rand }

func (r random) between(low, high float64) float64 {
	return low + float64(r.Float64()*(high-low))
}

// sometimes is a value for a cell, or an empty cell.
func (r random) sometimes(format string, low, high float64) string {
	v := r.between(low, high)
	if r.IntN(3) > 0 {
		return ""
	}
	return fmt.Sprintf(format, v)
}

type mark struct{ x, y, size float64 }

type brush struct {
	name           string
	widest, press  float64
	touch, caliper float64
}

// Name is the name of a job, which is that of its recipe, too.
func Name(number int) string { return fmt.Sprintf("scribble-%03d", number) }

// Job is a random job: its files below the studio's root.
func Job(number int) []File {
	s := &scribbler{random: random{rand.New(rand.NewPCG(uint64(number), 0x6d61686c))}, frame: &frame{}}
	shapes := drawer{s.random, s.frame}
	dir := Name(number)
	var files []File
	add := func(name, text string) { files = append(files, File{path.Join(dir, name), []byte(text)}) }
	var recipe strings.Builder
	fmt.Fprintf(&recipe, "# Scribble %d\n\nA random job; its number is all that it is made from.\n\n", number)
	recipe.WriteString(s.sheet())
	recipe.WriteString("## Machine\n\n[bench](bench.md)\n\n")
	bench := s.machine()
	if number%4 == 3 { // drawn from no random number
		bench += "| hover | 2.5 mm |\n"
	}
	add("bench.md", bench)
	recipe.WriteString(s.registration())
	for i := range 1 + s.IntN(2) {
		b := s.newBrush(i)
		s.brushes = append(s.brushes, b)
		add(b.name+".md", s.brushNotebook(b))
	}
	table := []string{"layer", "drawing", "unit", "brush", "ink", "feed", "offset x", "offset y", "inside", "overlap", "hairlines", "width", "tolerance", "entries", "check strip", "lanes", "lane angle", "lane margin", "edges", "corners", "round below"}
	fmt.Fprintf(&recipe, "## Layers\n\n| %s |\n|%s\n", strings.Join(table, " | "), strings.Repeat("---|", len(table)))
	inks := []string{"ochre", "indigo", "#1d1b1a", "moss #6c7a45", "sepia"}
	for i := range 1 + s.IntN(4) {
		b := s.brushes[s.IntN(len(s.brushes))]
		if i == 0 {
			b = s.brushes[0] // the working names it
		}
		d := shapes.drawing(b)
		name := fmt.Sprintf("layer-%d%s", i+1, d.ext)
		add(name, d.text)
		cells := []string{
			fmt.Sprintf("layer %d", i+1), fmt.Sprintf("[%s](%s)", strings.TrimSuffix(name, d.ext), name), d.unit, fmt.Sprintf("[%s](%s.md)", b.name, b.name), inks[s.IntN(len(inks))],
			[]string{"", "750 mm/min", "`slow`", "`0.5 * slow + 200*mm/min`", "1200 mm/min"}[s.IntN(5)],
			s.sometimes("%.2f mm", -0.5, 0.5), s.sometimes("%.2f mm", -0.5, 0.5),
			[]string{"", "holes", "strokes"}[s.IntN(3)], s.sometimes("%.0f %%", 5, 40), []string{"", "paint", "leave"}[s.IntN(3)],
			d.width, s.sometimes("%.3f mm", 0.01, 0.05), []string{"", "as drawn", "longer"}[s.IntN(3)], []string{"", "", "yes"}[s.IntN(3)],
			[]string{"", "follow", "straight", "both"}[s.IntN(4)], s.sometimes("%.0f°", -90, 90), s.sometimes("%.2f mm", 0, 0.4), []string{"", "first", "last"}[s.IntN(3)],
			// Drawn from no random number, so that the rest of a job stays as it was.
			[]string{"", "touch", "joined", "round"}[(number+i)%4], []string{"", "0.8 mm"}[(number/2+i)%2],
		}
		fmt.Fprintf(&recipe, "| %s |\n", strings.Join(cells, " | "))
	}
	first := s.brushes[0].name
	fmt.Fprintf(&recipe, "\n```working\nslow  = %.2f * 800*mm/min\ntaper = atan(%s.widest_mark / (2 * %s.safe_press))\nslant = sqrt((%s.widest_mark / 2)^2 + %s.safe_press^2)\n```\n\nThe tip is a cone of `taper`, `slant` long.\n",
		s.between(0.6, 1.1), first, first, first, first)
	add(dir+".md", recipe.String())
	return files
}

func (s *scribbler) sheet() string {
	sizes := []struct {
		name          string
		width, height float64
	}{
		{"A5 portrait", 148, 210}, {"A5 landscape", 210, 148}, {"A6 landscape", 148, 105}, {"A4 portrait", 210, 297}, {"120 x 90 mm", 120, 90}, {"6 x 8 in", 152.4, 203.2},
	}
	size := sizes[s.IntN(len(sizes))]
	s.width, s.height = size.width, size.height
	s.margin = []float64{5, 8, 8.5}[s.IntN(3)]
	return fmt.Sprintf("## Sheet\n\n| sheet | |\n|---|---|\n| size | %s |\n| margin | %g mm |\n| lay | %s |\n| turned | %d° |\n\n",
		size.name, s.margin, []string{"lower left", "lower right", "upper right", "upper left"}[s.IntN(4)], 90*s.IntN(4))
}

func (s *scribbler) machine() string {
	return fmt.Sprintf("# Bench\n\n## Machine: bench\n\n| machine | |\n|---|---|\n| reach x | 320 mm |\n| reach y | 340 mm |\n| reach z | 60 mm |\n"+
		"| safe height | %.1f mm |\n| travel feed | %d mm/min |\n| lowering feed | %d mm/min |\n| z feed | %d mm/min |\n| acceleration | %d mm/s² |\n| bed | ± %.2f mm |\n| decimals | %d |\n",
		s.between(3, 12), 1500+100*s.IntN(30), 200+10*s.IntN(60), 400+50*s.IntN(20), 60+10*s.IntN(40), s.between(0.02, 0.2), 3+s.IntN(2))
}

// registration states none, one or two marks in the corners.
func (s *scribbler) registration() string {
	n := s.IntN(3)
	if n == 0 {
		return ""
	}
	size := []float64{4, 6, 8}[s.IntN(3)]
	at := s.margin + size/2 + 1
	s.marks = []mark{{at, at, size}, {s.width - at, s.height - at, size}}[:n]
	text := "## Registration\n\n| mark | x | y | size |\n|---|---|---|---|\n"
	for i, m := range s.marks {
		text += fmt.Sprintf("| mark %d | %g mm | %g mm | %g mm |\n", i+1, m.x, m.y, m.size)
	}
	return text + "\n"
}

func (s *scribbler) newBrush(i int) brush {
	widest := s.between(1.2, 5)
	return brush{
		name: []string{"sable", "broad"}[i], widest: widest, press: s.between(2, 6),
		touch: s.between(0.05, 0.3), caliper: []float64{0.01, 0.02, 0.05}[s.IntN(3)],
	}
}

// brushNotebook states the brush and a swatch that rises and flattens.
func (s *scribbler) brushNotebook(b brush) string {
	text := fmt.Sprintf("# %s\n\n## Brush: %s\n\n| brush | |\n|---|---|\n| widest mark | %.2f ± 0.03 mm |\n| safe press | %.2f mm |\n| touch | %.2f mm |\n| touch mark | %.2f mm |\n| caliper | %.2f mm |\n",
		b.name, b.name, b.widest, b.press, s.between(0.03, 0.1), b.touch, b.caliper)
	if s.IntN(3) == 0 {
		text += fmt.Sprintf("| tip offset x | %.2f mm |\n| tip offset y | %.2f mm |\n", s.between(-2, 2), s.between(-2, 2))
	}
	if s.IntN(3) == 0 {
		text += fmt.Sprintf("| entry | %.1f mm |\n| exit | %.1f mm |\n", s.between(0, 4), s.between(0, 4))
	}
	rungs := s.IntN(6)
	trails := s.IntN(4) == 0
	if trails && rungs == 0 {
		text += fmt.Sprintf("| lag | %.2f mm |\n", s.between(0.2, 2))
	}
	if rungs > 0 {
		head := "| press | width |\n|---|---|\n"
		if trails {
			head = "| press | width | lag |\n|---|---|---|\n"
		}
		text += fmt.Sprintf("\n## Swatch: %s\n\n%s", b.name, head)
	}
	bend := s.between(0.5, 3)
	for i := range rungs {
		t := (float64(i) + s.between(0.8, 1.2)) / float64(rungs+1)
		rise := t * (1 + bend) / (t + bend)
		text += fmt.Sprintf("| %.2f mm | %.2f mm |", t*b.press, b.touch+float64(rise*(b.widest-b.touch)))
		if trails {
			text += fmt.Sprintf(" %.2f mm |", s.between(0.2, 0.6)*t*b.press)
		}
		text += "\n"
	}
	return text
}
