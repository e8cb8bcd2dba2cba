package template

import (
	"slices"
	"strings"

	"mahlstick/runner/drawing"
)

const (
	guideMark   = "(not painted)"
	guideColour = "#808080"
)

// guide is a rectangle to draw by. It is never painted.
type guide struct {
	name string  // of its layer
	in   float64 // mm inside the sheet's edge
}

// guides are the sheet's edge and, where there is one, its margin.
func (t *Template) guides() []guide {
	list := []guide{{"sheet " + guideMark, 0}}
	if t.Margin > 0 {
		list = append(list, guide{"margin " + guideMark, t.Margin})
	}
	return list
}

// IsGuide says whether a drawing layer is only a guide: its name ends in "(not
// painted)". Drawing programs keep the names of layers; not all keep whether a
// layer is to be plotted.
func IsGuide(layer string) bool {
	fold := strings.Join(strings.Fields(strings.ToLower(layer)), " ")
	return strings.HasSuffix(fold, guideMark)
}

// isGuide is why the shapes of a layer are skipped.
const isGuide = "its layer says that it is not painted"

// SkipGuides takes guides out of a drawing and counts them as skipped.
func SkipGuides(d *drawing.Drawing) {
	d.Contours = slices.DeleteFunc(d.Contours, func(c drawing.Contour) bool { return IsGuide(c.Layer) })
	var read []drawing.Count
	for _, c := range d.Read {
		if IsGuide(c.Layer) {
			c.Why = isGuide
			d.Skipped = append(d.Skipped, c)
		} else {
			read = append(read, c)
		}
	}
	d.Read = read
}
