package recipe

import (
	"fmt"
	"math"

	"mahlstick/recipe/binding"
	"mahlstick/recipe/format"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
)

// machineReader reads the machine of a job.
type machineReader struct {
	a *assembler
	d *binding.Definition
	m *model.Machine
}

func (r *machineReader) read() {
	m := r.m
	least := func(word string) float64 { low, _ := r.a.values.Bounds(r.d, word); return low }
	most := func(word string) float64 { _, high := r.a.values.Bounds(r.d, word); return high }
	m.Title, m.Place = r.d.Title, r.d.Place
	// Uncertainty counts on the safe side: less reach, a higher safe height.
	m.ReachX, m.ReachY, m.ReachZ = max(least("reach x"), 0), max(least("reach y"), 0), max(least("reach z"), 0)
	m.SafeHeight, m.Bed = most("safe height"), r.a.values.Length(r.d, "bed")
	if left := r.a.bedLeft; left != nil {
		m.Bed = float64(left.In(quantity.MM) * math.Sqrt(3)) // a band, as the row states it
	}
	r.hover()
	r.feeds()
	r.rest(&r.a.job.Sheet)
	r.airRun(&r.a.job.Sheet)
	if q, ok := r.a.values.Row(r.d, "acceleration"); ok {
		m.Acceleration = q.In(quantity.MMPerS2)
	}
	m.Holder, m.HolderHeight = most("holder"), max(least("holder height"), 0)
	r.motion()
	seconds := func(word string) float64 {
		q, ok := r.a.values.Row(r.d, word)
		if !ok {
			return 0
		}
		return q.In(quantity.Second)
	}
	m.Times = model.Times{Mount: seconds("mount time"), TouchOff: seconds("touch off time"), Strip: seconds("strip time"), Load: seconds("load time"), Lesson: seconds("lesson")}
	r.text()
	m.Decimals = 3
	if c, _ := r.d.Find("blocks a second"); c != nil && c.Known {
		m.Blocks = c.Count
	}
	if c, _ := r.d.Find("decimals"); c != nil && c.Known {
		m.Decimals = c.Count
	}
	r.a.facts.rows(r.d)
}

// text reads how the controller wants the text of programs.
func (r *machineReader) text() {
	word := func(row string) string {
		if c, _ := r.d.Find(row); c != nil && c.Known {
			return c.Word
		}
		return r.d.Schema.Find(row).Default
	}
	t := model.ProgramText{HeadOnly: word("comments") == "head", Numbered: word("line numbers") == "yes", End: 2, Place: r.m.Place}
	if word("end word") == "M30" {
		t.End = 30
	}
	if word("pause word") == "M1" {
		t.Pause = 1
	}
	if c, _ := r.d.Find("longest line"); c != nil && c.Known {
		t.Longest, t.Place = c.Count, c.Source.Place
	}
	r.m.Text = t
}

// hover reads the height at which the brush hovers. Where none is stated it is
// the safe height, and the program is as it would be without the row.
func (r *machineReader) hover() {
	c, _ := r.d.Find("hover")
	if c == nil {
		r.derive("hover", quantity.New(r.m.SafeHeight, quantity.MM))
		return
	}
	_, r.m.Hover = r.a.values.Bounds(r.d, "hover")
	if hover, ok := r.a.values.Quantity(c); ok && r.m.SafeHeight > 0 && r.m.Hover > r.m.SafeHeight {
		r.a.problems.Errorf(problem.OutOfRange, c.Source.Place, problem.Advise("write at most the safe height, or leave the row out"),
			"a hover of %s is higher than the safe height", hover.Short())
		r.m.Hover = 0
	}
}

