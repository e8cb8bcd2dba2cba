package motion_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/motion"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

var drawn = source.New("reeds.dxf", []byte("shape\nshape\nshape\n"))

// bench is a job of one layer.
type bench struct {
	layer   model.Layer
	sheet   model.Sheet
	machine model.Machine
}

func newBench() *bench {
	curve, err := brush.Taper(2.4, 5, 0)
	if err != nil {
		panic(err)
	}
	return &bench{
		model.Layer{Name: "reeds", Feed: 900, Tolerance: 0.02, Brush: &model.Brush{WidestMark: 2.4, SafePress: 5, Curve: curve}},
		model.Sheet{Width: 210, Height: 297, Margin: 8},
		model.Machine{ReachX: 300, ReachY: 400, ReachZ: 40, SafeHeight: 5, TravelFeed: 3000, FastestFeed: 3000, LoweringFeed: 300, ZFeed: 600, Acceleration: 100, Decimals: 3},
	}
}

func (b *bench) make(gestures ...stroke.Gesture) (motion.Plan, problem.List) {
	return motion.Make(gestures, &b.layer, &b.sheet, &b.machine, motion.Lie{})
}

func (b *bench) at(x, y, press float64) stroke.Point {
	p := plane.At(x, y)
	w, _ := b.layer.Brush.Curve.WidthAt(press)
	return stroke.Point{X: p.X, Y: p.Y, Press: press, Width: w}
}

func gesture(points ...stroke.Point) stroke.Gesture {
	return stroke.Gesture{Points: points, Place: drawn.Place(6, 11)}
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.9g, want %.9g ± %g", what, got, want, tolerance)
	}
}

func TestOneStroke(t *testing.T) {
	b := newBench()
	b.layer.Brush.TipX, b.layer.Brush.TipY = 0.25, -1
	p, problems := b.make(gesture(b.at(20, 30, 0), b.at(30, 30, 2.0004), b.at(30, 30.0004, 2.0004), b.at(50, 30, 0)))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	mm := func(x, y, z float64, feed int32) motion.Move {
		return motion.Move{X: plane.Snap(x), Y: plane.Snap(y), Z: plane.Snap(z), Feed: feed}
	}
	want := []motion.Move{
		mm(19.75, 31, 5, 0),    // travel: the tip sits 0.25 mm to the right and 1 mm towards us
		mm(19.75, 31, 0, 300),  // down to the first touch
		mm(29.75, 31, -2, 900), // rounded to 0.001 mm; the third point falls on the second
		mm(49.75, 31, 0, 900),  // out
		mm(49.75, 31, 5, 300),  // up
	}
	s := p.Strokes[0]
	if !slices.Equal(s.Moves, want) {
		t.Errorf("moves\n%v\nwant\n%v", s.Moves, want)
	}
	near(t, "painted", s.Painted, 30, 1e-9)
	near(t, "travel", s.Travel, math.Hypot(19.75, 31), 1e-9)
	near(t, "whole travel", p.Travel, math.Hypot(19.75, 31)+math.Hypot(49.75, 31), 1e-9)
	near(t, "deepest", s.Deepest, 2, 1e-9)
	near(t, "narrowest", s.Narrowest, 0, 0)
	near(t, "widest", s.Widest, 2.0004*0.48, 1e-9)
	if s.Number != 1 || s.Feed != 900 || s.Place.Line() != 2 || p.Decimals != 3 || p.Safe != 50000 {
		t.Errorf("stroke %+v of plan %+v", s, p)
	}
}

// However the numbers round, nothing goes deeper than the safe press.
func TestNeverDeeperThanTheSafePress(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := newBench()
		safe := rapid.Float64Range(0.5, 9).Draw(t, "safe press")
		curve, err := brush.Taper(2.4, safe, 0)
		if err != nil {
			t.Fatal(err)
		}
		b.layer.Brush = &model.Brush{SafePress: safe, Curve: curve}
		b.machine.Decimals = rapid.IntRange(3, 4).Draw(t, "decimals")
		p, problems := b.make(gesture(b.at(20, 20, safe), b.at(40, 20, safe)))
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		if s := p.Strokes[0]; s.Deepest > safe || s.Deepest < safe-0.00101 {
			t.Fatalf("the safe press of %v comes out as %v", safe, s.Deepest)
		}
	})
	// A press that the decimals hold is not made lighter.
	for _, safe := range []float64{2.3, 4.4, 5, 1.001, 0.57} {
		b := newBench()
		curve, _ := brush.Taper(2.4, safe, 0)
		b.layer.Brush = &model.Brush{SafePress: safe, Curve: curve}
		p, _ := b.make(gesture(b.at(20, 20, safe)))
		near(t, "deepest", p.Strokes[0].Deepest, safe, 1e-12)
	}
}

