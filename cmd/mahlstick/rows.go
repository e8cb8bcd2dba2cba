package main

import (
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"mahlstick/recipe/colour"
	"mahlstick/runner"
	"mahlstick/runner/palette"
)

// paletteRows prints rows of Layers: one for each colour, the palest first, or one
// for each drawing layer where the colours only tell those apart.
func paletteRows(out io.Writer, file string, p *runner.Palette) {
	r := layerRows{link: linkTo(file), palette: p}
	intro := "Rows of Layers. Fill in brush and ink. The colours are those of the drawing layers."
	if p.OwnColours() {
		intro = "Rows of Layers, the palest first. Fill in the brush. White and what has no colour is left out."
		r.byColour()
	} else {
		r.byLayer()
	}
	fmt.Fprintf(out, "\n%s\n", intro)
	if len(r.hidden) > 0 {
		fmt.Fprintf(out, "Left out too, since later shapes hide all of it: %s\n", strings.Join(r.hidden, ", "))
	}
	if r.hasLines() {
		fmt.Fprintf(out, "The width is for lines without one: change it to what you want to paint.\n")
	}
	fmt.Fprintln(out)
	printRows(out, r.table())
}

// linkTo is a Markdown link to a drawing beside the recipe.
func linkTo(file string) string {
	base := filepath.Base(file)
	stem := strings.TrimSuffix(base, filepath.Ext(base))
	if strings.ContainsAny(base, " ()") {
		return "[" + stem + "](<" + base + ">)"
	}
	return "[" + stem + "](" + base + ")"
}

// layerRow is a row of Layers.
type layerRow struct {
	name, part, ink string
	lines           bool         // some have no width
	under           runner.Under // what later shapes cover
}

// layerRows are rows of Layers for one drawing.
type layerRows struct {
	link    string
	palette *runner.Palette
	part    string // the column that says what of the drawing a row paints
	rows    []layerRow
	hidden  []string // colours of which nothing shows
	leave   bool     // some rows leave what is covered
}

func (r *layerRows) hasLines() bool {
	return slices.ContainsFunc(r.rows, func(row layerRow) bool { return row.lines })
}

// paintable leaves out white and what has no colour, if there is anything else.
func paintable(all []palette.Colour) []palette.Colour {
	list, _ := largest(all)
	return slices.DeleteFunc(palette.Palest(list), func(c palette.Colour) bool {
		return len(all) > 1 && (!c.Paint.HasColour() || c.Paint.RGB == colour.White)
	})
}

func (r *layerRows) byColour() {
	r.part = "drawing colour"
	used := map[string]int{}
	for _, c := range paintable(r.palette.Colours) {
		takes := func(s *palette.Shape) bool { return s.Paint.String() == c.Paint.String() }
		under := r.palette.Under(takes)
		if under.All {
			r.hidden = append(r.hidden, c.Paint.String())
			continue
		}
		name := "none"
		if c.Paint.HasColour() {
			name = colour.NameOf(c.Paint.RGB)
		}
		ink := strings.TrimPrefix(name+" "+c.Paint.String(), "none ")
		if used[name]++; used[name] > 1 {
			name += " " + strconv.Itoa(used[name])
		}
		r.leave = r.leave || under.Some
		r.rows = append(r.rows, layerRow{name: name, part: c.Paint.String(), ink: ink, lines: c.Lines > 0, under: under})
	}
}

func (r *layerRows) byLayer() {
	r.part = "drawing layer"
	white := false
	for _, c := range r.palette.ByLayer {
		white = white || c.Paint.RGB == colour.White
		name := strings.ReplaceAll(c.Layer, "|", "\\|")
		i := slices.IndexFunc(r.rows, func(row layerRow) bool { return row.part == name })
		switch {
		case i >= 0:
			r.rows[i].lines = r.rows[i].lines || c.Lines > 0
		case len(r.rows) < mostColours:
			takes := func(s *palette.Shape) bool { return s.Layer == c.Layer }
			under := r.palette.Under(takes)
			r.leave = r.leave || under.Some
			r.rows = append(r.rows, layerRow{name: name, part: name, lines: c.Lines > 0, under: under})
		}
	}
	r.leave = r.leave && !white // white would be bare paper
}

// table has the columns that some row needs.
func (r *layerRows) table() [][]string {
	out := [][]string{{"layer", "drawing", r.part}}
	for _, row := range r.rows {
		out = append(out, []string{row.name, r.link, row.part})
	}
	add := func(word string, cell func(row layerRow) string) {
		out[0] = append(out[0], word)
		for i, row := range r.rows {
			out[i+1] = append(out[i+1], cell(row))
		}
	}
	if r.leave {
		add("covered", func(row layerRow) string {
			if row.under.AllWithOutlines { // leave would paint nothing
				return "paint"
			}
			return "leave"
		})
	}
	if r.palette.Assumed {
		add("drawn size", func(layerRow) string { return "to the margins" })
	}
	if r.hasLines() {
		add("width", func(row layerRow) string {
			if row.lines {
				return "1 mm"
			}
			return ""
		})
	}
	add("brush", func(layerRow) string { return "" })
	add("ink", func(row layerRow) string { return row.ink })
	return out
}

// printRows prints a Markdown table.
func printRows(out io.Writer, rows [][]string) {
	width := make([]int, len(rows[0]))
	for _, r := range rows {
		for k, cell := range r {
			width[k] = max(width[k], len([]rune(cell)), 5)
		}
	}
	for i, r := range rows {
		line, rule := "|", "|"
		for k, cell := range r {
			line += " " + pad(cell, width[k]) + " |"
			rule += strings.Repeat("-", width[k]+2) + "|"
		}
		fmt.Fprintln(out, line)
		if i == 0 {
			fmt.Fprintln(out, rule)
		}
	}
}
