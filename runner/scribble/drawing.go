package scribble

import (
	"bytes"
	"fmt"
	"math"
	"strings"

	"mahlstick/recipe/arith"
	"mahlstick/runner/drawing/dxfwrite"
	"mahlstick/runner/vector"
)

// drawer draws the layers of a job.
type drawer struct {
	random
	*frame
}

// drawn is a drawing and what the recipe has to state about it.
type drawn struct {
	ext, text   string
	unit, width string // cells
}

// drawing draws marks and shapes for a brush, in a unit of its own and shifted by
// an amount that the marks correct.
func (d drawer) drawing(b brush) drawn {
	var open bool
	var shapes []dxfwrite.Entity
	for range 2 + d.IntN(7) {
		e, isOpen := d.shape(b)
		open = open || isOpen
		shapes = append(shapes, e)
	}
	out := drawn{}
	if open {
		out.width = []string{"0.8 mm", "`0.4*mm + 0.5*mm*along`", "`0.5*mm + tremor(7, 0.15*mm, 6*mm)`", "`least(0.4*mm + from_start/40, 1.1*mm)`"}[d.IntN(4)]
	}
	// Without a mark nothing corrects a shifted drawing.
	dx, dy := 0.0, 0.0
	if len(d.marks) > 0 {
		dx, dy = math.Floor(d.between(-40, 40)), math.Floor(d.between(-40, 40))
	}
	for _, m := range d.marks {
		shapes = append(shapes, dxfwrite.Square("", vector.XY{X: m.x, Y: m.y}, m.size))
	}
	if !open && d.IntN(4) == 0 {
		out.ext, out.text = ".svg", d.svg(shapes, dx, dy)
		return out
	}
	unit := []struct {
		file, cell string
		mm         float64
	}{{"mm", "", 1}, {"cm", "", 10}, {"in", "", 25.4}, {"", "mm", 1}, {"", "cm", 10}, {"mm", "cm, not as the file says", 10}}[d.IntN(6)]
	out.ext, out.unit = ".dxf", unit.cell
	var text bytes.Buffer
	file := dxfwrite.File{Unit: unit.file}
	for _, e := range shapes {
		file.Entities = append(file.Entities, moved(e, dx, dy, 1/unit.mm))
	}
	if err := dxfwrite.Write(&text, file); err != nil {
		panic(fmt.Sprintf("a scribble that cannot be written: %v", err)) // the same for everybody
	}
	out.text = text.String()
	return out
}

// shape is a shape for the brush; open says that it needs a width.
func (d drawer) shape(b brush) (e dxfwrite.Entity, open bool) {
	switch d.IntN(9) {
	case 0, 1, 2:
		return d.swell(b), false
	case 3:
		return d.blob(), false
	case 4:
		c, r := d.centre(12), d.between(0.3, 9)
		return dxfwrite.Circle{Centre: c, Radius: r}, false
	case 5:
		return d.bar(b), false
	case 6:
		return d.rounded(), false
	case 7:
		return d.loop(), false
	default:
		return d.line(b), true
	}
}

// centre is a place for a shape of that radius, clear of margin and marks.
func (d drawer) centre(radius float64) vector.XY {
	clear := d.margin + radius + 3
	if len(d.marks) > 0 {
		clear += d.marks[0].size + 1
	}
	return vector.XY{X: d.between(clear, d.width-clear), Y: d.between(clear, d.height-clear)}
}

func polar(c vector.XY, r, angle float64) vector.XY {
	sin, cos := arith.SinCos(angle)
	return vector.XY{X: c.X + float64(r*cos), Y: c.Y + float64(r*sin)}
}

const turn = 2 * math.Pi

// swell is the outline of a stroke that swells and tapers along an arc.
func (d drawer) swell(b brush) dxfwrite.Entity {
	c := d.centre(14)
	radius, from, sweep := d.between(6, 12), d.between(0, turn), d.between(0.5, 3)
	widest := d.between(0.2, 1.15) * b.widest
	n := 12 + d.IntN(30)
	var left, right []vector.XY
	for i := range n + 1 {
		t := float64(i) / float64(n)
		angle := from + float64(sweep*t)
		half := widest / 2 * 4 * t * (1 - t)
		if half == 0 {
			half = 0.01
		}
		left = append(left, polar(c, radius+half, angle))
		right = append(right, polar(c, radius-half, angle))
	}
	for i := range right {
		left = append(left, right[len(right)-1-i])
	}
	return dxfwrite.Path("", left...)
}

// blob is a closed outline without a corner in particular.
func (d drawer) blob() dxfwrite.Entity {
	c := d.centre(10)
	base := d.between(1, 7)
	n := 7 + d.IntN(30)
	var points []vector.XY
	for i := range n {
		points = append(points, polar(c, base*d.between(0.7, 1.3), turn*float64(i)/float64(n)))
	}
	return dxfwrite.Path("", points...)
}

// bar is a turned rectangle, often wider than the brush.
func (d drawer) bar(b brush) dxfwrite.Entity {
	c := d.centre(14)
	length, width, angle := d.between(6, 24)/2, d.between(0.5, 3)*b.widest/2, d.between(0, turn)
	sin, cos := arith.SinCos(angle)
	var points []vector.XY
	for _, k := range [][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
		x, y := k[0]*length, k[1]*min(width, 7)
		points = append(points, vector.XY{X: c.X + float64(x*cos) - float64(y*sin), Y: c.Y + float64(x*sin) + float64(y*cos)})
	}
	return dxfwrite.Path("", points...)
}