// gestures draws wild but allowed paths.
func gestures(t *rapid.T, b *bench) []stroke.Gesture {
	var out []stroke.Gesture
	for range rapid.IntRange(1, 4).Draw(t, "gestures") {
		x, y := rapid.Float64Range(30, 180).Draw(t, "x"), rapid.Float64Range(30, 260).Draw(t, "y")
		var points []stroke.Point
		for range rapid.IntRange(1, 12).Draw(t, "points") {
			x = min(max(x+rapid.Float64Range(-3, 3).Draw(t, "dx"), 10), 200)
			y = min(max(y+rapid.Float64Range(-3, 3).Draw(t, "dy"), 10), 287)
			points = append(points, b.at(x, y, rapid.Float64Range(0, 5).Draw(t, "press")))
		}
		out = append(out, gesture(points...))
	}
	return out
}

// Each move is within the limits, computed here from the moves alone.
func TestMovesKeepTheRules(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := newBench()
		b.layer.Entries = rapid.SampledFrom([]model.Entries{model.EntriesAsDrawn, model.Longer, model.Concealed}).Draw(t, "entries")
		b.machine.Decimals = rapid.IntRange(3, 4).Draw(t, "decimals")
		b.sheet.Turned = rapid.IntRange(0, 3).Draw(t, "turned")
		b.sheet.Lay = model.Corner(rapid.IntRange(0, 3).Draw(t, "lay"))
		b.layer.Feed = rapid.Float64Range(1, 3000).Draw(t, "feed")
		b.machine.ZFeed = rapid.Float64Range(1, 900).Draw(t, "z feed")
		p, problems := b.make(gestures(t, b)...)
		if problems.HasErrors() {
			t.Fatal(problems)
		}
		feeds := map[int32]bool{}
		for _, s := range p.Strokes {
			checkStroke(t, b, s, feeds)
		}
		for _, r := range p.Remarks {
			if r.Reason == stroke.Slowed && (!feeds[int32(r.Feed)] || r.Length < 0 || r.Place.Line() != 2) {
				t.Fatalf("remark %+v names a feed that no move has", r)
			}
		}
	})
}

// checkStroke checks the moves of a stroke, and adds the feeds on its path.
func checkStroke(t *rapid.T, b *bench, s motion.Stroke, feeds map[int32]bool) {
	safe := plane.Snap(b.machine.SafeHeight)
	at := s.Moves[0]
	if at.Feed != 0 || at.Z != safe {
		t.Fatalf("a stroke begins with %+v", at)
	}
	if last := s.Moves[len(s.Moves)-1]; last.Z != safe {
		t.Fatalf("a stroke ends with %+v", last)
	}
	for i, v := range s.Moves[1:] {
		if v.Feed < 1 || float64(v.Feed) > max(b.layer.Feed, b.machine.LoweringFeed, 1) {
			t.Fatalf("feed of %d", v.Feed)
		}
		dx, dy, dz := float64(v.X-at.X), float64(v.Y-at.Y), float64(v.Z-at.Z)
		d := math.Sqrt(dx*dx + dy*dy + dz*dz)
		if d == 0 {
			t.Fatal("a move to the same place")
		}
		if z := float64(v.Feed) * math.Abs(dz) / d; v.Feed > 1 && z > b.machine.ZFeed*(1+1e-9) {
			t.Fatalf("Z moves at %v mm/min, its fastest is %v", z, b.machine.ZFeed)
		}
		if painting := i > 0 && i < len(s.Moves)-2; painting && v.Z > 0 {
			t.Fatalf("the path leaves the paper at %+v", v)
		} else if painting {
			feeds[v.Feed] = true
		}
		at = v
	}
}

