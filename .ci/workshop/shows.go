package main

import (
	"bytes"
	"fmt"
	"image"
	"image/draw"
	"image/png"
	"math"
	"os/exec"
	"regexp"
	"sort"
	"strconv"
	"strings"

	"golang.org/x/image/colornames"
)

var (
	viewBox  = regexp.MustCompile(`viewBox\s*=\s*["']\s*([-\d.eE]+)[\s,]+([-\d.eE]+)[\s,]+([-\d.eE]+)[\s,]+([-\d.eE]+)\s*(["'])`)
	rootSize = regexp.MustCompile(`\s(width|height)\s*=\s*("[^"]*"|'[^']*')`)
	painted  = regexp.MustCompile(`(?i)\b(fill|stroke|stop-color|flood-color)(\s*[=:]\s*["']?\s*)(#[0-9a-f]{3,8}\b|[a-z]+\b)`)
	masks    = regexp.MustCompile(`(?is)<(mask|clipPath)\b.*?</(mask|clipPath)>`)
	rootTag  = regexp.MustCompile(`(?is)<svg\b[^>]*>`)
	rootFill = regexp.MustCompile(`(?i)\bfill\s*=`)
)

// ink is a colour as #rrggbb, "" if it is none.
func ink(word string) string {
	word = strings.ToLower(word)
	switch {
	case word == "currentcolor":
		return "#000000"
	case word[0] == '#' && len(word) == 4:
		return fmt.Sprintf("#%c%c%c%c%c%c", word[1], word[1], word[2], word[2], word[3], word[3])
	case word[0] == '#' && len(word) == 7:
		return word
	}
	if c, named := colornames.Map[word]; named {
		return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B)
	}
	return ""
}

// alone is the drawing with one ink in black and all others in white.
func alone(text, which string) string {
	swap := func(part string) string {
		return painted.ReplaceAllStringFunc(part, func(m string) string {
			g := painted.FindStringSubmatch(m)
			switch c := ink(g[3]); {
			case c == which:
				return g[1] + g[2] + "#000000"
			case c == "" && g[3][0] != '#':
				return m // none, a reference
			}
			return g[1] + g[2] + "#ffffff"
		})
	}
	var out strings.Builder
	last := 0
	for _, at := range masks.FindAllStringIndex(text, -1) {
		out.WriteString(swap(text[last:at[0]]))
		out.WriteString(text[at[0]:at[1]])
		last = at[1]
	}
	out.WriteString(swap(text[last:]))
	text = out.String()
	root := rootTag.FindString(text)
	if !rootFill.MatchString(root) && which != "#000000" {
		text = strings.Replace(text, root, strings.Replace(root, "<svg", `<svg fill="#ffffff"`, 1), 1)
	}
	return text
}

// inks are the colours that the text names, black where a shape names none.
func inks(text string) []string {
	seen := map[string]bool{"#000000": true}
	for _, m := range painted.FindAllStringSubmatch(masks.ReplaceAllString(text, ""), -1) {
		if c := ink(m[3]); c != "" {
			seen[c] = true
		}
	}
	delete(seen, "#ffffff")
	var out []string
	for c := range seen {
		out = append(out, c)
	}
	sort.Strings(out)
	return out
}

var (
	circles = regexp.MustCompile(`(?s)<(?:circle|ellipse)\b([^>]*)>`)
	ofEnd   = regexp.MustCompile(`</(?:circle|ellipse)\s*>`)
	centres = regexp.MustCompile(`\s(cx|cy|r|rx|ry)\s*=\s*["']\s*([-+\d.eE]+)\s*["']`)
)

// trueCircles replaces circles and ellipses by lines of half a degree: the renderer
// draws them of four curves, which are off by 0.03 % of the radius, and of few lines.
func trueCircles(text string) string {
	text = circles.ReplaceAllStringFunc(text, func(m string) string {
		at := map[string]float64{}
		rest := centres.ReplaceAllStringFunc(circles.FindStringSubmatch(m)[1], func(a string) string {
			g := centres.FindStringSubmatch(a)
			at[g[1]], _ = strconv.ParseFloat(g[2], 64)
			return ""
		})
		var d strings.Builder
		for i := range 720 {
			sin, cos := math.Sincos(float64(i) * math.Pi / 360)
			fmt.Fprintf(&d, " %.6f %.6f", at["cx"]+(at["r"]+at["rx"])*cos, at["cy"]+(at["r"]+at["ry"])*sin)
		}
		return `<path d="M` + d.String() + `z"` + rest + ">"
	})
	return ofEnd.ReplaceAllString(text, "</path>")
}

// render asks the renderer for a picture of the text on white paper.
func render(text string, w, h int) (*image.Gray, error) {
	c := exec.Command("rsvg-convert", "-w", strconv.Itoa(w), "-h", strconv.Itoa(h), "-b", "white", "--unlimited")
	c.Stdin = strings.NewReader(text)
	var errs bytes.Buffer
	c.Stderr = &errs
	out, err := c.Output()
	if err != nil {
		return nil, fmt.Errorf("%w: %s", err, errs.String())
	}
	img, err := png.Decode(bytes.NewReader(out))
	if err != nil {
		return nil, err
	}
	grey := image.NewGray(img.Bounds())
	draw.Draw(grey, grey.Bounds(), img, image.Point{}, draw.Src)
	return grey, nil
}

// wholePixels makes the page of a drawing a little larger, so that it has a whole
// number of square pixels, of a size in its own units.
func wholePixels(text string, box []string, w, h int, pixel float64) string {
	root := rootTag.FindString(text)
	whole := rootSize.ReplaceAllString(root, "")
	whole = strings.Replace(whole, box[0], fmt.Sprintf("viewBox=%s%s %s %g %g%s", box[5], box[1], box[2], float64(w)*pixel, float64(h)*pixel, box[5]), 1)
	return strings.Replace(text, root, whole, 1)
}
