package measure

import (
	"fmt"
	"math"
	"slices"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/brush"
)

// Fewest is how many presses a curve needs that left a mark.
const Fewest = 4

// closest is how near in press (mm) two knots of a curve may be: nearer ones tell
// less of the brush than of the caliper, and become one.
const closest = 0.12

// Knot is a place of the curve: the mean of marks at nearly one press.
type Knot struct {
	Press, Width, U float64
	Readings        []int
}

// Ladder is what marks at several presses say.
type Ladder struct {
	// Knots have rising presses below the touch; the widths are as measured.
	Knots []Knot
	// Touches are the presses, below each touch-off, at which the paper was
	// touched.
	Touches map[int]Estimate
	// Shift is the standard uncertainty of all presses together.
	Shift float64
	// TouchMark is the width of the mark at the touch.
	TouchMark Estimate
	// HalfAngle is that of the cone that fits the marks best, in radians.
	HalfAngle Estimate
	// Widening is the slope of that cone, mm of width a mm of press.
	Widening float64
	// Scatter is the standard deviation of one mark's width about the others of its
	// press, with its degrees of freedom.
	Scatter Estimate
	// People are those who read the marks, by Reading.By; unknown for one alone.
	People People
	// Outliers are readings that do not fit the others.
	Outliers []int
	Marks    int // how many marks left by the brush were measured
}

// Options say what is known beside the readings.
type Options struct {
	Step  float64 // of the caliper, in mm
	Touch float64 // standard uncertainty of a touch-off, in mm
}

// NewLadder pools the marks that were reached from below. It returns ErrNoFit if
// fewer than Fewest presses left a mark.
func NewLadder(readings []Reading, o Options) (*Ladder, error) {
	marks, within := gather(readings, func(r Reading) bool { return r.From == Below })
	l := &Ladder{Touches: touches(marks, o.Touch)}
	byPress(marks)
	painted := marks[:0:0]
	for _, m := range marks {
		if m.width > 0 && m.press >= 0 {
			painted = append(painted, m)
		}
	}
	l.Marks = len(painted)
	if len(rungsOf(painted, 0)) < Fewest {
		return nil, ErrNoFit
	}
	l.Scatter = l.weigh(painted, within, o)
	l.People, _ = PeopleOf(byPerson(readings, painted))
	l.knots(painted, rungsOf(painted, closest), o)
	l.shift()
	l.ends(painted, o)
	l.outliers(readings, painted)
	return l, nil
}

// rung is a run of marks of nearly one press.
type rung struct{ first, end int }

// rungsOf cuts marks, sorted by press, into runs of which none is longer in press
// than some distance.
func rungsOf(marks []mark, longest float64) []rung {
	var out []rung
	for i := range marks {
		if n := len(out); n > 0 && marks[i].press-marks[out[n-1].first].press <= longest {
			out[n-1].end = i + 1
		} else {
			out = append(out, rung{i, i + 1})
		}
	}
	return out
}

// meanOf is the weighted mean of marks, and the sum of their weights.
func meanOf(marks []mark) (press, width, weight float64) {
	for _, m := range marks {
		weight += m.weight
		press += float64(m.weight * m.press)
		width += float64(m.weight * m.width)
	}
	return press / weight, width / weight, weight
}

// weigh finds the scatter of the marks of each touch-off, and weighs them by it. It
// returns that of all together.
func (l *Ladder) weigh(marks []mark, within Estimate, o Options) Estimate {
	for i := range marks {
		marks[i].weight = 1
	}
	all := scatterOf(marks, within, o)
	scatter := make([]float64, len(l.Touches))
	for touch := range scatter {
		own := slices.DeleteFunc(slices.Clone(marks), func(m mark) bool { return m.touch != touch })
		scatter[touch] = all.U
		if s := scatterOf(own, Estimate{}, o); len(l.Touches) > 1 && s.Freedom >= 4 {
			scatter[touch] = s.U
		}
	}
	for i, m := range marks {
		if s := scatter[m.touch]; s > 0 {
			marks[i].weight = 1 / square(s)
		}
	}
	return all
}

// mostScatter, in mm, is the most that wet edges and calipers scatter together
// (common practice, no source); more is not taken for chance unless repeated marks
// show it.
const mostScatter = 0.15

