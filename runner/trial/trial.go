// Package trial lays out the marks of a swatch sheet: what is painted to measure
// a brush, where, in which order, and what is to be read from it.
//
// The designs are common practice in calibration (no source), but for those
// whose comment names one. All choices are fixed, so that the same recipe always
// gives the same sheet.
package trial

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/motion"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// Program is what one brush paints with one ink on one sheet.
type Program struct {
	Sheet, Sheets int         // which sheet, from 1, of how many
	Layer         model.Layer // as which it is planned; its brush may go as deep as the deepest trial, and no deeper
	Gestures      []stroke.Gesture
	First         []int // of each gesture, the number of its first reading; 0 if nothing is read of it
	Waits         []Wait
	Readings      []Reading
	// Measured reports that the widths of its marks come from a measured brush;
	// otherwise they are assumed, and wider than most brushes make them.
	Measured bool
}

// Wait is a part of the sheet in which the brush may stay on the paper.
type Wait struct {
	Box     plane.Box
	Depth   float64 // the greatest press while it waits, mm
	Seconds float64 // the longest time
}

// Reading is one length that is to be measured on the sheet. Lengths are in mm.
type Reading struct {
	Number int // from 1, over all programs, in the order of painting
	Trial  string
	Kind   model.TrialKind
	// X, Y is its place on the sheet, Across the direction in which it is
	// measured, in degrees counter-clockwise from x.
	X, Y, Across float64
	Press, Feed  float64 // of the mark; the feed of a dot is 0
	// Expected is what the brush as known so far would give; NaN if that is not
	// known.
	Expected float64
	// Check reports a light mark that shows whether the tip has come back.
	Check bool
}

// Swatch is a swatch sheet, or several, as laid out.
type Swatch struct {
	Programs []Program
	Sheets   int
}

// LayOut lays out the trials of a job, on as many sheets as they need. Nothing
// overlaps, and everything is inside the margins and within the machine's
// reach.
func LayOut(job *model.Job) (Swatch, problem.List) {
	area := sheetArea(job)
	if list := checkArea(area, job); len(list) > 0 {
		return Swatch{}, list
	}
	var list problem.List
	p := &packer{area: area}
	var items []item
	for i := range job.Trials {
		made := newBench(&job.Trials[i], job, area).items()
		if job.Trials[i].Kind == model.Tips {
			made = tipsOf(job, i, area)
		}
		if found := p.place(made, &job.Trials[i]); len(found) > 0 {
			list = append(list, found...)
			continue
		}
		items = append(items, made...)
	}
	if len(list) > 0 {
		return Swatch{}, list
	}
	return Swatch{Programs: programs(items, job, p.sheet), Sheets: p.sheet}, nil
}

// most bounds the sheets of one job, far above what anybody paints.
const mostSheets = 100

// sheetArea is the part of the sheet that is inside the margins and within the
// reach of the machine with every brush.
func sheetArea(job *model.Job) box {
	s := &job.Sheet
	area := box{s.Margin, s.Margin, s.Width - s.Margin, s.Height - s.Margin}
	for _, b := range job.Brushes {
		reach := motion.Reachable(b, s, &job.Machine)
		area.left, area.low = max(area.left, plane.MM(reach.Min.X)), max(area.low, plane.MM(reach.Min.Y))
		area.right, area.high = min(area.right, plane.MM(reach.Max.X)), min(area.high, plane.MM(reach.Max.Y))
	}
	return area
}

// checkArea reports a sheet on which nothing can be painted.
func checkArea(area box, job *model.Job) (list problem.List) {
	if area.right-area.left < 1 || area.high-area.low < 1 {
		list.Errorf(problem.NoRoomForTrial, job.Sheet.Place, problem.Advise("choose another lay corner, a smaller margin or another sheet; mind the tip offset of the brush"),
			"the machine does not reach the inside of the margins")
	}
	return list
}

// box is a part of the sheet, in mm.
type box struct{ left, low, right, high float64 }

// who paints a gesture: a brush with an ink.
type who struct {
	brush *model.Brush
	ink   model.Ink
}

func (a who) is(b who) bool { return a.brush == b.brush && a.ink == b.ink }

// part is a gesture of an item, with what is to be read from it.
type part struct {
	who      who
	gesture  stroke.Gesture // with the item's lower left corner at zero
	readings []Reading      // likewise
	before   string         // what the painter does first; "" to go on
	look     bool           // the painter looks at the tip afterwards, if it was pressed deeper than ever
}

// item is what is placed as a whole: marks that belong together.
type item struct {
	trial         *model.Trial
	parts         []part // in the order of painting
	width, height float64
	waits         float64 // s that the brush stays on the paper
	sheet         int
	x, y          float64 // of its lower left corner
}

