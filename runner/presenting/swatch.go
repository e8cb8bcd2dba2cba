package presenting

import (
	"mahlstick/recipe/model"
	"mahlstick/runner/logbook"
	"mahlstick/runner/trial"
)

// peopleViews are those who measured each brush together.
func peopleViews(job *model.Job) []logbook.People {
	var out []logbook.People
	for _, b := range job.Brushes {
		if b.Measured == nil || !b.Measured.People.Known() {
			continue
		}
		p := logbook.People{Brush: b.Title, Name: b.Name}
		for i, off := range b.Measured.People.Off {
			if off.Known() {
				p.Each = append(p.Each, logbook.Person{Name: b.Measured.Names[i], Readings: off.Readings})
			}
		}
		out = append(out, p)
	}
	return out
}

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
