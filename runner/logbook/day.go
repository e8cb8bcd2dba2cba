package logbook

import (
	"html/template"

	"mahlstick/recipe/format"
)

// timeLine is a lesson drawn to scale: the painter's steps light, painting in its
// ink, waiting hatched.
func timeLine(l Lesson) template.HTML {
	const width = 200.0
	var s svg
	s.WriteString(`<svg class="timeline" viewBox="0 0 200 14" role="img"><title>The steps in `)
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
	}
	for minutes := 0; float64(minutes*60) <= l.Seconds; minutes += minuteStep(l.Seconds) {
		x := mm(float64(float64(minutes*60) * scale))
		s.WriteString(`<path class="tick" d="M` + x + ` 9v1.4"/><text x="` + x + `" y="13.4">` + format.Page.Number(float64(minutes), 0) + `</text>`)
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
