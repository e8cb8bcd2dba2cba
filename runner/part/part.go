// Package part has parts of a layer and of a stroke: what is left when a program
// was stopped, or when the ink ends before the stroke does.
package part

import (
	"slices"
	"strconv"
	"strings"

	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// Part is a part of a layer: whole strokes by their numbers, from 1, the first
// perhaps without its beginning.
type Part struct {
	From, To int
	// At is how much of the first stroke's length is painted already, in
	// thousandths; 0 to paint all of it.
	At int
}

// Most is the highest number that a part can name.
const Most = 10_000_000

// whole is all of something, in the unit of Part.At.
const whole = 1000

const (
	fromWord = "-from-"
	atWord   = "-at-"
	toWord   = "-to-"
)

// FileName is the name of the program of a part: N-LAYER-from-61.nc for a layer whose
// program is N-LAYER.nc and whose last stroke has the number last.
func (p Part) FileName(program string, last int) string {
	name, ext := split(program)
	name += fromWord + strconv.Itoa(p.From)
	if p.At > 0 {
		name += atWord + p.share()
	}
	if p.To < last {
		name += toWord + strconv.Itoa(p.To)
	}
	return name + ext
}

// Share is the part of the first stroke that is painted already, such as 40 %.
func (p Part) Share() string { return p.share() + " %" }

// share is At in percent.
func (p Part) share() string {
	s := strconv.Itoa(p.At / 10)
	if tenth := p.At % 10; tenth > 0 {
		s += "." + strconv.Itoa(tenth)
	}
	return s
}

// ParseFile is the inverse of FileName. ok is false for any other name.
func ParseFile(file, program string, last int) (p Part, ok bool) {
	name, ext := split(program)
	rest, ok := strings.CutSuffix(file, ext)
	if !ok {
		return p, false
	}
	if rest, ok = strings.CutPrefix(rest, name+fromWord); !ok {
		return p, false
	}
	p.To = last
	if before, to, found := strings.Cut(rest, toWord); found {
		rest = before
		p.To, _ = strconv.Atoi(to)
	}
	if before, at, found := strings.Cut(rest, atWord); found {
		rest = before
		p.At, _ = ParseShare(at)
	}
	p.From, _ = strconv.Atoi(rest)
	// Names that mean the same and are written otherwise are not ours.
	return p, p.Valid(last) && p.FileName(program, last) == file
}

// Valid reports whether a layer of so many strokes has the part.
func (p Part) Valid(last int) bool {
	return p.From >= 1 && p.From <= p.To && p.To <= last && last <= Most && p.At >= 0 && p.At < whole
}

// ParseShare reads a share of a stroke, such as 40, 40% or 37.5 %, in
// thousandths. It is less than the whole.
func ParseShare(text string) (thousandths int, ok bool) {
	text = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), "%"))
	percent, tenth, point := strings.Cut(text, ".")
	if point && len(tenth) != 1 || len(percent) > 2 || strings.ContainsAny(text, "+-") {
		return 0, false
	}
	n, err := strconv.Atoi(percent + tenth)
	if !point {
		n *= 10
	}
	return n, err == nil && n < whole
}

func split(program string) (name, ext string) {
	if at := strings.LastIndexByte(program, '.'); at >= 0 {
		return program[:at], program[at:]
	}
	return program, ""
}

// Of returns the gestures of the part, of those of its layer in the order of
// painting.
func (p Part) Of(gestures []stroke.Gesture) []stroke.Gesture {
	out := slices.Clone(gestures[p.From-1 : p.To])
	if p.At > 0 {
		out[0] = Rest(out[0], float64(float64(p.At)*Length(out[0].Points))/whole)
	}
	return out
}

// Length is the length of a path in mm.
func Length(points []stroke.Point) float64 {
	sum := 0.0
	for i := 1; i < len(points); i++ {
		sum += between(points[i-1], points[i])
	}
	return sum
}

// Rest is what is left of a gesture whose beginning, of a length in mm, was
// painted before. The two overlap by one width of the mark there, or by all of
// the beginning if that is shorter; of a dab, all is left.
func Rest(g stroke.Gesture, done float64) stroke.Gesture {
	_, joint := cut(g.Points, done)
	before, at := cut(g.Points, done-joint.Width)
	if done <= 0 || len(g.Points) < 2 || before == 0 {
		return g
	}
	g.Skipped += float64((1 - g.Skipped - g.Left) * ((done - joint.Width) / Length(g.Points)))
	g.Points = append([]stroke.Point{at}, g.Points[before:]...)
	g.Begun = true
	return g
}

// Beginning is a gesture as far as a length in mm; the rest is painted later.
func Beginning(g stroke.Gesture, length float64) stroke.Gesture {
	before, at := cut(g.Points, length)
	if before == len(g.Points) {
		return g
	}
	g.Left += float64((1 - g.Skipped - g.Left) * (1 - length/Length(g.Points)))
	g.Points = append(slices.Clone(g.Points[:before]), at)
	g.Unfinished = true
	return g
}

// WidthAt is the width of a path's mark at a distance (mm) from its beginning.
func WidthAt(points []stroke.Point, distance float64) float64 {
	_, at := cut(points, distance)
	return at.Width
}

// cut finds the point at a distance (mm) from the beginning of a path, and how
// many points come before it: 0 where the distance is not more than 0, all where
// it is not less than the length.
func cut(points []stroke.Point, distance float64) (before int, at stroke.Point) {
	if len(points) == 0 {
		return 0, stroke.Point{}
	}
	if distance <= 0 {
		return 0, points[0]
	}
	along := 0.0
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		d := between(a, b)
		if along+d > distance {
			t := (distance - along) / d
			return i, stroke.Point{X: plane.Lerp(a.X, b.X, t), Y: plane.Lerp(a.Y, b.Y, t),
				Press: a.Press + float64(t*(b.Press-a.Press)), Width: a.Width + float64(t*(b.Width-a.Width))}
		}
		along += d
	}
	return len(points), points[len(points)-1]
}

func between(p, q stroke.Point) float64 { return plane.Distance(p.Plane(), q.Plane()) / plane.PerMM }
