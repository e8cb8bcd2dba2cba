// Command compare holds what runner/drawing reads from SVG files against a
// general-purpose renderer (librsvg's rsvg-convert): the file itself and the
// contours that were read from it are rendered side by side, and their
// coverage compared pixel by pixel.
//
//	go run .ci/svg/compare.go .ci/svg/pictures/*.svg runner/drawing/testdata/svg/*.svg
//
// The sum of the differences may be at most 0.2 % of the area. It ends with 1
// if a file differs by more, or cannot be read.
package main

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"image"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/contour"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/decode"
)

const (
	pixels = 800   // width of the pictures
	limit  = 0.002 // of the area
)

func main() {
	failed := 0
	worst := 0.0
	for _, path := range os.Args[1:] {
		difference, err := compare(path)
		switch {
		case err != nil:
			fmt.Printf("%s: %v\n", path, err)
			failed++
		case difference > limit:
			fmt.Printf("%s: %.3f %% of the area differs\n", path, 100*difference)
			failed++
		}
		worst = max(worst, difference)
	}
	fmt.Printf("%d pictures compared, %d differ, at most %.3f %%\n", len(os.Args)-1, failed, 100*worst)
	if failed > 0 || len(os.Args) < 2 {
		os.Exit(1)
	}
}

// compare gives the differing share of the area.
func compare(path string) (float64, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return 0, err
	}
	d, problems := decode.Drawing(source.New(filepath.Base(path), data), drawing.Options{
		Unit: model.Unit{Name: "mm", MM: 1, Override: true},
	})
	problems = slices.DeleteFunc(problems, func(p problem.Problem) bool { return p.Severity == problem.Hint })
	if len(problems) > 0 {
		return 0, fmt.Errorf("%v", problems)
	}
	again, err := redraw(d, data)
	if err != nil {
		return 0, err
	}
	want, err := render(data)
	if err != nil {
		return 0, err
	}
	got, err := render(again)
	if err != nil {
		return 0, err
	}
	if want.Bounds() != got.Bounds() {
		return 0, fmt.Errorf("pictures of %v and %v", want.Bounds(), got.Bounds())
	}
	area, differs := 0, 0
	for y := want.Bounds().Min.Y; y < want.Bounds().Max.Y; y++ {
		for x := want.Bounds().Min.X; x < want.Bounds().Max.X; x++ {
			_, _, _, a := want.At(x, y).RGBA()
			_, _, _, b := got.At(x, y).RGBA()
			area += int(a)
			differs += max(int(a)-int(b), int(b)-int(a))
		}
	}
	if area == 0 {
		return 0, fmt.Errorf("the picture is empty")
	}
	return float64(differs) / float64(area), nil
}

// redraw writes the contours as a plain SVG of the same page.
func redraw(d *drawing.Drawing, original []byte) ([]byte, error) {
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
	caps := ""
	for _, name := range []string{"stroke-linecap", "stroke-linejoin"} {
		if bytes.Contains(original, []byte(name+`="round"`)) {
			caps += fmt.Sprintf(" %s=%q", name, "round")
		}
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %v %v">`, w, h)
	for i := 0; i < len(d.Contours); {
		c := &d.Contours[i]
		if c.Widths != nil {
			fmt.Fprintf(&b, `<path fill="none" stroke="#000" stroke-width="%v"%s d="%s"/>`, c.Widths[0], caps, outline(c, h))
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

func render(svg []byte) (image.Image, error) {
	run := exec.Command("rsvg-convert", "-w", fmt.Sprint(pixels), "--keep-aspect-ratio", "-f", "png")
	run.Stdin = bytes.NewReader(svg)
	run.Stderr = os.Stderr
	out, err := run.Output()
	if err != nil {
		return nil, fmt.Errorf("rsvg-convert: %w", err)
	}
	return png.Decode(bytes.NewReader(out))
}
