package proving

import (
	"fmt"
	"math"
	"slices"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/model"
	"mahlstick/runner/proof"
	"mahlstick/runner/stage"
	"mahlstick/runner/stroke"
	"mahlstick/runner/trial"
)

const (
	// gridSlack is how far (mm) an edge may pass the margin in addition to the
	// layer's tolerance: coordinates are rounded.
	gridSlack = 0.002
	// lastDecimal (mm) is how much a height may be rounded up in a program: one
	// step of the last decimal.
	lastDecimal = 0.001
)

// Timing is what the time of a program depends on besides its text.
func Timing(m *model.Machine) proof.Timing {
	t := proof.Timing{Travel: m.TravelFeed, ZFeed: m.ZFeed, Acceleration: m.Acceleration, Corner: model.CornerCut}
	if a := m.Motion; a != nil {
		t.Corner = a.CornerCut
		for i := range t.Axes {
			t.Axes[i] = proof.AxisMotion{Feed: a.Feed[i], Acceleration: a.Acceleration[i]}
		}
	}
	return t
}

func limits(w stage.Written, job *model.Job, f sheetFrame, b *proof.Brush, beside []proof.Rect) proof.Limits {
	m, mounted := &job.Machine, w.Model.Brush
	l := machineLimits(m, f)
	s := seatOf(w.Model.Seating, job.Sheet.Growth, f)
	s.moveZero(&l)
	l.Stations = stations(w.Model, s)
	l.Lie = lieOf(w.Moved, &job.Sheet, f)
	l.Margin, l.Slack = job.Sheet.Margin, w.Model.Tolerance+gridSlack
	l.SafePress, l.TipX, l.TipY = mounted.DeepestPress(), mounted.TipX, mounted.TipY
	if mounted.SteepestPress > 0 {
		l.SteepestPress = mounted.SteepestPress
	}
	if h := mounted.Holds; h.Known() && w.Trial == nil {
		l.Load = &proof.Load{Area: h.Area, Length: h.Length}
	}
	l.Strokes, l.Brush, l.Beside = len(w.Gestures), b.NoSlower(slowestFeed(w.Model)), beside
	if w.Trial != nil {
		l.Strokes, l.Waits = len(touching(w.Gestures)), Waits(w.Trial, mounted, &job.Sheet)
	}
	return l
}

// slowestFeed (mm/min) is the slowest that a layer asks for.
func slowestFeed(l *model.Layer) float64 {
	if l.Feeding != nil {
		return l.Feeding.Slowest
	}
	return l.Feed
}

// touching are the gestures that touch the paper.
func touching(gestures []stroke.Gesture) []stroke.Gesture {
	return slices.DeleteFunc(slices.Clone(gestures), func(g stroke.Gesture) bool {
		return !slices.ContainsFunc(g.Points, func(p stroke.Point) bool { return p.Press >= 0 })
	})
}

// Waits are where the brush may stay on the paper, in the coordinates of the
// program.
func Waits(t *trial.Program, mounted *model.Brush, sheet *model.Sheet) []proof.Wait {
	f := newSheetFrame(sheet)
	var out []proof.Wait
	for _, w := range t.Waits {
		x0, y0 := f.onBed(w.Box.Min.MM())
		x1, y1 := f.onBed(w.Box.Max.MM())
		out = append(out, proof.Wait{Depth: w.Depth, Seconds: w.Seconds, Rect: proof.Rect{
			MinX: min(x0, x1) - mounted.TipX, MinY: min(y0, y1) - mounted.TipY, MaxX: max(x0, x1) - mounted.TipX, MaxY: max(y0, y1) - mounted.TipY}})
	}
	return out
}

// machineLimits are the limits that all programs of a job share.
func machineLimits(m *model.Machine, f sheetFrame) proof.Limits {
	var text *proof.Text
	if t := m.Text; t.Longest > 0 || t.HeadOnly || t.Numbered || t.End == 30 || t.Pause != 0 {
		text = &proof.Text{Longest: t.Longest, HeadOnly: t.HeadOnly, Numbered: t.Numbered, End: 2, Pause: t.Pause}
		if t.End == 30 {
			text.End = 30
		}
	}
	return proof.Limits{
		Sheet: f.box(), Reach: f.reach(m), ReachLow: m.SafeHeight - m.ReachZ, ReachHigh: max(m.RestZ, m.SafeHeight) + lastDecimal,
		SafeHeight: m.SafeHeight, Hover: m.Hover, NearStrokes: model.NearStrokes, Rest: proof.Point{X: m.RestX, Y: m.RestY, Z: max(m.RestZ, m.SafeHeight)},
		SteepestPress: math.Inf(1),
		LowestFeed:    1, HighestFeed: m.FastestFeed, ZFeed: m.ZFeed, Blocks: m.Blocks, Text: text,
	}
}

