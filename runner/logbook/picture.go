package logbook

import (
	"bytes"
	"math"
	"slices"

	"mahlstick/recipe/format"
	"mahlstick/runner/vector"
)

// mm writes a coordinate or length of a picture.
func mm(v float64) string { return format.Plain.Number(v, 2) }

// svg collects a picture. y is flipped, because a page's y runs down.
type svg struct {
	bytes.Buffer
	height float64
}

// NewStroke is the stroke through some points, without those that nobody would
// see on a page.
func NewStroke(points []StrokePoint) Stroke { return Stroke{Points: slices.Clone(thin(points))} }

func (s *svg) at(p vector.XY) {
	s.WriteString(mm(p.X))
	s.WriteByte(' ')
	s.WriteString(mm(s.height - p.Y))
}

// newPicture is an empty picture with room for the outlines of all marks: each
// point has a place on either side.
func newPicture(height float64, layers []Layer) *svg {
	n := 1000
	for _, l := range layers {
		for _, stroke := range l.Marks {
			n += 40 + 28*len(stroke.Points)
		}
	}
	s := &svg{height: height}
	s.Grow(n)
	return s
}

// outline writes the outline of a mark as path data: down its left side,
// round the end, back along its right side, round the start. A mark that
// turns sharply is written in parts that overlap with their round ends.
func (s *svg) outline(stroke Stroke) {
	points := thin(stroke.Points)
	for from := 0; from < len(points); {
		to := from + 1
		for to < len(points)-1 && !sharp(points[to-1], points[to], points[to+1]) {
			to++
		}
		s.part(points[from:min(to+1, len(points))])
		if to >= len(points)-1 {
			return
		}
		from = to
	}
}

// sharp reports whether a path turns by more than 20 degrees at b.
func sharp(a, b, c StrokePoint) bool {
	u, v := b.at().Minus(a.at()), c.at().Minus(b.at())
	const cos20 = 0.9396926
	return u.Dot(v) < cos20*math.Sqrt(u.Dot(u)*v.Dot(v))
}

func (p StrokePoint) at() vector.XY { return vector.XY{X: p.X, Y: p.Y} }

// part writes a stretch of a mark without sharp turns.
func (s *svg) part(points []StrokePoint) {
	n := len(points)
	if n == 1 || n == 2 && points[0].X == points[1].X && points[0].Y == points[1].Y {
		s.dot(points[n-1])
		return
	}
	const left, right = 1, -1
	edge := func(i int, side float64) vector.XY {
		p, a, b := points[i], points[max(i-1, 0)], points[min(i+1, n-1)]
		along := b.at().Minus(a.at())
		length := math.Sqrt(along.Dot(along))
		if length == 0 {
			length = 1
		}
		nx, ny := float64(-along.Y/length*p.W/2), float64(along.X/length*p.W/2)
		return vector.XY{X: p.X + float64(side*nx), Y: p.Y + float64(side*ny)}
	}
	s.WriteByte('M')
	s.at(edge(0, left))
	for i := 1; i < n; i++ {
		s.WriteByte('L')
		s.at(edge(i, left))
	}
	s.cap(points[n-1].W/2, edge(n-1, right))
	for i := n - 2; i >= 0; i-- {
		s.WriteByte('L')
		s.at(edge(i, right))
	}
	s.cap(points[0].W/2, edge(0, left))
	s.WriteByte('Z')
}

// cap draws a quarter circle of radius r, half of a round end, to the point p.
func (s *svg) cap(r float64, p vector.XY) {
	if r < 0.05 {
		s.WriteByte('L')
		s.at(p)
		return
	}
	s.WriteString("A" + mm(r) + " " + mm(r) + " 0 0 1 ")
	s.at(p)
}

func (s *svg) dot(p StrokePoint) {
	r := mm(math.Max(p.W/2, 0.05))
	s.WriteByte('M')
	s.at(vector.XY{X: p.X - p.W/2, Y: p.Y})
	s.WriteString("A" + r + " " + r + " 0 0 1 ")
	s.at(vector.XY{X: p.X + p.W/2, Y: p.Y})
	s.WriteString("A" + r + " " + r + " 0 0 1 ")
	s.at(vector.XY{X: p.X - p.W/2, Y: p.Y})
	s.WriteByte('Z')
}

// thin leaves out points that nobody would see on a page: those within 0.03 mm
// of the line between their neighbours in place and width.
func thin(points []StrokePoint) []StrokePoint {
	if len(points) < 3 {
		return points
	}
	at := func(i int) vector.XYZ { return vector.XYZ{X: points[i].X, Y: points[i].Y, Z: points[i].W} }
	return vector.Simplify(points, 0.03, func(i, from, to int) float64 {
		way, _ := vector.ToSegment3(at(i), at(from), at(to))
		return way.Length()
	})
}
