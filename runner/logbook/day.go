package logbook

import (
	"html/template"
	"slices"

	"mahlstick/recipe/format"
)

// timeLine is a lesson drawn to scale: the painter's steps light, painting in its
// ink, waiting hatched; within painting, a low block
// where the brush is loaded or waits for wet strokes. A question mark stands above
// the end of a layer whose drying is not known.
func timeLine(l Lesson) template.HTML {
	const width = 200.0
	var s svg
	box := "0 0 200 14"
	if l.HasWet() {
		box = "0 -4 200 18"
	}
	s.WriteString(`<svg class="timeline" viewBox="` + box + `" role="img"><title>The steps in `)
	template.HTMLEscape(&s, []byte(format.Page.Duration(l.Seconds)))
	s.WriteString("</title>")
	scale := width / max(l.Seconds, 1)
	for _, step := range l.Steps {
		class, fill := "human", ""
		switch {
		case step.Hex != "":
			class, fill = "paint", ` fill="`+string(hexColour(step.Hex))+`"`
		case step.Waits:
			class = "wait"
		}
		s.WriteString(`<rect class="` + class + `"` + fill + ` x="` + mm(float64(step.Starts*scale)) + `" y="0" width="` + mm(float64(step.Seconds*scale)) + `" height="9"><title>`)
		template.HTMLEscape(&s, []byte(step.Text+", "+format.Page.Duration(step.Seconds)))
		s.WriteString("</title></rect>")
		for _, b := range step.Breaks {
			class := "load"
			if b.Waits {
				class = "pause"
			}
			s.WriteString(`<rect class="` + class + `" x="` + mm(float64(b.Starts*scale)) + `" y="5.5" width="` + mm(max(float64(b.Seconds*scale), 0.3)) + `" height="3.5"/>`)
		}
	}
	for minutes := 0; float64(minutes*60) <= l.Seconds; minutes += minuteStep(l.Seconds) {
		x := mm(float64(float64(minutes*60) * scale))
		s.WriteString(`<path class="tick" d="M` + x + ` 9v1.4"/><text x="` + x + `" y="13.4">` + format.Page.Number(float64(minutes), 0) + `</text>`)
	}
	for _, step := range l.Steps {
		if step.Wet {
			s.WriteString(`<text class="wet" x="` + mm(float64((step.Starts+step.Seconds)*scale)) + `" y="-0.8">?</text>`)
		}
	}
	s.WriteString("</svg>")
	return template.HTML(s.String())
}

// minuteStep is the way between two numbers of a time line, in minutes.
func minuteStep(seconds float64) int {
	for _, minutes := range [...]int{1, 2, 5, 10, 20, 60, 120} {
		if seconds <= float64(minutes*60*12) {
			return minutes
		}
	}
	return 600
}

// HasBreaks reports whether a step of the lesson has breaks.
func (l Lesson) HasBreaks() bool {
	return slices.ContainsFunc(l.Steps, func(s Step) bool { return len(s.Breaks) > 0 })
}

// HasWet reports whether a layer is wet for a time that is not known.
func (l Lesson) HasWet() bool {
	return slices.ContainsFunc(l.Steps, func(s Step) bool { return s.Wet })
}