// walkLimits are those of the margin walk, which presses nowhere and paints
// nothing.
func walkLimits(job *model.Job, brush *model.Brush) proof.Limits {
	f := newSheetFrame(&job.Sheet)
	l := machineLimits(&job.Machine, f)
	var s *seat
	if n := len(job.Layers); n > 0 { // it is for the layers after the last seating
		s = seatOf(job.Layers[n-1].Lies(), job.Sheet.Growth, f)
		s.moveZero(&l)
	}
	l.Lifted, l.Bed = true, knownSurface(&job.Sheet, f, s)
	addClamps(&l, job, brush, f, s, l.Bed)
	return l
}

// boxesBeside are the boxes around the check strip and around each painted
// register mark, in the machine's coordinates.
func boxesBeside(w stage.Written, f sheetFrame) []proof.Rect {
	var out []proof.Rect
	regions := besideOnBed(w.Gestures, f)
	if n := len(w.Strip); n > 0 {
		out, regions = append(out, boxAround(regions[:n])), regions[n:]
	}
	for ; len(regions) >= stroke.CrossArms; regions = regions[stroke.CrossArms:] {
		out = append(out, boxAround(regions[:stroke.CrossArms]))
	}
	return out
}

// boxAround is the box around the regions, with room for rounding.
func boxAround(regions []proof.Region) proof.Rect {
	first := regions[0].Rings[0][0]
	box := proof.Rect{MinX: first.X, MinY: first.Y, MaxX: first.X, MaxY: first.Y}
	for _, region := range regions {
		for _, ring := range region.Rings {
			for _, v := range ring {
				box.MinX, box.MinY = min(box.MinX, v.X), min(box.MinY, v.Y)
				box.MaxX, box.MaxY = max(box.MaxX, v.X), max(box.MaxY, v.Y)
			}
		}
	}
	return proof.Rect{MinX: box.MinX - gridSlack, MinY: box.MinY - gridSlack, MaxX: box.MaxX + gridSlack, MaxY: box.MaxY + gridSlack}
}

// tableError is how far (mm) the width of a brush's table may be from its curve
// at the presses tested between two rungs: a quarter, half and three quarters
// of the way. The error is a cubic that is zero at both rungs, so it is nowhere
// more than 1.2 times the greatest of those three.
const tableError = 0.0001

// sampleCurve samples the brush's curve into a table of plain values for the
// proof, close enough that straight lines between them are within 0.001 mm.
func sampleCurve(b *model.Brush) (*proof.Brush, error) {
	curve, spreads := b.Curve, proof.Spreading{}
	if s := b.Spreading; s != nil { // the reader works out the widths at each feed by itself
		curve, spreads = s.Curve, proof.Spreading{Rate: s.Rate.Value, Feed: s.Feed, Slowest: s.Slowest, Fastest: s.Fastest}
	}
	var rungs []proof.Rung
	for i, r := range curve.Marks() {
		to := proof.Rung{Press: r.Press, Width: r.Width}
		if i > 0 {
			var err error
			if rungs, err = refine(curve, rungs, to); err != nil {
				return nil, fmt.Errorf("brush %s at %g mm: %w", b.Name, r.Press, err)
			}
		}
		rungs = append(rungs, to)
	}
	marks, err := proof.NewBrush(rungs)
	if err != nil {
		return nil, err
	}
	var trails []proof.Trail
	for _, t := range b.Lag.Trails() {
		trails = append(trails, proof.Trail{Press: t.Press, Lag: t.Lag})
	}
	towed, err := marks.Towed(trails)
	if err != nil {
		return nil, err
	}
	return towed.Played(b.Play).Spreads(spreads), nil
}

// refine appends rungs between the last one and the next, until straight lines
// between them are within tableError of the curve.
func refine(curve *brush.Curve, rungs []proof.Rung, next proof.Rung) ([]proof.Rung, error) {
	last := rungs[len(rungs)-1]
	step := next.Press - last.Press
	var middle float64
	close := true
	for _, share := range [...]float64{0.25, 0.75, 0.5} {
		width, err := curve.WidthAt(last.Press + float64(share*step))
		if err != nil {
			return nil, err
		}
		off := width - last.Width - float64(share*(next.Width-last.Width))
		close = close && math.Abs(off) <= tableError
		middle = width
	}
	at := last.Press + float64(0.5*step)
	if close || at <= last.Press || at >= next.Press { // or there is no press between
		return rungs, nil
	}
	rungs, err := refine(curve, rungs, proof.Rung{Press: at, Width: middle})
	if err != nil {
		return nil, err
	}
	return refine(curve, append(rungs, proof.Rung{Press: at, Width: middle}), next)
}
