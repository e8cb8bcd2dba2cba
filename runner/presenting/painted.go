package presenting

import (
	"slices"
	"strings"

	"mahlstick/recipe/model"
	"mahlstick/runner/logbook"
	"mahlstick/runner/stage"
)

// paintedViews say which program painted which strokes of the layers that were
// resumed: the last one that painted a stroke counts.
func paintedViews(rows []model.PaintedPart, layers []stage.Proven) []logbook.PaintedBy {
	var out []logbook.PaintedBy
	for _, l := range layers {
		own := func(r model.PaintedPart) bool { return strings.EqualFold(r.Layer, l.Model.Name) }
		n := len(l.Motion.Strokes)
		if !slices.ContainsFunc(rows, own) || n == 0 {
			continue
		}
		by := slices.Repeat([]string{l.File}, n)
		for _, r := range rows {
			if own(r) && r.From >= 1 && r.To <= n && r.From <= r.To {
				for i := r.From - 1; i < r.To; i++ {
					by[i] = r.File
				}
			}
		}
		v := logbook.PaintedBy{Layer: l.Model.Name, Strokes: n}
		for i := range by {
			if i == 0 || by[i] != by[i-1] {
				v.Parts = append(v.Parts, logbook.PaintedPart{From: i + 1, File: by[i]})
			}
			v.Parts[len(v.Parts)-1].To = i + 1
		}
		out = append(out, v)
	}
	return out
}
