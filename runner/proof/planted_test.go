package proof

import (
	"math"
	"strings"
	"testing"
)

// goodLimits are the limits that testdata/good.nc keeps to.
func goodLimits() Limits {
	brush, err := NewBrush([]Rung{{0, 0.2}, {2, 1.2}, {5, 2.4}})
	if err != nil {
		panic(err)
	}
	return Limits{
		Sheet: Rect{0, 0, 210, 297}, Margin: 8, Slack: 0,
		Reach: Rect{-1, -1, 300, 400}, ReachLow: -10, ReachHigh: 20,
		SafeHeight: 5, SafePress: 5, LowestFeed: 300, HighestFeed: 750, ZFeed: 400,
		Strokes: 3, Brush: brush, SteepestPress: math.Inf(1),
	}
}

// failed lists the names of the checks that do not hold.
func failed(checks []Outcome) []string {
	var names []string
	for _, c := range checks {
		if !c.OK {
			names = append(names, c.Name)
		}
	}
	return names
}

func TestGoodProgram(t *testing.T) {
	p, faults := Read("good.nc", readFile(t, "good.nc"))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	for _, c := range Check(p, goodLimits()) {
		if !c.OK || c.Line != 0 {
			t.Errorf("%s: %s at %d, allowed %s", c.Name, c.Found, c.Line, c.Allowed)
		}
		if c.Name == "" || c.Found == "" || c.Allowed == "" || c.Why == "" {
			t.Errorf("not ready for a page: %+v", c)
		}
	}
}

// planted is a fault put into a good program, and the check that must find it.
type planted struct {
	name string
	// old is replaced by new once; "" puts new before the first line.
	old, new string
	caught   string
	limits   func(*Limits) // changes the limits instead, or too
}

