package motion_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/recipe/formula"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// feedBy gives the bench a feed by formula.
func (b *bench) feedBy(text string) {
	f := source.New("a.md", []byte(text))
	by, list := formula.CompileFeed(text, f.Place(0, len(text)), nil)
	if len(list) > 0 {
		panic(list)
	}
	b.layer.Feeding = &model.Feeding{By: by, Curve: b.layer.Brush.Curve, Deepest: b.layer.Brush.DeepestPress(), Text: text, Place: f.Place(0, len(text))}
	slow, fast, _, _, err := b.layer.Feeding.Range()
	if err != nil {
		panic(err)
	}
	b.layer.Feeding.Slowest, b.layer.Feeding.Fastest, b.layer.Feed = slow, fast, fast
}

// Every painting move is no faster than the formula at both of its ends, and slower
// by more than a tenth only if it is short, Z moves as fast as it can or the
// controller reads no faster.
func TestFeedByFormula(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := newBench()
		along := rapid.Bool().Draw(t, "along")
		text := "900*mm/min * (1 - 0.6*press/(5*mm))"
		if along {
			text += " * (1.2 - along)"
		}
		b.feedBy(text)
		b.machine.Blocks = rapid.SampledFrom([]int{0, 40}).Draw(t, "blocks")
		x, press := 60.0, 1.0
		var points []stroke.Point
		for range rapid.IntRange(2, 12).Draw(t, "points") {
			points = append(points, b.at(x, 120, press))
			x += rapid.Float64Range(0.5, 12).Draw(t, "step")
			press = rapid.Float64Range(0, math.Min(4.5, b.layer.Brush.DeepestPress())).Draw(t, "press")
		}
		plan, problems := b.make(gesture(points...))
		if problems.HasErrors() {
			t.Fatal(problems)
		}
		length := plane.MM(points[len(points)-1].X - points[0].X)
		way := 0.0
		moves := plan.Strokes[0].Moves
		for i := 2; i < len(moves)-1; i++ {
			p, q := moves[i-1], moves[i]
			d := plane.MM(q.X - p.X)
			byFormula := func(z, way float64) float64 {
				f := 900 * (1 - 0.6*math.Max(0, -plane.MM(int32(z)))/5)
				if along {
					f *= 1.2 - way/length
				}
				return f
			}
			first, last := byFormula(float64(p.Z), way), byFormula(float64(q.Z), way+d)
			least, most := math.Min(first, last), math.Max(first, last)
			way += d
			if float64(q.Feed) > least+1+2/length { // coordinates are rounded
				t.Fatalf("move %d at %d, where the formula gives %.1f", i, q.Feed, least)
			}
			z := float64(q.Feed) * math.Abs(plane.MM(q.Z-p.Z)) / math.Hypot(d, plane.MM(q.Z-p.Z))
			slow := float64(q.Feed) < most*0.9-1
			if slow && d > 0.25 && z < 0.98*b.machine.ZFeed && (b.machine.Blocks == 0 || d > 1) {
				t.Fatalf("move %d of %.3f mm at %d, where the formula gives %.1f to %.1f", i, d, q.Feed, least, most)
			}
		}
	})
}

// A part of a stroke has the feed of its place in the whole stroke.
func TestFeedOfAPart(t *testing.T) {
	b := newBench()
	b.feedBy("100*mm/min + along * 800*mm/min")
	g := gesture(b.at(60, 120, 1), b.at(100, 120, 1))
	g.Skipped, g.Begun = 0.5, true
	plan, problems := b.make(g)
	if problems.HasErrors() {
		t.Fatal(problems)
	}
	moves := plan.Strokes[0].Moves
	first, last := moves[2].Feed, moves[len(moves)-2].Feed
	if first < 480 || first > 501 || last < 840 || last > 900 {
		t.Errorf("from %d to %d, want from 500 to 900", first, last)
	}
}

// What a formula gives at the bend of a stroke is known only there.
func TestFeedThatCannotBeUsed(t *testing.T) {
	for text, want := range map[string]struct {
		code problem.Code
		says string
	}{
		"750*mm/min * (1 - 20*mm*abs(bend))": {problem.OutOfRange, "a bend of -0.1/mm"},
		"750*mm/min * (1 + 90*mm*abs(bend))": {problem.TooFast, "the machine moves at most"},
	} {
		b := newBench()
		b.machine.FastestFeed = 3000
		b.feedBy(text)
		var points []stroke.Point
		for i := range 60 { // an arc of 10 mm radius, to the right
			a := float64(i) / 40
			points = append(points, b.at(80+10*math.Sin(a), 120+10*math.Cos(a), 1))
		}
		_, problems := b.make(gesture(points...))
		if len(problems) != 1 || problems[0].Code != want.code || !strings.Contains(problems[0].Message, want.says) || problems[0].Place.File == nil {
			t.Errorf("%s: %v", text, problems)
		}
	}
}
