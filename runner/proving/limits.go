package proving

import (
	"fmt"

	"mahlstick/recipe/model"
	"mahlstick/runner/proof"
	"mahlstick/runner/stage"
	"mahlstick/runner/stroke"
)

const (
	// gridSlack is how far (mm) an edge may pass the margin in addition to the
	// layer's tolerance: coordinates are rounded.
	gridSlack = 0.002
	// lastDecimal (mm) is by how much a safe height with more decimals than a
	// program states may be rounded up.
	lastDecimal = 0.001
	// cornerError (mm) is how far the machine may cut a corner, for the
	// estimate of time.
	cornerError = 0.05
)

func timing(m *model.Machine) proof.Timing {
	return proof.Timing{Travel: m.TravelFeed, ZFeed: m.ZFeed, Acceleration: m.Acceleration, Corner: cornerError}
}

func limits(w stage.Written, job *model.Job, f sheetFrame, b *proof.Brush) proof.Limits {
	m, brush := &job.Machine, w.Model.Brush
	return proof.Limits{
		Sheet: f.box(), Margin: job.Sheet.Margin, Slack: w.Model.Tolerance + gridSlack,
		Reach: f.reach(m), ReachLow: m.SafeHeight - m.ReachZ, ReachHigh: m.SafeHeight + lastDecimal,
		SafeHeight: m.SafeHeight, SafePress: brush.SafePress,
		LowestFeed: 1, HighestFeed: max(w.Model.Feed, m.LoweringFeed, m.TravelFeed), ZFeed: m.ZFeed,
		TipX: brush.TipX, TipY: brush.TipY,
		Strokes: len(w.Gestures), Brush: b, Strip: stripBox(w.Gestures, f),
	}
}

func walkLimits(job *model.Job) proof.Limits {
	m, f := &job.Machine, newSheetFrame(&job.Sheet)
	return proof.Limits{
		Sheet: f.box(), Reach: f.reach(m), ReachLow: m.SafeHeight, ReachHigh: max(m.SafeHeight, m.ReachZ) + lastDecimal,
		SafeHeight: m.SafeHeight, LowestFeed: 1, HighestFeed: m.TravelFeed, ZFeed: m.ZFeed,
	}
}

// stripBox is the box around the check strip, in the machine's coordinates.
func stripBox(gestures []stroke.Gesture, f sheetFrame) proof.Rect {
	var box proof.Rect
	first := true
	for _, region := range stripOnBed(gestures, f) {
		for _, ring := range region.Rings {
			for _, v := range ring {
				if first {
					box, first = proof.Rect{MinX: v.X, MinY: v.Y, MaxX: v.X, MaxY: v.Y}, false
				}
				box.MinX, box.MinY = min(box.MinX, v.X), min(box.MinY, v.Y)
				box.MaxX, box.MaxY = max(box.MaxX, v.X), max(box.MaxY, v.Y)
			}
		}
	}
	if !first {
		box.MinX, box.MinY, box.MaxX, box.MaxY = box.MinX-gridSlack, box.MinY-gridSlack, box.MaxX+gridSlack, box.MaxY+gridSlack
	}
	return box
}

// sampleCurve samples the brush's curve into a table of plain values for the
// proof, close enough that straight lines between them are within 0.001 mm.
func sampleCurve(b *model.Brush) (*proof.Brush, error) {
	var rungs []proof.Rung
	const steps = 256
	for i := range steps + 1 {
		press := b.Curve.SafePress() * float64(i) / steps
		width, err := b.Curve.WidthAt(press)
		if err != nil {
			return nil, fmt.Errorf("brush %s at %g mm: %w", b.Name, press, err)
		}
		rungs = append(rungs, proof.Rung{Press: press, Width: width})
	}
	marks, err := proof.NewBrush(rungs)
	if err != nil {
		return nil, err
	}
	var trails []proof.Trail
	for _, t := range b.Lag.Trails() {
		trails = append(trails, proof.Trail{Press: t.Press, Lag: t.Lag})
	}
	return marks.Towed(trails)
}
