// Package overlay draws what was asked and what was measured over a scan of a painted
// sheet, the worst places numbered, worst first.
package overlay

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"html"
	"image"
	"image/color"
	"image/jpeg"
	"io"
	"math"
	"slices"
	"strings"

	"mahlstick/runner/scan/along"
	"mahlstick/runner/vector"
)

// Scan is a scan and where the sheet lies in it.
type Scan struct {
	Width, Height int
	Pix           []uint8                      // red, green and blue of each pixel, row by row from the top
	Pixel         func(at vector.XY) vector.XY // from mm on the sheet to pixels
	PerMM         float64                      // pixels a mm
}

const (
	longest = 1600 // pixels of the longer side of the picture that is put in
	quality = 75   // of its JPEG
	listed  = 12   // worst places
	apart   = 8.0  // mm between two of them at least
	notable = 2.0  // standard uncertainties from which a place is one of them
)

// Write draws an SVG. names are those of the layers.
func Write(w io.Writer, title string, s Scan, measured *along.Result, names []string) error {
	picture, err := shrunk(s)
	if err != nil {
		return err
	}
	worst := Worst(measured)
	line := max(float64(s.Height)/60, 3.5*s.PerMM) // of the list
	low := float64(s.Height) + float64(line*float64(len(worst)+3))
	var b strings.Builder
	fmt.Fprintf(&b, "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%.1fmm\" height=\"%.1fmm\" viewBox=\"0 0 %d %.0f\" font-family=\"sans-serif\" font-size=\"%.1f\">\n",
		float64(s.Width)/s.PerMM, low/s.PerMM, s.Width, low, 0.7*line)
	fmt.Fprintf(&b, "<title>%s</title>\n", html.EscapeString(title))
	fmt.Fprintf(&b, "<rect width=\"%d\" height=\"%.0f\" fill=\"#fff\"/>\n<image width=\"%d\" height=\"%d\" href=\"data:image/jpeg;base64,%s\"/>\n",
		s.Width, low, s.Width, s.Height, base64.StdEncoding.EncodeToString(picture))
	thin := 0.08 * s.PerMM
	fmt.Fprintf(&b, "<g fill=\"none\" stroke-width=\"%.2f\" stroke=\"%s\" stroke-dasharray=\"%.1f %.1f\">\n", thin, asked, 5*thin, 3*thin)
	b.WriteString(edges(s, measured.Places, func(p along.Place) (float64, float64, bool) {
		return -p.Asked / 2, p.Asked / 2, p.State == along.Measured || p.State == along.Bare
	}))
	fmt.Fprintf(&b, "</g>\n<g fill=\"none\" stroke-width=\"%.2f\" stroke=\"%s\">\n", thin, found)
	b.WriteString(edges(s, measured.Places, func(p along.Place) (float64, float64, bool) {
		return p.Offset - p.Width/2, p.Offset + p.Width/2, p.State == along.Measured
	}))
	b.WriteString("</g>\n")
	y := float64(s.Height) + float64(1.2*line)
	fmt.Fprintf(&b, "<g fill=\"#222\"><text x=\"%.1f\" y=\"%.1f\"><tspan fill=\"%s\">dashed: edges as asked</tspan>, <tspan fill=\"%s\">solid: edges as measured</tspan></text>\n", line, y, asked, found)
	for i, p := range worst {
		y += line
		at := s.Pixel(p.At)
		fmt.Fprintf(&b, "<circle cx=\"%.1f\" cy=\"%.1f\" r=\"%.1f\" fill=\"none\" stroke=\"#222\" stroke-width=\"%.2f\"/><text x=\"%.1f\" y=\"%.1f\">%d</text>\n",
			at.X, at.Y, 0.75*line, thin, at.X+float64(0.8*line), at.Y-float64(0.5*line), i+1)
		fmt.Fprintf(&b, "<text x=\"%.1f\" y=\"%.1f\">%d  %s</text>\n", line, y, i+1, html.EscapeString(Sentence(p, names)))
	}
	if len(worst) == 0 {
		fmt.Fprintf(&b, "<text x=\"%.1f\" y=\"%.1f\">All widths are as asked, within what the scan can tell.</text>\n", line, y+line)
	}
	b.WriteString("</g>\n</svg>\n")
	_, err = io.WriteString(w, b.String())
	return err
}

const asked, found = "#1d5fa8", "#c2303f"

// Sentence says how a place is off.
func Sentence(p along.Place, names []string) string {
	name := fmt.Sprintf("layer %d", p.Layer+1)
	if p.Layer < len(names) {
		name = names[p.Layer]
	}
	word := "wider"
	if p.Width < p.Asked {
		word = "narrower"
	}
	return fmt.Sprintf("%s, stroke %d, %.0f mm from its beginning: %.2f mm ± %.2f mm, %.2f mm %s than asked", name, p.Stroke, p.Way, p.Width, max(p.U, 0.005), math.Abs(p.Width-p.Asked), word)
}

// Worst are the places whose widths are off most, worst first, not near each other.
func Worst(r *along.Result) []along.Place {
	off := func(p along.Place) float64 { return math.Abs(p.Width - p.Asked) }
	var all []along.Place
	for _, p := range r.Places {
		if p.State == along.Measured && off(p) > notable*p.U && off(p) > 0.01 {
			all = append(all, p)
		}
	}
	slices.SortStableFunc(all, func(a, b along.Place) int {
		switch x, y := off(a), off(b); {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	var out []along.Place
	for _, p := range all {
		near := slices.ContainsFunc(out, func(q along.Place) bool { return vector.Distance(p.At, q.At) < apart })
		if !near && len(out) < listed {
			out = append(out, p)
		}
	}
	return out
}

// edges are the two edges of each stroke, as far as they are known.
func edges(s Scan, places []along.Place, of func(along.Place) (right, left float64, known bool)) string {
	var b strings.Builder
	var sides [2]strings.Builder
	end := func() {
		for i := range sides {
			if path := sides[i].String(); strings.Contains(path, "L") {
				fmt.Fprintf(&b, "<path d=\"%s\"/>\n", strings.TrimSpace(path))
			}
			sides[i].Reset()
		}
	}
	last := [2]int{-1, -1}
	for _, p := range places {
		right, left, known := of(p)
		if key := [2]int{p.Layer, p.Stroke}; key != last || !known {
			end()
			last = key
		}
		if !known {
			continue
		}
		for i, off := range []float64{right, left} {
			command := "L"
			if sides[i].Len() == 0 {
				command = "M"
			}
			at := s.Pixel(p.At.Plus(p.Along.Left().Times(off)))
			fmt.Fprintf(&sides[i], "%s%.1f %.1f ", command, at.X, at.Y)
		}
	}
	end()
	return b.String()
}

// shrunk is the scan as a JPEG, its pixels averaged until it is small enough.
func shrunk(s Scan) ([]byte, error) {
	by := max(1, (max(s.Width, s.Height)+longest-1)/longest)
	w, h := max(1, s.Width/by), max(1, s.Height/by)
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			var sum [3]int
			for v := range by {
				row := 3 * ((y*by+v)*s.Width + x*by)
				for u := range by {
					for k := range sum {
						sum[k] += int(s.Pix[row+3*u+k])
					}
				}
			}
			n := by * by
			img.SetNRGBA(x, y, color.NRGBA{uint8(sum[0] / n), uint8(sum[1] / n), uint8(sum[2] / n), 255})
		}
	}
	var b bytes.Buffer
	err := jpeg.Encode(&b, img, &jpeg.Options{Quality: quality})
	return b.Bytes(), err
}