var faults = []planted{
	{name: "a hundredth too deep", old: "Z-5\n", new: "Z-5.01\n", caught: SafePress},
	{name: "a thousandth too deep", old: "Z-5\n", new: "Z-5.001\n", caught: SafePress},
	{name: "ten times too deep", old: "Z-0.5", new: "Z-50", caught: SafePress},
	{name: "point lost", old: "Z-4.5", new: "Z-45", caught: SafePress},
	{name: "too deep by relative steps", old: "X50 Y50 Z-0.5", new: "G91\nX5 Y10 Z-0.5\nG90", caught: SafePress},
	{name: "too deep by an arc", old: "G1 Z0.5 F300", new: "G18 G2 X130 Z-2 I5 K0\nG17 G1 Z0.5 F300", caught: SafePress},
	{name: "too deep by a shifted zero", old: "G0 X100 Y100", new: "G0 X100 Y100\nG92 Z9", caught: SafePress},
	{name: "press sign lost", old: "X45 Y40 Z-5", new: "X45 Y40 Z5", caught: StrokeCount},
	{name: "rapid across in contact", old: "X30 Y30", new: "G0 X30 Y30", caught: NoDrag},
	{name: "rapid across below the safe height", old: "G0 X100 Y100", new: "G0 Z4.99\nG0 X100 Y100", caught: LiftedTrip},
	{name: "rapid across at the touch", old: "(stroke 2, round)", new: "G0 Z0\nG0 X60", caught: NoDrag},
	{name: "lift forgotten between strokes", old: "G0 Z5\n(stroke 2", new: "(stroke 2", caught: NoDrag},
	{name: "lift and travel in one", old: "G0 Z5\n(stroke 2, round)\nG0 X100 Y100", new: "G0 X100 Y100 Z5", caught: NoDrag},
	{name: "travel and lowering in one", old: "G0 X100 Y100\nG1 Z-2", new: "G0 X100 Y100 Z2\nG1 Z-2", caught: LiftedTrip},
	{name: "lowered by a rapid", old: "G1 Z-2 F300\nG3", new: "G0 Z-2\nF300\nG3", caught: SlowDown},
	{name: "lowered nearly by a rapid", old: "G1 Z0 F300", new: "G0 Z1\nG1 Z0 F300", caught: SlowDown},
	{name: "X stated alone before the lowering", old: "G0 X100 Y100", new: "G0 X100", caught: PlacedDown},
	{name: "Y stated alone before the lowering", old: "G0 X100 Y100", new: "G0 Y100", caught: PlacedDown},
	{name: "travel to a stroke lost", old: "G0 X200.5 Y287.5\n", new: "", caught: PlacedDown},
	{name: "stated before the pause only", old: "G0 X100 Y100", new: "G0 X100 Y100\nM0", caught: PlacedDown},
	{name: "stated before the lift only", old: "G0 Z5\n(stroke 2, round)\nG0 X100 Y100", new: "G0 Z5\nG1 Z0.5\nG0 Z5\nG0 X100", caught: PlacedDown},
	{name: "lowered on the way to an unstated start", old: "N30 G0 X20 Y30\n(stroke 1)\nG1 Z0 F300", new: "G1 X20 Y30 Z0 F300", caught: PlacedDown},
	{name: "feed forgotten", old: "G1 Z0 F300\nG1 X22 Z-1 F600", new: "G1 Z0\nG1 X22 Z-1", caught: FeedSet},
	{name: "feed on the second move only", old: "G1 Z0 F300", new: "G1 Z0", caught: FeedSet},
	{name: "feed nothing", old: "F750", new: "F0", caught: FeedSet},
	{name: "feed lost with the mode", old: "X190 F750", new: "G93\nG94\nX190", caught: FeedSet},
	{name: "feed too high", old: "F750", new: "F751", caught: FeedRange},
	{name: "feed too low", old: "F300", new: "F299", caught: FeedRange},
	{name: "feed too high along a slope", old: "X22 Z-1 F600", new: "X22 Z-0.01 F800", caught: FeedRange},
	{name: "feed of Z along a path", old: "X190 F750", new: "X190 F1200", caught: FeedRange, limits: func(l *Limits) { l.ZFeed = 1500 }},
	{name: "feed ten times", old: "F750", new: "F7500", caught: FeedRange},
	{name: "feed in mm/s", old: "F600", new: "F10", caught: FeedRange},
	{name: "feed negative", old: "F750", new: "F-750", caught: Understood},
	{name: "Z too fast", old: "X40 Y35 Z-4.5", new: "X32 Y30 Z-4.5\nX40 Y35", caught: ZKeepsUp},
	{name: "lowered too fast", old: "G1 Z0 F300", new: "G1 Z0 F401", caught: ZKeepsUp},
	{name: "spindle on", old: "(stroke 1)", new: "M3", caught: NoSpindle},
	{name: "spindle the other way", old: "(stroke 1)", new: "M4", caught: NoSpindle},
	{name: "spindle off", old: "(stroke 1)", new: "M5", caught: NoSpindle},
	{name: "spindle speed", old: "G0 X100 Y100", new: "G0 X100 Y100 S1000", caught: NoSpindle},
	{name: "spindle in disguise", old: "(stroke 1)", new: "m 0 03. ", caught: NoSpindle},
	{name: "spindle behind the motion", old: "F750", new: "F750 M3", caught: NoSpindle},
	{name: "mist", old: "(stroke 1)", new: "M7", caught: NoCoolant},
	{name: "flood", old: "(stroke 1)", new: "M8", caught: NoCoolant},
	{name: "coolant off", old: "M0\n", new: "M9\nM0\n", caught: NoCoolant},
	{name: "tool change", old: "(stroke 1)", new: "M6", caught: NoChange},
	{name: "tool chosen", old: "(stroke 1)", new: "T2", caught: NoChange},
	{name: "inches", old: "G21", new: "G20", caught: Millimetres},
	{name: "inches midway", old: "(stroke 2, round)", new: "G20", caught: Millimetres},
	{name: "inches midway and back", old: "(stroke 2, round)", new: "G20\nG21", caught: Millimetres},
	{name: "units forgotten", old: "G21 ", new: "", caught: Millimetres},
	{name: "units too late", old: "N10 G21 G90 G94 G17\nN20 G0 Z5", new: "N10 G90 G94 G17\nN20 G0 Z5\nG21", caught: Millimetres},
	{name: "relative", old: "G90", new: "G91", caught: Absolute},
	{name: "relative midway", old: "G0 X0 Y0", new: "G91 G0 X0 Y0", caught: Absolute},
	{name: "coordinates not said to be absolute", old: "G90 ", new: "", caught: Absolute},
	{name: "inverse time", old: "G0 X0 Y0", new: "G93\nG0 X0 Y0", caught: PerMinute},
	{name: "feed mode not said", old: "G94 ", new: "", caught: PerMinute},
	{name: "zero shifted", old: "G0 X0 Y0", new: "G0 X0 Y0\nG92 X1 Y1", caught: FixedZero},
	{name: "a load too small by area", limits: func(l *Limits) { l.Load = &Load{Area: 130} }, caught: LoadLasts},
	{name: "a load too small by length", limits: func(l *Limits) { l.Load = &Load{Length: 100} }, caught: LoadLasts},
	{name: "an air run that touches", limits: func(l *Limits) { l.AirRun = 2 }, caught: AirHeight},
	{name: "driven straight down", limits: func(l *Limits) { l.SteepestPress = 100 }, caught: SteepPress},
	{name: "off the right margin by a hundredth", old: "X200.5", new: "X201.41", caught: OnSheet},
	{name: "off the upper margin by a hundredth", old: "Y287.5", new: "Y288.41", caught: OnSheet},
	{name: "off the left margin", old: "G0 X100 Y100\nG1 Z-2", new: "G0 X8.59 Y100\nG1 Z-2 F300\nG0 Z5\nG0 X100 Y100\nG1 Z-2", caught: OnSheet},
	{name: "off the lower margin", old: "X30 Y30", new: "X30 Y8.34", caught: OnSheet},
	{name: "off the sheet by an arc", old: "G3 X110 Y110 I0 J10", new: "G2 X110 Y110 R-80", caught: OnSheet},
	{name: "off the margin by the width of the mark", old: "X190 F750", new: "X190 Y287.9 F750\nX185 Z-5 Y287.9", caught: OnSheet},
	{name: "off the sheet by the tip's offset", limits: func(l *Limits) { l.TipX = 1 }, caught: OnSheet},
	{name: "off the strip in the margin", old: "G0 X100 Y100", new: "G0 X3 Y20\nG1 Z-1 F300\nX5 F600\nY40.1\nG0 Z5\nG0 X100 Y100", caught: OnSheet,
		limits: func(l *Limits) { l.Beside, l.Strokes = []Rect{{0, 0, 1, 1}, {2, 10, 6, 40}}, 4 }},
	{name: "point lost in Y", old: "Y287.5", new: "Y2875", caught: OnSheet},
	{name: "beyond the reach to the right", old: "G0 X0 Y0", new: "G0 X300.01 Y0", caught: WithinReach},
	{name: "beyond the reach to the left", old: "G0 X0 Y0", new: "G0 X-1.01 Y0", caught: WithinReach},
	{name: "beyond the reach behind", old: "G0 X0 Y0", new: "G0 X0 Y400.01", caught: WithinReach},
	{name: "beyond the reach in front", old: "G0 X0 Y0", new: "G0 X0 Y-1.01", caught: WithinReach},
	{name: "beyond the reach above", old: "G0 Z20", new: "G0 Z20.01", caught: WithinReach},
	{name: "beyond the reach below", limits: func(l *Limits) { l.ReachLow = -4.99 }, caught: WithinReach},
	{name: "beyond the reach for others' tip", limits: func(l *Limits) { l.Reach.MaxX = 200 }, caught: WithinReach},
	{name: "lift at the end forgotten", old: "G0 Z5\nG0 X0 Y0\nM0\nG0 Z20", new: "", caught: EndsLifted},
	{name: "lift at the end too low", old: "G0 Z20", new: "G0 Z4.99", caught: EndsLifted},
	{name: "lift at the start forgotten", old: "N20 G0 Z5\n", new: "", caught: FirstLift},
	{name: "lift at the start too low", old: "N20 G0 Z5", new: "N20 G0 Z4.9", caught: FirstLift},
	{name: "lift at the start with a trip", old: "N20 G0 Z5", new: "N20 G0 Z5 X20", caught: FirstLift},
	{name: "exponent", old: "Z-0.5", new: "Z-5e-01", caught: Understood},
	{name: "decimal comma", old: "Z-0.5", new: "Z-0,5", caught: Understood},
	{name: "no number at all", old: "Z-0.5", new: "ZNaN", caught: Understood},
	{name: "an axis twice", old: "X30 Y30", new: "X30 Y30 X31", caught: Understood},
	{name: "two motions on a line", old: "G1 X22", new: "G1 G0 X22", caught: Understood},
	{name: "comment unclosed", old: "(stroke 1)", new: "(stroke 1", caught: Understood},
	{name: "comment within a comment", old: "(stroke 1)", new: "(stroke (1))", caught: Understood},
	{name: "user's text in a comment", old: "(stroke 1)", new: "(R\u00e4der)", caught: Understood},
	{name: "unknown word", old: "(stroke 1)", new: "G5.1", caught: Understood},
	{name: "parameter", old: "X30 Y30", new: "X#5 Y30", caught: Understood},
	{name: "block delete", old: "G0 Z5\n(stroke 2", new: "/G0 Z5\n(stroke 2", caught: Understood},
	{name: "another zero", old: "(stroke 1)", new: "G55", caught: Understood},
	{name: "machine's zero", old: "G0 X0 Y0", new: "G53 G0 X0 Y0", caught: Understood},
	{name: "home", old: "G0 X0 Y0", new: "G28", caught: Understood},
	{name: "long line", old: "(stroke 1)", new: "(" + strings.Repeat("-", 255) + ")", caught: Understood},
	{name: "binary rubbish", old: "(stroke 1)", new: "\x00\xff", caught: Understood},
	{name: "a stroke too many", old: "G4 P0.5", new: "G4 P0.5\nG1 Z-1 F300\nG0 Z5", caught: StrokeCount},
	{name: "a stroke too few", old: "G1 Z-2 F300\nX190 F750", new: "G1 X190 F750", caught: StrokeCount},
	{name: "a stroke cut in two", old: "X45 Y40 Z-5", new: "X45 Y40 Z0.1", caught: StrokeCount},
	{name: "two strokes joined", old: "G1 Z0.5 F300\nG0 Z5\nG4 P0.5\n(stroke 3, to the edge)\nG0 X200.5 Y287.5\nG1 Z-2 F300", new: "G1 X200.5 Y287.5", caught: StrokeCount},
	{name: "arc that does not close", old: "G3 X110 Y110 I0 J10", new: "G3 X110 Y110.004 I0 J10", caught: ArcsClose},
	{name: "arc with a rounded centre", old: "G3 X110 Y110 I0 J10", new: "G3 X110 Y110 I0.01 J10", caught: ArcsClose},
	{name: "dwell in contact", old: "X30 Y30", new: "X30 Y30\nG4 P1\nG1", caught: NoStanding},
	{name: "pause in contact", old: "X30 Y30", new: "X30 Y30\nM0", caught: NoStanding},
	{name: "pause below the safe height", old: "M0\nG0 Z20", new: "G0 Z4\nM60\nG0 Z20", caught: NoStanding},
	{name: "rapid across below hover", old: "G0 Z5\nG4", new: "G0 Z2.49\nG0 X130\nG0 Z5\nG4", limits: hovering, caught: LiftedTripHover},
	{name: "a far rapid across at hover", old: "G0 Z5\nG4", new: "G0 Z2.5\nG4", limits: hovering, caught: LiftedTripHover},
	{name: "a rapid across the margin at hover", old: "G0 X0 Y0", new: "G0 Z2.5\nG0 X190 Y289.1\nG0 Z5\nG0 X0 Y0", limits: hovering, caught: LiftedTripHover},
	{name: "many short moves", old: "X30 Y30", new: "X29.5 Y30\nX29.7\nX30", limits: func(l *Limits) { l.Blocks = 40 }, caught: BlockRate},
	{name: "faster than the formula", old: "X190 F750", new: "X190 F765", limits: fedByFormula, caught: FormulaFeed},
	{name: "a pause that the controller does not know", limits: func(l *Limits) { l.Text = &Text{Pause: 1, End: 2} }, caught: AsReads},
	{name: "an end that the controller does not know", limits: func(l *Limits) { l.Text = &Text{End: 30} }, caught: AsReads},
	{name: "a line that the controller does not take in", limits: func(l *Limits) { l.Text = &Text{Longest: 30, End: 2} }, caught: AsReads},
	{name: "a comment behind the head", limits: func(l *Limits) { l.Text = &Text{HeadOnly: true, End: 2} }, caught: AsReads},
	{name: "a block without a number", limits: func(l *Limits) { l.Text = &Text{Numbered: true, End: 2} }, caught: AsReads},
	{name: "pause at hover", old: "G0 X0 Y0\nM0", new: "G0 X0 Y0\nG0 Z2.5\nM0", limits: hovering, caught: NoStanding},
	{name: "ends at hover", old: "G0 Z20\n", new: "G0 Z2.5\n", limits: hovering, caught: EndsLifted},
	{name: "first lift to hover", old: "N20 G0 Z5", new: "N20 G0 Z2.5", limits: hovering, caught: FirstLift},
	{name: "lowered by a rapid below hover", old: "G1 Z0 F300", new: "G0 Z2.49\nG1 Z0 F300", limits: hovering, caught: SlowDownHover},
	{name: "travel to a stroke lost after a lift to hover", old: "G0 Z5\nG4 P0.5\n(stroke 3, to the edge)\nG0 X200.5 Y287.5", new: "G0 Z2.5", limits: hovering, caught: PlacedDownHover},
	{name: "pause before the lift", old: "N20 G0 Z5", new: "M1\nN20 G0 Z5", caught: NoStanding},
	{name: "pause over the sheet", old: "G0 X0 Y0\nM0", new: "M0\nG0 X0 Y0", caught: RestPlace},
	{name: "pause beside the place to rest", old: "G0 X0 Y0\nM0", new: "G0 X0.002 Y0\nM0\nG0 X0 Y0", caught: RestPlace},
	{name: "no pause over a mark", limits: func(l *Limits) { l.Over = []Point{{X: 50, Y: 50}} }, caught: RestPlace},
	{name: "sheet put back a hand away", limits: func(l *Limits) { l.Lie = &Lie{XX: 1, YY: 1, X: 30} }, caught: OnSheet},
	{name: "pause below the place to rest", limits: func(l *Limits) { l.Rest.Z = 5.01 }, caught: RestPlace},
	{name: "travel over a clamp", limits: clamped(Clamp{"c", [4][2]float64{{70, 60}, {80, 60}, {80, 80}, {70, 80}}, 4.1}), caught: ClearsClamps},
	{name: "a clamp beside a stroke", limits: clamped(Clamp{"c", [4][2]float64{{45.5, 28}, {50, 28}, {50, 34}, {45.5, 34}}, 0.1}), caught: ClearsClamps},
	{name: "a clamp turned by an eighth", limits: clamped(Clamp{"c", [4][2]float64{{40, 26}, {44, 30}, {43, 31}, {39, 27}}, 0.1}), caught: ClearsClamps},
	{name: "a clamp under the first trip", limits: clamped(Clamp{"c", [4][2]float64{{10, 10}, {12, 10}, {12, 18}, {10, 18}}, 4.1}), caught: ClearsClamps},
	{name: "a clamp within an arc", limits: clamped(Clamp{"c", [4][2]float64{{112, 113}, {113, 113}, {113, 114}, {112, 114}}, 0.1}), caught: ClearsClamps},
	{name: "ends over the sheet", old: "G0 Z20\n", new: "G0 Z20\nG0 X100\n", caught: RestPlace},
	{name: "ends below the place to rest", old: "G0 Z20\n", new: "", limits: func(l *Limits) { l.Rest.Z = 5.01 }, caught: RestPlace},
	{name: "place to rest mistaken", limits: func(l *Limits) { l.Rest.Y = 317 }, caught: RestPlace},
	{name: "lowered where nothing is painted", limits: func(l *Limits) { l.Lifted = true }, caught: StaysUp},
	{name: "text after the end", old: "M2\n", new: "M2\nG0 Z5\n", caught: CleanEnd},
	{name: "program after the end", old: "M2\n", new: "M2\n%\n", caught: CleanEnd},
	{name: "end too early", old: "(stroke 2, round)", new: "M30", caught: CleanEnd},
	{name: "end forgotten", old: "M2\n", new: "", caught: CleanEnd},
	{name: "cut off in the middle", old: "(stroke 3, to the edge)", new: "\x1a", caught: Understood},
}

