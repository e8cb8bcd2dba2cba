// Package calibrate finds what the readings of linked swatch recipes say of one
// brush: which sheets and days count, which mark each line is of, what is wrong with
// them and where.
package calibrate

import (
	"math"
	"slices"
	"strings"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/formula"
	"mahlstick/recipe/measure"
	"mahlstick/recipe/notebook"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/reading"
	"mahlstick/recipe/source"
)

// Pool says which readings count together.
type Pool int8

// Readings of one paper, ink and day; of several days; of all.
const (
	Nothing Pool = iota
	Days
	All
)

// Pools are the words for it, in that order.
var Pools = []string{"nothing", "days", "all"}

// Brush is what is known of a brush without the sheets. Lengths are in mm.
type Brush struct {
	Name, Title string // as formulas write it, and as written
	File        string // its notebook
	Caliper     float64
	Touch       float64 // standard uncertainty of a touch-off
	Pool        Pool
	Place       source.Place
}

// Link is a link of a swatch to a sheet.
type Link struct {
	Sheet *notebook.Sheet
	Place source.Place
}

// Result is what the sheets say of a brush. What was not measured has no readings.
type Result struct {
	Sheets  []string // the files that count
	Day     string   // the heading of the readings, "" for several or none
	Painted []Painted
	Ladder  *measure.Ladder
	People  []string // who read the marks of the ladder, by Reading.By
	// Safe is the deepest press after which the tip came back; Grew reports that
	// it did not after a deeper one.
	Safe   measure.Estimate
	Grew   bool
	Lags   []measure.LagAt
	Ring   measure.Ring // the last of the smallest rings, as an example; zero for none
	Play   measure.Estimate
	Spread measure.Spread
	Feed   float64 // mm/min of the ladder's marks, 0 where it is not known
	Dot    measure.Growth
	Load   measure.Load
	RunIn  measure.Estimate // mm until a fresh load paints evenly
	Touch  measure.Estimate // standard deviation of touching off
	TipX   measure.Estimate
	TipY   measure.Estimate

	// Above is a mark that was reached from above, at its press without the lag;
	// Run the press and length of the load that was empty first; Dots the means of
	// what was measured and expected of the tip, along x and y. Each is an example
	// of how a value comes about, zero for none.
	Above brush.Mark
	Run   struct{ Press, Length float64 }
	Dots  [2]struct{ Measured, Expected float64 }

	first source.Place // of the ladder's readings
	at    []source.Place
}

// Read finds what sheets say of a brush, and a table of its own notebook. The result is nil where they do not hold a
// curve; the list says why.
func Read(b Brush, links []Link, table []reading.Row) (*Result, problem.List) {
	c := &calibration{brush: b, out: &Result{}}
	sets := c.sets(links, table)
	if len(sets) == 0 {
		return nil, c.problems
	}
	c.check(sets)
	if c.problems.HasErrors() {
		return nil, c.problems
	}
	if !c.ladder(sets) {
		return nil, c.problems
	}
	checkWidening(c, sets)
	for touch, s := range sets {
		shift := c.out.Ladder.Touches[touch].Value
		for i := range s.marks {
			s.marks[i].press = math.Round((s.marks[i].press-shift)*1e6) / 1e6
		}
	}
	c.safe(sets)
	c.lags(sets)
	c.play(sets)
	c.ink(sets)
	c.places(sets)
	return c.out, c.problems
}

// PlaceOf is the place of a reading of the ladder.
func (r *Result) PlaceOf(reading int) source.Place { return r.at[reading] }

// Place is where the ladder's readings begin.
func (r *Result) Place() source.Place { return r.first }

// calibration is the state of Read.
type calibration struct {
	brush    Brush
	out      *Result
	problems problem.List
}

// mark is a mark with its readings.
type mark struct {
	place    source.Place
	number   int
	index    int // among the marks of its trial, from 0
	kind     string
	x, y     float64 // mm
	across   float64 // degrees
	press    float64 // below the touch-off, later below the touch
	feed     float64
	expected float64
	held     float64 // s
	above    bool
	check    bool // a light mark after a rung
	readings []one
}

// one is one reading.
type one struct {
	mm, u float64
	by    string
	place source.Place
}

// mean is the mean of a mark's readings.
func (m *mark) mean() float64 {
	sum := 0.0
	for _, r := range m.readings {
		sum += r.mm
	}
	return sum / float64(len(m.readings))
}

// each calls f for the marks of a kind that were read, in the order of the file.
func each(sets []*set, kind string, f func(touch int, m *mark)) {
	for touch, s := range sets {
		for i := range s.marks {
			if m := &s.marks[i]; m.kind == kind && len(m.readings) > 0 {
				f(touch, m)
			}
		}
	}
}