// 3 mm of swell within 1.5 mm of path at a half-angle of 15 degrees is a slope
// of 3.73: at 900 mm/min Z would have to do 870 mm/min; one that does 600 takes
// the move at 621.
func TestSlowedForZ(t *testing.T) {
	b := newBench()
	curve, _ := brush.Taper(3, 1.5/math.Tan(15*math.Pi/180), 0)
	b.layer.Brush = &model.Brush{SafePress: curve.SafePress(), Curve: curve}
	p, problems := b.make(gesture(b.at(20, 50, 0), b.at(21.5, 50, curve.SafePress()), b.at(60, 50, curve.SafePress())))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	slope := 2 / (2 * math.Tan(15*math.Pi/180))
	near(t, "slope", slope, 3.73, 0.005)
	near(t, "feed", float64(p.Strokes[0].Feed), 600*math.Sqrt(1+slope*slope)/slope, 1)
	if len(p.Remarks) != 1 {
		t.Fatalf("remarks: %+v", p.Remarks)
	}
	r := p.Remarks[0]
	if r.Reason != stroke.Slowed || r.Feed != float64(p.Strokes[0].Feed) || r.At != plane.At(21.5, 50) {
		t.Errorf("remark: %+v", r)
	}
	near(t, "slowed length", r.Length, 1.5, 1e-9)
	near(t, "width there", r.Width, 3, 1e-9)

	// A Z that is as fast as the brush never holds it up.
	b.machine.ZFeed = 900
	if p, _ = b.make(gesture(b.at(20, 50, 0), b.at(21.5, 50, 5))); len(p.Remarks) != 0 || p.Strokes[0].Feed != 900 {
		t.Errorf("slowed without need: %+v", p.Remarks)
	}
}

func TestLongerEntry(t *testing.T) {
	b := newBench()
	b.layer.Entries = model.Longer
	// Steep to 2 mm within 0.5 mm at both ends; Z follows a slope of
	// 570/√(900²-570²) = 0.818.
	path := []stroke.Point{b.at(20, 50, 0), b.at(20.5, 50, 2), b.at(40, 50, 2), b.at(59.5, 50, 2), b.at(60, 50, 0)}
	p, problems := b.make(gesture(path...))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	s := p.Strokes[0]
	if s.Feed != 900 {
		t.Errorf("still slowed to %d", s.Feed)
	}
	if len(p.Remarks) != 1 || p.Remarks[0].Reason != stroke.Lengthened {
		t.Fatalf("remarks: %+v", p.Remarks)
	}
	ramp := 2 / (570 / math.Sqrt(900*900-570*570))
	near(t, "lengthened by", p.Remarks[0].Length, 2*ramp, 1e-3)
	// Bare is the triangle between the planned and the new width, at each end:
	// its base the new slope less the old, its height the full width.
	near(t, "left bare", p.Remarks[0].Area, 2*(ramp-0.5)*0.96/2, 2e-3)
	near(t, "where the full press is reached", plane.MM(s.Moves[3].X), 20+ramp, 1e-3)
	near(t, "press there", plane.MM(s.Moves[3].Z), -2, 1e-9)
	near(t, "press at the old place", plane.MM(s.Moves[2].Z), -2*0.5/ramp, 1e-3)
	near(t, "deepest", s.Deepest, 2, 1e-9)

	// Nothing may be pressed harder than planned, anywhere.
	press := func(moves []motion.Move, x float64) float64 {
		for i := 2; i < len(moves)-1; i++ {
			x0, x1 := plane.MM(moves[i-1].X), plane.MM(moves[i].X)
			if x0 <= x && x <= x1 {
				return -(plane.MM(moves[i-1].Z) + (x-x0)/(x1-x0)*(plane.MM(moves[i].Z)-plane.MM(moves[i-1].Z)))
			}
		}
		return 0
	}
	b.layer.Entries = model.EntriesAsDrawn
	before, _ := b.make(gesture(path...))
	for x := 20.0; x <= 60; x += 0.1 {
		if now, planned := press(s.Moves, x), press(before.Strokes[0].Moves, x); now > planned+0.001 {
			t.Fatalf("at %v the press is %v, planned %v", x, now, planned)
		}
	}
	b.layer.Entries = model.Longer

	// A stroke too short for it is slowed, and so are a swell inside, and a corner
	// that ends where the stroke goes out into the next one.
	for _, points := range [][]stroke.Point{
		{b.at(20, 50, 0), b.at(20.5, 50, 2), b.at(21, 50, 0)},
		{b.at(20, 50, 1), b.at(30, 50, 0.5), b.at(30.5, 50, 2.5), b.at(40, 50, 2.5), b.at(40.5, 50, 0.5), b.at(60, 50, 1)},
		{b.at(20, 50, 0), b.at(21, 51, 2), b.at(20, 52, 0), b.at(21, 51, 2), b.at(60, 51, 2)},
	} {
		p, _ := b.make(gesture(points...))
		if p.Strokes[0].Feed == 900 || len(p.Remarks) != 1 || p.Remarks[0].Reason != stroke.Slowed {
			t.Errorf("feed %d, remarks %+v", p.Strokes[0].Feed, p.Remarks)
		}
	}
}

