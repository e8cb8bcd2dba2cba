package presenting

import (
	"mahlstick/runner/logbook"
	"mahlstick/runner/trial"
)

// swatchView is what the page of a swatch sheet shows besides; nil for a picture.
func swatchView(j Job) *logbook.Swatch {
	if len(j.Trials) == 0 {
		return nil
	}
	v := &logbook.Swatch{File: trial.ToMeasureName}
	var readings []trial.Reading
	for _, l := range j.Layers {
		v.Sheets = max(v.Sheets, l.Trial.Sheets)
		v.Assumed = v.Assumed || !l.Trial.Measured
		readings = append(readings, l.Trial.Readings...)
		for _, r := range l.Trial.Readings {
			v.Readings = append(v.Readings, logbook.Reading{Number: r.Number, Sheet: l.Trial.Sheet, X: r.X, Y: r.Y, Trial: r.Trial})
		}
	}
	for _, n := range trial.Notes(readings, j.Job) {
		v.Trials = append(v.Trials, logbook.Trial{Name: n.Trial, First: n.First, Last: n.Last, Text: n.Text})
	}
	return v
}
