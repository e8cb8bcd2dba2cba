package main

import (
	"bytes"
	"cmp"
	"encoding/xml"
	"fmt"
	"image"
	"math"
	"runtime"
	"slices"
	"strings"

	"golang.org/x/sync/errgroup"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/contour"
	"mahlstick/runner/cutting"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/decode"
	"mahlstick/runner/vector"
)

// picture is a file and what came of it.
type picture struct {
	name       string
	data       []byte
	strict     bool // it must be read without a warning
	redrawn    []byte
	problems   problem.List
	difference float64 // as a share of the area
	err        error
}

// read reads a picture and draws again what was read.
func (p *picture) read() {
	d, problems := decode.Drawing(source.New(p.name, p.data), drawing.Options{Unit: model.Unit{Name: "mm", MM: 1, Override: true}, Cut: true})
	if p.strict {
		problems = slices.DeleteFunc(problems, func(q problem.Problem) bool { return q.Severity == problem.Hint })
	}
	p.problems = problems
	if p.err = cut(d); p.err == nil {
		p.redrawn, p.err = redraw(d, p.data, p.strict)
	}
}

// cut cuts the contours off at the drawing's clips.
func cut(d *drawing.Drawing) error {
	var list []cutting.Contour
	for _, c := range d.Contours {
		list = append(list, cutting.Contour{Identity: c.Identity, Points: c.Points, Closed: c.Closed, Widths: c.Widths, Clips: c.Clips})
	}
	left, ok := cutting.Cut(list, cutting.Options{})
	if !ok {
		return fmt.Errorf("too tangled to be cut")
	}
	before := d.Contours
	d.Contours = nil
	for _, k := range left.Contours {
		d.Contours = append(d.Contours, drawing.Contour{Identity: k.Identity, Points: k.Points, Closed: k.Closed, Widths: k.Widths, Layer: before[k.From].Layer})
	}
	return nil
}

// perSheet is how many pictures are rendered at a time, and pixels their width
// where each is rendered by itself.
const (
	perSheet = 20
	pixels   = 800
)

// compareAll compares pictures with what was read of them.
func compareAll(list []*picture, draw renderer) error {
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0))
	for part := range slices.Chunk(list, perSheet) {
		g.Go(func() error {
			var svgs [][]byte
			for _, p := range part {
				p.read()
				svgs = append(svgs, p.data, p.redrawn)
			}
			images, err := draw(svgs)
			if err != nil {
				return err
			}
			for i, p := range part {
				if p.err == nil && p.strict {
					p.difference = difference(images[2*i], images[2*i+1], 0)
				} else if p.err == nil {
					p.difference = difference(images[2*i], images[2*i+1], noise)
				}
			}
			return nil
		})
	}
	return g.Wait()
}

// noise is how far the coverage of a pixel may differ in random pages: renderers
// are exact to about a tenth of a pixel, which is much of a thin line.
const noise = 1.0 / 3

// difference is the share of the area that differs. A picture of a few pixels is
// compared as one of 100.
func difference(want, got image.Image, noise float64) float64 {
	area, differs := 0.0, 0.0
	b := want.Bounds()
	for y := range b.Dy() {
		for x := range b.Dx() {
			a, c := coverage(want, x, y), coverage(got, x, y)
			area += a
			if d := math.Abs(a - c); d > noise {
				differs += d
			}
		}
	}
	return differs / max(area, 100)
}

func coverage(i image.Image, x, y int) float64 {
	_, _, _, a := i.At(i.Bounds().Min.X+x, i.Bounds().Min.Y+y).RGBA()
	return float64(a) / 0xffff
}

// redraw writes the contours as a plain SVG of the same page. Strokes have round
// ends and corners, as they are painted, or as they are in a file that must be
// read without a warning.
func redraw(d *drawing.Drawing, original []byte, asDrawn bool) ([]byte, error) {
	var root struct {
		ViewBox string `xml:"viewBox,attr"`
		Width   string `xml:"width,attr"`
		Height  string `xml:"height,attr"`
	}
	if err := xml.Unmarshal(original, &root); err != nil {
		return nil, err
	}
	var x, y, w, h float64
	if _, err := fmt.Sscan(strings.ReplaceAll(root.ViewBox, ",", " "), &x, &y, &w, &h); err != nil {
		if _, err := fmt.Sscan(root.Width+" "+root.Height, &w, &h); err != nil {
			return nil, fmt.Errorf("no page: %w", err)
		}
	}
	style := ""
	for _, name := range []string{"stroke-linecap", "stroke-linejoin"} {
		if !asDrawn || bytes.Contains(original, []byte(name+`="round"`)) {
			style += fmt.Sprintf(" %s=%q", name, "round")
		}
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%vmm" height="%vmm" viewBox="0 0 %v %v">`, w, h, w, h)
	for i := 0; i < len(d.Contours); {
		c := &d.Contours[i]
		if c.Widths != nil {
			style := style
			stretched, turned := *c, ""
			if t := c.Look.Stretch; !t.None() { // drawn before it was stretched, on a page whose y points down
				stretched.Points = slices.Clone(c.Points)
				for k, p := range c.Points {
					q := t.Inverse().At(p)
					stretched.Points[k] = vector.XY{X: q.X, Y: h - q.Y}
				}
				turned = fmt.Sprintf(` transform="matrix(1 0 0 -1 0 %v) matrix(%v %v %v %v 0 0)"`, h, t.XX, t.YX, t.XY, t.YY)
				style = endsAndCorners(c.Look)
			}
			fmt.Fprintf(&b, `<path fill="none" stroke="#000" stroke-width="%v"%s%s d="%s"/>`, c.Widths[0], style, turned, outline(&stretched, h))
			i++
			continue
		}
		rule := "nonzero"
		if c.Rule == contour.EvenOdd {
			rule = "evenodd"
		}
		fmt.Fprintf(&b, `<path fill-rule="%s" d="`, rule)
		for group := c.Group; i < len(d.Contours) && d.Contours[i].Group == group && d.Contours[i].Widths == nil; i++ {
			b.WriteString(outline(&d.Contours[i], h))
		}
		b.WriteString(`"/>`)
	}
	b.WriteString("</svg>")
	return b.Bytes(), nil
}

// endsAndCorners are the attributes of a look. A line that is stretched is painted with
// them, as a shape.
func endsAndCorners(l contour.Look) string {
	ends := map[contour.Ends]string{contour.FlatEnds: "butt", contour.SquareEnds: "square"}
	corners := map[contour.Corners]string{contour.PointedCorners: "miter", contour.CutCorners: "bevel"}
	end, corner := cmp.Or(ends[l.Ends], "round"), cmp.Or(corners[l.Corners], "round")
	return fmt.Sprintf(` stroke-linecap="%s" stroke-linejoin="%s" stroke-miterlimit="%v"`, end, corner, max(1, l.Reach))
}

func outline(c *drawing.Contour, height float64) string {
	var b strings.Builder
	for i, p := range c.Points {
		letter := 'L'
		if i == 0 {
			letter = 'M'
		}
		fmt.Fprintf(&b, "%c%.6f %.6f", letter, p.X, height-p.Y)
	}
	if c.Closed {
		b.WriteByte('Z')
	}
	return b.String()
}