// ladder fits the marks of rising press; false if they make no curve.
func (c *calibration) ladder(sets []*set) bool {
	var readings []measure.Reading
	people := map[string]int{"": -1}
	each(sets, "ladder", func(touch int, m *mark) {
		if m.check || m.above {
			return
		}
		for _, r := range m.readings {
			if _, known := people[r.by]; !known {
				people[r.by] = len(c.out.People)
				c.out.People = append(c.out.People, r.by)
			}
			readings = append(readings, measure.Reading{Touch: touch, Mark: m.number, By: people[r.by], Press: m.press, Width: r.mm, U: r.u})
			c.out.at = append(c.out.at, r.place)
		}
	})
	if len(readings) == 0 {
		c.problems.Errorf(problem.TooFewPresses, sets[0].place, problem.Advise("measure the marks of a ladder, and link the readings under Results"), "%s has no readings of a ladder of %s", sets[0].name, c.brush.Title)
		return false
	}
	c.out.first = c.out.at[0]
	c.out.Feed = feedOf(sets)
	l, err := measure.NewLadder(readings, measure.Options{Step: c.brush.Caliper, Touch: c.brush.Touch})
	if err != nil {
		c.problems.Errorf(problem.TooFewPresses, c.out.first, problem.Advise("measure more rungs of the ladder"),
			"marks were read at fewer than %d presses: too few for a curve of %s", measure.Fewest, c.brush.Title)
		return false
	}
	c.out.Ladder = l
	for _, i := range l.Outliers {
		c.problems.Warnf(problem.OutlyingReading, c.out.at[i], problem.Advise("measure it again; to keep it out of the curve, write why into a column \"left out\""),
			"%s does not fit the other marks of %s", c.out.at[i].Text(), c.brush.Title)
	}
	for touch, s := range sets {
		if t, has := l.Touches[touch]; has && t.Readings == 0 && t.Value < 0 {
			c.problems.Warnf(problem.NoTouch, s.place, problem.Advise("touch off less deep, and paint the ladder again"),
				"the first mark of the ladder painted already: the touch-off was too deep, and the presses of %s are uncertain by %.2f mm", s.name, t.U)
		}
	}
	return true
}

// feedOf is the feed of most of the ladder's marks, 0 where none states it.
func feedOf(sets []*set) float64 {
	var feeds []float64
	each(sets, "ladder", func(_ int, m *mark) { feeds = append(feeds, m.feed) })
	slices.Sort(feeds)
	return feeds[len(feeds)/2]
}

// Curve is the curve down to a press in mm, and the press that it reaches.
func (r *Result) Curve(deepest float64) (*brush.Curve, error) { return r.Ladder.Curve(deepest) }

// isBrush reports whether a trial's cell names the brush.
func isBrush(c *calibration, name, file string) bool {
	if file != "" {
		return file == c.brush.File
	}
	return formula.Fold(name) == c.brush.Name || strings.EqualFold(name, c.brush.Title)
}

// safe finds the deepest press after which the tip came back.
func (c *calibration) safe(sets []*set) {
	var checks []measure.Check
	for _, s := range sets {
		deepest, rung := 0.0, math.NaN()
		for i := range s.marks {
			switch m := &s.marks[i]; {
			case m.kind != "ladder":
			case !m.check:
				deepest = max(deepest, m.press)
				rung = m.press
			case len(m.readings) > 0 && !math.IsNaN(rung) && m.press < rung:
				checks = append(checks, measure.Check{After: deepest, Width: m.mean()})
			}
		}
	}
	if safe, grew, ok := measure.Safe(checks, c.out.Ladder.Scatter.U); ok {
		c.out.Safe, c.out.Grew = safe, grew
	}
}

// lags finds how far the mark trails, from rings and corners.
func (c *calibration) lags(sets []*set) {
	u := c.out.Ladder.Scatter.U
	var rings []measure.Ring
	each(sets, "rings", func(_ int, m *mark) {
		radius := measure.RingRadii[m.index%len(measure.RingRadii)]
		rings = append(rings, measure.Ring{Press: m.press, Radius: radius, Painted: m.mean() / 2, U: u / 2})
		if radius == measure.RingRadii[0] {
			c.out.Ring = rings[len(rings)-1]
		}
	})
	var corners []measure.Corner
	each(sets, "corners", func(_ int, m *mark) {
		corners = append(corners, measure.Corner{Press: m.press, Turn: 2 * (m.across - 90), Missed: m.mean(), U: u})
	})
	c.out.Lags = measure.Lags(rings, corners)
}

// play compares marks reached from above with the curve. On a ramp the mark trails:
// it was painted while the axis was ahead by the lag, at another press.
func (c *calibration) play(sets []*set) {
	curve, err := c.out.Ladder.Curve(math.Inf(1))
	if err != nil {
		return
	}
	lag := c.lag()
	var above []brush.Mark
	add := func(m *mark, press float64) {
		above = append(above, brush.Mark{Press: press, Width: m.mean()})
	}
	each(sets, "ladder", func(_ int, m *mark) {
		if m.above {
			add(m, m.press)
		}
	})
	for _, s := range sets {
		for i := range s.marks {
			m := &s.marks[i]
			if m.kind != "ramp" || len(m.readings) == 0 || m.index%measure.RampStations <= measure.RampStations/2 {
				continue
			}
			if !lag.Known() {
				continue // play and lag look alike here
			}
			add(m, m.press-float64(lag.At(m.press)*s.slope(m)))
		}
	}
	if play, ok := measure.Play(above, curve, c.out.Ladder.Scatter.U); ok {
		play.Freedom = c.out.Ladder.Scatter.Freedom
		c.out.Play = play
		for _, m := range above { // the one that is nearest to the middle of the curve
			half := curve.SafePress() / 2
			if c.out.Above == (brush.Mark{}) || math.Abs(m.Press-half) < math.Abs(c.out.Above.Press-half) {
				c.out.Above = m
			}
		}
	}
}