// fedByFormula states a feed of 900 mm/min that falls by 20 mm/min a mm of press and,
// in the second half of a stroke, by up to 100 mm/min.
func fedByFormula(l *Limits) {
	f := &Feeds{Deepest: 5}
	for row := range 501 {
		line := make([]float64, 101)
		for k := range line {
			line[k] = 900 - 20*float64(row)/100 - 200*max(0, float64(k)/100-0.5)
		}
		f.Fastest = append(f.Fastest, line)
	}
	l.Feeds = f
}

// The good program keeps to a feed by formula; a tenth less breaks it.
func TestFormulaFeed(t *testing.T) {
	p, _ := Read("good.nc", readFile(t, "good.nc"))
	lim := goodLimits()
	fedByFormula(&lim)
	for _, c := range Check(p, lim) {
		if c.Name == FormulaFeed && !c.OK {
			t.Errorf("%+v", c)
		}
	}
	for row := range lim.Feeds.Fastest {
		for k := range lim.Feeds.Fastest[row] {
			lim.Feeds.Fastest[row][k] *= 0.9
		}
	}
	if names := failed(Check(p, lim)); len(names) != 1 || names[0] != FormulaFeed {
		t.Error(names)
	}
	lim.Feeds.Parts = [][2]float64{{0, 1}, {0, 1}, {0, 0.5}} // the last stroke is a first half
	if names := failed(Check(p, lim)); len(names) > 0 {
		t.Error(names)
	}
}

