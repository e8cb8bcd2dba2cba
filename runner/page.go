package runner

import (
	"bytes"
	"cmp"
	"fmt"
	"math"
	"net/url"
	"path"
	"slices"
	"strings"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/working"
	"mahlstick/runner/impression"
	"mahlstick/runner/logbook"
	"mahlstick/runner/motion"
	"mahlstick/runner/plane"
	"mahlstick/runner/record"
	"mahlstick/runner/region"
	"mahlstick/runner/stroke"
)

const (
	pageName    = "index.html"
	pictureName = "painting.svg"
)

// meanings says what the reasons mean, in a painter's words.
var meanings = map[stroke.Reason]string{
	stroke.TooWide:    "Wider than the brush's widest mark, and not filled: bare paper is left. Draw it narrower, or give the layer a broader brush.",
	stroke.TooThin:    "Narrower than the lightest mark of the brush. Draw it wider, or say under hairlines whether it is painted with the lightest touch or left.",
	stroke.TooSmall:   "Smaller than the tolerance of the job: nothing of it would be seen.",
	stroke.Unpromised: "Painted, but thinner than can be promised: with this touch-off and this bed the brush may miss the paper here.",
	stroke.Slowed:     "Painted, with the feed lowered so that Z keeps up with the swelling.",
	stroke.Lengthened: "Painted, with a longer entry or exit than drawn, so that Z keeps up. The recipe allows it.",
}

// writePage makes the page, the picture and the record, behind the programs.
// asRun are files that go with a signed impression besides.
func (r *Result) writePage(signed *record.Impression, asRun ...record.Output) error {
	r.Outputs = slices.DeleteFunc(r.Outputs, func(o record.Output) bool { return path.Ext(o.Name) != programExt })
	page := r.view(signed)
	rec := r.newRecord(signed)
	r.Outputs = append(r.Outputs, record.Output{Name: pictureName, Data: page.Picture()})
	for _, f := range rec.Inputs {
		in := logbook.FileHash{Name: f.Name, Size: f.Size, Hash: f.SHA256}
		// A browser shows these as text; others might be run by it.
		if ext := path.Ext(f.Name); signed != nil && (ext == ".md" || ext == ".dxf") {
			in.Link = (&url.URL{Path: path.Join(impression.Inputs, f.Name)}).String()
		}
		page.Inputs = append(page.Inputs, in)
	}
	for _, o := range r.Outputs {
		f := record.NewFile(o.Name, o.Data)
		page.Outputs = append(page.Outputs, logbook.FileHash{Name: f.Name, Link: f.Name, Size: f.Size, Hash: f.SHA256})
	}
	html, err := page.Render()
	if err != nil {
		return err
	}
	r.Outputs = append(r.Outputs, record.Output{Name: pageName, Data: html})
	for _, o := range slices.Concat(r.Outputs, asRun) {
		rec.Outputs = append(rec.Outputs, record.NewFile(o.Name, o.Data))
	}
	r.Record = rec
	r.Outputs = append(r.Outputs, record.Output{Name: record.RecordName, Data: rec.JSON()})
	return nil
}

// view is the job as the page shows it.
func (r *Result) view(signed *record.Impression) *logbook.Page {
	job := r.Job
	s := job.Sheet
	p := &logbook.Page{
		Title: job.Title, Job: job.Name, Recipe: job.Files[0].Name, RecipeHash: record.Hash(job.Files[0].Data),
		Engine: record.Engine, Edition: signed.String(),
		Sheet: logbook.Sheet{Size: s.Size, Width: s.Width, Height: s.Height, Margin: s.Margin, Paper: s.Paper, Grain: s.Grain, Lay: s.Lay, Turned: s.Turned},
		Machine: logbook.Machine{
			Title: job.Machine.Title, ReachX: job.Machine.ReachX, ReachY: job.Machine.ReachY, SafeHeight: job.Machine.SafeHeight, Clear: clearUnder(job.Machine.SafeHeight),
		},
		Workings: map[string]working.Working{},
		Walk:     &logbook.Program{File: walkName, Lines: bytes.Count(r.walk, []byte("\n"))},
		Checks:   r.Checks,
	}
	for _, m := range job.Marks {
		p.Sheet.Marks = append(p.Sheet.Marks, logbook.Mark{Name: m.Name, X: m.X, Y: m.Y, Size: m.Size})
	}
	for _, w := range job.Workings {
		p.Workings[w.Name] = w
	}
	p.Blocks, p.Derived = viewBlocks(job)
	for i := range p.Blocks {
		p.Blocks[i].HTML = r.relink(p.Blocks[i].HTML, signed)
	}
	bed := newSheetFrame(&s)
	for _, l := range r.Layers {
		p.Layers = append(p.Layers, l.view(bed))
	}
	for _, n := range r.problems.Sorted() {
		if n.Severity == problem.Warning {
			p.Notes = append(p.Notes, logbook.Note{Severity: n.Severity.String(), Where: n.Place.String(), Text: n.Message, Fix: n.Fix.Advice})
		}
	}
	if signed != nil && signed.Despite != "" {
		p.Notes = append(p.Notes, logbook.Note{Severity: problem.Warning.String(), Where: p.Recipe,
			Text: "Signed despite this: " + strings.Join(signed.Because, "; "), Fix: "the reason given was: " + signed.Despite})
	}
	for _, res := range job.Results {
		v := logbook.Result{Heading: res.Heading, HTML: r.relink(res.HTML, signed)}
		for _, q := range res.Strip {
			v.Strip = append(v.Strip, logbook.StripReading{Mark: q.Mark, Asked: q.Asked, Measured: q.Measured})
		}
		p.Results = append(p.Results, v)
	}
	return p
}

