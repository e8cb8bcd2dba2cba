package order_test

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/recipe/model"
	"mahlstick/runner/order"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

func at(x, y float64) stroke.Point {
	p := plane.At(x, y)
	return stroke.Point{X: p.X, Y: p.Y, Press: 1, Width: 1}
}

func line(x1, y1, x2, y2 float64) stroke.Gesture {
	return stroke.Gesture{Points: []stroke.Point{at(x1, y1), at(x2, y2)}}
}

func dots(points [][2]float64) []stroke.Gesture {
	var out []stroke.Gesture
	for i, p := range points {
		out = append(out, stroke.Gesture{Shape: i, Points: []stroke.Point{at(p[0], p[1])}})
	}
	return out
}

// roundTour sorts points into a closed tour from the first and measures it.
func roundTour(points [][2]float64) float64 {
	o := order.Options{Start: plane.At(points[0][0], points[0][1]), Return: true}
	return order.Travel(order.Sort(dots(points), o), o)
}

// G. Reinelt, TSPLIB, ORSA J. Computing 3 (1991) 376-384: no tour may be
// shorter than the proven optimum, and ours is to be at most 2 % longer.
func TestAgainstProvenOptima(t *testing.T) {
	data, err := os.ReadFile("testdata/tsplib_small.json")
	if err != nil {
		t.Fatal(err)
	}
	var file map[string]json.RawMessage
	if err := json.Unmarshal(data, &file); err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		name           string
		published      int // every distance rounded to a whole number
		optimum        float64
		cities         int
		sameTourAsReal bool
	}{
		{"berlin52", 7542, 7544.3659019, 52, true},
		{"eil51", 426, 428.8717564, 51, false},
	} {
		var tsp struct {
			XY   [][2]float64 `json:"xy"`
			Tour []int        `json:"tour_1based"`
		}
		if err := json.Unmarshal(file[test.name], &tsp); err != nil {
			t.Fatal(err)
		}
		if len(tsp.XY) != test.cities {
			t.Fatalf("%s has %d cities, want %d", test.name, len(tsp.XY), test.cities)
		}
		// The published tour, measured our way, proves that data and measure
		// are the right ones.
		var tour [][2]float64
		whole := 0
		for k, city := range tsp.Tour {
			p, q := tsp.XY[city-1], tsp.XY[tsp.Tour[(k+1)%len(tsp.Tour)]-1]
			tour = append(tour, p)
			whole += int(math.Hypot(p[0]-q[0], p[1]-q[1]) + 0.5)
		}
		if len(tour) > 0 {
			o := order.Options{Start: plane.At(tour[0][0], tour[0][1]), Return: true}
			if got := order.Travel(dots(tour), o); whole != test.published || test.sameTourAsReal && math.Abs(got-test.optimum) > 1e-3 {
				t.Errorf("%s: the published tour measures %v, in whole numbers %d; want %v, %d", test.name, got, whole, test.optimum, test.published)
			}
		}
		got := roundTour(tsp.XY)
		t.Logf("%s: %.4f, %.2f %% above the optimum", test.name, got, 100*(got/test.optimum-1))
		if got < test.optimum-1e-3 {
			t.Errorf("%s: a tour of %v is shorter than the proven optimum of %v", test.name, got, test.optimum)
		}
		if got > 1.02*test.optimum {
			t.Errorf("%s: a tour of %v is more than 2 %% above the optimum of %v", test.name, got, test.optimum)
		}
	}
}

// A best tour does not cross itself (M. M. Flood, Operations Research 4, 1956),
// which gives these by hand.
func TestKnownBestTours(t *testing.T) {
	var ring [][2]float64
	for i := range 12 {
		s, c := math.Sincos(float64(i*5%12) * math.Pi / 6) // out of order
		ring = append(ring, [2]float64{50 * c, 50 * s})
	}
	grid := func(w, h int) (points [][2]float64) {
		for x := range w {
			for y := range h {
				points = append(points, [2]float64{float64(x), float64(y)})
			}
		}
		return points
	}
	for _, test := range []struct {
		name   string
		points [][2]float64
		want   float64
	}{
		{"12 points on a circle of radius 50", ring, 310.582854},
		{"3 x 3", grid(3, 3), 9.414214},
		{"4 x 5", grid(4, 5), 20},
	} {
		if got := roundTour(test.points); math.Abs(got-test.want) > 1e-3 {
			t.Errorf("%s: tour of %v, want %v", test.name, got, test.want)
		}
	}
}