// A program as the controller wants it keeps the rule.
func TestAsReads(t *testing.T) {
	text := "(a head)\nN2 G21 G90 G94 G17\n/n3G0Z5\n N4 G0 X0 Y0\nN5 M1\nN6 M30\n"
	p, _ := Read("small.nc", []byte(strings.Replace(text, "/n3", "n3", 1)))
	lim := Limits{Loose: true, Strokes: -1, Text: &Text{Longest: 20, HeadOnly: true, Numbered: true, End: 30, Pause: 1}}
	for _, c := range Check(p, lim) {
		if c.Name == AsReads && (!c.OK || c.Found != "at most 18 characters a line") {
			t.Errorf("%+v", c)
		}
	}
}

// What a head states may be broken over several comments.
func TestBrokenComments(t *testing.T) {
	p, _ := Read("small.nc", []byte("(timed with travel 1500,)\n(- z 600, acceleration)\n(- 100, corner 0.05)\n(timed by axis x 1500)\n(- 80)\n(about 1 min, 4 strokes,)\n(- 3 check marks and 2)\n(- register marks, 1 m)\nG21\n(- 7)\n"))
	want := Timing{Travel: 1500, ZFeed: 600, Acceleration: 100, Corner: 0.05, Axes: [3]AxisMotion{{1500, 80}}}
	if got := p.StatedTiming(); got != want {
		t.Errorf("%+v", got)
	}
	if marks, arms := p.StatedBeside(); marks != 3 || arms != 8 {
		t.Errorf("%d check marks, %d arms", marks, arms)
	}
}