// rounded is a closed polyline of arcs and lines.
func (d drawer) rounded() dxfwrite.Entity {
	c := d.centre(12)
	n := 3 + d.IntN(5)
	p := dxfwrite.Polyline{Closed: true}
	for i := range n {
		p.Points = append(p.Points, dxfwrite.Vertex{At: polar(c, d.between(3, 6), turn*float64(i)/float64(n)), Bulge: []float64{0, 0.2, 0.4, -0.15}[d.IntN(4)]})
	}
	return p
}

// loop is a closed spline, a stroke that comes back to where it began.
func (d drawer) loop() dxfwrite.Entity {
	c := d.centre(12)
	const degree = 3
	n := 6 + d.IntN(6)
	var control []vector.XY
	for i := range n {
		control = append(control, polar(c, d.between(4, 8), turn*float64(i)/float64(n)))
	}
	// A knot vector that wraps: the curve is smooth where it closes.
	for i := range degree {
		control = append(control, control[i])
	}
	sp := dxfwrite.Spline{Degree: degree, Control: control, Closed: true}
	for i := range len(control) + degree + 1 {
		sp.Knots = append(sp.Knots, float64(i))
	}
	return sp
}

// line is an open line through a few points.
func (d drawer) line(b brush) dxfwrite.Entity {
	c := d.centre(14)
	p := dxfwrite.Polyline{}
	for i := range 3 + d.IntN(8) {
		p.Points = append(p.Points, dxfwrite.Vertex{At: polar(c, d.between(6, 10), 0.45*float64(i))})
	}
	if d.IntN(2) == 0 {
		p.AnyWidth = true
		for i := range p.Points {
			p.Points[i].StartWidth = d.between(0.3, 0.9) * b.widest
		}
		for i := range p.Points {
			p.Points[i].EndWidth = p.Points[min(i+1, len(p.Points)-1)].StartWidth
		}
	}
	return p
}

// moved shifts an entity and scales it about the origin.
func moved(e dxfwrite.Entity, dx, dy, scale float64) dxfwrite.Entity {
	at := func(p vector.XY) vector.XY {
		return vector.XY{X: float64((p.X + dx) * scale), Y: float64((p.Y + dy) * scale)}
	}
	switch e := e.(type) {
	case dxfwrite.Circle:
		e.Centre, e.Radius = at(e.Centre), e.Radius*scale
		return e
	case dxfwrite.Polyline:
		e.Points = append([]dxfwrite.Vertex(nil), e.Points...)
		for i, v := range e.Points {
			e.Points[i] = dxfwrite.Vertex{At: at(v.At), Bulge: v.Bulge, StartWidth: v.StartWidth * scale, EndWidth: v.EndWidth * scale}
		}
		return e
	case dxfwrite.Spline:
		e.Control = append([]vector.XY(nil), e.Control...)
		for i, p := range e.Control {
			e.Control[i] = at(p)
		}
		return e
	}
	panic(fmt.Sprintf("a scribble of a kind that is not moved: %T", e))
}

// svg writes closed shapes as an SVG picture in mm, with y downwards. Arcs of
// polylines become straight lines.
func (d drawer) svg(shapes []dxfwrite.Entity, dx, dy float64) string {
	var text strings.Builder
	fmt.Fprintf(&text, `<svg xmlns="http://www.w3.org/2000/svg" width="%gmm" height="%gmm" viewBox="0 0 %g %g">`+"\n", d.width, d.height, d.width, d.height)
	fmt.Fprintf(&text, `<g transform="translate(%g %g)">`+"\n", dx, -dy)
	path := func(points []vector.XY, join string) {
		text.WriteString(`<path fill="#000" d="`)
		for i, p := range points {
			word := join
			if i == 0 {
				word = "M"
			}
			fmt.Fprintf(&text, "%s%.4f %.4f ", word, p.X, d.height-p.Y)
		}
		text.WriteString("Z\"/>\n")
	}
	for _, e := range shapes {
		switch e := e.(type) {
		case dxfwrite.Circle:
			fmt.Fprintf(&text, `<circle cx="%.4f" cy="%.4f" r="%.4f"/>`+"\n", e.Centre.X, d.height-e.Centre.Y, e.Radius)
		case dxfwrite.Polyline:
			var points []vector.XY
			for _, v := range e.Points {
				points = append(points, v.At)
			}
			path(points, "L")
		case dxfwrite.Spline:
			n := len(e.Control) - e.Degree
			points := []vector.XY{e.Control[0]}
			for i := range n { // quadratic curves from control point to control point
				points = append(points, e.Control[i], e.Control[(i+1)%n])
			}
			text.WriteString(`<path d="`)
			fmt.Fprintf(&text, "M%.4f %.4f", points[0].X, d.height-points[0].Y)
			for i := 1; i+1 < len(points); i += 2 {
				fmt.Fprintf(&text, "Q%.4f %.4f %.4f %.4f", points[i].X+1, d.height-points[i].Y-1, points[i+1].X, d.height-points[i+1].Y)
			}
			text.WriteString("Z\"/>\n")
		}
	}
	text.WriteString("</g>\n</svg>\n")
	return text.String()
}
