package dxfwrite

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"sync"

	"github.com/yofu/dxf/color"
	dxfdrawing "github.com/yofu/dxf/drawing"
	"github.com/yofu/dxf/entity"
	"github.com/yofu/dxf/format"
	"github.com/yofu/dxf/insunit"
	"github.com/yofu/dxf/table"

	"mahlstick/runner/vector"
)

// The library keeps the handles of its first layer and its line types in
// package variables, so only one drawing may be written at a time.
var writing sync.Mutex

// Write writes o as a text DXF of the year 2000 (2007 where a layer's name
// needs letters beyond ASCII). The same drawing gives the same bytes.
// Numbers are written so that reading them gives the same numbers back.
func Write(w io.Writer, o File) error {
	names, err := o.layerNames()
	if err != nil {
		return fmt.Errorf("write drawing: %w", err)
	}
	unit, err := insUnit(o.Unit)
	if err != nil {
		return fmt.Errorf("write drawing: %w", err)
	}
	writing.Lock()
	defer writing.Unlock()

	d := dxfdrawing.New()
	d.Header().InsUnit = unit
	f := &shortNumbers{ASCII: format.NewASCII(), looks: o.Looks}
	ascii, plain := true, true
	for i, name := range names {
		for _, r := range name {
			ascii = ascii && r < 0x80
		}
		if name == "0" {
			continue
		}
		// Colours 1 to 6 are the only ones that every reader knows.
		index := color.ColorNumber(1 + (i-1)%6)
		look := o.Looks[name]
		if look.Colour != "" {
			c, err := parseColour(look.Colour)
			if err != nil {
				return fmt.Errorf("write drawing: layer %q: %w", name, err)
			}
			index, plain = c.nearest(), false
		}
		layer, err := d.AddLayer(name, index, table.LT_CONTINUOUS, false)
		if err != nil {
			return fmt.Errorf("write drawing: %w", err)
		}
		if look.Locked {
			layer.Lock()
		}
	}
	if !plain {
		d.Header().Version = "AC1018" // the first version with colours beyond the index
	}
	if !ascii {
		d.Header().Version = "AC1021" // the first version whose text is UTF-8
	}
	box := vector.Empty()
	for _, e := range o.Entities {
		name := e.layer()
		if name == "" {
			name = "0"
		}
		out := dxfEntity(e, &box)
		out.SetLayer(d.Layers[name])
		d.AddEntity(out)
	}
	if box.Min.X <= box.Max.X {
		copy(d.Header().ExtMin, []float64{box.Min.X, box.Min.Y})
		copy(d.Header().ExtMax, []float64{box.Max.X, box.Max.Y})
	}

	handle := 1
	for _, s := range d.Sections[1:] {
		s.SetHandle(&handle)
	}
	d.Sections[0].SetHandle(&handle)
	for _, s := range d.Sections {
		s.Format(f)
	}
	f.WriteString(0, "EOF")
	_, err = f.WriteTo(w)
	return err
}

func insUnit(name string) (insunit.Unit, error) {
	switch name {
	case "":
		return insunit.Unitless, nil
	case "mm":
		return insunit.Millimeters, nil
	case "cm":
		return insunit.Centimeters, nil
	case "m":
		return insunit.Meters, nil
	case "in", "inch":
		return insunit.Inches, nil
	case "ft":
		return insunit.Feet, nil
	}
	return 0, fmt.Errorf("a drawing's unit cannot be %q", name)
}

