package proof

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Clamps are what stands in the way of brush and holder.
type Clamps struct {
	// Brush and Holder are boxes around the axis, the lower side of the holder
	// Under mm above the tip. Clear (mm) is kept clear beside and above clamps.
	Brush, Holder Rect
	Under, Clear  float64
	// Start is where the axis is taken to be while the program has not said it.
	StartX, StartY float64
	Clamps         []Clamp
}

// Clamp is a box on the bed, in programmed coordinates.
type Clamp struct {
	Name    string
	Corners [4][2]float64 // one after the other
	Top     float64       // Z
}

// clampTolerance (mm) is by how much less may stay clear: corners are
// rounded in the head of a program.
const clampTolerance = 0.005

// clearsClamps requires that neither brush nor holder meets a clamp.
func clearsClamps(p *Path, lim *Limits) *verdict {
	if lim.Clamps == nil {
		return nil
	}
	c := &verdict{name: ClearsClamps, allowed: mm(lim.Clamps.Clear) + " mm clear beside and above",
		why: "brush, holder and axis are bent by a clamp, and a tape is torn off with the sheet"}
	s := sweep{verdict: c, of: lim.Clamps, over: math.Inf(1)}
	for i := range p.Moves {
		m := &p.Moves[i]
		if m.Kind == Dwell || m.Kind == Pause || m.Unknown&(X|Y) != 0 && m.Stated&(X|Y) == 0 {
			continue
		}
		from := m.From
		if m.Unknown&X != 0 {
			from.X = lim.Clamps.StartX
		}
		if m.Unknown&Y != 0 {
			from.Y = lim.Clamps.StartY
		}
		m.chords(chordError, func(_ float64, to Point) bool {
			s.move(m.Line, from, to)
			from = to
			return true
		})
	}
	c.kept = "none is passed over"
	if !math.IsInf(s.over, 1) {
		c.kept = "passed over by " + mm(s.over) + " mm or more"
	}
	return c
}

// sweep is what was found of the space that brush and holder go through.
type sweep struct {
	*verdict
	of   *Clamps
	over float64 // mm by which tip or holder pass over clamps at least
}

// move looks at a straight move.
func (s *sweep) move(line int, from, to Point) {
	low := min(from.Z, to.Z)
	for i := range s.of.Clamps {
		k := &s.of.Clamps[i]
		for _, part := range [...]struct {
			box   Rect
			above float64
			name  string
		}{{s.of.Brush, low - k.Top, "brush"}, {s.of.Holder, low + s.of.Under - k.Top, "holder"}} {
			clear := max(s.of.Clear-clampTolerance, 0)
			around := Rect{part.box.MinX - clear, part.box.MinY - clear, part.box.MaxX + clear, part.box.MaxY + clear}
			if !around.meets(from, to, &k.Corners) {
				continue
			}
			s.over = min(s.over, part.above)
			if part.above < s.of.Clear-clampTolerance {
				s.breaks(line, "at X %s Y %s Z %s the %s meets the clamp %s", mm(to.X), mm(to.Y), mm(low), part.name, k.Name)
			}
		}
	}
}

// meets reports whether a box that is carried along a straight way meets a
// rectangle. Two convex figures are apart if and only if their shadows on a line
// across a side of one of them are: the sides of the box, the way, the sides of the
// rectangle.
func (r Rect) meets(from, to Point, corners *[4][2]float64) bool {
	swept := [8][2]float64{}
	for i, end := range [...]Point{from, to} {
		for k, c := range [...][2]float64{{r.MinX, r.MinY}, {r.MaxX, r.MinY}, {r.MaxX, r.MaxY}, {r.MinX, r.MaxY}} {
			swept[4*i+k] = [2]float64{end.X + c[0], end.Y + c[1]}
		}
	}
	across := [...][2]float64{{1, 0}, {0, 1}, {from.Y - to.Y, to.X - from.X},
		{corners[0][1] - corners[1][1], corners[1][0] - corners[0][0]}, {corners[1][1] - corners[2][1], corners[2][0] - corners[1][0]}}
	for _, line := range across {
		if line == ([2]float64{}) {
			continue
		}
		low, high := shadow(swept[:], line)
		least, most := shadow(corners[:], line)
		if high <= least || most <= low {
			return false
		}
	}
	return true
}

// shadow is the range of points along a line.
func shadow(points [][2]float64, line [2]float64) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, p := range points {
		v := float64(p[0]*line[0]) + float64(p[1]*line[1])
		low, high = min(low, v), max(high, v)
	}
	return low, high
}

// maxClamps is the most clamps of a head that are read.
const maxClamps = 1000

// StatedClamps are the clamps that comments before the first move state, as the head
// of our own programs does; nil if there are none.
func StatedClamps(p *Path) *Clamps {
	out := &Clamps{}
	name := ""
	for _, c := range remarks(p) {
		if len(p.Moves) > 0 && c.line >= p.Moves[0].Line || len(out.Clamps) == maxClamps {
			break
		}
		text := c.text
		switch {
		case strings.HasPrefix(text, "brush X"):
			out.Brush, _ = statedBox(text)
		case strings.HasPrefix(text, "waits at X"):
			if n, _ := fmt.Sscanf(text, "waits at X%g Y%g", &out.StartX, &out.StartY); n != 2 || !finite([]Point{{out.StartX, out.StartY, 0}}) {
				out.StartX, out.StartY = 0, 0
			}
		case strings.HasPrefix(text, "holder X"):
			out.Holder, out.Under = statedBox(text)
		case strings.HasPrefix(text, "clears clamps by "):
			number, _, _ := strings.Cut(text[len("clears clamps by "):], ",")
			out.Clear = statedNumber(number)
		case strings.HasPrefix(text, "clamp X"):
			var q [4][2]float64
			k := Clamp{Name: name}
			n, _ := fmt.Sscanf(text, "clamp X%g Y%g X%g Y%g X%g Y%g Z%g", &q[0][0], &q[0][1], &q[1][0], &q[1][1], &q[2][0], &q[2][1], &k.Top)
			q[3] = [2]float64{q[0][0] + q[2][0] - q[1][0], q[0][1] + q[2][1] - q[1][1]}
			k.Corners = q
			if n == 7 && finite([]Point{{q[0][0], q[0][1], k.Top}, {q[1][0], q[1][1], 0}, {q[2][0], q[2][1], 0}}) {
				out.Clamps = append(out.Clamps, k)
			}
		case strings.HasPrefix(text, "clamp "):
			number, is, _ := strings.Cut(text[len("clamp "):], " is ")
			if _, err := strconv.Atoi(number); err == nil {
				name = is
			}
		}
	}
	if len(out.Clamps) == 0 || out.Holder == (Rect{}) {
		return nil
	}
	return out
}

// statedBox is a box of a comment, and the height after it, if there is one.
func statedBox(text string) (r Rect, above float64) {
	_, numbers, _ := strings.Cut(text, " X")
	n, _ := fmt.Sscanf(numbers, "%g to %g, Y%g to %g, from Z%g up", &r.MinX, &r.MaxX, &r.MinY, &r.MaxY, &above)
	if n < 4 || !finite([]Point{{r.MinX, r.MinY, above}, {r.MaxX, r.MaxY, 0}}) {
		return Rect{}, 0
	}
	return r, above
}
