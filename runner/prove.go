package runner

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"sync"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/model"
	"mahlstick/runner/logbook"
	"mahlstick/runner/plane"
	"mahlstick/runner/proof"
	"mahlstick/runner/stroke"
)

// sheetFrame is where the sheet lies on the bed. It shares no code with the
// package that plans the moves: otherwise an error there would hide here.
type sheetFrame struct {
	width, height float64 // of the sheet, mm
	turned        int
	zeroX, zeroY  float64 // the lay corner of the turned sheet, from its lower left
}

func newSheetFrame(s *model.Sheet) sheetFrame {
	f := sheetFrame{width: s.Width, height: s.Height, turned: s.Turned}
	corners := map[model.Corner][2]float64{
		model.LowerLeft: {0, 0}, model.LowerRight: {s.Width, 0},
		model.UpperRight: {s.Width, s.Height}, model.UpperLeft: {0, s.Height},
	}
	f.zeroX, f.zeroY = f.turn(corners[s.Lay][0], corners[s.Lay][1])
	return f
}

// turn turns a point of the sheet counter-clockwise by the sheet's quarter
// turns. The turned sheet has its lower left corner at zero.
func (f sheetFrame) turn(x, y float64) (float64, float64) {
	w, h := f.width, f.height
	for range f.turned {
		x, y = h-y, x
		w, h = h, w
	}
	return x, y
}

// onBed is a point of the sheet in the machine's coordinates, mm.
func (f sheetFrame) onBed(x, y float64) (float64, float64) {
	x, y = f.turn(x, y)
	return x - f.zeroX, y - f.zeroY
}

// onSheet is the inverse of onBed.
func (f sheetFrame) onSheet(x, y float64) (float64, float64) {
	x, y = x+f.zeroX, y+f.zeroY
	w, h := f.width, f.height
	if f.turned%2 == 1 {
		w, h = h, w
	}
	for range f.turned {
		x, y = y, w-x
		w, h = h, w
	}
	return x, y
}

// box is the sheet in the machine's coordinates.
func (f sheetFrame) box() proof.Rect {
	x0, y0 := f.onBed(0, 0)
	x1, y1 := f.onBed(f.width, f.height)
	return proof.Rect{MinX: min(x0, x1), MinY: min(y0, y1), MaxX: max(x0, x1), MaxY: max(y0, y1)}
}

