package preview_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"mahlstick/recipe/source"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/decode"
	"mahlstick/runner/drawing/preview"
)

// A picture rings each dead end, squares each branch, and names the places.
func TestPicture(t *testing.T) {
	var dxf strings.Builder
	dxf.WriteString("0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n")
	line := func(x0, y0, x1, y1 string) {
		dxf.WriteString("0\nLINE\n8\nart & more\n10\n" + x0 + "\n20\n" + y0 + "\n11\n" + x1 + "\n21\n" + y1 + "\n")
	}
	line("40", "44", "40", "40") // open: two dead ends
	line("40", "40", "80", "42")
	line("10", "60", "20", "60") // a triangle, and a line that hangs on its corner
	line("20", "60", "20", "70")
	line("20", "70", "10", "60")
	line("20", "70", "33", "77")
	dxf.WriteString("0\nENDSEC\n0\nEOF\n")
	d, problems := decode.Drawing(source.New("a<b.dxf", []byte(dxf.String())), drawing.Options{})
	if problems.HasErrors() {
		t.Fatal(problems)
	}
	var out bytes.Buffer
	if err := preview.Write(&out, []*drawing.Drawing{d, {File: source.New("empty.dxf", nil)}}); err != nil {
		t.Fatal(err)
	}
	rings, squares, words := 0, 0, ""
	for dec := xml.NewDecoder(&out); ; {
		token, err := dec.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		switch e := token.(type) {
		case xml.StartElement:
			switch e.Name.Local {
			case "circle":
				rings++
			case "rect":
				squares++
			}
		case xml.CharData:
			words += string(e) + "\n"
		}
	}
	if rings != 4 || squares != 2 { // one square is the paper
		t.Errorf("%d rings and %d squares", rings, squares-1)
	}
	for _, want := range []string{"a<b.dxf", "70 x 37 mm", "40, 44", "80, 42", "33, 77", "20, 70"} {
		if !strings.Contains(words, want) {
			t.Errorf("%q is not in the picture: %s", want, words)
		}
	}
}
