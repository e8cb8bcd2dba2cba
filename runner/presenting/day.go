package presenting

import (
	"fmt"
	"slices"

	"mahlstick/recipe/format"
	"mahlstick/runner/logbook"
	"mahlstick/runner/schedule"
)

// dayView is the plan of the day of a job; nil for a swatch sheet.
func dayView(j Job) *logbook.Day {
	if len(j.Layers) == 0 || j.Layers[0].Trial != nil {
		return nil
	}
	var layers []schedule.Layer
	var unknown []string // layers whose drying is not stated
	waited := false      // for one of them something waits: all but the last
	for i, l := range j.Layers {
		s := schedule.Layer{Strip: len(l.Strip) > 0, Seconds: l.Measures.Seconds, Drying: l.Model.Ink.Drying}
		if l.Model.SetOff > 0 {
			s.Drying = l.Model.SetOff
		}
		for _, v := range l.Measures.Visits {
			s.Visits = append(s.Visits, schedule.Span(v))
		}
		for _, v := range l.Measures.Waits {
			s.Waits = append(s.Waits, schedule.Span(v))
		}
		if l.Ink != nil && l.Model.Well == nil {
			s.Reloads = l.Ink.Reloads()
		}
		s.Fresh = i == 0 || l.Model.Brush.Title != j.Layers[i-1].Model.Brush.Title || l.Model.Ink.Name != j.Layers[i-1].Model.Ink.Name
		if before := l.Figures.BeforePicture(); before < len(l.Measures.Strokes) {
			s.First = before + 1
			for _, stroke := range l.Measures.Strokes[before:] {
				s.Starts = append(s.Starts, stroke.Starts)
			}
		}
		layers = append(layers, s)
		if s.Drying == 0 {
			unknown, waited = append(unknown, l.Model.Name), waited || i < len(j.Layers)-1
		}
	}
	if !waited {
		unknown = nil
	}
	t := j.Machine.Times
	lessons, needed := schedule.Day(layers, j.WalkSeconds, schedule.Times(t))
	day := &logbook.Day{Lesson: t.Lesson, Needed: needed, NoDrying: unknown}
	for _, l := range lessons {
		day.Lessons = append(day.Lessons, lessonView(l, j, unknown))
	}
	return day
}

// lessonView is a lesson in words. Before the margin walk the brush is dry, so it is
// loaded after that. unknown are the layers whose drying is not stated.
func lessonView(l schedule.Lesson, j Job, unknown []string) logbook.Lesson {
	is := func(i int, kind schedule.Kind) bool { return i >= 0 && i < len(l.Steps) && l.Steps[i].Kind == kind }
	v := logbook.Lesson{Seconds: l.Seconds}
	for i, s := range l.Steps {
		step, layer := stepView(s, j), j.Layers[s.Layer].Model
		switch {
		case is(i, schedule.Mount) && is(i+1, schedule.Walk):
			step.Text = "mount " + layer.Brush.Title
		case is(i, schedule.TouchOff) && is(i-1, schedule.Walk):
			step.Text = "load it with " + layer.Ink.Name + ", touch off"
		case is(i, schedule.Paint) && i+1 < len(l.Steps) && slices.Contains(unknown, layer.Name):
			step.Wet = true
			step.Text += "; let it dry before you go on"
		}
		v.Steps = append(v.Steps, step)
	}
	return v
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
		if l.Model.SetOff > 0 {
			v.Text += ", as its set-off was read under Results"
		}
	case schedule.Paint:
		v.Text, v.Hex = "paint "+l.Model.Name+", "+strokesText(s.From, s.To), l.Model.Ink.Hex
		v.Text += breaksText(s.Breaks)
		for _, b := range s.Breaks {
			v.Breaks = append(v.Breaks, logbook.Break{Waits: b.Kind == schedule.Wet, Starts: b.Starts, Seconds: b.Seconds})
		}
		if !s.Whole {
			v.Resume = fmt.Sprintf("stop before stroke %d; to go on: mahlstick resume %s --layer %q --from %d", s.To+1, j.Files[0].Name, l.Model.Name, s.To+1)
		}
	}
	return v
}

// breaksText sums up the breaks of a step; "" if there are none.
func breaksText(breaks []schedule.Break) string {
	text := ""
	for _, k := range [...]struct {
		kind schedule.BreakKind
		say  func(n int) string
	}{
		{schedule.ByHand, func(n int) string { return "loaded by hand " + times(n) }},
		{schedule.InWell, func(n int) string { return "loaded in its well " + times(n) }},
		{schedule.Wet, func(n int) string { return "waits " + times(n) + " for wet strokes" }},
	} {
		n, seconds := 0, 0.0
		for _, b := range breaks {
			if b.Kind == k.kind {
				n, seconds = n+1, seconds+b.Seconds
			}
		}
		if n > 0 {
			text += fmt.Sprintf("; %s, %s", k.say(n), format.Page.Duration(seconds))
		}
	}
	return text
}

func strokesText(from, to int) string {
	if from == to {
		return fmt.Sprintf("stroke %d", from)
	}
	return fmt.Sprintf("strokes %d to %d", from, to)
}
