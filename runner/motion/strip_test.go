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
	strip, marks, problems := motion.CheckStrip(&b.layer, &b.sheet, &b.machine, nil)
	if len(problems) > 0 || len(marks) != 3 {
		t.Fatal(problems)
	}
	p, problems := b.make(append(strip, gesture(b.at(100, 150, 1), b.at(120, 150, 1)))...)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	for i, s := range p.Strokes {
		if s.Pause != (i == 3) {
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
			gestures, marks, problems := motion.CheckStrip(&b.layer, &b.sheet, &b.machine, avoid)
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
	if gestures, _, problems := motion.CheckStrip(&b.layer, &b.sheet, &b.machine, []plane.Box{all}); len(gestures) > 0 || len(problems) != 1 || problems[0].Code != "no-room-for-strip" || problems.HasErrors() {
		t.Errorf("a strip on a full sheet: %v %v", gestures, problems)
	}
	// In the margin, next to the lay corner.
	_, marks, _ := motion.CheckStrip(&b.layer, &b.sheet, &b.machine, nil)
	if marks[0].From != plane.At(8, 4) || marks[2].To != plane.At(52, 4) {
		t.Errorf("strip from %v to %v", marks[0].From, marks[2].To)
	}
}

func TestMarginWalk(t *testing.T) {
	b := newBench()
	b.layer.Brush.TipX = 0.5
	first := []stroke.Gesture{gesture(b.at(20, 20, 0), b.at(60, 20, 5)), gesture(b.at(30, 25, 1))}
	second := []stroke.Gesture{gesture(b.at(60, 90, 0), b.at(20, 90, 0))}
	w := motion.MarginWalk([]motion.Painted{{Gestures: first, Brush: b.layer.Brush}, {Gestures: second, Brush: b.layer.Brush}}, &b.sheet, &b.machine)
	if w.Height != 100000 {
		t.Errorf("the walk flies at %d", w.Height)
	}
	last := w.Moves[len(w.Moves)-1]
	if w.Moves[0].Feed != 0 || last.X != 0 || last.Y != 0 {
		t.Errorf("the walk begins with %+v and ends with %+v", w.Moves[0], last)
	}
	ring := w.Moves[1 : len(w.Moves)-1]
	if ring[0].X != ring[len(ring)-1].X || ring[0].Y != ring[len(ring)-1].Y {
		t.Error("the outline is not closed")
	}
	near(t, "first corner x", plane.MM(ring[0].X), 19.5, 0.002)
	near(t, "first corner y", plane.MM(ring[0].Y), 20, 0.002)
	// Every corner of every mark lies inside, and the outline never turns right.
	f := motion.NewFrame(&b.sheet)
	for i := 1; i < len(ring); i++ {
		a, c := plane.Point{X: ring[i-1].X, Y: ring[i-1].Y}, plane.Point{X: ring[i].X, Y: ring[i].Y}
		if ring[i].Feed != 3000 || ring[i].Z != 100000 {
			t.Errorf("move %+v", ring[i])
		}
		for _, g := range slices.Concat(first, second) {
			for _, p := range g.Points {
				q := f.ToMachine(plane.Point{X: p.X - 5000, Y: p.Y})
				side := float64(plane.Turn(a, c, q)) / plane.PerMM / math.Hypot(float64(c.X-a.X), float64(c.Y-a.Y))
				if side < p.Width/2-0.002 {
					t.Errorf("a mark of %v mm at %v is %v mm inside the side from %v to %v", p.Width, q, side, a, c)
				}
			}
		}
	}
	near(t, "time", w.Seconds, w.Length/50, 10)

	// A low machine keeps to its safe height, and none leaves its reach.
	b.machine.ReachZ, b.machine.ReachX = 9, 60
	w = motion.MarginWalk([]motion.Painted{{Gestures: first, Brush: b.layer.Brush}, {Gestures: second, Brush: b.layer.Brush}}, &b.sheet, &b.machine)
	if w.Height != 50000 {
		t.Errorf("the walk flies at %d", w.Height)
	}
	for _, v := range w.Moves {
		if v.X < 0 || v.X > 600000 || v.Y < 0 {
			t.Errorf("the walk leaves the reach at %+v", v)
		}
	}
	if w := motion.MarginWalk(nil, &b.sheet, &b.machine); len(w.Moves) != 0 {
		t.Errorf("a walk round nothing: %+v", w)
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
		{"led ahead beyond the reach", func(b *bench) { b.machine.ReachX, b.layer.Brush.Lag = 53, brush.EvenLag(2) }, plane.At(4, 8), plane.At(4, 52), ""},
		{"reach too small", func(b *bench) { b.machine.ReachX, b.machine.ReachY = 30, 30 }, plane.Point{}, plane.Point{}, "that the machine can reach"},
		{"Z too short", func(b *bench) { b.machine.ReachZ = 8 }, plane.Point{}, plane.Point{}, "needs Z-4.5, lower than the machine reaches"},
	} {
		t.Run(test.name, func(t *testing.T) {
			b := newBench()
			test.change(b)
			gestures, marks, problems := motion.CheckStrip(&b.layer, &b.sheet, &b.machine, nil)
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
			b.layer.Brush.Lag = brush.EvenLag(rapid.Float64Range(0.1, 5).Draw(t, "lag"))
		}
		gestures, marks, problems := motion.CheckStrip(&b.layer, &b.sheet, &b.machine, nil)
		if problems.HasErrors() || (len(marks) == 0) != (len(problems) == 1) {
			t.Fatalf("%d marks, %v", len(marks), problems)
		}
		if _, problems := b.make(gestures...); len(problems) > 0 {
			t.Fatal(problems)
		}
	})
}