// clamped states a clamp, and a holder 8 mm wide.
func clamped(c Clamp) func(*Limits) {
	return func(l *Limits) {
		l.Clamps = &Clamps{Brush: Rect{-0.5, -0.5, 0.5, 0.5}, Holder: Rect{-4, -4, 4, 4}, Clear: 1, Clamps: []Clamp{c}}
	}
}

// hovering states a hover height.
func hovering(l *Limits) { l.Hover, l.NearStrokes = 2.5, 50 }

// A rapid down to hover, and a short one across there over the bare sheet, are
// what hover is for; without it both break a rule.
func TestHover(t *testing.T) {
	good := string(readFile(t, "good.nc"))
	low := strings.Replace(good, "G0 X100 Y100\nG1 Z-2", "G0 X100 Y100\nG0 Z2.5\nG1 Z-2", 1)
	low = strings.Replace(low, "G0 Z5\nG4 P0.5", "G0 Z2.5\nG0 X150 Y100.5\nG4 P0.5\nG0 Z5", 1)
	p, _ := Read("hover.nc", []byte(low))
	lim := goodLimits()
	if got := strings.Join(failed(Check(p, lim)), "|"); got != LiftedTrip+"|"+SlowDown {
		t.Errorf("without hover: %s", got)
	}
	hovering(&lim)
	if got := failed(Check(p, lim)); len(got) > 0 {
		t.Errorf("with hover: %q", got)
	}
	lim.TipX = 60 // the tip is over the margin
	if got := strings.Join(failed(Check(p, lim)), "|"); !strings.Contains(got, LiftedTripHover) {
		t.Errorf("with the tip over the margin: %s", got)
	}
}

