// Command contours prints what runner/drawing reads from drawing files, as
// JSON, one drawing a line. cross_check.py compares it with what another
// reader makes of the same files.
//
//	go run .ci/ezdxf/contours.go CASES.json
//
// The argument is a list of objects with path and, if they are stated, unit
// (a name), mm, override and layer.
package main

import (
	"encoding/json"
	"fmt"
	"os"

	"mahlstick/recipe/model"
	"mahlstick/recipe/source"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/decode"
)

type request struct {
	Path     string
	Unit     string
	MM       float64
	Override bool
	Layer    string
	Gap      float64
	ByColour bool
}

type contour struct {
	Closed bool         `json:"closed"`
	Layer  string       `json:"layer"`
	Group  int          `json:"group"`
	Points [][2]float64 `json:"points"`
	Widths []float64    `json:"widths"`
	Colour string       `json:"colour"`
}

type answer struct {
	Path     string         `json:"path"`
	Unit     string         `json:"unit"`
	MM       float64        `json:"mm"`
	Layers   []string       `json:"layers"`
	Contours []contour      `json:"contours"`
	Read     map[string]int `json:"read"`
	Passed   map[string]int `json:"passed"`
	Loose    int            `json:"loose"`
	Problems []string       `json:"problems"`
	Errors   int            `json:"errors"`
}

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run() error {
	data, err := os.ReadFile(os.Args[1])
	if err != nil {
		return err
	}
	var requests []request
	if err := json.Unmarshal(data, &requests); err != nil {
		return err
	}
	out := json.NewEncoder(os.Stdout)
	for _, q := range requests {
		data, err := os.ReadFile(q.Path)
		if err != nil {
			return err
		}
		d, problems := decode.Drawing(source.New(q.Path, data), drawing.Options{
			Unit: model.Unit{Name: q.Unit, MM: q.MM, Override: q.Override}, Layer: q.Layer, Gap: q.Gap, ByColour: q.ByColour,
		})
		a := answer{Path: q.Path, Unit: d.UnitName, MM: d.UnitMM, Layers: d.Layers, Loose: d.LooseEnds, Read: map[string]int{}, Passed: map[string]int{}}
		for _, c := range d.Contours {
			points := make([][2]float64, len(c.Points))
			for i, p := range c.Points {
				points[i] = [2]float64{p.X, p.Y}
			}
			a.Contours = append(a.Contours, contour{c.Closed, c.Layer, c.Group, points, c.Widths, c.Paint.String()})
		}
		for _, c := range d.Read {
			a.Read[c.What] += c.N
		}
		for _, c := range d.Skipped {
			a.Passed[c.What+": "+c.Why] += c.N
		}
		for _, p := range problems {
			a.Problems = append(a.Problems, p.Severity.String()+": "+p.String())
			if p.Severity == 0 {
				a.Errors++
			}
		}
		if err := out.Encode(a); err != nil {
			return err
		}
	}
	return nil
}
