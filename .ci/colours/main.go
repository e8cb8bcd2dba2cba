// Command colours compares what layers by colour paint of SVG drawings, with what is
// covered left, with the pixels of each colour in librsvg's picture:
//
//	go run ./.ci/colours FILE.svg ...
//
// Pixels at edges are left out. It prints for each drawing how much of its opaque
// plain colours is painted and how much is painted beside them, and fails below
// 99.8 % or above 0.2 % of all. Colours that are partly clear or change are
// not compared, nor what shows through them.
package main

import (
	"bytes"
	"fmt"
	"image"
	"image/png"
	"os"
	"os/exec"
	"slices"

	"mahlstick/recipe/colour"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/contour"
	"mahlstick/runner/covering"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/decode"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
	"mahlstick/runner/register"
	"mahlstick/runner/stroke"
)

const pixels = 500 // along the wider side

func main() {
	var all tally
	worst := map[string]tally{}
	for _, name := range os.Args[1:] {
		t, err := compare(name)
		if err != nil {
			fmt.Printf("%s: left out: %v\n", name, err)
			continue
		}
		worst[name] = t
		all.seen, all.missed, all.beside = all.seen+t.seen, all.missed+t.missed, all.beside+t.beside
		fmt.Printf("%s: %d colours, %d pixels, %.3f %% painted, %.3f %% beside\n", name, t.colours, t.seen, t.painted(), t.spilt())
	}
	fmt.Printf("all: %d drawings, %d pixels, %.3f %% painted, %.3f %% beside\n", len(worst), all.seen, all.painted(), all.spilt())
	if all.seen == 0 || all.painted() < 99.8 || all.spilt() > 0.2 {
		os.Exit(1)
	}
}

type tally struct{ colours, seen, missed, beside int }

func (t tally) painted() float64 { return 100 * (1 - float64(t.missed)/float64(max(t.seen, 1))) }
func (t tally) spilt() float64   { return 100 * float64(t.beside) / float64(max(t.seen, 1)) }

func compare(name string) (t tally, err error) {
	data, err := os.ReadFile(name)
	if err != nil {
		return t, err
	}
	d, problems := decode.Drawing(source.New(name, data), drawing.Options{ByColour: true, Unit: model.Unit{Name: "px", MM: 25.4 / 96, Override: true}})
	switch {
	case problems.HasErrors():
		return t, fmt.Errorf("%s", problems[0].Message)
	case !(d.PageWidth > 0 && d.PageHeight > 0):
		return t, fmt.Errorf("it has no page")
	case slices.ContainsFunc(problems, func(p problem.Problem) bool { return p.Code == problem.ClippedShape }):
		return t, fmt.Errorf("it has masks or clips that are not applied, with a warning")
	case slices.ContainsFunc(d.Contours, func(c drawing.Contour) bool {
		return len(c.Clips) > 0 || !c.Paint.Covers() || c.Paint.Kind != contour.Plain
	}):
		return t, fmt.Errorf("it has clips, gradients or transparent paint")
	}
	run := exec.Command("rsvg-convert", "-b", "white", "-w", fmt.Sprint(pixels), "--keep-aspect-ratio", name)
	out, err := run.Output()
	if err != nil {
		return t, fmt.Errorf("rsvg-convert: %w", err)
	}
	picture, err := png.Decode(bytes.NewReader(out))
	if err != nil {
		return t, err
	}
	var done []colour.RGB
	for _, c := range d.Contours {
		if c.Paint.RGB != colour.White && !slices.Contains(done, c.Paint.RGB) {
			done = append(done, c.Paint.RGB)
			if err := compareColour(d, c.Paint.RGB, picture, &t); err != nil {
				return t, err
			}
		}
	}
	t.colours = len(done)
	return t, nil
}

// compareColour adds what is painted of one colour.
func compareColour(d *drawing.Drawing, rgb colour.RGB, picture image.Image, t *tally) error {
	var closed []region.Contour
	var lines []stroke.OpenLine
	var covers []register.Cover
	shape := 0
	for _, c := range d.Contours {
		on := register.Contour{Identity: c.Identity, Closed: c.Closed, Widths: c.Widths}
		for _, p := range c.Points {
			on.Points = append(on.Points, plane.At(p.X, p.Y))
		}
		on.Shape = shape
		switch {
		case c.Paint.RGB != rgb:
			covers = append(covers, register.Cover{Contour: on})
			continue
		case c.Closed && c.Widths == nil:
			closed = append(closed, region.Contour{Identity: on.Identity, Points: on.Points})
		case c.Widths != nil:
			l := stroke.OpenLine{Identity: on.Identity, Points: on.Points, Widths: on.Widths}
			if c.Closed {
				l.Points, l.Widths = append(l.Points, l.Points[0]), append(l.Widths, l.Widths[0])
			}
			lines = append(lines, l)
		}
		shape++
	}
	built, problems := region.Build(closed, region.Options{})
	if problems.HasErrors() {
		return fmt.Errorf("%s", problems[0].Message)
	}
	list, problems := covering.Covers(covers, region.Options{})
	if problems.HasErrors() {
		return fmt.Errorf("%s", problems[0].Message)
	}
	drawn, _, problems := covering.Cut(covering.Drawn{Regions: built, Lines: lines}, list, covering.Options{Tolerance: 0.02})
	if problems.HasErrors() {
		return fmt.Errorf("%s", problems[0].Message)
	}
	mask := newMask(d, picture)
	for _, r := range drawn.Regions.Regions {
		mask.fill(r.Rings)
	}
	for _, l := range drawn.Lines {
		mask.line(l)
	}
	mask.count(picture, rgb, t)
	return nil
}