// The sheet lies on the bed in 16 ways. Distances and handedness stay, the lay
// corner is the zero, and the way back leads back.
func TestFrame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := model.Sheet{Width: 210, Height: 297,
			Lay: model.Corner(rapid.IntRange(0, 3).Draw(t, "lay")), Turned: rapid.IntRange(0, 3).Draw(t, "turned")}
		f := motion.NewFrame(&s, motion.Lie{})
		corner := plane.At(map[bool]float64{true: 210}[s.Lay == model.LowerRight || s.Lay == model.UpperRight],
			map[bool]float64{true: 297}[s.Lay == model.UpperLeft || s.Lay == model.UpperRight])
		if got := f.ToMachine(corner); got != (plane.Point{}) {
			t.Fatalf("the lay corner lies at %v", got)
		}
		draw := func(what string) plane.Point {
			return plane.At(rapid.Float64Range(0, 210).Draw(t, what), rapid.Float64Range(0, 297).Draw(t, what))
		}
		p, q, r := draw("p"), draw("q"), draw("r")
		P, Q, R := f.ToMachine(p), f.ToMachine(q), f.ToMachine(r)
		if plane.Turn(p, q, r) != plane.Turn(P, Q, R) {
			t.Fatal("the sheet is mirrored or scaled")
		}
		if f.ToSheet(P) != p {
			t.Fatalf("%v goes to %v and comes back as %v", p, P, f.ToSheet(P))
		}
		// Right along the sheet is a quarter turn further each time.
		right := [...]plane.Point{{X: 1}, {Y: 1}, {X: -1}, {Y: -1}}[s.Turned]
		one := f.ToMachine(plane.Point{X: p.X + 1, Y: p.Y})
		if (plane.Point{X: one.X - P.X, Y: one.Y - P.Y}) != right {
			t.Fatalf("turned %d: right on the sheet leads from %v to %v", s.Turned, P, one)
		}
		box := f.Sheet()
		if P.X < box.Min.X || P.X > box.Max.X || P.Y < box.Min.Y || P.Y > box.Max.Y || min(box.Max.X-box.Min.X, box.Max.Y-box.Min.Y) != 2100000 {
			t.Fatalf("%v lies outside the sheet's box %v", P, box)
		}
	})
}

