package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// A drawing in DXF is drawn by a general-purpose library (.ci/real/dxf.py) as
// pictures in SVG, one for each drawing layer and colour.
const (
	lineWidth = 1.0                // mm, of lines
	dxfReader = ".ci/real/dxf.py"  // below the folder in which the command runs
	dxfPython = "/usr/bin/python3" // the one that has the library's own packages
)

// dxfPlan is what the script says of a drawing.
type dxfPlan struct {
	Scale, X, Y   float64 // mm a unit, and where the drawing's zero lies in mm
	Width, Height float64 // mm
	Layers        []struct {
		Layer, Colour, Picture string
		Lines, Areas           bool
		Bands                  bool // lines with widths of their own
	}
	Skipped [][2]string // kind of entity and layer of what is neither line nor area
}

// readDXF has a drawing drawn, and chooses the layers of which most shows; nil if
// it shows nothing.
func readDXF(dir, file string) (*page, error) {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, err
	}
	c := exec.Command(dxfPython, dxfReader, file, dir, fmt.Sprint(realSize), fmt.Sprint(lineWidth))
	if said, err := c.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("%s: %w: %s", file, err, said)
	}
	data, err := os.ReadFile(filepath.Join(dir, "plan.json"))
	if err != nil {
		return nil, err
	}
	var plan dxfPlan
	if err := json.Unmarshal(data, &plan); err != nil {
		return nil, err
	}
	if len(plan.Layers) == 0 {
		return nil, nil
	}
	text, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	p := &page{
		file: file, text: string(text), dxf: &plan, skipped: plan.Skipped, pixel: dxfPixel, finer: dxfFiner,
		w: int(math.Round(plan.Width / dxfPixel)), h: int(math.Round(plan.Height / dxfPixel)), high: plan.Height,
	}
	pictures := map[string]string{}
	for _, l := range plan.Layers {
		picture, err := os.ReadFile(filepath.Join(dir, l.Picture))
		if err != nil {
			return nil, err
		}
		s := shown{file: file, layer: l.Layer, ink: l.Colour, look: "lines", bands: l.Bands}
		switch {
		case l.Lines && l.Areas:
			s.look = "lines and areas"
		case l.Areas:
			s.look = "areas"
		}
		pictures[s.key()] = string(picture)
		p.layers = append(p.layers, s)
	}
	p.picture = func(s *shown) string { return pictures[s.key()] }
	return p, p.choose()
}

// dxfRows are rows of Layers that paint the layers of a drawing in DXF.
func (p *page) dxfRows() string {
	var rows strings.Builder
	rows.WriteString("| layer | drawing | drawing layer | drawing colour | unit | drawn size | offset x | offset y | outlines | covered | cut to | width | tolerance | brush | ink | feed |\n|---|---|---|---|---|---|---|---|---|---|---|---|---|---|---|---|\n")
	for i, l := range p.layers {
		outlines := "lines"
		if l.look == "areas" {
			outlines = "shapes"
		}
		width := fmt.Sprintf("%g mm", lineWidth)
		if l.bands {
			width, outlines = "", ""
		}
		fmt.Fprintf(&rows, "| ink %d | [drawing](drawing.dxf) | %s | %s | mm, not as the file says | %.12g %% | %.6f mm | %.6f mm | %s | leave | clip | %s | 0.005 mm | [brush](../brushes/brush.md) | black | 900 mm/min |\n",
			i+1, strings.ReplaceAll(l.layer, "|", "\\|"), l.ink, p.dxf.Scale*100, realShift+p.dxf.X, realShift+p.dxf.Y, outlines, width)
	}
	return rows.String()
}

// unsaid are the kinds of entities that are not painted and that the page does not
// name.
func (p *page) unsaid(logbook string) []string {
	var out []string
	for _, s := range p.skipped {
		if !strings.Contains(logbook, "<th scope=\"row\">"+s[0]+"</th>") {
			out = append(out, s[0]+" on "+s[1])
		}
	}
	return out
}
