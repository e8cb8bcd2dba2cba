package motion_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/model"
	"mahlstick/runner/motion"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

func TestPauseAfterTheStrip(t *testing.T) {
	b := newBench()
	strip, marks, problems := motion.CheckStrip(&b.layer, &b.sheet, &b.machine, motion.Lie{}, nil)
	if len(problems) > 0 || len(marks) != 3 {
		t.Fatal(problems)
	}
	p, problems := b.make(append(strip, gesture(b.at(100, 150, 1), b.at(120, 150, 1)))...)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	for i, s := range p.Strokes {
		if (s.Pause != "") != (i == 3) {
			t.Errorf("pause before stroke %d: %v", s.Number, s.Pause)
		}
	}
	end := p.Strokes[2].Moves[len(p.Strokes[2].Moves)-1]
	near(t, "travel after the pause", p.Strokes[3].Travel, math.Hypot(plane.MM(end.X), plane.MM(end.Y))+math.Hypot(100, 150), 1e-9)
}

func TestCheckStrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := newBench()
		b.sheet.Lay = model.Corner(rapid.IntRange(0, 3).Draw(t, "lay"))
		b.sheet.Margin = rapid.Float64Range(0, 15).Draw(t, "margin")
		widest := rapid.Float64Range(0.5, 12).Draw(t, "widest mark")
		touch := rapid.Float64Range(0, 0.4).Draw(t, "touch mark")
		curve, err := brush.Taper(widest, 5, touch)
		if err != nil {
			t.Fatal(err)
		}
		b.layer.Brush = &model.Brush{SafePress: 5, Curve: curve}
		m := max(b.sheet.Margin, 8)
		var avoid []plane.Box
		if rapid.Bool().Draw(t, "painted") {
			avoid = append(avoid, plane.Box{Min: plane.At(m+12, m+12), Max: plane.At(210-m-12, 297-m-12)})
		}
		for layer := range 4 {
			gestures, marks, problems := motion.CheckStrip(&b.layer, &b.sheet, &b.machine, motion.Lie{}, avoid)
			if len(problems) > 0 {
				t.Fatalf("no room for strip %d: %v", layer, problems)
			}
			for i, g := range gestures {
				share := []float64{0.25, 0.55, 0.9}[i]
				checkStripMark(t, curve, g, marks[i], "abc"[i:i+1], touch+share*(widest-touch))
			}
			box, ok := motion.Swept(gestures)
			if !ok || box.Min.X < 0 || box.Min.Y < 0 || box.Max.X > 2100000 || box.Max.Y > 2970000 {
				t.Fatalf("the strip covers %v", box)
			}
			if slices.ContainsFunc(avoid, func(a plane.Box) bool { return overlap(box, a) }) {
				t.Fatalf("strip %d at %v covers one of %v", layer, box, avoid)
			}
			if _, problems := b.make(gestures...); len(problems) > 0 {
				t.Fatal(problems)
			}
			avoid = append(avoid, box)
		}
	})
}

// overlap reports whether two boxes have inner points in common.
func overlap(a, b plane.Box) bool {
	return a.Min.X < b.Max.X && b.Min.X < a.Max.X && a.Min.Y < b.Max.Y && b.Min.Y < a.Max.Y
}

// checkStripMark checks one mark of a strip: a line of 12 mm of the width want.
func checkStripMark(t *rapid.T, curve *brush.Curve, g stroke.Gesture, mark motion.StripMark, name string, want float64) {
	if math.Abs(mark.Width-want) > 1e-9 || mark.Name != name || g.Points[0].Press != mark.Press ||
		g.Points[0].X != mark.From.X || g.Kind != stroke.Check || g.Shape != -1 {
		t.Fatalf("mark %+v of gesture %+v, want width %v", mark, g, want)
	}
	if back, _ := curve.WidthAt(mark.Press); math.Abs(back-want) > 1e-9 {
		t.Fatalf("press %v paints %v", mark.Press, back)
	}
	dx, dy := float64(mark.To.X-mark.From.X)/plane.PerMM, float64(mark.To.Y-mark.From.Y)/plane.PerMM
	if math.Abs(math.Hypot(dx, dy)-12) > 1e-3 {
		t.Fatalf("mark of %v mm", math.Hypot(dx, dy))
	}
}