// airRun reads the height of air runs, which must be below the safe height for
// the machine to rise from it.
func (r *machineReader) airRun(sheet *model.Sheet) {
	q, ok := r.a.values.Row(r.d, "air run")
	if !ok {
		return
	}
	r.m.AirRun = q.In(quantity.MM)
	if c, _ := r.d.Find("air run"); c != nil && r.m.AirRun+sheet.Rise() >= r.m.SafeHeight {
		r.a.problems.Errorf(problem.OutOfRange, c.Source.Place, problem.Advise("write less than the safe height, so that the brush can rise from there"),
			"an air run at %s is not below the safe height", q.Short())
		r.m.AirRun = 0
	}
}

// leastFastest is the fastest feed (mm/min) of a machine for which neither a
// fastest feed nor a greater travel feed is stated.
const leastFastest = 3000

// feeds reads the feeds. The brush is never lowered faster than Z can move.
func (r *machineReader) feeds() {
	m, feed := r.m, func(word string) float64 {
		q, ok := r.a.values.Row(r.d, word)
		if !ok {
			return 0
		}
		return q.In(quantity.MMPerMin)
	}
	m.TravelFeed, m.LoweringFeed, m.ZFeed = feed("travel feed"), feed("lowering feed"), feed("z feed")
	if m.FastestFeed = feed("fastest feed"); !r.stated("fastest feed") {
		m.FastestFeed = max(m.TravelFeed, leastFastest)
		r.derive("fastest feed", quantity.New(m.FastestFeed, quantity.MMPerMin))
	}
	if !(m.LoweringFeed > m.ZFeed) || m.ZFeed == 0 {
		return
	}
	zFeed := quantity.New(m.ZFeed, quantity.MMPerMin)
	if c, _ := r.d.Find("lowering feed"); c != nil {
		lowering, _ := r.a.values.Quantity(c)
		r.a.problems.Add(problem.Problem{Severity: problem.Warning, Code: problem.TooFast, Place: c.Source.Place,
			Message: fmt.Sprintf("Z moves at most at %s, so the brush is lowered at that and not at %s", zFeed.Short(), lowering.Short()),
			Fix:     problem.Advise("write at most " + zFeed.Short() + ", or correct the z feed")})
	} else {
		r.derive("lowering feed", zFeed)
	}
	m.LoweringFeed = m.ZFeed
}

// motion reads how each axis moves, if a row says anything of it.
func (r *machineReader) motion() {
	m := r.m
	any, fastest := false, max(m.FastestFeed, m.TravelFeed)
	row := func(word string, unit quantity.Unit, otherwise float64) float64 {
		q, ok := r.a.values.Row(r.d, word)
		if !r.stated(word) || !ok {
			r.derive(word, quantity.New(otherwise, unit))
			return otherwise
		}
		any = true
		return q.In(unit)
	}
	var out model.Motion
	out.Feed = [3]float64{row("x feed", quantity.MMPerMin, fastest), row("y feed", quantity.MMPerMin, fastest), m.ZFeed}
	for i, axis := range [...]string{"x", "y", "z"} {
		out.Acceleration[i] = row(axis+" acceleration", quantity.MMPerS2, m.Acceleration)
	}
	if out.CornerCut = row("corner cut", quantity.MM, model.CornerCut); any {
		m.Motion = &out
		m.FastestFeed = min(m.FastestFeed, out.Feed[0], out.Feed[1])
	}
}

// restBeyond is how far (mm) beyond the sheet the machine waits if nothing is
// stated: far enough for drops to miss it. Common practice, no source.
const restBeyond = 20