// dxfEntity grows box, for the header: it may be larger than the curves in it,
// never smaller.
func dxfEntity(e Entity, box *vector.Box) entity.Entity {
	switch e := e.(type) {
	case Line:
		out := entity.NewLine()
		out.Start = []float64{e.From.X, e.From.Y, 0}
		out.End = []float64{e.To.X, e.To.Y, 0}
		box.Add(e.From)
		box.Add(e.To)
		return out
	case Circle:
		box.AddDisc(e.Centre, e.Radius)
		return dxfCircle(e.Centre, e.Radius)
	case Arc:
		box.AddDisc(e.Centre, e.Radius)
		out := entity.NewArc(dxfCircle(e.Centre, e.Radius))
		out.Angle = []float64{e.Start, e.End}
		return out
	case Polyline:
		return dxfPolyline(e, box)
	case Spline:
		return dxfSpline(e, box)
	}
	panic(fmt.Sprintf("drawing: no such entity %T", e))
}

func dxfCircle(centre vector.XY, radius float64) *entity.Circle {
	out := entity.NewCircle()
	out.Center = []float64{centre.X, centre.Y, 0}
	out.Radius = radius
	return out
}

func dxfPolyline(e Polyline, box *vector.Box) entity.Entity {
	out := entity.NewLwPolyline(len(e.Points))
	out.Closed = e.Closed
	widths := e.AnyWidth
	for i, v := range e.Points {
		out.Vertices[i] = []float64{v.At.X, v.At.Y}
		out.Bulges[i] = v.Bulge
		next := e.Points[(i+1)%len(e.Points)].At
		// No point of an arc is farther from its chord's ends than the
		// chord times the larger of 1 and the bulge.
		reach := 0.0
		if v.Bulge != 0 {
			reach = float64(max(math.Abs(next.X-v.At.X), math.Abs(next.Y-v.At.Y)) * 1.5 * max(1, math.Abs(v.Bulge)))
		}
		box.AddDisc(v.At, reach)
		widths = widths || v.StartWidth != 0 || v.EndWidth != 0
	}
	if !widths {
		return out
	}
	vertex := 0
	return hooked{out, nil, func(f *shortNumbers, code int) {
		if code == 20 && vertex < len(e.Points) {
			v := e.Points[vertex]
			vertex++
			f.plain(40, v.StartWidth)
			f.plain(41, v.EndWidth)
		}
	}}
}

func dxfSpline(e Spline, box *vector.Box) entity.Entity {
	out := entity.NewSpline()
	out.Degree = e.Degree
	out.Knots = e.Knots
	out.Flag = 8 // planar
	if e.Closed {
		out.Flag |= 1
	}
	for _, p := range e.Control {
		box.Add(p)
		out.Controls = append(out.Controls, []float64{p.X, p.Y, 0})
	}
	if e.Weights == nil {
		return out
	}
	out.Flag |= 4
	written := false
	return hooked{out, func(f *shortNumbers, code int) {
		if code == 10 && !written {
			written = true
			for _, w := range e.Weights {
				f.plain(41, w)
			}
		}
	}, nil}
}

// shortNumbers writes each number with as few digits as tell it from its
// neighbours, and lets an entity or a layer add groups that the library
// leaves out.
type shortNumbers struct {
	*format.ASCII
	before, after func(f *shortNumbers, code int)

	looks map[string]Look
	layer bool // inside an entry of the layer table
	look  Look // of that layer
}

func (f *shortNumbers) plain(code int, v float64) {
	if v == 0 {
		v = 0 // no minus zero
	}
	f.WriteString(code, strconv.FormatFloat(v, 'f', -1, 64))
}

// WriteFloat writes a number and what the hooks add to it.
func (f *shortNumbers) WriteFloat(code int, v float64) {
	if f.before != nil {
		f.before(f, code)
	}
	f.plain(code, v)
	if f.after != nil {
		f.after(f, code)
	}
}

// hooked is an entity with groups of its own between those that the library
// writes.
type hooked struct {
	entity.Entity
	before, after func(f *shortNumbers, code int)
}

// Format writes the entity.
func (h hooked) Format(f format.Formatter) {
	s := f.(*shortNumbers)
	s.before, s.after = h.before, h.after
	h.Entity.Format(s)
	s.before, s.after = nil, nil
}
