package presenting

import (
	"fmt"
	"math"

	"mahlstick/recipe/format"
	"mahlstick/recipe/measure"
	"mahlstick/recipe/model"
	"mahlstick/runner/doubt"
	"mahlstick/runner/logbook"
	"mahlstick/runner/plane"
	"mahlstick/runner/stage"
	"mahlstick/runner/stroke"
)

// mostRisky is how many strokes are listed.
const mostRisky = 10

// risksView lists the strokes that are most in doubt; nil where the brush was not
// measured by a sheet.
func risksView(l stage.Proven, machine *model.Machine) *logbook.Risks {
	b := l.Model.Brush
	if b.Measured == nil || l.Trial != nil {
		return nil
	}
	d := doubt.Of(l.Gestures, b, machine.Bed)
	v := &logbook.Risks{Height: d.Height, Widest: d.Widest, N: len(d.Strokes)}
	for _, s := range d.Strokes[:min(len(d.Strokes), mostRisky)] {
		most, without := s.Parts.Most()
		x, y := s.At.MM()
		v.Strokes = append(v.Strokes, logbook.StrokeAtRisk{
			Number: s.Number, X: x, Y: y, Width: s.Width, Error: s.Parts.U(), Without: without,
			Missing: s.Missing, Deeper: s.Deeper, Help: helps(most, b, s.Parts),
		})
	}
	return v
}

// helps is what would help most against a doubt.
func helps(most doubt.Source, b *model.Brush, p doubt.Parts) string {
	switch most {
	case doubt.Touch:
		return "touch off more exactly, or correct Z zero by a check strip"
	case doubt.Bed:
		return "level the bed, or measure it"
	case doubt.Curve:
		return "measure more marks of the brush near this press"
	case doubt.Play:
		return "measure more marks that are reached from above"
	}
	return "repeat the marks at several feeds, or paint at the feed of the sheet"
}

// effectsOf says what that which was measured of a brush does to a layer, in mm.
func effectsOf(l stage.Proven) []logbook.Effect {
	b := l.Model.Brush
	if b.Measured == nil && b.Play == 0 || l.Trial != nil {
		return nil
	}
	var out []logbook.Effect
	add := func(what, text string) { out = append(out, logbook.Effect{What: what, Text: text}) }
	if text := feedEffect(l); text != "" {
		add("width by feed", text)
	}
	if text := playEffect(l.Gestures, b); text != "" {
		add("play", text)
	}
	if ahead := l.Ahead; ahead > 0 {
		add("lag", fmt.Sprintf("the holder leads by up to %s; if it did not, strokes would end up to that much short, and corners of 90° be missed by up to %s",
			hundredths(ahead), hundredths(ahead*measure.MissedShare(90))))
	}
	if b.TipX != 0 || b.TipY != 0 {
		add("tip offset", fmt.Sprintf("the axis is moved by %s, so that the tip is where the stroke is", away(-b.TipX, -b.TipY)))
	}
	return out
}

func hundredths(v float64) string { return format.Page.Unit(format.Page.Number(v, 2), "mm") }

// away is a distance along x and y in words.
func away(x, y float64) string {
	across, up := "to the right", "up"
	if x < 0 {
		across = "to the left"
	}
	if y < 0 {
		up = "down"
	}
	return fmt.Sprintf("%s %s and %s %s", hundredths(math.Abs(x)), across, hundredths(math.Abs(y)), up)
}

// feedEffect is what painting at another feed than that of the sheet does.
func feedEffect(l stage.Proven) string {
	b := l.Model.Brush
	s := b.Spreading
	if s == nil {
		if m := b.Measured; m != nil && m.Spread.Root.Known() {
			return "that marks spread was measured with too much doubt to be corrected"
		}
		return ""
	}
	wider, less := 0.0, 0.0 // with signs
	for _, g := range l.Gestures {
		for _, p := range g.Points {
			as, err := s.Curve.WidthAt(min(p.Press, s.Curve.SafePress()))
			is, err2 := b.Curve.WidthAt(min(p.Press, b.Curve.SafePress()))
			if err == nil && err2 == nil && math.Abs(is-as) > math.Abs(wider) {
				wider = is - as
			}
			if press, err := s.Curve.PressFor(p.Width); err == nil && math.Abs(press-p.Press) > math.Abs(less) {
				less = press - p.Press
			}
		}
	}
	word, pressed := "wider", "less"
	if wider < 0 {
		word, pressed = "narrower", "more"
	}
	at := format.Page.Feed(s.Painted)
	if f := s.Feeding; f != nil {
		at = format.Page.FeedRange(f.Slowest, f.Fastest)
	} else if s.Painted == s.Feed {
		return fmt.Sprintf("painted at the feed of the sheet, %s: nothing is corrected", format.Page.Feed(s.Feed))
	}
	return fmt.Sprintf("at %s marks are up to %s %s than at %s, at which the brush was measured; so the brush is pressed up to %s %s",
		at, hundredths(math.Abs(wider)), word, format.Page.Feed(s.Feed), hundredths(math.Abs(less)), pressed)
}

// playEffect is what play would do where strokes narrow.
func playEffect(gestures []stroke.Gesture, b *model.Brush) string {
	play := b.Play
	if b.Measured != nil && play == 0 && b.Measured.Play.Known() {
		return fmt.Sprintf("measured as %s with a doubt of %s: too little to be corrected", hundredths(b.Measured.Play.Value), hundredths(b.Measured.Play.Expanded()))
	}
	if play == 0 {
		return ""
	}
	way, wider := 0.0, 0.0
	for _, g := range gestures {
		for i := 1; i < len(g.Points); i++ {
			p, q := g.Points[i-1], g.Points[i]
			if q.Press >= p.Press {
				continue
			}
			way += plane.Distance(p.Plane(), q.Plane()) / plane.PerMM
			drawn, err := b.Curve.WidthAt(min(q.Press, b.Curve.SafePress()))
			acts, err2 := b.Curve.WidthAt(min(q.Press+play, b.Curve.SafePress()))
			if err == nil && err2 == nil {
				wider = max(wider, acts-drawn)
			}
		}
	}
	return fmt.Sprintf("pressed %s less on the %s of way on which strokes narrow; if not, they would be up to %s too wide there",
		hundredths(play), format.Page.Length(way), hundredths(wider))
}