// Four lines above each other (constructed): to and fro costs three steps
// between them.
func TestTurningStrokesRound(t *testing.T) {
	var lines []stroke.Gesture
	for y := range 4 {
		lines = append(lines, line(0, float64(y), 10, float64(y)))
	}
	if got := order.Travel(order.Sort(lines, order.Options{}), order.Options{}); math.Abs(got-3) > 1e-9 {
		t.Errorf("travel %v, want 3", got)
	}
}

// Random points in a unit square: the mean of the best closed tours, found
// exactly elsewhere (no source), is 3.865(22) for 20 points, 5.709(30) for 50,
// 7.761(42) for 100. Ours must not beat them and be at most 3 % above.
func TestAgainstMeanOptima(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	for _, test := range []struct {
		n, tours   int
		mean, sure float64 // mean and its standard error
	}{{20, 60, 3.865, 0.022}, {50, 24, 5.709, 0.030}, {100, 12, 7.761, 0.042}} {
		sum, squares := 0.0, 0.0
		for range test.tours {
			points := make([][2]float64, test.n)
			for i := range points {
				points[i] = [2]float64{100 * random.Float64(), 100 * random.Float64()}
			}
			l := roundTour(points) / 100
			sum += l
			squares += l * l
		}
		mean := sum / float64(test.tours)
		own := math.Sqrt((squares/float64(test.tours) - mean*mean) / float64(test.tours))
		slack := 3 * math.Hypot(own, test.sure)
		t.Logf("%d points: mean %.3f ± %.3f, optimum %.3f ± %.3f", test.n, mean, own, test.mean, test.sure)
		if mean < test.mean-slack || mean > 1.03*test.mean+slack {
			t.Errorf("%d points: mean tour %v, want %v to 3 %% more, ± %v", test.n, mean, test.mean, slack)
		}
	}
}

// J. Beardwood, J. H. Halton, J. M. Hammersley, Proc. Cambridge Phil. Soc. 55
// (1959): a best tour through many points is 0.7124·√(N·A) long (the constant
// after D. S. Johnson, L. A. McGeoch, from memory; on a torus 0.7120(2), A. G. Percus,
// O. C. Martin, Phys. Rev. Lett. 76, 1996, 1188).
func TestAgainstTheLawForManyPoints(t *testing.T) {
	const n = 20000
	random := rand.New(rand.NewPCG(5, 6))
	points := make([][2]float64, n)
	for i := range points {
		points[i] = [2]float64{1000 * random.Float64(), 1000 * random.Float64()}
	}
	law := 0.7124 * math.Sqrt(n*1e6)
	got := roundTour(points)
	t.Logf("%d points: %.1f, the law says %.1f: %.1f %% more", n, got, law, 100*(got/law-1))
	if got < law || got > 1.06*law {
		t.Errorf("%d points: tour of %v, the law says %v", n, got, law)
	}
}

func gestures(t *rapid.T, most int) []stroke.Gesture {
	coordinate := rapid.Float64Range(0, 20)
	var out []stroke.Gesture
	for range rapid.IntRange(0, most).Draw(t, "gestures") {
		g := stroke.Gesture{
			Kind:  rapid.SampledFrom([]stroke.Kind{stroke.Main, stroke.Main, stroke.Corner, stroke.Lane, stroke.Line, stroke.Check, stroke.Register}).Draw(t, "kind"),
			Shape: rapid.IntRange(0, 3).Draw(t, "shape"),
		}
		for range rapid.IntRange(1, 3).Draw(t, "points") {
			g.Points = append(g.Points, at(coordinate.Draw(t, "x"), coordinate.Draw(t, "y")))
		}
		g.Points[0].Width = float64(len(out)) // tells it from all others
		out = append(out, g)
	}
	return out
}

