package presenting

import (
	"fmt"

	"mahlstick/runner/logbook"
	"mahlstick/runner/schedule"
)

// dayView is the plan of the day of a job; nil for a swatch sheet.
func dayView(j Job) *logbook.Day {
	if len(j.Layers) == 0 || j.Layers[0].Trial != nil {
		return nil
	}
	var layers []schedule.Layer
	unknown := ""
	for i, l := range j.Layers {
		s := schedule.Layer{Strip: len(l.Strip) > 0, Seconds: l.Measures.Seconds, Drying: l.Model.Ink.Drying}
		s.Fresh = i == 0 || l.Model.Brush.Title != j.Layers[i-1].Model.Brush.Title || l.Model.Ink.Name != j.Layers[i-1].Model.Ink.Name
		if before := l.Figures.BeforePicture(); before < len(l.Measures.Strokes) {
			s.First = before + 1
			for _, stroke := range l.Measures.Strokes[before:] {
				s.Starts = append(s.Starts, stroke.Starts)
			}
		}
		layers = append(layers, s)
		if i < len(j.Layers)-1 && s.Drying == 0 && unknown == "" {
			unknown = l.Model.Ink.Name
		}
	}
	t := j.Machine.Times
	lessons, needed := schedule.Day(layers, j.WalkSeconds, schedule.Times(t))
	day := &logbook.Day{Lesson: t.Lesson, Needed: needed, NoDrying: unknown}
	for _, l := range lessons {
		v := logbook.Lesson{Seconds: l.Seconds}
		for _, s := range l.Steps {
			v.Steps = append(v.Steps, stepView(s, j))
		}
		day.Lessons = append(day.Lessons, v)
	}
	return day
}

// stepView is a step in words.
func stepView(s schedule.Step, j Job) logbook.Step {
	l := &j.Layers[s.Layer]
	v := logbook.Step{Starts: s.Starts, Seconds: s.Seconds}
	switch s.Kind {
	case schedule.Mount:
		v.Text = fmt.Sprintf("mount %s, load it with %s", l.Model.Brush.Title, l.Model.Ink.Name)
	case schedule.Walk:
		v.Text = "touch off dry, and run the margin walk"
	case schedule.TouchOff:
		v.Text = "touch off"
	case schedule.Strip:
		v.Text = "paint the check strip and measure it"
	case schedule.Dry:
		v.Text, v.Waits = l.Model.Name+" dries", true
	case schedule.Paint:
		v.Text, v.Hex = "paint "+l.Model.Name+", "+strokesText(s.From, s.To), l.Model.Ink.Hex
		if !s.Whole {
			v.Resume = fmt.Sprintf("stop before stroke %d; to go on: mahlstick resume %s --layer %q --from %d", s.To+1, j.Files[0].Name, l.Model.Name, s.To+1)
		}
	}
	return v
}

func strokesText(from, to int) string {
	if from == to {
		return fmt.Sprintf("stroke %d", from)
	}
	return fmt.Sprintf("strokes %d to %d", from, to)
}
