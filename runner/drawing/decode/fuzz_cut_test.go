package decode_test

import (
	"os"
	"path/filepath"
	"testing"

	"mahlstick/recipe/source"
	"mahlstick/runner/cutting"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/decode"
	"mahlstick/runner/vector"
)

// FuzzCut reads pictures with their clips and cuts them: whatever the file, it
// ends, and what is left lies within the box.
func FuzzCut(f *testing.F) {
	files, err := filepath.Glob("../testdata/svg/*.svg")
	if err != nil || len(files) == 0 {
		f.Fatal(files, err)
	}
	for _, path := range files {
		data, err := os.ReadFile(path)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	const head = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20"><clipPath id="c" clip-path="url(#d)">`
	f.Add([]byte(head + `<circle r="9"/><use href="#p"/></clipPath><clipPath id="d"><path clip-rule="evenodd" d="M0 0H9V9H-9zM1 1h4v4z"/></clipPath><path id="p" clip-path="url(#c)" d="M0 0L40 20 40 0 3"/></svg>`))
	f.Add([]byte(head + `<rect width="3" height="2"/></clipPath><clipPath id="d" clipPathUnits="objectBoundingBox"><path d="M0 0H1V.5z"/></clipPath><path stroke="red" stroke-width="3" clip-path="url(#c)" d="M0 0L40 20zM3 3h1"/></svg>`))
	f.Fuzz(func(t *testing.T, data []byte) {
		d, _ := decode.Drawing(source.New("fuzz.svg", data), drawing.Options{Unit: inMM.Unit, Cut: true, Anywhere: true})
		box := vector.Box{Min: vector.XY{X: 1, Y: 1}, Max: vector.XY{X: 30, Y: 30}}
		whole := drawing.ClipToBox(box)
		var list []cutting.Contour
		points := 0
		for _, c := range d.Contours {
			if points += len(c.Points); points > 5000 {
				return // large drawings are not looked for here
			}
			list = append(list, cutting.Contour{Identity: c.Identity, Points: c.Points, Closed: c.Closed, Widths: c.Widths, Clips: append(c.Clips, whole)})
		}
		out, ok := cutting.Cut(list, cutting.Options{})
		if !ok {
			return
		}
		for _, c := range out.Contours {
			if !box.Grown(0.001).Holds(vector.Bounds(c.Points)) {
				t.Fatalf("%v lies beyond the cut", vector.Bounds(c.Points))
			}
		}
	})
}