func TestPlaceOfCheckStrip(t *testing.T) {
	b := newBench()
	all := plane.Box{Max: plane.At(210, 297)}
	if gestures, _, problems := motion.CheckStrip(&b.layer, &b.sheet, &b.machine, motion.Lie{}, []plane.Box{all}); len(gestures) > 0 || len(problems) != 1 || problems[0].Code != "no-room-for-strip" || problems.HasErrors() {
		t.Errorf("a strip on a full sheet: %v %v", gestures, problems)
	}
	// In the margin, next to the lay corner.
	_, marks, _ := motion.CheckStrip(&b.layer, &b.sheet, &b.machine, motion.Lie{}, nil)
	if marks[0].From != plane.At(8, 4) || marks[2].To != plane.At(52, 4) {
		t.Errorf("strip from %v to %v", marks[0].From, marks[2].To)
	}
}

func TestMarginWalk(t *testing.T) {
	b := newBench()
	b.machine.RestY, b.machine.RestZ = 317, 12
	first := motion.Painted{Brush: b.layer.Brush, Gestures: []stroke.Gesture{gesture(b.at(20, 20, 0), b.at(60, 20, 5)), gesture(b.at(30, 25, 1))}}
	other := *b.layer.Brush // mounted 12 mm to the left, and lagging
	other.TipX, other.TipY, other.Lag = 12, -1.5, brush.ConstantLag(2)
	second := motion.Painted{Brush: &other, Gestures: []stroke.Gesture{gesture(b.at(60, 90, 0), b.at(20, 90, 0))}}
	layers := []motion.Painted{first, second}
	w := motion.MarginWalk(layers, &b.sheet, &b.machine)
	rest := motion.Move{Y: 3170000, Z: 120000}
	last := w.Moves[len(w.Moves)-1]
	if w.Height != 50000 || w.Rest != rest || w.Moves[0].Feed != 0 || last.X != rest.X || last.Y != rest.Y {
		t.Errorf("the walk at %d begins with %+v, ends with %+v and waits at %+v", w.Height, w.Moves[0], last, w.Rest)
	}
	ring := w.Moves[1:]
	if ring[0] != last {
		t.Errorf("the outline begins at %+v and ends at %+v", ring[0], last)
	}
	for _, v := range ring[1:] {
		if v.Feed != 3000 || v.Z != 50000 {
			t.Errorf("move %+v", v)
		}
	}
	for _, layer := range layers {
		for _, g := range layer.Gestures {
			for _, p := range g.Points {
				checkInside(t, ring, b, p, layer.Brush)
			}
		}
	}
	near(t, "leftmost, of the second brush", plane.MM(slices.MinFunc(ring[1:len(ring)-1], func(p, q motion.Move) int { return int(p.X - q.X) }).X), 20-12-2, 0.002)

	// The walk keeps to the reach, and to the height that the machine has.
	b.machine.ReachZ, b.machine.ReachX, b.machine.RestY = 9, 40, 100.00009
	b.machine.ReachY = 100.00009
	w = motion.MarginWalk(layers, &b.sheet, &b.machine)
	for _, v := range w.Moves {
		if v.X < 0 || v.X > 400000 || v.Y < 0 || v.Y > 1000000 || v.Z > w.Rest.Z {
			t.Errorf("the walk leaves the reach at %+v", v)
		}
	}
	if w := motion.MarginWalk(nil, &b.sheet, &b.machine); len(w.Moves) != 0 {
		t.Errorf("a walk round nothing: %+v", w)
	}
}

// checkInside: where the brush is held for a point, the holder is inside the
// walk by half a mark or the lag. The walk never turns right; at the limit of
// the reach, X0, it is cut off.
func checkInside(t *testing.T, ring []motion.Move, b *bench, p stroke.Point, held *model.Brush) {
	t.Helper()
	f := motion.NewFrame(&b.sheet, motion.Lie{})
	q := f.ToMachine(plane.Point{X: p.X, Y: p.Y})
	q.X, q.Y = q.X-plane.Snap(held.TipX), q.Y-plane.Snap(held.TipY)
	room := max(p.Width/2, held.Lag.At(p.Press))
	for i := 1; i < len(ring); i++ {
		a, c := plane.Point{X: ring[i-1].X, Y: ring[i-1].Y}, plane.Point{X: ring[i].X, Y: ring[i].Y}
		side := float64(plane.Turn(a, c, q)) / plane.PerMM / math.Hypot(float64(c.X-a.X), float64(c.Y-a.Y))
		if side < room-0.002 && (a.X != 0 || c.X != 0) {
			t.Errorf("a brush of %v mm held at %v is %v mm inside the side from %v to %v", room, q, side, a, c)
		}
	}
}