// view is the layer as the page shows it.
func (l *Layer) view(bed sheetFrame) logbook.Layer {
	m, d, plan := l.Model, l.Drawing, l.Plan
	v := logbook.Layer{
		Number: l.Number, Name: m.Name, Ink: m.Ink.Name, Hex: m.Ink.Hex, Brush: m.Brush.Title, BrushFrom: m.Brush.File,
		Drawing: m.Drawing, Unit: unitWord(d.UnitName), UnitFrom: d.UnitFrom, Placed: l.placed(),
		Program: logbook.Program{File: programName(l), Hash: l.Hash, Lines: bytes.Count(l.Program, []byte("\n"))},
		Strokes: plan.Count(stroke.Main) + plan.Count(stroke.Line), Corners: plan.Count(stroke.Corner), Lanes: plan.Count(stroke.Lane),
		Shapes:  plan.Shapes,
		Painted: l.Measures.Painted, Travel: l.Measures.Travel, Seconds: l.Motion.Seconds,
		Ahead: l.ahead(), Deepest: max(0, -l.Measures.Lowest), SafePress: m.Brush.SafePress,
		Narrowest: l.Measures.Narrowest, Widest: l.Measures.Widest, WidestMark: m.Brush.WidestMark, Thinnest: m.Brush.Thinnest, Feed: m.Feed,
		Drawn: plan.Drawn, Done: l.Painted(), Refused: l.Refused(),
		Coverage: l.Cover.Coverage, Spill: l.Cover.Excess,
	}
	for _, s := range l.Regions.Shapes {
		v.Holes += len(s.Holes)
	}
	for _, c := range l.contours {
		if c.Closed {
			v.Outlines++
		} else {
			v.OpenLines++
		}
	}
	for _, c := range d.Read {
		v.Read = append(v.Read, logbook.Count{What: c.What, Layer: c.Layer, N: c.N})
	}
	for _, c := range d.Passed {
		v.Passed = append(v.Passed, logbook.Count{What: c.What, Layer: c.Layer, N: c.N, Why: c.Why})
		v.Missed = v.Missed || c.Missed()
	}
	v.Mended = l.mended()
	v.Size = l.size()
	v.Contacts, v.StripAt, v.StripDepth = len(l.Measures.Strokes), l.stripAt(), l.stripDepth()
	v.Remarks = l.remarks()
	for _, k := range l.Strip {
		v.Strip = append(v.Strip, logbook.StripMark{Name: k.Name, Press: k.Press, Mark: k.Width, Tolerance: l.stripTolerance(k)})
	}
	for _, s := range l.Measures.Strokes {
		x, y := bed.onSheet(s.From.X+m.Brush.TipX, s.From.Y+m.Brush.TipY)
		v.Brushstrokes = append(v.Brushstrokes, logbook.StrokeRow{
			Number: s.Number, Line: s.FirstLine, X: x, Y: y, Length: s.Length, Deepest: max(0, -s.Deepest), Width: s.Widest, Seconds: s.Seconds,
		})
	}
	v.Marks = l.marksReadBack(bed)
	return v
}

// unitWord is a unit as one says it, where its sign could be misread.
func unitWord(name string) string {
	if name == "in" {
		return "inches"
	}
	return name
}

// clearUnder is the height (mm) that nothing on the bed may reach, when the
// brush travels at that height.
func clearUnder(safe float64) float64 { return max(safe-2, safe/2) }

// stripTolerance is by how much (mm) a mark of the check strip may differ from
// what is expected: two standard uncertainties of the height, by the brush's
// slope there, and never less than calipers tell on wet ink.
func (l *Layer) stripTolerance(k motion.StripMark) float64 {
	slope, err := l.Model.Brush.Curve.Slope(k.Press)
	if err != nil {
		return leastTolerance
	}
	u := arith.Hypot(l.Model.Brush.Touch, l.bed/math.Sqrt(3))
	return max(leastTolerance, float64(2*slope*u))
}

const leastTolerance = 0.05 // mm, common practice, no source

// stripDepth is how much more press (mm) makes the strip's middle mark 0.1 mm
// wider.
func (l *Layer) stripDepth() float64 {
	if len(l.Strip) == 0 {
		return 0
	}
	slope, err := l.Model.Brush.Curve.Slope(l.Strip[len(l.Strip)/2].Press)
	if err != nil || slope <= 0 {
		return 0
	}
	return 0.1 / slope
}

