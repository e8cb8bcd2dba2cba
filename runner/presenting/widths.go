package presenting

import (
	"mahlstick/recipe/model"
	"mahlstick/runner/logbook"
	"mahlstick/runner/stage"
)

// widthViews are the widths that scans of the sheets so far had, by layer.
func widthViews(results []model.Result, layers []stage.Proven) []logbook.Widths {
	var out []logbook.Widths
	for i, l := range layers {
		v := logbook.Widths{Layer: l.Model.Name, Hex: l.Model.Ink.Hex}
		for _, r := range results {
			sheet := logbook.SheetWidths{Name: r.Heading}
			for _, w := range r.Widths {
				if w.Layer == i {
					sheet.Dots = append(sheet.Dots, logbook.WidthDot{Press: w.Press, Asked: w.Asked, Measured: w.Measured, U: w.U})
				}
			}
			if len(sheet.Dots) > 0 {
				v.Sheets = append(v.Sheets, sheet)
			}
		}
		if len(v.Sheets) > 0 {
			v.Now = chartOf(l.Model.Brush).Curve
			out = append(out, v)
		}
	}
	return out
}