// Each fault put into a good program must be caught by the check for it.
func TestPlantedFaults(t *testing.T) {
	good := string(readFile(t, "good.nc"))
	if len(faults) < 40 {
		t.Fatalf("only %d faults are planted", len(faults))
	}
	missed := map[string]bool{}
	for _, c := range Check(&Path{}, Limits{}) {
		missed[c.Name] = true
	}
	for _, f := range faults {
		t.Run(f.name, func(t *testing.T) {
			text := good
			if f.limits == nil || f.old != "" {
				text = strings.Replace(good, f.old, f.new, 1)
				if text == good {
					t.Fatalf("%q is not in the good program", f.old)
				}
			}
			lim := goodLimits()
			if f.limits != nil {
				f.limits(&lim)
			}
			p, _ := Read("planted.nc", []byte(text))
			names := failed(Check(p, lim))
			if !strings.Contains(strings.Join(names, "|"), f.caught) {
				t.Errorf("not caught by %q, only by %q", f.caught, names)
			}
			delete(missed, f.caught)
		})
	}
	for name := range missed {
		t.Errorf("no fault is planted for %q", name)
	}
}

// A line lost or doubled anywhere in the program either breaks a rule, or
// shows against the marks that the good program paints, or changes none.
func TestPlantedLines(t *testing.T) {
	good := strings.SplitAfter(string(readFile(t, "good.nc")), "\n")
	lim := goodLimits()
	p, _ := Read("good.nc", []byte(strings.Join(good, "")))
	want := Measure(p, Timing{}, lim.Brush)
	broken, shown := 0, 0
	for i := range good {
		for name, lines := range map[string][]string{
			"lost":    append(append([]string{}, good[:i]...), good[i+1:]...),
			"doubled": append(append([]string{}, good[:i+1]...), good[i:]...),
		} {
			p, _ := Read("planted.nc", []byte(strings.Join(lines, "")))
			got := Measure(p, Timing{}, lim.Brush)
			switch {
			case !Passed(Check(p, lim)):
				broken++
			case abs(got.Painted-want.Painted) > 0.001 || got.Marks != want.Marks:
				shown++
			case got.Lowest != want.Lowest || len(got.Strokes) != len(want.Strokes):
				t.Errorf("line %d %s goes unnoticed: %q", i+1, name, good[i])
			}
		}
	}
	if broken < 13 || shown < 10 {
		t.Errorf("%d lines broke a rule and %d showed in the marks", broken, shown)
	}
}

