package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"mahlstick/recipe/format"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner"
	"mahlstick/runner/contour"
	"mahlstick/runner/palette"
)

// isDrawing says whether an argument of check is a drawing, by its name.
func isDrawing(name string) bool {
	switch strings.ToLower(filepath.Ext(name)) {
	case ".svg", ".svgz", ".dxf":
		return true
	}
	return false
}

// listColours lists the colours of drawings.
func listColours(cmd *cobra.Command, files []string, flags jobFlags) error {
	if err := flags.check(); err != nil {
		return err
	}
	if flags.picture != "" {
		return errors.New("--picture takes a recipe")
	}
	out, errs := cmd.OutOrStdout(), cmd.ErrOrStderr()
	worst := exitDone
	for i, file := range files {
		if !isDrawing(file) {
			return fmt.Errorf("check takes recipes or drawings, not both at once: %s", file)
		}
		if i > 0 && flags.problems == "text" {
			fmt.Fprintln(out)
		}
		worst = max(worst, oneDrawing(out, errs, file, flags))
	}
	return exitWith(worst)
}

func oneDrawing(out, errs io.Writer, file string, flags jobFlags) int {
	p, problems, err := runner.PaletteOf(file, model.Unit{}, flags.workers)
	if err != nil {
		fmt.Fprintf(errs, "mahlstick: %s cannot be read: %v\n", file, err)
		return exitDisk
	}
	print, to := problem.Print, errs
	if flags.problems == "json" {
		print, to, out = problem.PrintJSON, out, io.Discard
	}
	if err := print(to, problems.Sorted()); err != nil {
		return exitDisk
	}
	if problems.HasErrors() {
		return exitProblems
	}
	paletteTable(out, file, p)
	if len(p.Colours) > 0 {
		paletteRows(out, file, p)
	}
	return exitDone
}

// colours lists the colours of the drawings of a recipe.
func colours(out io.Writer, recipe string, workers int) {
	drawings, err := runner.DrawingFiles(recipe)
	if err != nil {
		return // finish reports it
	}
	for _, d := range drawings {
		if p, problems, err := runner.PaletteOf(d.File, d.Unit, workers); err == nil && !problems.HasErrors() {
			paletteTable(out, d.Name, p)
			fmt.Fprintln(out)
		}
	}
}

// mostColours is how many colours are listed, those with the largest areas.
const mostColours = 40

// paletteTable prints the colours of a drawing with the number and the area of
// their shapes.
func paletteTable(out io.Writer, file string, p *runner.Palette) {
	size := "it is empty"
	if low, high, any := p.Drawing.Bounds(); any {
		size = sizeText(high.X-low.X, high.Y-low.Y)
		if page := sizeText(p.Drawing.PageWidth, p.Drawing.PageHeight); p.Drawing.PageWidth > 0 && p.Drawing.PageHeight > 0 && page != size {
			size += " on a page of " + page
		}
	}
	unit := "unit " + p.Drawing.UnitName + " from " + p.Drawing.UnitFrom
	if p.Assumed {
		unit = "no unit is stated; sizes and areas are for " + p.Drawing.UnitName
	}
	fmt.Fprintf(out, "%s: %s; %s\n", file, size, unit)
	printSkipped(out, p)
	if len(p.Colours) == 0 {
		return
	}
	list, more := largest(p.Colours)
	rows := [][]string{{"drawing colour", "shapes", "area", ""}}
	for _, c := range list {
		rows = append(rows, []string{c.Paint.String(), strconv.Itoa(c.Shapes), format.Plain.Area(c.Area), note(&c)})
	}
	printColumns(out, rows)
	if more > 0 {
		fmt.Fprintf(out, "  and %s with smaller areas\n", format.Count(more, "more colour"))
	}
	layerTable(out, p)
}

func sizeText(width, height float64) string {
	return format.Plain.Number(width, 1) + " x " + format.Plain.Unit(format.Plain.Number(height, 1), "mm")
}

