package proving

import (
	"fmt"
	"math"
	"slices"

	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
	"mahlstick/runner/vector"
)

const (
	// lineStep (mm) is the distance between the points at which the width of a
	// line is evaluated. It is no multiple of the step in runner/stroke, so
	// that a width missed there is found here.
	lineStep  = 0.0137
	mostSteps = 300_000 // of a line
	// lineSlack (mm) is how far the width may be off at a point that is left
	// out.
	lineSlack = 0.001
)

// linesAsDrawn returns the open lines of a layer with the widths that the
// recipe and the drawing ask for, whatever the brush can paint. Only the bend
// of a line is computed by the package that plans the strokes; its tests
// compare that with closed forms.
func linesAsDrawn(lines []stroke.OpenLine, layer *model.Layer) ([]stroke.Gesture, error) {
	var out []stroke.Gesture
	for _, l := range lines {
		c := newLineTrack(l)
		if c == nil {
			continue
		}
		width := c.drawnWidth
		if layer.Width != nil {
			bend := stroke.Bends(l.Points)
			width = func(s float64) (float64, error) {
				return layer.Width.WidthAt(l.Shape, s/max(c.length, math.SmallestNonzeroFloat64), s, c.length, bend(s))
			}
		}
		g, err := c.sample(width, layer.Brush)
		if err != nil {
			return nil, fmt.Errorf("line %d: %w", l.Shape, err)
		}
		out = append(out, g)
	}
	return out, nil
}

// lineTrack is a line in mm, with the distance of each point from the start and
// the width there if the drawing states one.
type lineTrack struct {
	line   stroke.OpenLine
	points []vector.XY
	from   []float64
	widths []float64
	length float64
}

// newLineTrack returns nil for a line without points.
func newLineTrack(l stroke.OpenLine) *lineTrack {
	c := &lineTrack{line: l}
	for i, p := range l.Points {
		x, y := p.MM()
		q := vector.XY{X: x, Y: y}
		if n := len(c.points); n > 0 {
			if l.Points[i-1] == p {
				continue
			}
			c.length += vector.Distance(c.points[n-1], q)
		}
		c.points, c.from = append(c.points, q), append(c.from, c.length)
		if i < len(l.Widths) {
			c.widths = append(c.widths, l.Widths[i])
		}
	}
	if len(c.points) == 0 {
		return nil
	}
	return c
}

// edge finds the edge at a distance from the start, and the share of it before
// the point there.
func (c *lineTrack) edge(s float64) (i int, share float64) {
	if len(c.from) < 2 {
		return 0, 0
	}
	k, _ := slices.BinarySearch(c.from, s)
	i = min(max(k-1, 0), len(c.from)-2)
	return i, min(max((s-c.from[i])/(c.from[i+1]-c.from[i]), 0), 1)
}

func (c *lineTrack) drawnWidth(s float64) (float64, error) {
	i, share := c.edge(s)
	if i+1 >= len(c.widths) {
		return c.widths[i], nil
	}
	return vector.Lerp(c.widths[i], c.widths[i+1], share), nil
}

// sample evaluates the width along the line, and leaves out points between
// which it changes evenly. Over the entry and exit of the brush it grows from
// the lightest mark and falls back to it.
func (c *lineTrack) sample(width func(s float64) (float64, error), b *model.Brush) (stroke.Gesture, error) {
	out := stroke.Gesture{Kind: stroke.Line, Shape: c.line.Shape, Place: c.line.Place}
	entry, exit := max(b.Entry, 0), max(b.Exit, 0)
	if sum := entry + exit; sum > c.length {
		entry, exit = float64(entry*c.length)/sum, float64(exit*c.length)/sum
	}
	lightest, _ := b.Curve.Range()
	step := max(lineStep, c.length/mostSteps)
	for i := range c.points {
		to, n := 0.0, 1.0
		if i > 0 {
			to = c.from[i] - c.from[i-1]
			n = math.Ceil(to / step)
		}
		var on []stroke.Point // this edge, from its start
		for k := 1.0; k <= n; k++ {
			s := c.from[i] - float64(to*(1-k/n))
			w, err := width(s)
			if err != nil {
				return out, err
			}
			share := 1.0
			if s < entry {
				share = s / entry
			}
			if rest := c.length - s; rest < exit {
				share = min(share, rest/exit)
			}
			if w > lightest {
				w = vector.Lerp(lightest, w, share)
			}
			q := c.points[i]
			if i > 0 {
				q = c.points[i-1].Toward(c.points[i], k/n)
			}
			on = append(on, stroke.Point{X: plane.Snap(q.X), Y: plane.Snap(q.Y), Width: w})
		}
		if m := len(out.Points); m > 0 {
			on = append([]stroke.Point{out.Points[m-1]}, on...)
			out.Points = out.Points[:m-1]
		}
		out.Points = append(out.Points, withoutEven(on)...)
	}
	return out, nil
}

// withoutEven leaves out points of a straight edge between which the width
// changes evenly. All points are equally far apart.
func withoutEven(points []stroke.Point) []stroke.Point {
	return vector.Simplify(points, lineSlack, func(i, from, to int) float64 {
		share := float64(i-from) / float64(to-from)
		return math.Abs(points[i].Width - vector.Lerp(points[from].Width, points[to].Width, share))
	})
}