// stripAt says where the check strip stands.
func (l *Layer) stripAt() string {
	if len(l.Strip) == 0 {
		return ""
	}
	first, last := l.Strip[0], l.Strip[len(l.Strip)-1]
	x0, y0 := first.From.MM()
	x1, y1 := last.To.MM()
	return fmt.Sprintf("from %.0f, %.0f to %.0f, %.0f mm on the sheet", x0, y0, x1, y1)
}

// mended counts what was mended in the outlines, by kind.
func (l *Layer) mended() []logbook.Count {
	var out []logbook.Count
	at := map[region.Fault]int{}
	for _, m := range l.Regions.Mended {
		i, seen := at[m.Fault]
		if !seen {
			i = len(out)
			at[m.Fault] = i
			x, y := m.At.MM()
			out = append(out, logbook.Count{What: m.Fault.String(), Why: fmt.Sprintf("%.1f, %.1f mm on the sheet, %s:%d", x, y, m.Place.Name(), m.Place.Line())})
		}
		out[i].N += m.N
	}
	return out
}

// size tells the extent of what is drawn, in mm.
func (l *Layer) size() string {
	if len(l.contours) == 0 {
		return ""
	}
	box := plane.Bounds(l.contours[0].Points)
	for _, c := range l.contours[1:] {
		b := plane.Bounds(c.Points)
		box.Min.X, box.Min.Y = min(box.Min.X, b.Min.X), min(box.Min.Y, b.Min.Y)
		box.Max.X, box.Max.Y = max(box.Max.X, b.Max.X), max(box.Max.Y, b.Max.Y)
	}
	return fmt.Sprintf("It measures %.1f × %.1f mm. ", plane.MM(box.Max.X-box.Min.X), plane.MM(box.Max.Y-box.Min.Y))
}

// placed says how the marks put the drawing on the sheet.
func (l *Layer) placed() string {
	p := l.Placement
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
	if l.Model.OffsetX != 0 || l.Model.OffsetY != 0 {
		text += fmt.Sprintf(", the layer's offset of %.2f, %.2f mm included", l.Model.OffsetX, l.Model.OffsetY)
	}
	return strings.ReplaceAll(text, "-", "−") + "."
}

// mostPlaces is how many places of a remark the page lists.
const mostPlaces = 12

// remarks groups what the plan and the motion have to say by reason.
func (l *Layer) remarks() []logbook.RemarkGroup {
	by := map[stroke.Reason][]stroke.Remark{}
	for _, r := range l.Remarks() {
		by[r.Reason] = append(by[r.Reason], r)
	}
	var out []logbook.RemarkGroup
	for reason := stroke.TooWide; reason <= stroke.Lengthened; reason++ {
		list := by[reason]
		if len(list) == 0 {
			continue
		}
		g := logbook.RemarkGroup{Reason: reason.String(), Meaning: meanings[reason], N: len(list)}
		for _, r := range list {
			g.Area += r.Area
			g.Length += r.Length
		}
		g.Refused = g.Area > 0 || reason == stroke.TooSmall
		slices.SortStableFunc(list, func(a, b stroke.Remark) int {
			return cmp.Or(cmp.Compare(b.Area, a.Area), cmp.Compare(b.Length, a.Length), cmp.Compare(a.Shape, b.Shape))
		})
		for _, r := range list[:min(len(list), mostPlaces)] {
			x, y := r.At.MM()
			place := logbook.Place{X: x, Y: y, Width: r.Width, Area: r.Area, Length: r.Length}
			if r.Place.Known() {
				place.From = fmt.Sprintf("%s:%d", r.Place.Name(), r.Place.Line())
			}
			if r.Feed > 0 {
				place.Feed, g.Fed = fmt.Sprintf("%.0f", r.Feed), true
			}
			g.Places = append(g.Places, place)
		}
		out = append(out, g)
	}
	return out
}

// ahead is how far (mm) the brush is led ahead of its mark at most.
func (l *Layer) ahead() float64 {
	most := 0.0
	for _, g := range l.gestures {
		for _, p := range g.Points {
			if len(g.Points) > 1 {
				most = max(most, l.Model.Brush.Lag.At(p.Press))
			}
		}
	}
	return most
}

// marksReadBack are the marks that the written program leaves, on the sheet.
func (l *Layer) marksReadBack(bed sheetFrame) []logbook.Stroke {
	brush, err := sampleCurve(l.Model.Brush)
	if err != nil {
		return nil
	}
	var out []logbook.Stroke
	for _, marks := range l.Path.Marks(brush) {
		var s logbook.Stroke
		for _, m := range marks {
			x, y := bed.onSheet(m.X+l.Model.Brush.TipX, m.Y+l.Model.Brush.TipY)
			s.Points = append(s.Points, logbook.StrokePoint{X: x, Y: y, W: m.Width})
		}
		out = append(out, s)
	}
	return out
}
