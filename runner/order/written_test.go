package order_test

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/recipe/model"
	"mahlstick/runner/order"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// tapered is a line whose mark is as wide at its ends as said.
func tapered(x1, y1, w1, x2, y2, w2 float64) stroke.Gesture {
	g := line(x1, y1, x2, y2)
	g.Points[0].Width, g.Points[1].Width = w1, w2
	return g
}

func path(points ...[2]float64) stroke.Gesture {
	var g stroke.Gesture
	for _, p := range points {
		g.Points = append(g.Points, at(p[0], p[1]))
	}
	return g
}

// From which end a hand pulls a stroke: common practice, no source. Each is
// tried as it should be and from the other end.
func TestPulled(t *testing.T) {
	for name, want := range map[string]stroke.Gesture{
		"level":                              tapered(0, 5, 1, 20, 5, 1),
		"level, rising a little":             tapered(0, 5, 1, 20, 9, 1),
		"level, rising, thick at its end":    tapered(0, 5, 1, 20, 9, 3),
		"upright":                            tapered(5, 20, 1, 5, 0, 1),
		"upright, leaning, thick at its end": tapered(8, 20, 1, 2, 0, 3),
		"falling to the right, thick below":  tapered(0, 20, 1, 15, 0, 3),
		"falling to the left":                tapered(20, 20, 3, 5, 5, 1),
		"flick upwards":                      tapered(5, 5, 3, 20, 20, 1),
		"slanting, as wide everywhere":       tapered(20, 20, 1, 5, 5, 1),
		"hook":                               path([2]float64{5, 20}, [2]float64{5, 0}, [2]float64{2, 3}),
		"bowl":                               path([2]float64{0, 10}, [2]float64{2, 0}, [2]float64{8, 0}, [2]float64{10, 10}),
		"turn":                               path([2]float64{0, 10}, [2]float64{10, 10}, [2]float64{8, 0}),
	} {
		for _, from := range []stroke.Gesture{want, turned(want)} {
			for _, by := range []model.Order{model.ByDrawing, model.ByHand} {
				got := order.Sort([]stroke.Gesture{from}, order.Options{By: by})[0]
				if !slices.Equal(got.Points, want.Points) {
					t.Errorf("%s, order %d: pulled from %v", name, by, got.Points[0].Plane())
				}
				mirrored := order.Sort([]stroke.Gesture{mirror(from)}, order.Options{By: by, LeftHand: true})[0]
				if !slices.Equal(mirrored.Points, mirror(want).Points) {
					t.Errorf("%s, order %d, mirrored and with the left hand: pulled from %v", name, by, mirrored.Points[0].Plane())
				}
			}
		}
	}
}

func turned(g stroke.Gesture) stroke.Gesture {
	g.Points = slices.Clone(g.Points)
	slices.Reverse(g.Points)
	return g
}

func mirror(g stroke.Gesture) stroke.Gesture {
	g.Points = slices.Clone(g.Points)
	for i := range g.Points {
		g.Points[i].X = -g.Points[i].X
	}
	return g
}

// A ring begins at its upper left and goes down first.
func TestRing(t *testing.T) {
	ring := path([2]float64{10, 0}, [2]float64{10, 10}, [2]float64{0, 10}, [2]float64{0, 0}, [2]float64{10, 0})
	want := path([2]float64{0, 10}, [2]float64{0, 0}, [2]float64{10, 0}, [2]float64{10, 10}, [2]float64{0, 10})
	for _, from := range []stroke.Gesture{ring, turned(ring)} {
		if got := order.Sort([]stroke.Gesture{from}, order.Options{By: model.ByHand})[0]; !slices.Equal(got.Points, want.Points) {
			t.Errorf("the ring is painted as %v", got.Points)
		}
	}
	there := path([2]float64{10, 0}, [2]float64{0, 0}, [2]float64{10, 0})
	if got := order.Sort([]stroke.Gesture{there}, order.Options{By: model.ByHand})[0]; !slices.Equal(got.Points, there.Points) {
		t.Errorf("out and back is painted as %v", got.Points)
	}
}

// numbered gives gestures their places in the list as shapes.
func numbered(gestures ...stroke.Gesture) []stroke.Gesture {
	for i := range gestures {
		gestures[i].Shape = i
	}
	return gestures
}

func shapes(gestures []stroke.Gesture) []int {
	var out []int
	for _, g := range gestures {
		out = append(out, g.Shape)
	}
	return out
}