// rest reads where the machine waits at pauses and at the end.
func (r *machineReader) rest(sheet *model.Sheet) {
	m := r.m
	m.RestX, m.RestY, m.RestZ = r.a.values.Length(r.d, "rest x"), r.a.values.Length(r.d, "rest y"), r.a.values.Length(r.d, "rest z")
	if c, _ := r.d.Find("rest z"); c == nil {
		m.RestZ = m.SafeHeight + sheet.Rise()
		r.derive("rest z", quantity.New(m.RestZ, quantity.MM))
	} else if rest, ok := r.a.values.Quantity(c); ok && m.RestZ < m.SafeHeight {
		r.a.problems.Errorf(problem.OutOfRange, c.Source.Place, problem.Advise("write at least the safe height, or leave the row out"),
			"rest z of %s is lower than the safe height", rest.Short())
	} else if need := m.SafeHeight + sheet.Rise(); ok && m.RestZ < need {
		r.a.problems.Errorf(problem.OutOfRange, c.Source.Place, problem.Advise("write at least "+quantity.New(math.Ceil(float64(need*10))/10, quantity.MM).Short()+", or leave the row out"),
			"rest z of %s is lower than the safe height over the highest place of the sheet, %s", rest.Short(), quantity.New(math.Round(float64(need*1000))/1000, quantity.MM).Short())
	}
	bed := placeOnBed(sheet)
	if m.ReachX == 0 || m.ReachY == 0 || bed.width == 0 { // reported
		return
	}
	x, _ := r.d.Find("rest x")
	y, _ := r.d.Find("rest y")
	if x == nil && y == nil {
		m.RestX, m.RestY = bed.beyond(m.ReachX, m.ReachY)
	}
	if x == nil {
		r.derive("rest x", quantity.New(m.RestX, quantity.MM))
	}
	if y == nil {
		r.derive("rest y", quantity.New(m.RestY, quantity.MM))
	}
	outside := false
	for _, axis := range []struct {
		c                  *binding.Cell
		at, reach, towards float64
		name               string
	}{{x, m.RestX, m.ReachX, bed.x, "X"}, {y, m.RestY, m.ReachY, bed.y, "Y"}} {
		if along := axis.at * axis.towards; axis.c != nil && (along < 0 || along > axis.reach) {
			outside = true
			r.a.problems.Errorf(problem.OutOfReach, axis.c.Source.Place, problem.Advise("write a place that it reaches"), "the machine reaches from %s0 to %s%s, not to %s",
				axis.name, axis.name, format.Plain.Number(axis.reach*axis.towards, 3), quantity.New(axis.at, quantity.MM).Short())
		}
	}
	if !outside && bed.covers(m.RestX, m.RestY) {
		r.restsOverSheet(x, y)
	}
}

// restsOverSheet warns of a machine that waits over the sheet.
func (r *machineReader) restsOverSheet(x, y *binding.Cell) {
	p := problem.Problem{Severity: problem.Warning, Code: problem.RestOverSheet, Place: r.m.Place,
		Message: fmt.Sprintf("at pauses the brush waits at X0 Y0, over the corner of the sheet: the machine does not reach %d mm beyond it", restBeyond),
		Fix:     problem.Advise("state rest x and rest y for a place beside the sheet, or use a smaller sheet")}
	for _, c := range []*binding.Cell{y, x} {
		if c != nil {
			p.Place, p.Message = c.Source.Place, "at pauses the brush waits over the sheet, and drops fall on it"
			p.Fix = problem.Advise("state rest x and rest y for a place beside the sheet")
		}
	}
	r.a.problems.Add(p)
}

// onBed is how the sheet lies on the bed: its size in the machine's X and Y,
// in mm, and to which side of the machine's zero it lies, 1 or -1.
type onBed struct {
	width, height float64
	x, y          float64
}

func placeOnBed(s *model.Sheet) onBed {
	b := onBed{width: s.Width, height: s.Height, x: 1, y: 1}
	if s.Turned%2 == 1 {
		b.width, b.height = b.height, b.width
	}
	// A quarter turn counter-clockwise takes each corner to the place of the next.
	switch lay := (int(s.Lay) + s.Turned) % 4; model.Corner(lay) {
	case model.LowerRight:
		b.x = -1
	case model.UpperRight:
		b.x, b.y = -1, -1
	case model.UpperLeft:
		b.y = -1
	}
	return b
}

