package svg

import (
	"strings"

	"mahlstick/recipe/colour"
	"mahlstick/recipe/problem"
	"mahlstick/runner/contour"
	"mahlstick/runner/drawing/svg/paint"
)

// ink is what a fill or a stroke comes to.
type ink struct {
	shows bool
	paint contour.Paint
}

func (i *ink) isWhite() bool { return i.paint.HasColour() && i.paint.RGB == colour.White }

// ink works out a paint.
func (p *painter) ink(of *paint.Paint, opacity float64) ink {
	if opacity == 0 {
		return ink{}
	}
	i := p.plainInk(of)
	i.paint.Clear = i.paint.Clear || opacity < 1 || p.s.seeThrough
	return i
}

// plainInk works out a paint without the opacities around it.
func (p *painter) plainInk(of *paint.Paint) ink {
	if k, ok := p.w.doc.byID[of.Server]; ok && of.Server != "" {
		switch server := &p.w.doc.nodes[k]; server.kind {
		case "linearGradient", "radialGradient":
			return p.gradient(server)
		case "pattern":
			return ink{shows: len(p.w.doc.nodes[p.w.doc.filled(server)].kids) > 0, paint: contour.Paint{Kind: contour.Pattern, Clear: true}}
		}
	}
	c := of.Colour
	if of.Current {
		c = p.s.colour
	}
	return ink{shows: !of.None && c.Alpha > 0, paint: contour.Paint{RGB: c.RGB, Kind: contour.Plain, Clear: c.Alpha < 1}}
}

// inheritedFrom follows the links of a gradient or a pattern to the one that has
// what is looked for.
func (d *document) inheritedFrom(server *node, has func(*node) bool) *node {
	for range maxNesting {
		id, local := strings.CutPrefix(server.attr("href"), "#")
		k, ok := d.byID[id]
		if has(server) || !local || !ok {
			break
		}
		server = &d.nodes[k]
	}
	return server
}

// filled is the number of the pattern that has the content.
func (d *document) filled(pattern *node) int32 {
	of := d.inheritedFrom(pattern, func(n *node) bool { return len(n.kids) > 0 })
	return d.byID[of.attr("id")]
}

// gradient works out what the stops of a gradient come to.
//
// Source: SVG 2, section 14.2.4, "Gradient stops"; from memory.
func (p *painter) gradient(server *node) ink {
	stops := func(n *node) (list []int32) {
		for _, k := range n.kids {
			if p.w.doc.nodes[k].kind == "stop" {
				list = append(list, k)
			}
		}
		return list
	}
	server = p.w.doc.inheritedFrom(server, func(n *node) bool { return len(stops(n)) > 0 })
	list := stops(server)
	out := ink{paint: contour.Paint{Kind: contour.Plain}}
	var first paint.Colour
	var sum [3]int
	visible := 0
	for i, k := range list {
		under := *p.s
		o := apply(p.w, &p.w.doc.nodes[k], &under)
		c := o.stopColour.Colour
		if o.stopColour.Current {
			c = under.colour
		}
		if o.stopOpacity == 0 {
			c.Alpha = 0
		}
		if c.Alpha > 0 {
			visible++
			sum[0], sum[1], sum[2] = sum[0]+int(c.R), sum[1]+int(c.G), sum[2]+int(c.B)
		}
		out.paint.Clear = out.paint.Clear || c.Alpha < 1 || o.stopOpacity < 1
		if i == 0 {
			first = c
		}
		if c != first || len(list) > 1 {
			out.paint.Kind = contour.Gradient
		}
	}
	if out.shows = visible > 0; out.shows {
		mean := func(sum int) uint8 { return uint8((sum + visible/2) / visible) }
		out.paint.RGB = colour.RGB{R: mean(sum[0]), G: mean(sum[1]), B: mean(sum[2])}
	}
	return out
}

// sayInk warns of paint that looks otherwise than what is painted.
func (p *painter) sayInk(i ink) {
	if !i.shows {
		return
	}
	p.n.paint = i.paint
	defer func() { p.n.paint = contour.Paint{} }()
	if i.isWhite() {
		p.w.report.warnOnce(p.n, problem.WhiteShape, "", problem.Advise("take it out if it is bare paper; if it lies on another shape, draw it as a hole in that one, or write leave in the column covered"),
			"this shape is white in the drawing, and is painted like any other")
	}
	switch i.paint.Kind {
	case contour.Gradient:
		p.w.report.warnOnce(p.n, problem.GradientFill, "", problem.Advise("fill it with one colour, or draw what is to stay bare as bare paper"),
			"this shape is filled or stroked with a gradient; it is painted evenly, wherever the gradient is clear too")
	case contour.Pattern:
		p.w.report.warnOnce(p.n, problem.HatchPattern, "", problem.Advise("fill it with one colour, or draw the parts of the pattern as shapes"),
			"this shape is filled or stroked with a pattern; its whole area is read")
	}
}

// warnMarkers warns of markers, which are not read.
func (p *painter) warnMarkers() {
	switch p.n.kind {
	case "path", "line", "polyline", "polygon":
	default:
		return
	}
	for _, id := range p.s.markers {
		if k, ok := p.w.doc.byID[id]; ok && id != "" && p.w.doc.nodes[k].kind == "marker" {
			p.w.report.warnOnce(p.n, problem.NotRead, "marker", problem.Advise("turn markers into paths in the drawing program if they belong to the picture"),
				"the markers on this line (arrow heads, dots) are not read, so they will not be painted")
		}
	}
}
