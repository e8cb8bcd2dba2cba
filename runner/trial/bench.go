package trial

import (
	"math"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/brush"
	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// bench makes the items of one trial. Lengths are in mm.
type bench struct {
	trial *model.Trial
	press float64 // the greatest
	job   *model.Job
	area  box
	who   who
	curve *brush.Curve
}

// newBench rounds the press of a trial down to a hundredth of a millimetre, as
// far as it is more than that: what is listed is what is painted.
func newBench(t *model.Trial, job *model.Job, area box) *bench {
	press := t.Press
	if whole := math.Floor(float64(press*100)+1e-6) / 100; whole > 0 {
		press = min(press, whole)
	}
	return &bench{trial: t, press: press, job: job, area: area, who: who{t.Brush, t.Ink}, curve: curveFor(t.Brush, t.Press)}
}

// items are the marks of the trial in the order of painting.
func (b *bench) items() []item {
	switch b.trial.Kind {
	case model.Ladder:
		return layLadder(b)
	case model.Ramp:
		return b.repeated(layRamp)
	case model.Rings:
		return b.repeated(layRings)
	case model.Corners:
		return b.repeated(layCorners)
	case model.Feeds:
		return b.repeated(layFeeds)
	case model.Dwell:
		return b.repeated(layDwell)
	case model.RunOut:
		return b.repeated(layRunOut)
	case model.Touches:
		return b.repeated(layTouches)
	case model.SetOff:
		return b.repeated(laySetOff)
	}
	return nil
}

// repeated makes the same marks as often as the trial repeats them.
func (b *bench) repeated(once func(*bench) []item) []item {
	var out []item
	for range b.trial.Repeats {
		out = append(out, once(b)...)
	}
	return out
}

// width is that of a mark: as far as the brush is measured, or an assumed one
// that is wide.
func (b *bench) width(press float64) float64 {
	w, err := b.curve.WidthAt(max(press, 0))
	if err != nil {
		_, w = b.curve.Range()
	}
	return w
}

// expected is the width of a mark if the brush is as it was measured before.
func (b *bench) expected(press float64) float64 {
	if b.trial.Brush.Curve == nil || press < 0 {
		return unknown
	}
	w, err := b.trial.Brush.Curve.WidthAt(press)
	if err != nil {
		return unknown
	}
	return w
}

// share is a part of the trial's press, to a hundredth of a millimetre and never
// more than all of it.
func (b *bench) share(part float64) float64 {
	return min(hundredths(b.press*part), b.press)
}

// hundredths rounds to a hundredth of a millimetre.
func hundredths(v float64) float64 { return math.Round(v*100) / 100 }

// at is a point of a gesture at x, y with a press.
func (b *bench) at(x, y, press float64) stroke.Point {
	p := plane.At(x, y)
	return stroke.Point{X: p.X, Y: p.Y, Press: press, Width: b.width(press)}
}

// gesture is a mark that is painted at a feed.
func (b *bench) gesture(feed float64, points ...stroke.Point) stroke.Gesture {
	return stroke.Gesture{Kind: stroke.TrialMark, Shape: -1, Points: points, Trial: &stroke.Trial{Feed: feed}}
}

// item returns an item around its parts: they are moved so that its lower left
// corner is at zero.
func (b *bench) item(parts ...part) item {
	it := item{trial: b.trial, parts: parts}
	left, low, right, high := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, p := range parts {
		for _, q := range p.gesture.Points {
			x, y, half := plane.MM(q.X), plane.MM(q.Y), q.Width/2
			left, low, right, high = min(left, x-half), min(low, y-half), max(right, x+half), max(high, y+half)
		}
	}
	it.width, it.height = right-left, high-low
	dx, dy := plane.Snap(left), plane.Snap(low)
	for _, p := range parts {
		for i := range p.gesture.Points {
			p.gesture.Points[i].X -= dx
			p.gesture.Points[i].Y -= dy
		}
		for i := range p.readings {
			p.readings[i].X -= left
			p.readings[i].Y -= low
		}
	}
	return it
}

// line is a straight mark at one press, from x to x+length at height y. Its
// width is read in the middle.
func (b *bench) line(x, y, length, press, feed float64) part {
	return part{who: b.who, gesture: b.gesture(feed, b.at(x, y, press), b.at(x+length, y, press)),
		readings: []Reading{{X: x + length/2, Y: y, Across: 90, Press: press, Feed: feed, Expected: b.expected(press)}}}
}

// dot is a touch of the paper at x, y; its diameter is read along x and along y.
func (b *bench) dot(x, y, press float64) part {
	p := part{who: b.who, gesture: b.gesture(b.trial.Feed, b.at(x, y, press))}
	for _, across := range [...]float64{0, 90} {
		p.readings = append(p.readings, Reading{X: x, Y: y, Across: across, Press: press, Expected: b.expected(press)})
	}
	return p
}

// circle is part of a circle around x, y, from the right counter-clockwise by
// some degrees, in chords that are nowhere more than 0.005 mm from it.
func (b *bench) circle(x, y, radius, press, degrees float64) []stroke.Point {
	const sagitta = 0.005
	step := 2 * arith.Acos(1-sagitta/radius) // radians
	n := int(math.Ceil(degrees * math.Pi / 180 / step))
	var out []stroke.Point
	for i := range n + 1 {
		sin, cos := arith.SinCosDegrees(degrees * float64(i) / float64(n))
		out = append(out, b.at(x+float64(radius*cos), y+float64(radius*sin), press))
	}
	return out
}
