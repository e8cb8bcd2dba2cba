package covering

import (
	"slices"

	"mahlstick/runner/plane"
	"mahlstick/runner/region"
	"mahlstick/runner/register"
	"mahlstick/runner/stroke"
)

// Split sorts contours into the edges of areas and lines. A closed line ends at its
// first point again. With outlines as lines, only filled contours are areas.
func Split(contours []register.Contour, outlinesAreLines bool) (closed []region.Contour, lines []stroke.OpenLine) {
	for _, c := range contours {
		if c.Closed && c.Widths == nil && (!outlinesAreLines || c.Filled) {
			closed = append(closed, region.Contour{Identity: c.Identity, Points: c.Points})
			continue
		}
		line := stroke.OpenLine{Identity: c.Identity, Points: c.Points, Widths: c.Widths}
		if c.Closed {
			line.Points = append(slices.Clone(line.Points), line.Points[0])
			if line.Widths != nil {
				line.Widths = append(slices.Clone(line.Widths), line.Widths[0])
			}
		}
		lines = append(lines, line)
	}
	return closed, lines
}

// Measure finds what of contours lies under covers, how large their areas are as drawn
// (mm², lines without a width left out), and how many shapes and lines they make; none
// of it where no cover is near. It answers ok as false where they are
// too tangled to say. The tolerance (mm) is that of Options.
func Measure(contours []register.Contour, covers []register.Cover, outlinesAreLines bool, opt region.Options, tolerance float64) (hidden Hidden, drawn float64, parts int, ok bool) {
	box := plane.Empty()
	for _, c := range contours {
		box = box.Union(reachOf(c))
	}
	covers = slices.DeleteFunc(slices.Clone(covers), func(c register.Cover) bool { return !reachOf(c.Contour).Overlaps(box) })
	if len(covers) == 0 {
		return Hidden{}, 0, 0, true
	}
	above, problems := Covers(covers, opt)
	if problems.HasErrors() {
		return Hidden{}, 0, 0, false
	}
	closed, lines := Split(contours, outlinesAreLines)
	regions, problems := region.Build(closed, opt)
	if problems.HasErrors() {
		return Hidden{}, 0, 0, false
	}
	for _, s := range regions.Shapes {
		drawn += s.Area
	}
	for _, l := range lines {
		if l.Widths != nil {
			drawn += areaOf(l)
		}
	}
	_, hidden, problems = Cut(Drawn{Regions: regions, Lines: lines}, above, Options{Tolerance: tolerance})
	return hidden, drawn, len(regions.Shapes) + len(lines), !problems.HasErrors()
}

// areaOf is the area in mm² of a line as drawn, 0 where it is too tangled.
func areaOf(l stroke.OpenLine) float64 {
	points, widths, n := l.Points, l.Widths, len(l.Points)
	closed := n > 2 && points[0] == points[n-1]
	if closed {
		points, widths = points[:n-1], widths[:n-1]
	}
	whole, _ := region.Where(drawnRings(points, closed, widths, l.Look), 1)
	return area(whole)
}

// reachOf is the box around a contour with its widths.
func reachOf(c register.Contour) plane.Box {
	if c.Widths != nil {
		return reach(stroke.OpenLine{Points: c.Points, Widths: c.Widths})
	}
	return plane.Bounds(c.Points)
}