// programs divides the items among brushes, inks and sheets.
func programs(items []item, job *model.Job, sheets int) []Program {
	var painters []who
	for _, it := range items {
		for _, p := range it.parts {
			if !slices.ContainsFunc(painters, p.who.is) {
				painters = append(painters, p.who)
			}
		}
	}
	var out []Program
	number := 0
	for sheet := 1; sheet <= sheets; sheet++ {
		for _, w := range painters {
			b := builder{out: Program{Sheet: sheet, Sheets: sheets, Measured: w.brush.Curve != nil}, number: number}
			for i := range items {
				if items[i].sheet == sheet {
					b.add(&items[i], w)
				}
			}
			if len(b.out.Gestures) == 0 {
				continue
			}
			number = b.number
			b.out.Layer = layerOf(w, painters, b.first, b.deepest, sheet, sheets)
			out = append(out, b.out)
		}
	}
	return out
}

// layerOf is the layer as which a program is planned.
func layerOf(w who, painters []who, first *model.Trial, deepest float64, sheet, sheets int) model.Layer {
	l := model.Layer{Name: w.brush.Title, Ink: w.ink, Feed: first.Feed, Tolerance: tolerance, Hairlines: true, Place: first.Place}
	if slices.ContainsFunc(painters, func(o who) bool { return o.brush == w.brush && o.ink != w.ink }) {
		l.Name += ", " + w.ink.Name
	}
	if sheets > 1 {
		l.Name += fmt.Sprintf(", sheet %d", sheet)
	}
	b := *w.brush
	b.Curve, b.SafePress, b.Reserve = curveFor(w.brush, deepest), deepest, 0
	b.Lag = brush.Lag{} // the axis is not moved ahead: the lag is what is measured
	l.Brush = &b
	return l
}

// tolerance (mm) is that of the edges of marks, as for drawings.
const tolerance = 0.02

// builder makes one program.
type builder struct {
	out     Program
	first   *model.Trial
	last    *model.Trial
	number  int
	deepest float64 // so far
	deeper  bool    // it became deeper, and nobody has looked at the tip since
	pending string  // what the painter does before the next mark
}

// look is what the painter is asked after the brush was pressed deeper than ever
// before.
const look = "look whether the tip has come back to its point. If it has not, stop here: what is painted can be measured"

// add adds the parts of an item that somebody paints.
func (b *builder) add(it *item, w who) {
	for _, p := range it.parts {
		if !p.who.is(w) {
			continue
		}
		if b.first == nil {
			b.first = it.trial
		}
		if b.last != nil && b.last != it.trial {
			b.say("next: " + it.trial.Name + ". Load the brush again")
		}
		b.last = it.trial
		b.say(p.before)
		g := p.gesture
		g.Place, g.Points = it.trial.Place, slices.Clone(g.Points)
		how := *g.Trial
		how.Pause, b.pending = b.pending, ""
		for i := range g.Points {
			g.Points[i].X += plane.Snap(it.x)
			g.Points[i].Y += plane.Snap(it.y)
			if pressed := g.Points[i].Press; pressed > b.deepest {
				b.deepest, b.deeper = pressed, true
			}
		}
		if p.look && b.deeper {
			b.deeper = false
			b.say(look)
		}
		how.Name = it.trial.Name
		first := 0
		for i, r := range p.readings {
			if b.number++; i == 0 {
				first = b.number
				how.Name += ", mark " + strconv.Itoa(b.number)
			}
			r.Number, r.Trial, r.Kind = b.number, it.trial.Name, it.trial.Kind
			at := plane.At(r.X+it.x, r.Y+it.y)
			r.X, r.Y = at.MM()
			b.out.Readings = append(b.out.Readings, r)
		}
		if it.waits > 0 {
			corners := []plane.Point{plane.At(it.x, it.y), plane.At(it.x+it.width, it.y+it.height)}
			b.out.Waits = append(b.out.Waits, Wait{Box: plane.Bounds(corners), Depth: g.Points[len(g.Points)-1].Press, Seconds: it.waits})
		}
		g.Trial = &how
		b.out.Gestures, b.out.First = append(b.out.Gestures, g), append(b.out.First, first)
	}
}

// say adds to what the painter does before the next mark.
func (b *builder) say(text string) {
	switch {
	case text == "":
	case b.pending == "":
		b.pending = text
	default:
		b.pending += ". Then " + text
	}
}

// curveFor is the curve of a brush down to a press or, if it was not measured,
// one that is wider than that of most brushes: its marks only need room. A
// millimetre of press adds about half a millimetre of width (common practice, no
// source); here it is a whole one.
func curveFor(b *model.Brush, press float64) *brush.Curve {
	if b.Curve != nil {
		return b.Curve
	}
	least := max(b.TouchMark, 0.5)
	curve, err := brush.Taper(max(b.WidestMark, least+press), press, least)
	if err != nil { // a widest mark of no brush; reported elsewhere
		curve, _ = brush.Taper(least+press, press, least)
	}
	return curve
}

// unknown is an expected value that is not known.
var unknown = math.NaN()
