package presenting

import (
	"fmt"
	"strconv"

	"mahlstick/recipe/format"
	"mahlstick/recipe/model"
	"mahlstick/runner/logbook"
	"mahlstick/runner/stage"
	"mahlstick/runner/vector"
)

// LoadsText says when the machine loads the brush of a layer in its well, and how long
// that takes: as the program was read back; "" if it has no well.
func LoadsText(l stage.Proven, m format.Medium) string {
	w := l.Model.Well
	if w == nil {
		return ""
	}
	var before []string
	for _, s := range l.Motion.Strokes {
		if s.Visit != nil {
			before = append(before, strconv.Itoa(s.Number))
		}
	}
	seconds := 0.0
	for _, v := range l.Measures.Visits {
		seconds += v.Seconds
	}
	text := fmt.Sprintf("The machine loads the brush in the well of %s at X %s, Y %s before stroke %s, %s in all", w.Ink,
		m.Number(w.X, 1), m.Number(w.Y, 1), format.List(before), m.Duration(seconds))
	if w.Scrap != nil {
		mark, _ := w.RunIn(l.Model.Brush)
		text += fmt.Sprintf("; the scrap strip has room for %s", format.Count(mark.Lanes, "mark"))
		if mark.Lanes < len(before) {
			text += ", later ones go over them: put a fresh strip there in time"
		}
	}
	return text + "."
}

// wellViews are the wells that layers use, in the order of the layers.
func wellViews(layers []stage.Proven) (out []logbook.Well) {
	seen := map[*model.Well]bool{}
	for _, l := range layers {
		w := l.Model.Well
		if w == nil || seen[w] {
			continue
		}
		seen[w] = true
		v := logbook.Well{Ink: w.Ink, Hex: l.Model.Ink.Hex, At: vector.XY{X: w.X, Y: w.Y}, Opening: w.Opening}
		if p := w.Wipe; p != nil {
			v.Wipe = &vector.XY{X: p.X, Y: p.Y}
		}
		if s := w.Scrap; s != nil {
			v.Scrap = &logbook.Scrap{At: vector.XY{X: s.MinX, Y: s.MinY}, Width: s.MaxX - s.MinX, Height: s.MaxY - s.MinY}
		}
		out = append(out, v)
	}
	return out
}