// key is the number that gestures gave the gesture, and whether it was turned.
func key(g stroke.Gesture, all []stroke.Gesture) (number int, turned bool) {
	for i, a := range all {
		if g.Kind != a.Kind || g.Shape != a.Shape || len(g.Points) != len(a.Points) {
			continue
		}
		if slices.Equal(g.Points, a.Points) {
			return i, false
		}
		r := slices.Clone(a.Points)
		slices.Reverse(r)
		if slices.Equal(g.Points, r) {
			return i, true
		}
	}
	return -1, false
}

func TestGuarantees(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		all := gestures(t, 14)
		o := order.Options{
			Return: rapid.Bool().Draw(t, "return"), EdgesFirst: rapid.Bool().Draw(t, "edges first"), LeftHand: rapid.Bool().Draw(t, "left hand"),
			By: rapid.SampledFrom([]model.Order{model.ByTravel, model.ByDrawing, model.ByHand}).Draw(t, "order"),
		}
		before := fmt.Sprint(all)
		sorted := order.Sort(all, o)
		if fmt.Sprint(all) != before {
			t.Fatal("the list handed in was changed")
		}
		if !reflect.DeepEqual(sorted, order.Sort(all, o)) {
			t.Fatal("two orders for one list")
		}
		position := positions(t, all, sorted)
		checksFirst(t, sorted)
		for shape := range 4 {
			lanesTogether(t, sorted, shape, o.EdgesFirst)
		}
		for i, g := range all {
			if g.Kind == stroke.Corner {
				cornerFollows(t, all, sorted, position, i)
			}
		}
	})
}

// positions gives where each gesture of the list is in the order: each is there
// once, and reversed only if it may be.
func positions(t *rapid.T, all, sorted []stroke.Gesture) []int {
	if len(sorted) != len(all) {
		t.Fatalf("%d gestures in, %d out", len(all), len(sorted))
	}
	position := make([]int, len(all))
	for i := range position {
		position[i] = -1
	}
	for k, g := range sorted {
		i, turned := key(g, all)
		if i < 0 || position[i] >= 0 {
			t.Fatalf("gesture %d of the order is new, or comes twice", k)
		}
		position[i] = k
		if turned && (g.Kind == stroke.Corner || !g.Kind.OfPicture()) {
			t.Fatalf("%v reversed", g.Kind)
		}
	}
	return position
}

func checksFirst(t *rapid.T, sorted []stroke.Gesture) {
	for k, g := range sorted {
		if !g.Kind.OfPicture() && k > 0 && sorted[k-1].Kind.OfPicture() {
			t.Fatal("a check mark or an arm of a register mark does not come first")
		}
	}
}

// lanesTogether checks a shape that has lanes: nothing of other shapes comes
// between, and its lanes are first, or last.
func lanesTogether(t *rapid.T, sorted []stroke.Gesture, shape int, edgesFirst bool) {
	first, last, lanes := -1, -1, false
	for k, g := range sorted {
		if g.Shape != shape || !g.Kind.OfPicture() {
			continue
		}
		if first < 0 {
			first = k
		}
		last, lanes = k, lanes || g.Kind == stroke.Lane
	}
	if !lanes {
		return
	}
	other := false
	for k := first; k <= last; k++ {
		isLane := sorted[k].Kind == stroke.Lane
		if sorted[k].Shape != shape {
			t.Fatalf("shape %d has lanes, but another comes between", shape)
		}
		if isLane && other && !edgesFirst {
			t.Fatalf("a lane of shape %d comes after something else of it", shape)
		}
		if k > first && edgesFirst && sorted[k-1].Kind == stroke.Lane && !isLane {
			t.Fatalf("a stroke of shape %d comes after a lane of it", shape)
		}
		other = other || !isLane
	}
}

// cornerFollows checks that corner touch i comes after the main gesture that it
// was listed behind, with nothing but such touches between.
func cornerFollows(t *rapid.T, all, sorted []stroke.Gesture, position []int, i int) {
	main := -1
	for j := range i {
		if all[j].Shape == all[i].Shape && all[j].Kind != stroke.Corner && all[j].Kind.OfPicture() {
			main = j
		}
	}
	if main < 0 || all[main].Kind == stroke.Lane {
		return
	}
	if position[main] > position[i] {
		t.Fatal("a corner touch comes before its gesture")
	}
	for k := position[main] + 1; k <= position[i]; k++ {
		if sorted[k].Kind != stroke.Corner {
			t.Fatalf("%v between a gesture and its corner touch", sorted[k].Kind)
		}
	}
}

