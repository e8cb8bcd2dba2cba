package presenting

import (
	"fmt"
	"strconv"

	"mahlstick/recipe/format"
	"mahlstick/recipe/model"
	"mahlstick/runner/drawing"
	"mahlstick/runner/entries"
	"mahlstick/runner/logbook"
	"mahlstick/runner/region"
	"mahlstick/runner/stage"
	"mahlstick/runner/stroke"
)

// blotsShown is how many places are listed where the machine lingers.
const blotsShown = 12

// layerView is a layer as the page shows it.
func layerView(l stage.Proven, job *model.Job) logbook.Layer {
	m, plan, read := l.Model, l.Plan, l.Measures
	v := logbook.Layer{
		Number: l.Number, Name: m.Name, Ink: m.Ink.Name, Hex: m.Ink.Hex, Brush: m.Brush.Title, BrushFrom: m.Brush.File,
		Drawing: m.Drawing, Placed: placedView(l.Placement, m), Size: sizeView(l.Contours), Mended: mendedView(l.Regions),
		Program: Program{l.File, l.Program}.view(),
		Strokes: plan.Count(stroke.Main) + plan.Count(stroke.Line), Corners: plan.Count(stroke.Corner), Lanes: plan.Count(stroke.Lane),
		Picture: l.Figures.Strokes, CheckMarks: l.Figures.CheckMarks, Crosses: l.Figures.Crosses, Before: l.Figures.BeforePicture(), Shapes: plan.Shapes,
		Painted: l.Figures.Length, Travel: read.Travel, Seconds: l.Figures.Seconds,
		Blocks:  logbook.Blocks{Allowed: job.Machine.Blocks, Merged: l.Motion.Blocks.Merged, Slowed: l.Motion.Blocks.Slowed, Lowest: float64(l.Motion.Blocks.Lowest)},
		Parts:   logbook.Times{Painting: read.Contact, Travel: read.Across, Lowering: read.Upright, Held: read.Waiting},
		Ahead:   l.Ahead,
		Deepest: max(0, -read.Lowest), SafePress: m.Brush.SafePress, Reserve: m.Brush.Reserve,
		Plunges: l.Figures.Plunges, Plunge: l.Figures.Plunge, Steepest: l.Figures.Steepest,
		Entries: entriesView(l.Motion.Entries, m), SteepestPress: m.Brush.SteepestPress,
		Narrowest: read.Narrowest, Widest: read.Widest, WidestMark: m.Brush.WidestMark, Thinnest: m.Brush.Thinnest, Feed: m.Feed, Feeding: feedingView(m),
		Drawn: plan.Drawn, Done: l.Painted, Refused: l.Refused, Twice: plan.Twice,
		Coverage: l.Cover.Coverage, Spill: l.Cover.Excess,
		Remarks: remarkGroups(l.Remarks),
		StripAt: stripAt(l.Strip), Scale: stripScale(l.Strip, m.Brush, job.Machine.Bed),
		Tip: logbook.Tip{Stated: m.Brush.TipStated, X: m.Brush.TipX, Y: m.Brush.TipY}, Drying: m.Ink.Drying,
		Brushstrokes: strokeRows(l), Effects: effectsOf(l), Risks: risksView(l, &job.Machine),
		Uneven:  unevenView(l, &job.Sheet),
		Lingers: len(l.Blots),
	}
	for _, b := range l.Blots[:min(len(l.Blots), blotsShown)] {
		v.Blots = append(v.Blots, logbook.Blot(b))
	}
	v.Program.Hash = l.Hash
	v.OrderPrice = OrderPrice(l, format.Page)
	if l.Ink != nil {
		v.InkUse, v.Reloads, v.Divided = l.Ink.Text(format.Page), numbers(l.Ink.Reloads()), numbers(l.Ink.Divided)
	}
	if l.Model.Well != nil {
		v.Loads, v.Reloads = LoadsText(l, format.Page), nil
	}
	if l.Trial != nil {
		v.Sheet = l.Trial.Sheet
	}
	for _, c := range m.DrawingColours.List {
		v.Colours = append(v.Colours, c.String())
	}
	v.Uncoloured = m.DrawingColours.None
	v.Hidden, v.HiddenWhole, v.HiddenArea, v.Trap = l.Hidden.Shapes, l.Hidden.Whole, l.Hidden.Area, m.Trap
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
		v.Strip = append(v.Strip, logbook.StripMark{Name: k.Name, Press: k.Press, Mark: k.Width, Tolerance: stripTolerance(k.Press, m.Brush, job.Machine.Bed)})
	}
	v.Marks = make([]logbook.Stroke, 0, len(l.Marks))
	var points []logbook.StrokePoint
	for _, marks := range l.Marks {
		points = points[:0]
		for _, k := range marks {
			points = append(points, logbook.StrokePoint{X: k.X, Y: k.Y, W: k.Width})
		}
		v.Marks = append(v.Marks, logbook.NewStroke(points))
	}
	return v
}

