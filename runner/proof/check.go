package proof

import (
	"fmt"
	"strings"
)

// Names of the rules, as a page shows them.
const (
	Understood  = "every line is understood"
	Millimetres = "millimetres before any motion"
	Absolute    = "absolute coordinates throughout"
	PerMinute   = "feed per minute throughout"
	FixedZero   = "the zero stays where it was set"
	NoSpindle   = "no spindle word"
	NoCoolant   = "no coolant word"
	NoChange    = "no tool change"
	FirstLift   = "the first motion is a lift"
	FeedSet     = "a feed before the first feed move"
	FeedRange   = "feeds within their range"
	FormulaFeed = "no faster than the formula of the feed"
	ZKeepsUp    = "Z no faster than it can move"
	BlockRate   = "no more blocks a second than the machine reads"
	LiftedTrip  = "no rapid across below the safe height"
	NoDrag      = "no rapid across in contact"
	SlowDown    = "lowered at a feed, never by a rapid"
	PlacedDown  = "lowered only where X and Y are stated"
	// These are the names where a hover height is stated.
	LiftedTripHover = "no rapid across below hover"
	SlowDownHover   = "lowered at a feed below hover, never by a rapid"
	PlacedDownHover = "below hover only where X and Y are stated"
	FollowsBed      = "Z follows the bed"
	AirHeight       = "never below the height of the air run, and down to it"
	StaysUp         = "never below the safe height"
	SafePress       = "never below the safe press"
	SteepPress      = "pressed no steeper than the brush allows"
	OnSheet         = "every mark within the margins"
	Ahead           = "the axis leads the mark over the sheet only"
	ClearsClamps    = "brush and holder clear the clamps"
	WithinReach     = "within the machine's reach"
	ArcsClose       = "arcs end on their circle"
	LoadLasts       = "loaded before the ink ends"
	Stations        = "lowered beside the sheet only into wells and onto scrap"
	NoStanding      = "no wait with the brush lowered"
	RestPlace       = "waits at its place to rest"
	StrokeCount     = "as many strokes as planned"
	EndsLifted      = "ends lifted"
	CleanEnd        = "one end and nothing after it"
	AsReads         = "written as the controller reads it"
)

// Outcome is the outcome of one rule, ready for a page.
type Outcome struct {
	Name    string // one of the constants
	OK      bool
	Found   string // what the program does, with the worst or the first line
	Allowed string // the limit
	Line    int    // the worst or the first that breaks the rule, else 0
	Why     string // what the rule protects
}

// Limits is what a program must keep to. The zero value allows nothing.
type Limits struct {
	// Sheet is the sheet in machine coordinates, Margin (mm) what stays bare
	// along its edges. Slack (mm) is how far the edge of a mark may reach past
	// the margin, because its outline has a tolerance; without a brush, when
	// the path of the tip counts, there is none.
	Sheet         Rect
	Margin, Slack float64
	// Lie is how the sheet has moved from there, nil if it has not. Sheet, Beside
	// and Waits are where it was.
	Lie *Lie
	// Beside are areas where marks are allowed too, in the margins or not: the
	// check strip and painted register marks.
	Beside []Rect
	// Reach is where the machine can go, in programmed coordinates, ReachLow
	// and ReachHigh the lowest and highest Z.
	Reach               Rect
	ReachLow, ReachHigh float64
	SafeHeight          float64 // Z in mm at which the brush travels
	// Hover is the Z in mm down to which the brush may go by a rapid, and at which
	// it may travel up to NearStrokes (mm) over the sheet within its margins; 0
	// for the safe height.
	Hover, NearStrokes float64
	// Rest is where the machine waits at pauses and at the end; higher is
	// allowed too.
	Rest Point
	// Over are places where it waits besides, each at least once; their Z does not
	// count.
	Over      []Point
	SafePress float64 // mm below the paper
	// SteepestPress is how many mm deeper the brush may be pressed a mm of way
	// along X and Y; infinite for no limit.
	SteepestPress float64
	LowestFeed    float64 // mm/min
	HighestFeed   float64 // of a move that goes across, along its path
	Feeds         *Feeds  // what a formula of the feed gives; nil if there is none
	ZFeed         float64 // mm/min that Z can reach
	Blocks        int     // blocks a second that the machine reads; 0 for any number
	// TipX, TipY is the position of the mark less that of the machine, mm.
	TipX, TipY float64
	Strokes    int
	// Waits are where the brush may stay on the paper; nowhere else.
	Waits []Wait
	// Stations are where the brush may be lowered beside the sheet: to be loaded in a
	// well, and no pause counts as loading it then. Without one it may be lowered over
	// the sheet only.
	Stations []Station
	Load     *Load   // what one load of ink paints; nil if the program need not mind
	AirRun   float64 // mm; the lowest Z of a rehearsal, which goes down to it; 0 for other programs
	Text     *Text   // how the controller wants the text; nil if it reads everything
	Lifted   bool    // it paints nothing and never goes below the safe height
	Brush    *Brush  // for the widths of the marks; if nil, the path of the tip counts
	// Bed is the surface that the program must follow; nil for a flat bed. What
	// happens on the paper and above it is then judged by heights over the paper.
	Bed    *Bed
	Clamps *Clamps // nil if there are none
	// Loose is for a program whose limits are not known: a rule whose limit is
	// 0 (for the strokes: less than 0) is skipped, and words that only switch
	// spindle or coolant off are allowed.
	Loose bool
}

