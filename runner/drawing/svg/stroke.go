package svg

import (
	"mahlstick/recipe/problem"
	"mahlstick/runner/contour"
	"mahlstick/runner/drawing/flatten"
	"mahlstick/runner/drawing/sink"
	"mahlstick/runner/vector"
)

// strokeWidth is the width of a stroke in the user units of its element.
func (p *painter) strokeWidth() float64 {
	width := p.s.strokeWidth.px(p.s.diagonal())
	stretch := p.w.out.Groups().Map().Stretch()
	switch {
	case !(float64(width*stretch) > 0):
		return 0
	case p.own.notScaled: // it is in px of the page
		return float64(width * (p.w.stretchPX / stretch))
	}
	return width
}

// look is how the ends and corners of a stroke are drawn.
//
// Source: SVG 2, section 13.5.3, "Computing the shape of the stroke"; from memory.
// A corner of the kinds miter-clip and arcs is taken as miter.
func (s *state) look() contour.Look {
	look := contour.Look{Reach: s.miterLimit}
	switch s.caps {
	case "butt":
		look.Ends = contour.FlatEnds
	case "square":
		look.Ends = contour.SquareEnds
	}
	switch s.joins {
	case "round":
	case "bevel":
		look.Corners = contour.CutCorners
	default:
		look.Corners = contour.PointedCorners
	}
	return look
}

// stroke draws the line of a shape.
func (p *painter) stroke(e *sink.Entity, outlines []sink.Outline, width float64) {
	stretched := !p.own.notScaled && !p.w.out.Groups().Map().Even()
	if p.s.dashed {
		p.w.report.say(p.n, sink.Message{Severity: problem.Warning, Code: problem.DashedStroke, Once: true, Extent: true,
			Fix: problem.Advise("draw the dashes one by one if they are meant"), Format: "this stroke is dashed; it is read as one line"})
	}
	for _, l := range outlines {
		if t, is := l.Curve.(*flatten.Track); is {
			if at, point := t.Point(); point && (t.Len() > 1 || l.Closing == sink.Closed) {
				p.dot(e, at, width)
				continue
			}
		}
		l.Width, l.Look, l.Stretched = width, p.s.look(), stretched
		p.w.out.Add(e, l)
		if l.Closing == sink.Open && p.s.caps != "round" && !stretched {
			p.w.report.hintOnce(p.n, problem.FlatEnds, problem.Advise(`set stroke-linecap="round" to see what will be painted, and correct its length if that matters`),
				"this line has flat ends in the drawing (stroke-linecap %s); where one brush stroke paints the line, they are round", p.s.caps)
		}
	}
}

// dot draws the caps of a line without length.
//
// Source: SVG 2, section 13.5.3, "Computing the shape of the stroke"; from
// memory.
func (p *painter) dot(e *sink.Entity, at vector.XY, width float64) {
	h := width / 2
	var c flatten.Curve
	switch p.s.caps {
	case "round":
		c = ellipse(at.X, at.Y, h, h)
	case "square":
		square := &path{}
		square.rect(at.X-h, at.Y-h, width, width, 0, 0)
		c = square.subpaths()[0].Curve
	default:
		p.w.report.count(e, "has no length")
		return
	}
	p.w.out.StartArea()
	p.w.out.Add(e, sink.Outline{Curve: c, Closing: sink.Closed, Rule: contour.NonZero})
}
