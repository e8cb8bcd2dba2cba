package collect

import (
	"math"

	"mahlstick/recipe/format"
	"mahlstick/recipe/problem"
	"mahlstick/runner/contour"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/affine"
	"mahlstick/runner/drawing/sink"
	"mahlstick/runner/vector"
)

// stretchOf is how a map stretches what a stroke of a width (mm) covers, besides making
// it larger as a whole; none where that shows less than the tolerance (mm).
func stretchOf(m *affine.Map, width, tolerance float64) contour.Stretch {
	if m.Even() {
		return contour.Stretch{}
	}
	k := m.Stretch()
	s := contour.Stretch{XX: m.XX / k, XY: m.XY / k, YX: m.YX / k, YY: m.YY / k}
	if !(float64(width/2*(s.Most()-1)) > tolerance) {
		return contour.Stretch{}
	}
	return s
}

// sayPointed gives a hint where a stroke whose corners are not round turns so
// sharply that they show.
func (s *shapes) sayPointed(e *sink.Entity, closed bool) {
	path := s.pen.Points
	n := len(path)
	// Do not search again for what say would leave out: the key is the one it makes.
	if n < 2 || s.notes.once[string(problem.PointedCorners)+" "] {
		return
	}
	first, last := 1, n-1
	if closed {
		first, last = 0, n
	}
	for i := first; i < last; i++ {
		in, out := path[i].Minus(path[(i+n-1)%n]), path[(i+1)%n].Minus(path[i])
		if cos := in.Dot(out); cos < float64(contour.CosRound*float64(in.Length()*out.Length())) && in != (vector.XY{}) && out != (vector.XY{}) {
			s.notes.say(sink.Message{Severity: problem.Hint, Code: problem.PointedCorners, Once: true, Paint: e.Paint, At: e.At, End: e.End,
				Fix:    problem.Advise(`set stroke-linejoin="round" to see what will be painted`),
				Format: "the corners of this stroke are pointed or cut off in the drawing; where one brush stroke paints it, they are round"})
			return
		}
	}
}

// thinOutlines are closed outlines whose constant width is far less than what
// they enclose.
type thinOutlines struct {
	count   int
	at, end int     // the first
	width   float64 // mm, of the first
}

// thinShare is the largest width of a thin outline, as a share of the size of what it
// encloses: so narrow a width was probably that of a pen, and an area is meant.
const thinShare = 0.1

// check counts an outline that was kept, if it is thin. What it encloses is
// measured by its hydraulic diameter, four times the area over the perimeter,
// which is the diameter of a circle and the side of a square.
func (t *thinOutlines) check(e *sink.Entity, c *drawing.Contour) {
	if len(c.Widths) == 0 {
		return
	}
	area, perimeter := 0.0, 0.0
	for i, p := range c.Points {
		q := c.Points[(i+1)%len(c.Points)]
		area += p.Minus(c.Points[0]).Cross(q.Minus(c.Points[0])) / 2
		perimeter += vector.Distance(p, q)
		if c.Widths[i] != c.Widths[0] {
			return
		}
	}
	if !(float64(c.Widths[0]*perimeter) < thinShare*4*math.Abs(area)) {
		return
	}
	if t.count++; t.count == 1 {
		t.at, t.end, t.width = e.At, e.End, c.Widths[0]
	}
}

// warn reports the outlines together.
func (t *thinOutlines) warn(n *notes) {
	if t.count == 0 {
		return
	}
	have, their := "has", "its edge"
	if t.count > 1 {
		have, their = "have", "their edges"
	}
	n.warnOnce(problem.OutlineWidth, t.at, t.end, problem.Advise("write shapes in the column outlines where the areas are meant, or lines where lines are"),
		"%s %s a constant width in the drawing (the first %s mm) and will be painted as lines along %s, not as areas",
		format.Count(t.count, "closed outline"), have, drawing.Short(t.width), their)
}