// reach is where the machine can go in X and Y: from its zero towards the side
// on which the sheet lies.
func (f sheetFrame) reach(m *model.Machine) proof.Rect {
	b := f.box()
	r := proof.Rect{MaxX: m.ReachX, MaxY: m.ReachY}
	if b.MaxX <= 0 {
		r.MinX, r.MaxX = -m.ReachX, 0
	}
	if b.MaxY <= 0 {
		r.MinY, r.MaxY = -m.ReachY, 0
	}
	return r
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

// gridSlack is how far (mm) an edge may pass the margin in addition to the
// layer's tolerance: coordinates are rounded.
const gridSlack = 0.002

// pixel is the side of a pixel (mm) when marks are compared with the drawing.
const pixel = 0.05

// prove reads every program back and checks it against the rules.
func (r *Result) prove() error {
	f := newSheetFrame(&r.Job.Sheet)
	errs := make([]error, len(r.Layers))
	checks := make([][]proof.Outcome, len(r.Layers))
	var wait sync.WaitGroup
	for i, l := range r.Layers {
		wait.Go(func() { checks[i], errs[i] = r.proveLayer(l, f) })
	}
	wait.Wait()
	for i, l := range r.Layers {
		if errs[i] != nil {
			return fmt.Errorf("proof of %s: %w", programName(l), errs[i])
		}
		r.addChecks(programName(l), checks[i])
	}
	walk, _ := proof.Read(walkName, r.walk)
	r.addChecks(walkName, proof.Check(walk, r.walkLimits(f)))
	return nil
}

func (r *Result) addChecks(program string, outcomes []proof.Outcome) {
	for _, c := range outcomes {
		check := logbook.Check{Program: program, Name: c.Name, OK: c.OK, Found: c.Found, Allowed: c.Allowed}
		if c.Line > 0 {
			check.Where = "line " + strconv.Itoa(c.Line)
		}
		r.Checks = append(r.Checks, check)
	}
}

func (r *Result) limits(l *Layer, f sheetFrame, b *proof.Brush) proof.Limits {
	m := &r.Job.Machine
	return proof.Limits{
		Sheet: f.box(), Margin: r.Job.Sheet.Margin, Slack: l.Model.Tolerance + gridSlack,
		Reach: f.reach(m), ReachLow: m.SafeHeight - m.ReachZ, ReachHigh: m.SafeHeight + lastDecimal,
		SafeHeight: m.SafeHeight, SafePress: l.Model.Brush.SafePress,
		LowestFeed: 1, HighestFeed: max(l.Model.Feed, m.LoweringFeed, m.TravelFeed), ZFeed: m.ZFeed,
		TipX: l.Model.Brush.TipX, TipY: l.Model.Brush.TipY,
		Strokes: len(l.gestures), Brush: b, Strip: l.stripBox(f),
	}
}

// stripBox is the box around the check strip, in the machine's coordinates.
func (l *Layer) stripBox(f sheetFrame) proof.Rect {
	var box proof.Rect
	first := true
	for _, region := range l.stripOnBed(f) {
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

func (r *Result) proveLayer(l *Layer, f sheetFrame) ([]proof.Outcome, error) {
	brush, err := sampleCurve(l.Model.Brush)
	if err != nil {
		return nil, err
	}
	m := &r.Job.Machine
	l.Path, _ = proof.Read(programName(l), l.Program)
	l.Measures = proof.Measure(l.Path, proof.Timing{Travel: m.TravelFeed, ZFeed: m.ZFeed, Acceleration: m.Acceleration, Corner: 0.05}, brush)
	out := proof.Check(l.Path, r.limits(l, f, brush))
	if l.Cover, err = l.compare(l.Path, f, brush, pixel, l.Plan.Lines); err != nil {
		return nil, err
	}
	l.boundLengthened()
	held := l.Cover
	if lines := l.painted(stroke.Line); len(lines) > 0 && l.Refused() > 0 {
		// Lines that the brush cannot paint at full width are held against
		// what was planned, not against what was drawn.
		if held, err = l.compare(l.Path, f, brush, pixel, lines); err != nil {
			return nil, err
		}
	}
	return append(out, l.agreement(held)), nil
}

// painted returns the planned gestures of a kind.
func (l *Layer) painted(kind stroke.Kind) []stroke.Gesture {
	return slices.DeleteFunc(slices.Clone(l.Plan.Gestures), func(g stroke.Gesture) bool { return g.Kind != kind })
}

// boundLengthened scales the areas that lengthened entries leave bare, so that
// together they are no more than the bare area found: other strokes of a shape
// may cover them.
func (l *Layer) boundLengthened() {
	sum := 0.0
	for _, r := range l.Motion.Remarks {
		sum += r.Area
	}
	if sum <= l.Cover.Missing {
		return
	}
	for i := range l.Motion.Remarks {
		l.Motion.Remarks[i].Area *= l.Cover.Missing / sum
	}
}

// Compare draws the marks of a program again and compares them with what the
// layer should paint, in pixels of the given side in mm.
func (l *Layer) Compare(path *proof.Path, sheet *model.Sheet, pixel float64) (proof.Cover, error) {
	brush, err := sampleCurve(l.Model.Brush)
	if err != nil {
		return proof.Cover{}, err
	}
	return l.compare(path, newSheetFrame(sheet), brush, pixel, l.Plan.Lines)
}

func (l *Layer) compare(path *proof.Path, f sheetFrame, brush *proof.Brush, pixel float64, lines []stroke.Gesture) (proof.Cover, error) {
	return proof.Compare(path, proof.Comparison{
		Brush: brush, TipX: l.Model.Brush.TipX, TipY: l.Model.Brush.TipY, Pixel: pixel, Askew: true,
		Drawn: l.drawnOnBed(f, lines), LeftOut: l.stripOnBed(f),
	})
}

// agreement is the rule that the program paints what was drawn, except for what
// the plan lists as not painted. It is coarse, to catch gross mistakes; the
// page shows the exact figures.
func (l *Layer) agreement(c proof.Cover) proof.Outcome {
	// mm²: of marks wider than drawn, and of the error in counting pixels along
	// what is not painted
	hairlines, left := float64(l.Plan.Necks*l.Model.Brush.TouchMark), 0.0
	for _, r := range l.Plan.Remarks {
		switch {
		case r.Area > 0: // in pixels it may be half a pixel wider on either side
			left += float64(pixel * (r.Length + 2*pixel))
		case r.Reason == stroke.TooThin:
			hairlines += float64(r.Length * l.Model.Brush.TouchMark)
		}
	}
	const share = 0.05
	least := (1 - share) * max(c.Drawn-l.Refused()-left, 0)
	most := float64(share*c.Drawn) + hairlines
	return proof.Outcome{
		Name:    "the marks lie on the drawing",
		OK:      c.Covered >= least && c.Spill <= most,
		Found:   fmt.Sprintf("%.1f mm² of the %.1f mm² drawn is covered, %.1f mm² is outside the drawing", c.Covered, c.Drawn, c.Spill),
		Allowed: fmt.Sprintf("at least %.1f, at most %.1f mm²", least, most),
		Why:     "a layer in the wrong place or of the wrong width spoils the sheet",
	}
}

// drawnOnBed is what was drawn, in the machine's coordinates: the regions, and
// the area that the open lines sweep at their widths.
func (l *Layer) drawnOnBed(f sheetFrame, lines []stroke.Gesture) []proof.Region {
	var out []proof.Region
	for _, reg := range l.Regions.Regions {
		var r proof.Region
		for _, ring := range reg.Rings {
			var vs []proof.Vertex
			for _, q := range ring {
				x, y := q.MM()
				x, y = f.onBed(x, y)
				vs = append(vs, proof.Vertex{X: x, Y: y})
			}
			r.Rings = append(r.Rings, vs)
		}
		out = append(out, r)
	}
	for _, g := range lines {
		out = append(out, sweep(g, f))
	}
	return out
}

// stripOnBed is the area of the check strip, which is not part of the drawing.
func (l *Layer) stripOnBed(f sheetFrame) []proof.Region {
	var out []proof.Region
	for _, g := range l.gestures {
		if g.Kind == stroke.Check {
			out = append(out, sweep(g, f))
		}
	}
	return out
}

// sweep is the area of a gesture: for each segment the hull of the discs at its
// ends, all rings wound the same way.
func sweep(g stroke.Gesture, f sheetFrame) proof.Region {
	var r proof.Region
	for i, a := range g.Points {
		b := g.Points[min(i+1, len(g.Points)-1)]
		if i == len(g.Points)-1 && i > 0 {
			break
		}
		r.Rings = append(r.Rings, capsule(a, b, f))
	}
	return r
}

// capsule is the hull of two discs as a ring, with 64 chords for each round end.
func capsule(a, b stroke.Point, f sheetFrame) []proof.Vertex {
	ax, ay, ar := plane.MM(a.X), plane.MM(a.Y), a.Width/2
	bx, by, br := plane.MM(b.X), plane.MM(b.Y), b.Width/2
	d := arith.Hypot(bx-ax, by-ay)
	if d <= math.Abs(ar-br) {
		if br > ar {
			ax, ay, ar = bx, by, br
		}
		bx, by, br, d = ax, ay, ar, 0
	}
	along, half := 0.0, math.Pi/2
	if d > 0 {
		along = arith.Atan2(by-ay, bx-ax)
		half = arith.Acos((ar - br) / d)
	}
	var ring []proof.Vertex
	const chords = 64
	arc := func(x, y, r, from, to float64) {
		for k := range chords + 1 {
			sin, cos := arith.SinCos(from + float64((to-from)*float64(k))/chords)
			vx, vy := f.onBed(x+float64(r*cos), y+float64(r*sin))
			ring = append(ring, proof.Vertex{X: vx, Y: vy})
		}
	}
	arc(bx, by, br, along-half, along+half)
	arc(ax, ay, ar, along+half, along+2*math.Pi-half)
	return ring
}

// walkLimits are the limits of the margin walk, which never goes below the safe
// height.
func (r *Result) walkLimits(f sheetFrame) proof.Limits {
	m := &r.Job.Machine
	return proof.Limits{
		Sheet: f.box(), Reach: f.reach(m), ReachLow: m.SafeHeight, ReachHigh: max(m.SafeHeight, m.ReachZ) + lastDecimal,
		SafeHeight: m.SafeHeight, LowestFeed: 1, HighestFeed: m.TravelFeed, ZFeed: m.ZFeed,
	}
}

// lastDecimal (mm) is by how much a safe height with more decimals than a
// program states may be rounded up.
const lastDecimal = 0.001