// The zero value of the limits allows nothing at all.
func TestStrictLimits(t *testing.T) {
	p, _ := Read("good.nc", readFile(t, "good.nc"))
	names := strings.Join(failed(Check(p, Limits{})), "|")
	for _, want := range []string{FeedRange, ZKeepsUp, SafePress, SteepPress, OnSheet, WithinReach, StrokeCount} {
		if !strings.Contains(names, want) {
			t.Errorf("%s holds without a limit", want)
		}
	}
	for _, c := range Check(p, Limits{Loose: true, Strokes: -1}) {
		switch c.Name {
		case FeedRange, ZKeepsUp, SafePress, SteepPress, OnSheet, WithinReach, StrokeCount:
			t.Errorf("%s is checked without a limit", c.Name)
		default:
			if !c.OK {
				t.Errorf("%s: %s", c.Name, c.Found)
			}
		}
	}
}

// Marks may lie in the strip set aside for them.
func TestStripInTheMargin(t *testing.T) {
	lim := goodLimits()
	lim.Beside, lim.Strokes = []Rect{{2, 10, 6, 40}, {0, 0, 1, 1}}, 4
	p, _ := Read("strip.nc", []byte(strings.Replace(string(readFile(t, "good.nc")), "G0 X100 Y100", "G0 X3 Y20\nG1 Z-1 F300\nX5 F600\nY39\nG0 Z5\nG0 X100 Y100", 1)))
	if names := failed(Check(p, lim)); len(names) > 0 {
		t.Error(names)
	}
	lim.Beside = nil
	if names := failed(Check(p, lim)); len(names) != 1 || names[0] != OnSheet {
		t.Error(names)
	}
}

// Words that only switch off are let pass in another's program.
func TestSwitchingOff(t *testing.T) {
	p, _ := Read("off.nc", []byte(strings.Replace(string(readFile(t, "good.nc")), "(stroke 1)", "M5 M9", 1)))
	if names := failed(Check(p, Limits{Loose: true, Strokes: -1})); len(names) > 0 {
		t.Error(names)
	}
	lim := goodLimits()
	if names := failed(Check(p, lim)); len(names) != 2 {
		t.Error(names)
	}
}

// What is found is told with the number of places and the first line.
func TestFoundText(t *testing.T) {
	text := strings.Replace(string(readFile(t, "good.nc")), "Z-4.5", "Z-5.25", 1)
	text = strings.Replace(text, "Z-5\n", "Z-5.5\n", 1)
	p, _ := Read("deep.nc", []byte(text))
	for _, c := range Check(p, goodLimits()) {
		if c.Name == SafePress {
			if got, want := c.Found, "lowest Z -5.500 at line 11, and 2 more"; got != want || c.Line != 11 || c.Allowed != "Z -5.000" {
				t.Errorf("%q at %d, want %q", got, c.Line, want)
			}
		}
	}
}