// scatterOf is the standard deviation of a mark's width. Repeated marks show it;
// while they are few, neighbours on the curve do as well: of three in a row the
// middle one differs from the line through the others by the curve's bend, which
// is little, and by √(1 + a² + b²) times the scatter, where a and b are the shares
// of the others. It is never less than the caliper resolves.
func scatterOf(marks []mark, within Estimate, o Options) Estimate {
	rungs := rungsOf(marks, 0)
	squares, freedom := 0.0, 0.0
	for _, r := range rungs {
		_, width, _ := meanOf(marks[r.first:r.end])
		for _, m := range marks[r.first:r.end] {
			squares += square(m.width - width)
		}
		freedom += float64(r.end - r.first - 1)
	}
	out := Estimate{Freedom: freedom, Readings: readingsOf(marks)}
	terms := freedom
	const enough = 6
	if freedom < enough {
		for i := 1; i+1 < len(rungs); i++ {
			p0, w0, _ := meanOf(marks[rungs[i-1].first:rungs[i-1].end])
			p1, w1, _ := meanOf(marks[rungs[i].first:rungs[i].end])
			p2, w2, _ := meanOf(marks[rungs[i+1].first:rungs[i+1].end])
			a := (p2 - p1) / (p2 - p0)
			off := w1 - float64(a*w0) - float64((1-a)*w2)
			size := float64(rungs[i].end - rungs[i].first)
			squares += float64(square(off) / (1 + square(a) + square(1-a)) * size)
			terms++
			out.Freedom += 0.5 // because neighbouring differences share marks
		}
	}
	if terms > 0 {
		out.U = math.Sqrt(squares / terms)
	}
	if freedom < enough && len(marks) > 0 {
		out.U = min(out.U, max(mostScatter, marks[len(marks)-1].width/50))
	}
	least := o.Step / math.Sqrt(12)
	for _, m := range marks {
		least = max(least, m.u) // as stated with ±
	}
	if within.Freedom > 0 { // a mark is not known better than its readings repeat
		least = max(least, within.U/math.Sqrt(float64(within.Readings)/float64(len(marks))))
	}
	if out.U < least {
		out.U, out.Freedom = least, 0
	}
	return out.rounded()
}

func (l *Ladder) knots(marks []mark, rungs []rung, o Options) {
	for _, r := range rungs {
		press, width, weight := meanOf(marks[r.first:r.end])
		k := Knot{Press: round(press), Width: round(width)}
		k.U = round(math.Sqrt(1/weight + square(o.Step)/12))
		for _, m := range marks[r.first:r.end] {
			k.Readings = append(k.Readings, m.readings...)
		}
		l.Knots = append(l.Knots, k)
	}
}

// Common is the standard uncertainty that all widths share, and no mark's scatter
// shows: each of the people who measured reads all marks wider or narrower by as
// much.
func (l *Ladder) Common() Estimate {
	if !l.People.Known() {
		return Estimate{}
	}
	people := l.People.BetweenFreedom + 1
	return Estimate{U: round(l.People.Between.Value / math.Sqrt(people)), Freedom: l.People.BetweenFreedom}
}

// Doubt is that of a curve through the knots, whose touch mark and widest mark have
// these standard uncertainties.
func (l *Ladder) Doubt(touch, widest float64) brush.Doubt {
	var own []float64
	for _, k := range l.Knots {
		own = append(own, k.U)
	}
	common := l.Common()
	freedom := l.Scatter.Freedom
	if common.U > 0 {
		freedom = Freedom(Estimate{U: median(own), Freedom: l.Scatter.Freedom}, common)
	}
	return brush.Doubt{Shift: l.Shift, Common: common.U, Ends: [2]float64{touch, widest}, Factor: Student(freedom)}
}

// shift is the uncertainty of the pressing as a whole: that of each touch, less the
// more there are.
func (l *Ladder) shift() {
	sum := 0.0
	for touch := 0; touch < len(l.Touches); touch++ {
		sum += square(l.Touches[touch].U)
	}
	l.Shift = round(math.Sqrt(sum) / float64(len(l.Touches)))
}

// nearTouch is how far from the touch (mm) marks count for the mark at the touch.
const nearTouch = 0.8