// best tries every order and direction.
func best(all []stroke.Gesture, o order.Options) float64 {
	if len(all) == 0 {
		return order.Travel(nil, o)
	}
	least := math.Inf(1)
	used := make([]bool, len(all))
	var try func(done []stroke.Gesture)
	try = func(done []stroke.Gesture) {
		if len(done) == len(all) {
			least = min(least, order.Travel(done, o))
			return
		}
		for i, g := range all {
			if used[i] {
				continue
			}
			used[i] = true
			try(append(done, g))
			r := g
			r.Points = slices.Clone(g.Points)
			slices.Reverse(r.Points)
			try(append(done, r))
			used[i] = false
		}
	}
	try(nil)
	return least
}

// Against all orders of five strokes: never better, and seldom worse.
func TestAgainstAllOrders(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 8))
	worse := 0
	const cases = 60
	for i := range cases {
		var all []stroke.Gesture
		for k := range 5 {
			g := line(20*random.Float64(), 20*random.Float64(), 20*random.Float64(), 20*random.Float64())
			g.Shape = k
			all = append(all, g)
		}
		o := order.Options{Return: i%2 == 0}
		want, got := best(all, o), order.Travel(order.Sort(all, o), o)
		if got < want-1e-6 {
			t.Fatalf("travel of %v is less than the least of all orders, %v", got, want)
		}
		if got > want+1e-6 {
			worse++
		}
	}
	t.Logf("%d of %d not the best", worse, cases)
	if worse > cases/10 {
		t.Errorf("%d of %d orders of five strokes are not the best", worse, cases)
	}
}

func TestFewGestures(t *testing.T) {
	if got := order.Sort(nil, order.Options{}); len(got) != 0 {
		t.Errorf("nothing sorts to %v", got)
	}
	if got := order.Sort([]stroke.Gesture{{}}, order.Options{}); len(got) != 0 {
		t.Errorf("a gesture without points is kept: %v", got)
	}
	one := []stroke.Gesture{line(10, 0, 1, 0)}
	if got := order.Sort(one, order.Options{}); got[0].Points[0] != at(1, 0) {
		t.Errorf("a single stroke begins at its far end: %v", got)
	}
	same := []stroke.Gesture{line(5, 5, 5, 5), line(5, 5, 5, 5), line(5, 5, 5, 5)}
	if got := order.Sort(same, order.Options{Return: true}); len(got) != 3 {
		t.Errorf("three strokes in one place sort to %v", got)
	}
}

// many makes n short strokes spread over an A3 sheet.
func many(n int) []stroke.Gesture {
	random := rand.New(rand.NewPCG(9, 10))
	var out []stroke.Gesture
	for i := range n {
		x, y := 410*random.Float64(), 290*random.Float64()
		g := line(x, y, x+8*random.Float64(), y+5*random.Float64())
		g.Shape = i
		out = append(out, g)
	}
	return out
}

func BenchmarkSort(b *testing.B) {
	for _, n := range []int{100, 1000, 10_000, 100_000} {
		all := many(n)
		for by, name := range map[model.Order]string{model.ByTravel: "short", model.ByHand: "written"} {
			b.Run(fmt.Sprint(n, "-", name), func(b *testing.B) {
				b.ReportAllocs()
				var sorted []stroke.Gesture
				for b.Loop() {
					sorted = order.Sort(all, order.Options{Return: true, By: by})
				}
				b.ReportMetric(order.Travel(sorted, order.Options{Return: true}), "mm-travel")
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/gesture")
			})
		}
	}
}

// Two strokes side by side are painted to and fro.
func ExampleSort() {
	strokes := []stroke.Gesture{line(0, 0, 100, 0), line(0, 5, 100, 5)}
	o := order.Options{}
	fmt.Printf("as drawn %.1f mm of travel, sorted %.1f mm\n", order.Travel(strokes, o), order.Travel(order.Sort(strokes, o), o))
	// Output: as drawn 100.1 mm of travel, sorted 5.0 mm
}
