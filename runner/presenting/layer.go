package presenting

import (
	"fmt"
	"math"
	"strings"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/brush"
	"mahlstick/recipe/model"
	"mahlstick/runner/drawing"
	"mahlstick/runner/logbook"
	"mahlstick/runner/motion"
	"mahlstick/runner/plane"
	"mahlstick/runner/proof"
	"mahlstick/runner/region"
	"mahlstick/runner/register"
	"mahlstick/runner/stage"
	"mahlstick/runner/stroke"
)

// layerView is a layer as the page shows it.
func layerView(l stage.Proven, machine *model.Machine) logbook.Layer {
	m, plan, read := l.Model, l.Plan, l.Measures
	v := logbook.Layer{
		Number: l.Number, Name: m.Name, Ink: m.Ink.Name, Hex: m.Ink.Hex, Brush: m.Brush.Title, BrushFrom: m.Brush.File,
		Drawing: m.Drawing, Placed: placedView(l.Placement, m), Size: sizeView(l.Contours), Mended: mendedView(l.Regions),
		Program: Program{l.File, l.Program}.view(),
		Strokes: plan.Count(stroke.Main) + plan.Count(stroke.Line), Corners: plan.Count(stroke.Corner), Lanes: plan.Count(stroke.Lane),
		Contacts: len(read.Strokes), Shapes: plan.Shapes,
		Painted: read.Painted, Travel: read.Travel, Seconds: read.Seconds, Ahead: ahead(l.Path, m.Brush.Lag),
		Deepest: max(0, -read.Lowest), SafePress: m.Brush.SafePress,
		Narrowest: read.Narrowest, Widest: read.Widest, WidestMark: m.Brush.WidestMark, Thinnest: m.Brush.Thinnest, Feed: m.Feed,
		Drawn: plan.Drawn, Done: l.Painted, Refused: l.Refused,
		Coverage: l.Cover.Coverage, Spill: l.Cover.Excess,
		Remarks: remarkGroups(l.Remarks),
		StripAt: stripAt(l.Strip), StripDepth: stripDepth(l.Strip, m.Brush),
		Brushstrokes: strokeRows(l),
	}
	v.Program.Hash = l.Hash
	viewDrawing(&v, l.Drawing)
	for _, s := range l.Regions.Shapes {
		v.Holes += len(s.Holes)
	}
	for _, c := range l.Contours {
		if c.Closed {
			v.Outlines++
		} else {
			v.OpenLines++
		}
	}
	for _, k := range l.Strip {
		v.Strip = append(v.Strip, logbook.StripMark{Name: k.Name, Press: k.Press, Mark: k.Width, Tolerance: stripTolerance(k, m.Brush, machine.Bed)})
	}
	for _, marks := range l.Marks {
		var s logbook.Stroke
		for _, k := range marks {
			s.Points = append(s.Points, logbook.StrokePoint{X: k.X, Y: k.Y, W: k.Width})
		}
		v.Marks = append(v.Marks, s)
	}
	return v
}

// viewDrawing adds what was read of a drawing.
func viewDrawing(v *logbook.Layer, d *drawing.Drawing) {
	v.Unit, v.UnitFrom = unitWord(d.UnitName), d.UnitFrom
	for _, c := range d.Read {
		v.Read = append(v.Read, logbook.Count{What: c.What, Layer: c.Layer, N: c.N})
	}
	for _, c := range d.Passed {
		v.Passed = append(v.Passed, logbook.Count{What: c.What, Layer: c.Layer, N: c.N, Why: c.Why})
		v.Missed = v.Missed || c.Missed()
	}
}

// unitWord is a unit as one says it, where its sign could be misread.
func unitWord(name string) string {
	if name == "in" {
		return "inches"
	}
	return name
}

// strokeRows are the strokes of the program, with where they begin on the
// sheet.
func strokeRows(l stage.Proven) []logbook.StrokeRow {
	var out []logbook.StrokeRow
	for i, s := range l.Measures.Strokes {
		start := l.Marks[i][0]
		out = append(out, logbook.StrokeRow{
			Number: s.Number, Line: s.FirstLine, X: start.X, Y: start.Y, Length: s.Length,
			Deepest: max(0, -s.Deepest), Width: s.Widest, Seconds: s.Seconds,
		})
	}
	return out
}