// beyond is a place beyond the sheet within a reach (mm), or X0 Y0 if there is
// none: behind the sheet, away from the hands of whoever stands in front; else
// beside it; in front of it only if nothing else is left.
func (b onBed) beyond(reachX, reachY float64) (x, y float64) {
	behind, beside := b.height+restBeyond <= reachY, b.width+restBeyond <= reachX
	switch {
	case behind && (b.y > 0 || !beside):
		return 0, b.y * (b.height + restBeyond)
	case beside:
		return b.x * (b.width + restBeyond), 0
	}
	return 0, 0
}

// covers reports whether a place is over the sheet or at its edge.
func (b onBed) covers(x, y float64) bool {
	x, y = x*b.x, y*b.y
	return x >= 0 && x <= b.width && y >= 0 && y <= b.height
}

// dropHeight is how far (mm) a drop may hang below the tip. Common practice, no
// source.
const dropHeight = 2

// checkSafeHeight warns of a safe height, or a hover height, at which a drop below
// a brush could touch the sheet: at a place where the bed is high, after a low
// touch-off.
func (r *machineReader) checkSafeHeight(brushes []*model.Brush) {
	var worst *model.Brush
	for _, b := range brushes {
		if worst == nil || b.Touch > worst.Touch {
			worst = b
		}
	}
	if worst == nil || r.m.SafeHeight == 0 {
		return
	}
	need := r.m.Bed + 2*worst.Touch + dropHeight
	row, height := "safe height", r.m.SafeHeight
	if r.m.Hover > 0 {
		row, height = "hover", r.m.Hover // at most the safe height
	}
	if height >= need {
		return
	}
	place := r.m.Place
	if c, _ := r.d.Find(row); c != nil {
		place = c.Source.Place
	}
	r.a.problems.Add(problem.Problem{Severity: problem.Warning, Code: problem.LowSafeHeight, Place: place,
		Message: fmt.Sprintf("with a "+row+" of %s, a drop below the brush can touch the sheet as it travels: bed %s, twice touch %s and %s for a drop make %s",
			quantity.New(height, quantity.MM).Short(), hundredths(r.m.Bed), hundredths(2*worst.Touch), hundredths(dropHeight), hundredths(need)),
		Fix:     problem.Advise("write a " + row + " of at least " + hundredths(need)),
		Related: []problem.Related{{Place: worst.Place, Note: "the brush"}}})
}

// hundredths is a length in mm, rounded up to hundredths: some come from a fit.
func hundredths(v float64) string {
	return quantity.New(math.Ceil(float64(v*100)-1e-6)/100, quantity.MM).Short()
}

// stated reports whether the recipe or a notebook states a row.
func (r *machineReader) stated(word string) bool {
	c, _ := r.d.Find(word)
	return c != nil
}

// derive sets the default of a row that depends on other rows, for the page.
func (r *machineReader) derive(word string, q quantity.Quantity) {
	r.a.facts.derived[r.d.Schema.Find(word)] = q.String()
}

// checkFeed reports a feed of a layer or a trial, as what says, that the machine
// cannot move at; the cell is nil if no feed is stated.
func checkFeed(what string, layer *model.Layer, c *binding.Cell, m *model.Machine) problem.List {
	if m.FastestFeed == 0 || layer.Feed <= m.FastestFeed { // 0 if the machine has problems
		return nil
	}
	place := layer.Place
	if c != nil {
		place = c.Source.Place
	}
	fastest := quantity.New(m.FastestFeed, quantity.MMPerMin).Short()
	return problem.List{{Code: problem.TooFast, Place: place,
		Message: fmt.Sprintf("the %s %q would be painted at %s, and the machine moves at most at %s", what, layer.Name, quantity.New(layer.Feed, quantity.MMPerMin).Short(), fastest),
		Fix:     problem.Advise("write at most " + fastest + ", or state the machine's fastest feed"),
		Related: []problem.Related{{Place: m.Place, Note: "the machine"}}}}
}