// At the pause after the strip and at the end the machine goes to its place to
// rest: rounded, it is still within the reach, and not below the safe height.
func TestPlaceToRest(t *testing.T) {
	b := newBench()
	b.machine.RestX, b.machine.RestY, b.machine.RestZ = -30.00019, 317.00019, 20.0001
	strip, _, _ := motion.CheckStrip(&b.layer, &b.sheet, &b.machine, motion.Lie{}, nil)
	p, problems := b.make(append(strip, gesture(b.at(100, 150, 1), b.at(120, 150, 1)))...)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	if want := (motion.Move{X: -300000, Y: 3170000, Z: 200010}); p.Rest != want {
		t.Errorf("rests at %+v", p.Rest)
	}
	end := p.Strokes[2].Moves[len(p.Strokes[2].Moves)-1]
	near(t, "travel after the strip", p.Strokes[3].Travel, math.Hypot(plane.MM(end.X)+30, plane.MM(end.Y)-317)+math.Hypot(100+30, 150-317), 1e-3)
	near(t, "travel to the first stroke", p.Strokes[0].Travel, math.Hypot(8+30, 4-317), 1e-3)
	b.machine.RestZ = 0
	if p, _ := b.make(strip...); p.Rest.Z != p.Safe {
		t.Errorf("rests at Z %d", p.Rest.Z)
	}
}

// A strip that the machine cannot paint at its usual place moves; where there
// is no other, it is left out with a warning. It never makes a problem of its
// own.
func TestCheckStripKeepsToTheMachine(t *testing.T) {
	for _, test := range []struct {
		name     string
		change   func(b *bench)
		from, to plane.Point // of the first and the last mark; zero where it is left out
		want     string
	}{
		{"as usual", func(*bench) {}, plane.At(8, 4), plane.At(52, 4), ""},
		{"reach ends within the strip", func(b *bench) { b.machine.ReachX = 40 }, plane.At(4, 8), plane.At(4, 52), ""},
		{"tip in front of the axis", func(b *bench) { b.layer.Brush.TipY = 6 }, plane.At(4, 8), plane.At(4, 52), ""},
		{"led ahead beyond the reach", func(b *bench) { b.machine.ReachX, b.layer.Brush.Lag = 53, brush.ConstantLag(2) }, plane.At(4, 8), plane.At(4, 52), ""},
		{"reach too small", func(b *bench) { b.machine.ReachX, b.machine.ReachY = 30, 30 }, plane.Point{}, plane.Point{}, "that the machine can reach"},
		{"Z too short", func(b *bench) { b.machine.ReachZ = 8 }, plane.Point{}, plane.Point{}, "needs Z-4.5, lower than the machine reaches"},
	} {
		t.Run(test.name, func(t *testing.T) {
			b := newBench()
			test.change(b)
			gestures, marks, problems := motion.CheckStrip(&b.layer, &b.sheet, &b.machine, motion.Lie{}, nil)
			if test.want != "" {
				if len(marks) != 0 || len(problems) != 1 || problems.HasErrors() || !strings.Contains(problems[0].Message, test.want) {
					t.Errorf("%d marks, %v", len(marks), problems)
				}
				return
			}
			if len(problems) > 0 || marks[0].From != test.from || marks[2].To != test.to {
				t.Errorf("from %v to %v, %v", marks[0].From, marks[2].To, problems)
			}
			if _, problems := b.make(gestures...); len(problems) > 0 {
				t.Error(problems)
			}
		})
	}
	rapid.Check(t, func(t *rapid.T) {
		b := newBench()
		b.sheet.Lay = model.Corner(rapid.IntRange(0, 3).Draw(t, "lay"))
		b.sheet.Turned = rapid.IntRange(0, 3).Draw(t, "turned")
		b.machine.ReachX = rapid.Float64Range(60, 400).Draw(t, "reach x")
		b.machine.ReachY = rapid.Float64Range(60, 400).Draw(t, "reach y")
		b.machine.ReachZ = rapid.Float64Range(6, 12).Draw(t, "reach z")
		b.layer.Brush.TipX = rapid.Float64Range(-20, 20).Draw(t, "tip offset x")
		b.layer.Brush.TipY = rapid.Float64Range(-20, 20).Draw(t, "tip offset y")
		if rapid.Bool().Draw(t, "lags") {
			b.layer.Brush.Lag = brush.ConstantLag(rapid.Float64Range(0.1, 5).Draw(t, "lag"))
		}
		gestures, marks, problems := motion.CheckStrip(&b.layer, &b.sheet, &b.machine, motion.Lie{}, nil)
		if problems.HasErrors() || (len(marks) == 0) != (len(problems) == 1) {
			t.Fatalf("%d marks, %v", len(marks), problems)
		}
		if _, problems := b.make(gestures...); len(problems) > 0 {
			t.Fatal(problems)
		}
	})
}