// Each list is in the order of writing (common practice, no source), and must
// come back so however it is shuffled and from whichever end its strokes are.
func TestWritten(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for name, want := range map[string][]stroke.Gesture{
		"one above the other": {line(0, 20, 10, 20), line(0, 10, 10, 10), line(0, 0, 10, 0)},
		"side by side":        {line(0, 20, 0, 0), line(8, 20, 8, 0), line(16, 20, 16, 0)},
		"level before what crosses it": {
			line(0, 10, 20, 11), line(10, 20, 10, 0)},
		"the stem before the line on which it stands": {
			line(3, 10, 17, 10), line(10, 18, 10, 0.2), line(0, 0, 20, 0)},
		"left part before right": {
			line(2, 20, 2, 0), line(0, 10, 8, 15), line(12, 20, 20, 20), line(12, 10, 20, 10), line(16, 20, 16, -2)},
		"cross above, two below": {
			line(0, 30, 20, 30), line(10, 36, 10, 24), line(2, 18, 2, 0), line(16, 20, 18, 2)},
		"three rows of three": {
			line(0, 40, 0, 32), line(10, 40, 14, 40), line(30, 40, 34, 34),
			line(0, 25, 0, 17), line(10, 25, 14, 20), line(31, 25, 35, 25),
			line(0, 10, 0, 2), line(11, 10, 15, 8), line(30, 10, 34, 10)},
	} {
		numbered(want...)
		for range 20 {
			list := slices.Clone(want)
			random.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
			for i := range list {
				if random.IntN(2) == 0 {
					list[i] = turned(list[i])
				}
			}
			got := order.Sort(list, order.Options{By: model.ByHand, Start: plane.At(100*random.Float64(), 100*random.Float64())})
			if !slices.Equal(shapes(got), shapes(want)) {
				t.Fatalf("%s: %v", name, shapes(got))
			}
			for i := range list {
				list[i] = mirror(list[i])
			}
			got = order.Sort(list, order.Options{By: model.ByHand, LeftHand: true})
			if !slices.Equal(shapes(got), shapes(want)) {
				t.Fatalf("%s, mirrored, with the left hand: %v", name, shapes(got))
			}
		}
	}
}

// Rows of writing whose words are no narrower than the rows are high go row by row,
// though their strokes are too many to be looked at pair by pair.
func TestRows(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	var all []stroke.Gesture
	row := map[int]int{}
	for r := range 12 {
		for x := 0.0; x < 160; x += 2 + 2*random.Float64() {
			foot := 0.0
			if random.IntN(12) == 0 {
				foot = 3.5 // reaches into the row below
			}
			y := 200 - 8*float64(r)
			g := line(x, y, x+random.Float64(), y-5-foot)
			g.Shape = len(all)
			row[g.Shape] = r
			all = append(all, g)
		}
	}
	random.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	got := order.Sort(all, order.Options{By: model.ByHand})
	for k := range got[1:] {
		if row[got[k].Shape] > row[got[k+1].Shape] {
			t.Fatalf("stroke %d: row %d after row %d", k+1, row[got[k+1].Shape], row[got[k].Shape])
		}
	}
}

// A scattered crowd is written place by place: the travel stays within a small
// multiple of the shortest.
func TestCrowdTravel(t *testing.T) {
	all := many(800)
	o := order.Options{Return: true}
	short := order.Travel(order.Sort(all, o), o)
	for by, most := range map[model.Order]float64{model.ByHand: 4, model.ByDrawing: 100} {
		o.By = by
		got := order.Travel(order.Sort(all, o), o)
		t.Logf("order %d: %.0f mm of travel, %.2f times the shortest", by, got, got/short)
		if got > most*short {
			t.Errorf("order %d travels %.0f mm, the shortest %.0f", by, got, short)
		}
	}
}

// As drawn: the shapes in their order, open lines in their direction, what is
// left to choose by travel.
func TestAsDrawn(t *testing.T) {
	all := numbered(line(90, 90, 80, 80), line(0, 0, 1, 1), line(50, 5, 40, 5), line(2, 2, 3, 3))
	for i := range all {
		all[i].Kind = stroke.Line
	}
	all[2].Kind = stroke.Main
	got := order.Sort(all, order.Options{By: model.ByDrawing})
	if !slices.Equal(shapes(got), []int{0, 1, 2, 3}) || got[0].Points[0] != at(90, 90) || got[2].Points[0] != at(40, 5) {
		t.Errorf("as drawn: %v", got)
	}
	// One line in three parts keeps their order, though another is shorter.
	parts := []stroke.Gesture{line(30, 0, 40, 0), line(0, 0, 10, 0), line(12, 0, 20, 0)}
	for i := range parts {
		parts[i].Kind = stroke.Line
	}
	if got := order.Sort(parts, order.Options{By: model.ByDrawing}); !reflect.DeepEqual(got, parts) {
		t.Errorf("the parts of a line come as %v", got)
	}
	for i := range parts {
		parts[i].Kind = stroke.Main
	}
	if got := order.Sort(parts, order.Options{By: model.ByDrawing}); got[0].Points[0] != at(0, 0) || got[1].Points[0] != at(12, 0) {
		t.Errorf("the strokes of a shape come as %v", got)
	}
}

// A drawing and its mirror are written alike, the mirror with the left hand.
func TestLeftHandMirrors(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		all := gestures(t, 60)
		o := order.Options{By: rapid.SampledFrom([]model.Order{model.ByDrawing, model.ByHand}).Draw(t, "order")}
		want := order.Sort(all, o)
		for i := range all {
			all[i], o.Start = mirror(all[i]), plane.Point{X: -o.Start.X, Y: o.Start.Y}
		}
		o.LeftHand = true
		got := order.Sort(all, o)
		for i := range got {
			got[i] = mirror(got[i])
		}
		if !reflect.DeepEqual(got, want) {
			t.Fatalf("%v\nmirrored\n%v", want, got)
		}
	})
}

// A cross: the bar from left to right, then the stem from above.
func ExampleSort_written() {
	cross := []stroke.Gesture{line(5, 0, 5, 12), line(10, 8, 0, 8)}
	for _, g := range order.Sort(cross, order.Options{By: model.ByHand}) {
		x, y := g.Points[0].Plane().MM()
		u, v := g.Points[1].Plane().MM()
		fmt.Printf("from (%g, %g) to (%g, %g)\n", x, y, u, v)
	}
	// Output:
	// from (0, 8) to (10, 8)
	// from (5, 12) to (5, 0)
}