// leastTolerance (mm) is what callipers tell on wet ink; common practice, no
// source.
const leastTolerance = 0.05

// stripTolerance is by how much (mm) a mark of the check strip may differ from
// what is expected: two standard uncertainties of the height, by the brush's
// slope there, and never less than leastTolerance. The height of the bed lies
// evenly within ± bed (mm).
func stripTolerance(k motion.StripMark, b *model.Brush, bed float64) float64 {
	slope, err := b.Curve.Slope(k.Press)
	if err != nil {
		return leastTolerance
	}
	u := arith.Hypot(b.Touch, bed/math.Sqrt(3))
	return max(leastTolerance, float64(2*slope*u))
}

// stripDepth is how much more press (mm) makes the strip's middle mark 0.1 mm
// wider.
func stripDepth(strip []motion.StripMark, b *model.Brush) float64 {
	if len(strip) == 0 {
		return 0
	}
	slope, err := b.Curve.Slope(strip[len(strip)/2].Press)
	if err != nil || slope <= 0 {
		return 0
	}
	return 0.1 / slope
}

// stripAt says where the check strip is.
func stripAt(strip []motion.StripMark) string {
	if len(strip) == 0 {
		return ""
	}
	first, last := strip[0], strip[len(strip)-1]
	x0, y0 := first.From.MM()
	x1, y1 := last.To.MM()
	return fmt.Sprintf("from %.0f, %.0f to %.0f, %.0f mm on the sheet", x0, y0, x1, y1)
}

// mendedView counts what was mended in the outlines, by kind.
func mendedView(regions *region.Result) []logbook.Count {
	var out []logbook.Count
	index := map[region.Fault]int{}
	for _, m := range regions.Mended {
		i, seen := index[m.Fault]
		if !seen {
			i = len(out)
			index[m.Fault] = i
			x, y := m.At.MM()
			out = append(out, logbook.Count{What: m.Fault.String(), Why: fmt.Sprintf("%.1f, %.1f mm on the sheet, %s:%d", x, y, m.Place.Name(), m.Place.Line())})
		}
		out[i].N += m.N
	}
	return out
}

// sizeView is the extent of what is drawn, in a sentence.
func sizeView(contours []register.Contour) string {
	if len(contours) == 0 {
		return ""
	}
	box := plane.Bounds(contours[0].Points)
	for _, c := range contours[1:] {
		b := plane.Bounds(c.Points)
		box.Min.X, box.Min.Y = min(box.Min.X, b.Min.X), min(box.Min.Y, b.Min.Y)
		box.Max.X, box.Max.Y = max(box.Max.X, b.Max.X), max(box.Max.Y, b.Max.Y)
	}
	return fmt.Sprintf("It measures %.1f × %.1f mm. ", plane.MM(box.Max.X-box.Min.X), plane.MM(box.Max.Y-box.Min.Y))
}

// placedView says how the marks put the drawing on the sheet.
func placedView(p register.Placement, m *model.Layer) string {
	if len(p.Marks) == 0 {
		return "Placed as drawn."
	}
	var names []string
	for _, f := range p.Marks {
		names = append(names, f.Name)
	}
	text := fmt.Sprintf("Moved by %.2f, %.2f mm", p.DX, p.DY)
	if p.TurnDeg != 0 {
		text += fmt.Sprintf(" and turned by %.3f°", p.TurnDeg)
	}
	text += " by the mark “" + strings.Join(names, "” and “") + "”"
	if len(names) > 1 {
		text += fmt.Sprintf(", which then lie %.3f mm from their places", p.RMS)
	}
	if m.OffsetX != 0 || m.OffsetY != 0 {
		text += fmt.Sprintf(", the layer's offset of %.2f, %.2f mm included", m.OffsetX, m.OffsetY)
	}
	return strings.ReplaceAll(text, "-", "−") + "."
}

// ahead is how far (mm) the brush of a program is led ahead of its mark at
// most.
func ahead(path *proof.Path, lag brush.Lag) float64 {
	most := 0.0
	for _, m := range path.Moves {
		if m.From.X != m.To.X || m.From.Y != m.To.Y {
			most = max(most, lag.At(-m.From.Z), lag.At(-m.To.Z))
		}
	}
	return most
}
