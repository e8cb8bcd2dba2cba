// Package dxfwrite writes drawing files: text DXF from a plain description.
package dxfwrite

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"mahlstick/runner/vector"
)

// File is a drawing to be written. Its coordinates are in its own unit, y
// upwards.
type File struct {
	// Unit is "mm", "cm", "m", "in", "ft" or "" for a file that states none.
	Unit string
	// Layers are declared in this order. Layer "0" is always there; layers
	// that only entities name are declared after these.
	Layers []string
	// Looks are how layers look, by name. A layer without one has the next of
	// the colours 1 to 6.
	Looks    map[string]Look
	Entities []Entity
}

// Entity is something drawn: Line, Arc, Circle, Polyline or Spline.
type Entity interface {
	layer() string
	check() error
}

// Line is a straight line.
type Line struct {
	Layer    string // "" is layer "0", here and below
	From, To vector.XY
}

// Circle is a full circle.
type Circle struct {
	Layer  string
	Centre vector.XY
	Radius float64
}

// Arc is part of a circle, counter-clockwise from Start to End (degrees).
type Arc struct {
	Layer      string
	Centre     vector.XY
	Radius     float64
	Start, End float64
}

// Vertex is a corner of a polyline and the segment that follows it.
type Vertex struct {
	At vector.XY
	// Bulge is the tangent of a quarter of the following arc's angle,
	// positive where it runs counter-clockwise, 0 for a straight segment.
	Bulge float64
	// Width at the start and the end of the following segment.
	StartWidth, EndWidth float64
}

// Polyline is a lightweight polyline of lines and arcs.
type Polyline struct {
	Layer    string
	Points   []Vertex
	Closed   bool
	AnyWidth bool // write the widths, even where they are 0
}

// Spline is a B-spline curve. There are Degree+1 more knots than control
// points. Weights may be nil.
type Spline struct {
	Layer   string
	Degree  int
	Knots   []float64
	Control []vector.XY
	Weights []float64
	Closed  bool
}

func (e Line) layer() string     { return e.Layer }
func (e Circle) layer() string   { return e.Layer }
func (e Arc) layer() string      { return e.Layer }
func (e Polyline) layer() string { return e.Layer }
func (e Spline) layer() string   { return e.Layer }

// Path is a closed polyline through the points.
func Path(layer string, points ...vector.XY) Polyline {
	p := Polyline{Layer: layer, Closed: true, Points: make([]Vertex, len(points))}
	for i, at := range points {
		p.Points[i].At = at
	}
	return p
}

// Square is a closed square of the given side around a centre, such as a
// registration mark.
func Square(layer string, centre vector.XY, side float64) Polyline {
	h := side / 2
	return Path(layer,
		vector.XY{X: centre.X - h, Y: centre.Y - h}, vector.XY{X: centre.X + h, Y: centre.Y - h},
		vector.XY{X: centre.X + h, Y: centre.Y + h}, vector.XY{X: centre.X - h, Y: centre.Y + h})
}

func finite(values ...float64) error {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return errors.New("a coordinate is not a finite number")
		}
	}
	return nil
}

func (e Line) check() error { return finite(e.From.X, e.From.Y, e.To.X, e.To.Y) }

func (e Circle) check() error {
	if !(e.Radius > 0) {
		return fmt.Errorf("a circle's radius is %v", e.Radius)
	}
	return finite(e.Centre.X, e.Centre.Y, e.Radius)
}

func (e Arc) check() error {
	if !(e.Radius > 0) {
		return fmt.Errorf("an arc's radius is %v", e.Radius)
	}
	return finite(e.Centre.X, e.Centre.Y, e.Radius, e.Start, e.End)
}

func (e Polyline) check() error {
	if len(e.Points) < 2 {
		return fmt.Errorf("a polyline has %d points", len(e.Points))
	}
	for _, v := range e.Points {
		if err := finite(v.At.X, v.At.Y, v.Bulge, v.StartWidth, v.EndWidth); err != nil {
			return err
		}
	}
	return nil
}

func (e Spline) check() error {
	switch {
	case e.Degree < 1 || len(e.Control) <= e.Degree:
		return fmt.Errorf("a spline of degree %d has %d control points", e.Degree, len(e.Control))
	case len(e.Knots) != len(e.Control)+e.Degree+1:
		return fmt.Errorf("a spline of degree %d with %d control points has %d knots, not %d",
			e.Degree, len(e.Control), len(e.Knots), len(e.Control)+e.Degree+1)
	case e.Weights != nil && len(e.Weights) != len(e.Control):
		return fmt.Errorf("a spline with %d control points has %d weights", len(e.Control), len(e.Weights))
	}
	for _, p := range e.Control {
		if err := finite(p.X, p.Y); err != nil {
			return err
		}
	}
	return errors.Join(finite(e.Knots...), finite(e.Weights...))
}

// The characters that the DXF Reference forbids in names of layers.
const forbiddenInNames = "<>/\\\":;?*|=`"

// CheckLayerName tells what keeps a name from being that of a layer in a DXF.
func CheckLayerName(name string) error {
	if name == "" || strings.ContainsAny(name, forbiddenInNames) || strings.ContainsFunc(name, func(r rune) bool { return r < ' ' }) {
		return fmt.Errorf("%q cannot be the name of a layer in a DXF: leave out %s and control characters", name, forbiddenInNames)
	}
	return nil
}

// layerNames are all layers of o in the order in which they are declared.
func (o File) layerNames() ([]string, error) {
	seen := map[string]bool{"0": true}
	names := []string{"0"}
	add := func(name string) error {
		if name == "" || seen[name] {
			return nil
		}
		seen[name] = true
		names = append(names, name)
		return CheckLayerName(name)
	}
	for _, name := range o.Layers {
		if err := add(name); err != nil {
			return nil, err
		}
	}
	for i, e := range o.Entities {
		if err := e.check(); err != nil {
			return nil, fmt.Errorf("entity %d: %w", i+1, err)
		}
		if err := add(e.layer()); err != nil {
			return nil, err
		}
	}
	return names, nil
}