func TestFaults(t *testing.T) {
	at := func(b *bench) stroke.Gesture { return gesture(b.at(100, 150, 1), b.at(120, 150, 1)) }
	for _, test := range []struct {
		name    string
		change  func(b *bench)
		gesture func(b *bench) stroke.Gesture
		want    string
	}{
		{"X out of reach", func(b *bench) { b.machine.ReachX = 119.5 }, at,
			`reeds.dxf:2:1: the layer "reeds" needs X120, 0.5 mm beyond the reach of 119.5 mm in X and 400 mm in Y, in stroke 1 at 120 mm, 150 mm on the sheet [out-of-reach]`},
		{"Y out of reach", func(b *bench) { b.machine.ReachY = 100 }, at, "needs Y150, 50 mm beyond"},
		{"out of reach by the tip offset", func(b *bench) { b.machine.ReachX = 120; b.layer.Brush.TipX = -0.3 }, at, "needs X120.3, 0.3 mm beyond"},
		{"behind the zero", func(b *bench) { b.layer.Brush.TipX = 101 }, at, "needs X-1, 1 mm beyond"},
		{"reach to the other side", func(b *bench) { b.sheet.Lay = model.LowerRight; b.machine.ReachX = 100 }, at, "needs X-110, 10 mm beyond"},
		{"turned on the bed", func(b *bench) { b.sheet.Turned, b.sheet.Lay = 1, model.UpperLeft; b.machine.ReachX = 140 }, at, "needs X147, 7 mm beyond"},
		{"Z out of reach", func(b *bench) { b.machine.ReachZ = 5.5 }, at, "needs Z-1, 0.5 mm lower than the 5.5 mm that the machine reaches from its safe height of 5 mm"},
		{"past the margin", func(*bench) {}, func(b *bench) stroke.Gesture { return gesture(b.at(8.4, 150, 2.5), b.at(20, 150, 0)) },
			"reaches 0.179 mm past the left margin"}, // 8 - (8.4 - 0.6) = 0.2, less tolerance and grid
		{"past the safe press", func(*bench) {}, func(b *bench) stroke.Gesture {
			g := at(b)
			g.Points[1].Press = 5.01
			return g
		}, "presses 0.01 mm deeper than 5 mm, the safe press less the reserve"},
		{"a check mark off the sheet", func(*bench) {}, func(b *bench) stroke.Gesture {
			g := gesture(b.at(0.4, 20, 1), b.at(0.4, 30, 2))
			g.Kind = stroke.Check
			return g
		}, "reaches 0.08 mm past the left margin"},
	} {
		t.Run(test.name, func(t *testing.T) {
			b := newBench()
			test.change(b)
			_, problems := b.make(test.gesture(b))
			if len(problems) != 1 || !strings.Contains(problems[0].String(), test.want) {
				t.Errorf("got  %v\nwant %s", problems, test.want)
			}
		})
	}
	b := newBench()
	b.machine.ReachX = 110
	if _, problems := b.make(at(b), at(b), at(b)); len(problems) != 1 || !strings.Contains(problems[0].Message, "in stroke 1 and 2 more at") {
		t.Errorf("three strokes out of reach: %v", problems)
	}
	b = newBench()
	g := gesture(b.at(4, 20, 2), b.at(4, 40, 2))
	g.Kind = stroke.Check
	if _, problems := b.make(g); len(problems) > 0 {
		t.Errorf("a check mark may stand in the margin: %v", problems)
	}
}

func TestGesturesWithoutPoints(t *testing.T) {
	b := newBench()
	p, problems := b.make(stroke.Gesture{}, gesture(b.at(20, 20, 1)))
	if len(problems) > 0 || len(p.Strokes) != 1 || len(p.Strokes[0].Moves) != 3 {
		t.Errorf("%+v %v", p, problems)
	}
	if p, problems = b.make(); len(p.Strokes) != 0 || len(problems) > 0 {
		t.Errorf("%+v %v", p, problems)
	}
}

func BenchmarkMake(b *testing.B) {
	k := newBench()
	var all []stroke.Gesture
	const strokes, points = 1000, 101
	for i := range strokes {
		var path []stroke.Point
		for j := range points {
			path = append(path, k.at(20+float64(j)*0.3, 20+float64(i)*0.2+float64(j*j)*0.001, 0.2+float64(j%17)*0.1))
		}
		all = append(all, gesture(path...))
	}
	for _, longer := range []model.Entries{model.EntriesAsDrawn, model.Longer, model.Concealed} {
		b.Run(fmt.Sprintf("entries %d", longer), func(b *testing.B) {
			k.layer.Entries = longer
			b.ReportAllocs()
			for b.Loop() {
				if _, problems := k.make(all...); problems.HasErrors() {
					b.Fatal(problems)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/(strokes*(points-1)), "ns/segment")
		})
	}
}

func ExampleMake() {
	b := newBench()
	plan, _ := b.make(gesture(b.at(20, 50, 0), b.at(40, 50, 2.5), b.at(60, 50, 0)))
	for _, v := range plan.Strokes[0].Moves {
		fmt.Printf("X%.3f Y%.3f Z%.3f at %d\n", plane.MM(v.X), plane.MM(v.Y), plane.MM(v.Z), v.Feed)
	}
	fmt.Printf("%.0f mm painted, %.0f mm of travel\n", plan.Painted, plan.Travel)
	// Output:
	// X20.000 Y50.000 Z5.000 at 0
	// X20.000 Y50.000 Z0.000 at 300
	// X40.000 Y50.000 Z-2.500 at 900
	// X60.000 Y50.000 Z0.000 at 900
	// X60.000 Y50.000 Z5.000 at 300
	// 40 mm painted, 132 mm of travel
}