// lag is the lag by press as measured.
func (c *calibration) lag() brush.Lag {
	lag, err := brush.NewLag(Trails(c.out.Lags))
	if err != nil {
		return brush.Lag{}
	}
	return lag
}

// Trails are lags as readings of a swatch, those below the touch left out.
func Trails(lags []measure.LagAt) []brush.Trail {
	var out []brush.Trail
	for _, l := range lags {
		if l.Press > 0 {
			out = append(out, brush.Trail{Press: l.Press, Lag: l.Lag.Value})
		}
	}
	return out
}

// ink finds how marks spread, dots grow and a load lasts.
func (c *calibration) ink(sets []*set) {
	u := c.out.Ladder.Scatter.U
	var feeds []measure.AtFeed
	each(sets, "feeds", func(_ int, m *mark) { feeds = append(feeds, measure.AtFeed{Feed: m.feed, Width: m.mean()}) })
	if spread, ok := measure.SpreadOf(feeds, u); ok {
		spread.Root.Freedom = c.out.Ladder.Scatter.Freedom
		c.out.Spread = spread
	}
	var dots []measure.Dot
	each(sets, "dwell", func(_ int, m *mark) { dots = append(dots, measure.Dot{Held: m.held, Diameter: m.mean()}) })
	if dot, ok := measure.GrowthOf(dots, u); ok {
		dot.Rate.Freedom = c.out.Ladder.Scatter.Freedom
		c.out.Dot = dot
	}
	var runs []measure.Run
	var even []float64
	each(sets, "run-out", func(_ int, m *mark) {
		if m.index%2 == 0 { // the length until the mark is even
			even = append(even, m.mean())
			return
		}
		width, err := c.widthAt(m.press)
		if err == nil {
			runs = append(runs, measure.Run{Length: m.mean(), Width: width})
			if c.out.Run.Length == 0 || m.mean() < c.out.Run.Length {
				c.out.Run.Press, c.out.Run.Length = m.press, m.mean()
			}
		}
	})
	c.out.RunIn = measure.Mean(even)
	if len(even) > 0 {
		c.out.RunIn.Value = slices.Max(even)
	}
	if load, ok := measure.LoadOf(runs); ok {
		c.out.Load = load
	}
}

func (c *calibration) widthAt(press float64) (float64, error) {
	curve, err := c.out.Ladder.Curve(math.Inf(1))
	if err != nil {
		return 0, err
	}
	return curve.WidthAt(press)
}

// places finds how exactly the brush is touched off, and where its tip is.
func (c *calibration) places(sets []*set) {
	// The dot of each touch-off was read along x and along y.
	dots := map[[2]int][]float64{}
	var order [][2]int
	press := 0.0
	each(sets, "touches", func(touch int, m *mark) {
		key := [2]int{touch, m.index / 2}
		if dots[key] == nil {
			order = append(order, key)
		}
		dots[key] = append(dots[key], m.mean())
		press = m.press
	})
	var widths []float64
	for _, key := range order {
		widths = append(widths, measure.Mean(dots[key]).Value)
	}
	if curve, err := c.out.Ladder.Curve(math.Inf(1)); err == nil && len(widths) > 1 {
		if slope, err := curve.Slope(press); err == nil && slope > 0 {
			c.out.Touch = measure.TouchScatter(widths, c.out.Ladder.Scatter.U, slope)
		}
	}
	var off [2][]float64
	each(sets, "tips", func(_ int, m *mark) {
		axis := 0
		if m.across != 0 {
			axis = 1
		}
		off[axis] = append(off[axis], m.mean()-m.expected)
		c.out.Dots[axis].Measured += m.mean()
		c.out.Dots[axis].Expected += m.expected
	})
	for axis := range off {
		if n := float64(len(off[axis])); n > 0 {
			c.out.Dots[axis].Measured /= n
			c.out.Dots[axis].Expected /= n
		}
	}
	c.out.TipX, c.out.TipY = placeOf(c, off[0]), placeOf(c, off[1])
}

// placeOf is the mean of offsets; one alone is as uncertain as a mark.
func placeOf(c *calibration, offsets []float64) measure.Estimate {
	e := measure.Mean(offsets)
	if e.Readings == 1 {
		e.U, e.Freedom = c.out.Ladder.Scatter.U, c.out.Ladder.Scatter.Freedom
	}
	return e
}