// printSkipped says what was not read and why: text and images, and of a drawing
// that is empty for it everything.
func printSkipped(out io.Writer, p *runner.Palette) {
	type kind struct{ what, why string }
	var kinds []kind
	number := map[kind]int{}
	for _, c := range p.Drawing.Skipped {
		if k := (kind{c.What, c.Why}); len(p.Colours) == 0 || c.Missed() {
			if number[k] == 0 {
				kinds = append(kinds, k)
			}
			number[k] += c.N
		}
	}
	for _, k := range kinds[:min(len(kinds), mostColours)] {
		fmt.Fprintf(out, "  %d %s skipped: %s\n", number[k], k.what, k.why)
	}
}

// layerTable prints what is on each layer of a drawing that has several.
func layerTable(out io.Writer, p *runner.Palette) {
	var layers []palette.Colour // sums
	colours := map[string][]string{}
	for _, c := range p.ByLayer {
		i := slices.IndexFunc(layers, func(l palette.Colour) bool { return l.Layer == c.Layer })
		if i < 0 {
			i = len(layers)
			layers = append(layers, palette.Colour{Layer: c.Layer})
		}
		layers[i].Shapes, layers[i].Area = layers[i].Shapes+c.Shapes, layers[i].Area+c.Area
		colours[c.Layer] = append(colours[c.Layer], c.Paint.String())
	}
	if len(layers) < 2 {
		return
	}
	rows := [][]string{{"drawing layer", "shapes", "area", ""}}
	list, more := largest(layers)
	for _, l := range list {
		const most = 6
		names := colours[l.Layer]
		text := strings.Join(names[:min(len(names), most)], ", ")
		if len(names) > most {
			text += " ..."
		}
		rows = append(rows, []string{cmp.Or(l.Layer, "(none)"), strconv.Itoa(l.Shapes), format.Plain.Area(l.Area), text})
	}
	printColumns(out, rows)
	if more > 0 {
		fmt.Fprintf(out, "  and %s with smaller areas\n", format.Count(more, "more layer"))
	}
}

// printColumns prints a table of words, numbers, areas and remarks.
func printColumns(out io.Writer, rows [][]string) {
	var width [3]int
	for _, r := range rows {
		for k := range width {
			width[k] = max(width[k], len([]rune(r[k])))
		}
	}
	for _, r := range rows {
		line := "  " + pad(r[0], width[0]) + "  " + pad("", width[1]-len([]rune(r[1]))) + r[1] + "  " + pad("", width[2]-len([]rune(r[2]))) + r[2] + "  " + r[3]
		fmt.Fprintln(out, strings.TrimRight(line, " "))
	}
}

func pad(s string, width int) string { return s + strings.Repeat(" ", max(0, width-len([]rune(s)))) }

// note says what is special about a colour.
func note(c *palette.Colour) string {
	var notes []string
	switch c.Paint.Kind {
	case contour.NoColour:
		notes = append(notes, "neither fill nor stroke")
	case contour.Gradient:
		notes = append(notes, "the mean of a gradient")
	case contour.Pattern:
		notes = append(notes, "a pattern")
	}
	if c.Paint.Clear && c.Paint.Kind != contour.Pattern {
		notes = append(notes, "partly transparent: covers nothing")
	}
	if c.Lines > 0 {
		notes = append(notes, format.Count(c.Lines, "line")+" without a width")
	}
	return strings.Join(notes, "; ")
}

// largest keeps the colours with the largest areas, in their order.
func largest(list []palette.Colour) (kept []palette.Colour, more int) {
	if len(list) <= mostColours {
		return list, 0
	}
	areas := make([]float64, len(list))
	for i, c := range list {
		areas[i] = c.Area
	}
	slices.SortFunc(areas, func(a, b float64) int { return cmp.Compare(b, a) })
	for _, c := range list {
		if len(kept) < mostColours && c.Area >= areas[mostColours-1] {
			kept = append(kept, c)
		}
	}
	return kept, len(list) - len(kept)
}
