package runner

import (
	"mahlstick/recipe/colour"
	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
	"mahlstick/runner/scan"
	"mahlstick/runner/scan/align"
	"mahlstick/runner/stage"
	"mahlstick/runner/stroke"
	"mahlstick/runner/vector"
)

// Painted is what a job paints, as the reader of a scan has to know it.
func Painted(r *Result) *scan.Job {
	job := &scan.Job{Width: r.Job.Sheet.Width, Height: r.Job.Sheet.Height, Sheets: 1, Readings: r.toMeasure()}
	number := 0 // of readings before the layer
	for i := range r.Layers {
		l := &r.Layers[i]
		sheet := 1
		if l.Trial != nil {
			sheet, job.Sheets = l.Trial.Sheet, l.Trial.Sheets
		}
		from := len(job.Strokes)
		for k := range l.Gestures {
			s := painted(&l.Gestures[k], l)
			s.Program, s.Number, s.Sheet = i, k+1, sheet
			if l.Trial != nil {
				s.Reading = l.Trial.First[k]
			}
			if k < len(l.Strip) { // the check strip comes first, a reading a mark
				s.Reading = number + k + 1
			}
			job.Strokes = append(job.Strokes, s)
		}
		number += len(l.Strip)
		if l.Trial != nil {
			number += len(l.Trial.Readings)
		}
		next := number + 1 // of the readings behind those of a stroke
		for k := len(job.Strokes) - 1; k >= from; k-- {
			if s := &job.Strokes[k]; s.Reading > 0 {
				s.Readings, next = next-s.Reading, s.Reading
			}
		}
	}
	return job
}

// painted is a stroke of a layer.
func painted(g *stroke.Gesture, l *stage.Proven) scan.Stroke {
	s := scan.Stroke{Layer: l.Model.Name, Kind: g.Kind, Ink: inkOf(l.Model)}
	if l.Trial != nil {
		s.Assumed = !l.Trial.Measured
	}
	for _, p := range g.Points {
		s.Points = append(s.Points, align.Point{XY: vector.XY{X: plane.MM(p.X), Y: plane.MM(p.Y)}, Width: p.Width})
	}
	return s
}

func inkOf(l *model.Layer) [3]uint8 {
	c, _ := colour.Parse(l.Ink.Hex)
	return [3]uint8{c.R, c.G, c.B}
}