// Wait is a place where the brush may stay on the paper for some time.
type Wait struct {
	Rect    Rect    // of the machine's X and Y, in programmed coordinates
	Depth   float64 // mm below the paper that it may be pressed meanwhile
	Seconds float64 // that one wait may take
}

// Load is what one load of ink paints: an area in mm² or, if that is 0, a length
// in mm.
type Load struct{ Area, Length float64 }

// coordTolerance is how much equal coordinates may differ, mm: less than the
// last decimal of any program.
const coordTolerance = 1e-6

// verdict is the outcome of one rule so far: how often and where it is broken.
type verdict struct {
	name, why, allowed string
	broken             int
	line               int
	found              string
	kept               string // what was found, if the rule is kept
}

// breaks records a line that breaks the rule; the first one is reported.
func (c *verdict) breaks(line int, format string, args ...any) {
	if c.broken++; c.broken == 1 {
		c.line, c.found = line, fmt.Sprintf(format, args...)
	}
}

// result is the verdict as an outcome.
func (c *verdict) result() Outcome {
	out := Outcome{Name: c.name, OK: c.broken == 0, Found: c.kept, Allowed: c.allowed, Why: c.why}
	if c.broken > 0 {
		out.Line = c.line
		out.Found = c.found
		if c.line > 0 {
			out.Found += fmt.Sprintf(" at line %d", c.line)
		}
		if c.broken > 1 {
			out.Found += fmt.Sprintf(", and %d more", c.broken-1)
		}
	}
	return out
}

// Check checks a program against the rules that protect brush, sheet, machine
// and hand. The outcomes always come in the same order; a rule that does not
// apply is left out.
func Check(p *Path, lim Limits) []Outcome {
	p = Visiting(p, lim.Stations)
	paper := OnBed(p, lim.Bed, lim.TipX, lim.TipY)
	rules := []struct {
		path  *Path
		check func(*Path, *Limits) *verdict
	}{
		{paper, understood}, {p, millimetres}, {p, absolute}, {p, perMinute}, {p, fixedZero}, {p, noSpindle}, {p, noCoolant}, {p, noChange},
		{p, firstLift}, {p, feedSet}, {p, feedRange}, {paper, followsFormula}, {p, zKeepsUp}, {p, blockRate}, {paper, liftedTrip}, {paper, noDrag}, {paper, slowDown}, {p, placedDown},
		{p, followsBed}, {p, staysUp}, {p, airHeight}, {paper, safePress}, {paper, steepPress}, {paper, onSheet}, {paper, ahead}, {p, clearsClamps}, {p, withinReach}, {p, arcsClose},
		{paper, loadLasts}, {p, stations}, {paper, noStanding}, {p, restPlace}, {paper, strokeCount}, {paper, endsLifted}, {p, cleanEnd}, {p, asReads},
	}
	out := make([]Outcome, 0, len(rules))
	for _, rule := range rules {
		if c := rule.check(rule.path, &lim); c != nil {
			out = append(out, c.result())
		}
	}
	return out
}