// OrderPrice says what the order of a layer costs; "" if the recipe asks for none
// that costs anything.
func OrderPrice(l stage.Proven, m format.Medium) string {
	if l.Price == nil {
		return ""
	}
	text := fmt.Sprintf("%s of travel from stroke to stroke; %s, about %s, more than in the shortest order", m.Length(l.Price.Travel),
		m.Length(max(l.Price.Travel-l.Price.Short, 0)), m.Duration(l.Price.Seconds))
	if l.Model.Wet <= 0 {
		return text
	}
	if l.Motion.Drying.Waits == 0 {
		return text + fmt.Sprintf("; strokes that touch are %s apart without a wait", m.Duration(l.Model.Wet))
	}
	return text + fmt.Sprintf("; for strokes that touch to be %s apart, the machine waits %s, %s in all", m.Duration(l.Model.Wet),
		times(l.Motion.Drying.Waits), m.Duration(l.Motion.Drying.Seconds))
}

func times(n int) string {
	if n == 1 {
		return "once"
	}
	return format.Count(n, "time")
}

func numbers(of []int) (out []string) {
	for _, n := range of {
		out = append(out, strconv.Itoa(n))
	}
	return out
}

// entriesView is what was concealed, nil if the layer does not ask for it.
func entriesView(t entries.Tally, m *model.Layer) *logbook.Entries {
	if m.Entries != model.Concealed {
		return nil
	}
	return &logbook.Entries{Entries: t.Entries, Exits: t.Exits, Light: t.Light, Straight: t.Straight}
}

// viewDrawing adds what was read of a drawing.
func viewDrawing(v *logbook.Layer, d *drawing.Drawing) {
	v.Unit, v.UnitFrom = unitWord(d.UnitName), d.UnitFrom
	for _, c := range d.Read {
		v.Read = append(v.Read, logbook.Count{What: c.What, Layer: c.Layer, N: c.N})
	}
	for _, c := range d.Skipped {
		v.Passed = append(v.Passed, logbook.Count{What: c.What, Layer: c.Layer, N: c.N, Why: c.Why})
		v.Missed = v.Missed || c.Missed()
	}
}

// unitWord is the word for a unit whose symbol could be misread.
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
			Number: s.Number, Line: s.StartLine, X: start.X, Y: start.Y, Length: s.Length,
			Deepest: max(0, -s.Deepest), Width: s.Widest, Seconds: s.Seconds, Starts: s.Starts,
		})
	}
	return out
}

// mendedView counts the repairs of the outlines, by kind.
func mendedView(regions *region.Result) []logbook.Count {
	var out []logbook.Count
	index := map[region.Fault]int{}
	for _, m := range regions.Repairs {
		i, seen := index[m.Fault]
		if !seen {
			i = len(out)
			index[m.Fault] = i
			x, y := m.At.MM()
			where := fmt.Sprintf("%s on the sheet, %s:%d", format.Page.Place(x, y), m.Place.Name(), m.Place.Line())
			out = append(out, logbook.Count{What: m.Fault.String(), Why: where})
		}
		out[i].N += m.N
	}
	return out
}
