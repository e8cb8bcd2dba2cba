package proof

import (
	"fmt"
	"strings"
)

// Names of the checks, as a page shows them.
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
	ZKeepsUp    = "Z no faster than it can move"
	LiftedTrip  = "no rapid across below the safe height"
	NoDrag      = "no rapid across in contact"
	SlowDown    = "lowered at a feed, never by a rapid"
	SafePress   = "never below the safe press"
	OnSheet     = "every mark within the margins"
	Ahead       = "led ahead of the mark over the sheet only"
	WithinReach = "within the machine's reach"
	ArcsClose   = "arcs end on their circle"
	NoStanding  = "waits only where nothing can blot"
	StrokeCount = "as many strokes as planned"
	EndsLifted  = "ends lifted"
	CleanEnd    = "one end and nothing after it"
)

// Outcome is what came of one rule, ready for a page.
type Outcome struct {
	Name  string // one of the constants
	OK    bool
	Found string // what the program does, with the worst or the first place
	// Allowed is the limit.
	Allowed string
	Line    int    // of the worst or the first place that breaks the rule, else 0
	Why     string // what the rule keeps from harm
}

// Limits is what a program must keep to. The zero value allows nothing.
type Limits struct {
	// Sheet is the sheet in machine coordinates, Margin (mm) what stays bare
	// along its edges. Slack (mm) is by how much the edge of a mark may pass
	// the margin, for the tolerance of its outline; the way of the tip has none.
	Sheet         Rect
	Margin, Slack float64
	// Strip is an area beyond the margins where marks may lie too, such as
	// those painted first to check the touch; empty for none.
	Strip Rect
	// Reach is where the machine can go, in programmed coordinates, ReachLow
	// and ReachHigh the lowest and highest Z.
	Reach               Rect
	ReachLow, ReachHigh float64
	SafeHeight          float64 // Z in mm at which the brush travels
	SafePress           float64 // mm below the paper
	LowestFeed          float64 // mm/min
	HighestFeed         float64
	ZFeed               float64 // mm/min that Z can reach
	// TipX, TipY is where the mark comes less where the program sends the
	// machine, mm.
	TipX, TipY float64
	Strokes    int
	Brush      *Brush // gives the widths of the marks; nil: the way of the tip counts
	// Loose is for a program of which these limits are not known: a limit
	// that is 0 (of the strokes: less than 0) is left out with its check, and
	// words that only switch spindle or coolant off are let pass.
	Loose bool
}

// hair is what coordinates may differ by and still be the same, mm: less than
// any decimal that a program states.
const hair = 1e-6

// checker gathers the outcome of one rule: how often and where it is broken.
type checker struct {
	name, why, allowed string
	broken             int
	line               int
	found              string
	held               string // found where nothing is broken
}

// breaks tells of a place that breaks the rule; the first one is kept.
func (c *checker) breaks(line int, format string, args ...any) {
	if c.broken++; c.broken == 1 {
		c.line, c.found = line, fmt.Sprintf(format, args...)
	}
}

func (c *checker) result() Outcome {
	out := Outcome{Name: c.name, OK: c.broken == 0, Found: c.held, Allowed: c.allowed, Why: c.why}
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

// Check holds a program against the rules that keep brush, sheet, machine and
// hand from harm, each by what the text really says. The order is always the
// same.
func Check(p *Path, lim Limits) []Outcome {
	rules := []func(*Path, *Limits) *checker{
		understood, millimetres, absolute, perMinute, fixedZero, noSpindle, noCoolant, noChange,
		firstLift, feedSet, feedRange, zKeepsUp, liftedTrip, noDrag, slowDown,
		safePress, onSheet, ahead, withinReach, arcsClose, noStanding, strokeCount, endsLifted, cleanEnd,
	}
	out := make([]Outcome, 0, len(rules))
	for _, rule := range rules {
		if c := rule(p, &lim); c != nil {
			out = append(out, c.result())
		}
	}
	return out
}

// Passed says whether every check holds.
func Passed(checks []Outcome) bool {
	for _, c := range checks {
		if !c.OK {
			return false
		}
	}
	return true
}

func understood(p *Path, _ *Limits) *checker {
	c := &checker{name: Understood, allowed: "no fault", held: fmt.Sprintf("%d lines", p.Lines),
		why: "a machine stops, or does something else, at a line that it reads differently"}
	for _, f := range p.Faults {
		c.breaks(f.Line, "%s", f.Message)
	}
	return c
}

// stated checks that a mode is set before any motion and its contrary never.
func stated(p *Path, c *checker, want, never float64) *checker {
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
	c.held = "G" + plain(want)
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

func millimetres(p *Path, _ *Limits) *checker {
	return stated(p, &checker{name: Millimetres, why: "read as inches, the picture would be 25.4 times too large and the press too deep"}, 21, 20)
}

func absolute(p *Path, _ *Limits) *checker {
	return stated(p, &checker{name: Absolute, why: "a machine left in relative coordinates would take each place for a way to go"}, 90, 91)
}

func perMinute(p *Path, _ *Limits) *checker {
	return stated(p, &checker{name: PerMinute, why: "in the other mode the feed is the inverse of a time"}, 94, 93)
}

// none checks that words do not stand in the program.
func none(p *Path, c *checker, bad func(Word) bool) *checker {
	c.allowed, c.held = "none", "none"
	for _, w := range p.Words {
		if bad(w) {
			c.breaks(w.Line, "%v", w)
		}
	}
	return c
}

func fixedZero(p *Path, _ *Limits) *checker {
	return none(p, &checker{name: FixedZero, why: "layers lie on each other only while all programs count from the same zero"}, func(w Word) bool {
		return w.Letter == 'G' && w.Value >= 92 && w.Value < 92.5
	})
}

func noSpindle(p *Path, lim *Limits) *checker {
	return none(p, &checker{name: NoSpindle, why: "a turning spindle would fling the brush"}, func(w Word) bool {
		return w.Letter == 'M' && (w.Value == 3 || w.Value == 4 || w.Value == 5 && !lim.Loose) ||
			w.Letter == 'S' && !(lim.Loose && w.Value == 0)
	})
}

func noCoolant(p *Path, lim *Limits) *checker {
	return none(p, &checker{name: NoCoolant, why: "coolant would spoil the sheet"}, func(w Word) bool {
		return w.Letter == 'M' && (w.Value == 7 || w.Value == 8 || w.Value == 9 && !lim.Loose)
	})
}

func noChange(p *Path, _ *Limits) *checker {
	return none(p, &checker{name: NoChange, why: "a changer would take hold of the brush; brushes are swapped by hand between programs"}, func(w Word) bool {
		return w.Letter == 'M' && w.Value == 6 || w.Letter == 'T'
	})
}

func cleanEnd(p *Path, _ *Limits) *checker {
	c := &checker{name: CleanEnd, allowed: "M2 or M30 once, as the last line", held: fmt.Sprintf("line %d", p.End),
		why: "what stands after the end is never done, and a program without one may go on with the next"}
	if p.End == 0 {
		c.breaks(p.Lines, "neither M2 nor M30")
	}
	if p.After > 0 {
		c.breaks(p.After, "text after the end")
	}
	return c
}

// axesNames lists axes, such as "X, Y".
func axesNames(a Axes) string {
	var names []string
	for _, axis := range [...]Axes{X, Y, Z} {
		if a&axis != 0 {
			names = append(names, string(axisLetter(axis)))
		}
	}
	return strings.Join(names, ", ")
}