// Passed reports whether every rule is kept.
func Passed(checks []Outcome) bool {
	for _, c := range checks {
		if !c.OK {
			return false
		}
	}
	return true
}

func understood(p *Path, _ *Limits) *verdict {
	c := &verdict{name: Understood, allowed: "no fault", kept: fmt.Sprintf("%d lines", p.Lines),
		why: "at a line that it reads differently, a machine stops or does something else"}
	for _, f := range p.Faults {
		c.breaks(f.Line, "%s", f.Message)
	}
	return c
}

// stated checks that a mode is set before any motion, and its opposite never.
func stated(p *Path, c *verdict, want, never float64) *verdict {
	done := false
	for _, w := range p.Words {
		switch {
		case w.Letter != 'G':
		case w.Value == never:
			c.breaks(w.Line, "%v", w)
		case w.Value == want && w.Moves == 0:
			done = true
		}
	}
	c.kept = "G" + plain(want)
	c.allowed = "G" + plain(want) + " before any motion, never G" + plain(never)
	if !done && c.broken == 0 {
		line := 0
		if len(p.Moves) > 0 {
			line = p.Moves[0].Line
		}
		c.breaks(line, "motion without G%s before it", plain(want))
	}
	return c
}

func millimetres(p *Path, _ *Limits) *verdict {
	return stated(p, &verdict{name: Millimetres, why: "in inches, the picture would be 25.4 times too large and the press too deep"}, 21, 20)
}

func absolute(p *Path, _ *Limits) *verdict {
	return stated(p, &verdict{name: Absolute, why: "in relative coordinates, a machine takes each position for a distance to go"}, 90, 91)
}

func perMinute(p *Path, _ *Limits) *verdict {
	return stated(p, &verdict{name: PerMinute, why: "in the other mode, F means one divided by the time of the move"}, 94, 93)
}

// none checks that the program has no word that is bad.
func none(p *Path, c *verdict, bad func(Word) bool) *verdict {
	c.allowed, c.kept = "none", "none"
	for _, w := range p.Words {
		if bad(w) {
			c.breaks(w.Line, "%v", w)
		}
	}
	return c
}

func fixedZero(p *Path, _ *Limits) *verdict {
	return none(p, &verdict{name: FixedZero, why: "layers register only if all programs count from the same zero"}, func(w Word) bool {
		return w.Letter == 'G' && w.Value >= 92 && w.Value < 92.5
	})
}

func noSpindle(p *Path, lim *Limits) *verdict {
	return none(p, &verdict{name: NoSpindle, why: "a turning spindle would throw the brush"}, func(w Word) bool {
		return w.Letter == 'M' && (w.Value == 3 || w.Value == 4 || w.Value == 5 && !lim.Loose) ||
			w.Letter == 'S' && !(lim.Loose && w.Value == 0)
	})
}

func noCoolant(p *Path, lim *Limits) *verdict {
	return none(p, &verdict{name: NoCoolant, why: "coolant would spoil the sheet"}, func(w Word) bool {
		return w.Letter == 'M' && (w.Value == 7 || w.Value == 8 || w.Value == 9 && !lim.Loose)
	})
}

func noChange(p *Path, _ *Limits) *verdict {
	return none(p, &verdict{name: NoChange, why: "a tool changer would grip the brush; brushes are swapped by hand between programs"}, func(w Word) bool {
		return w.Letter == 'M' && w.Value == 6 || w.Letter == 'T'
	})
}

func cleanEnd(p *Path, _ *Limits) *verdict {
	c := &verdict{name: CleanEnd, allowed: "M2 or M30 once, as the last line", kept: fmt.Sprintf("line %d", p.End),
		why: "text after the end is not executed, and without an end the machine may run on into the next program"}
	if p.End == 0 {
		c.breaks(p.Lines, "neither M2 nor M30")
	}
	if p.After > 0 {
		c.breaks(p.After, "text after the end")
	}
	return c
}

// axesNames is a list of axes, such as "X, Y".
func axesNames(a Axes) string {
	var names []string
	for _, axis := range [...]Axes{X, Y, Z} {
		if a&axis != 0 {
			names = append(names, string(axisLetter(axis)))
		}
	}
	return strings.Join(names, ", ")
}