// ends fits straight lines: to the marks near the touch, for the width of the
// touch mark, and to all of them, for the cone.
func (l *Ladder) ends(marks []mark, o Options) {
	near, presses := 0, 0
	for ; near < len(marks); near++ {
		another := near == 0 || marks[near].press > marks[near-1].press
		if another && marks[near].press > nearTouch && presses >= Fewest {
			break
		}
		if another {
			presses++
		}
	}
	l.TouchMark = Estimate{Value: l.Knots[0].Width, U: l.Knots[0].U, Readings: 1}
	if line, err := straight(marks[:near], 1); err == nil {
		if touch, u := line.At([]float64{1, 0}); line.Coefficients[1] > 0 {
			l.TouchMark = Estimate{Value: max(touch, 0), U: math.Sqrt(square(u) + square(o.Step)/12), Freedom: l.Scatter.Freedom, Readings: readingsOf(marks[:near])}
		}
	}
	l.TouchMark.Value = min(l.TouchMark.Value, l.Knots[0].Width)
	l.TouchMark = l.TouchMark.rounded()
	if line, err := straight(marks, 0); err == nil {
		l.Widening = line.Coefficients[1]
		half := l.Widening / 2
		l.HalfAngle = Estimate{Value: arith.Atan(half), U: line.U(1) / 2 / (1 + square(half)), Freedom: line.Freedom, Readings: readingsOf(marks)}
	}
}

func straight(marks []mark, known float64) (*Fit, error) {
	design, y, weights := make([][]float64, len(marks)), make([]float64, len(marks)), make([]float64, len(marks))
	for i, m := range marks {
		design[i], y[i], weights[i] = []float64{1, m.press}, m.width, m.weight
	}
	return LeastSquares(design, y, weights, known)
}

// FallError reports a width that falls while the press increases by more than its
// readings can err.
type FallError struct {
	Reading    int  // the first reading of the narrower mark
	Wide, Slim Knot // the wider mark, and the narrower one that is pressed deeper
}

func (e *FallError) Error() string {
	return fmt.Sprintf("the mark narrows from %.2f mm to %.2f mm while the press increases from %.2f mm to %.2f mm", e.Wide.Width, e.Slim.Width, e.Wide.Press, e.Slim.Press)
}

// fallFactor is how many standard uncertainties a width may fall before that
// counts as a contradiction: the more knots there are, the more likely two.
const fallFactor = 4

// Rising are the knots down to a deepest press in mm, their widths pooled so that
// none falls (Ayer and others 1955). A fall beyond what the readings can err is a
// *FallError.
func (l *Ladder) Rising(deepest float64) ([]brush.Mark, error) {
	var out []brush.Mark
	widest := 0
	for i, k := range l.Knots {
		if k.Press > deepest {
			break
		}
		both := fallFactor * math.Sqrt(square(k.U)+square(l.Knots[widest].U))
		if l.Knots[widest].Width-k.Width > both {
			return nil, &FallError{Reading: k.Readings[0], Wide: l.Knots[widest], Slim: k}
		}
		if k.Width > l.Knots[widest].Width {
			widest = i
		}
		out = append(out, brush.Mark{Press: k.Press, Width: k.Width, UWidth: k.U})
	}
	brush.Pool(out)
	for i := range out {
		out[i].Width = round(out[i].Width)
	}
	return out, nil
}

// Curve is the curve from the touch to the deepest knot that is not below a press
// in mm, with its doubt. It returns ErrNoFit where too few knots are left, and a
// *FallError where the widths fall.
func (l *Ladder) Curve(deepest float64) (*brush.Curve, error) {
	marks, err := l.Rising(deepest)
	if err != nil {
		return nil, err
	}
	if len(marks) < Fewest {
		return nil, ErrNoFit
	}
	last := marks[len(marks)-1]
	touch := min(l.TouchMark.Value, marks[0].Width)
	if !(last.Width > touch) {
		return nil, ErrNoFit
	}
	curve, err := brush.Fit(marks, last.Press, last.Width, touch)
	if err != nil {
		return nil, err
	}
	return curve.Doubted(l.Doubt(l.TouchMark.U, last.UWidth)), nil
}
