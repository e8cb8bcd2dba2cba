package main

import (
	"mahlstick/notebooks/brushwork"
	"mahlstick/runner/drawing/dxfwrite"
)

// picture is one drawing file of the guide.
type picture struct {
	name string
	frame
	out dxfwrite.File
}

// drawn begins a drawing in a unit whose sheet has its lower left corner at a
// place (mm) of the drawing's own. A silent drawing does not say its unit.
func drawn(name, unit string, corner pt, silent bool) *picture {
	p := &picture{name: name, frame: frame{brushwork.NewFrame(unit, corner)}, out: dxfwrite.File{Unit: unit}}
	if silent {
		p.out.Unit = ""
	}
	return p
}

// onSheet begins a drawing whose coordinates are those of the sheet.
func onSheet(name string) *picture { return drawn(name, "mm", pt{}, false) }

func (p *picture) add(e dxfwrite.Entity) { p.out.Entities = append(p.out.Entities, e) }

// mark is the registration mark: a square round a point of the sheet.
func (p *picture) mark(x, y, size float64) {
	p.add(dxfwrite.Square("register", p.At(xy(x, y)), p.Length(size)))
}

// stroke is the outline of a stroke through the given coordinates.
func (p *picture) stroke(layer string, w profile, xy ...float64) {
	p.along(layer, w, brushwork.Points(xy...))
}

func (p *picture) along(layer string, w profile, l []pt) {
	p.add(p.polyline(layer, outline(smooth(l, false), w), true))
}

// line is a centre line without a width.
func (p *picture) line(layer string, xy ...float64) {
	p.open(layer, smooth(brushwork.Points(xy...), false))
}

func (p *picture) open(layer string, l []pt) {
	cs := append(arcs(l), corner{l[len(l)-1], 0})
	p.add(p.polyline(layer, cs, false))
}

// bent is a centre line of straight ways.
func (p *picture) bent(layer string, l []pt) {
	var cs []corner
	for _, q := range l {
		cs = append(cs, corner{q, 0})
	}
	p.add(p.polyline(layer, cs, false))
}

// area is a closed line through the given coordinates.
func (p *picture) area(layer string, xy ...float64) {
	l := smooth(brushwork.Points(xy...), true)
	p.add(p.polyline(layer, arcs(append(l, l[0])), true))
}

// shape is a closed line of straight sides.
func (p *picture) shape(layer string, xy ...float64) {
	var cs []corner
	for _, q := range brushwork.Points(xy...) {
		cs = append(cs, corner{q, 0})
	}
	p.add(p.polyline(layer, cs, true))
}

func (p *picture) disc(layer string, x, y, radius float64) {
	p.add(dxfwrite.Circle{Layer: layer, Centre: p.At(xy(x, y)), Radius: p.Length(radius)})
}

// ring is a stroke that closes on itself.
func (p *picture) ring(layer string, x, y, radius, width float64) {
	p.disc(layer, x, y, radius+width/2)
	p.disc(layer, x, y, radius-width/2)
}
