package order_test

import (
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"mahlstick/notebooks"
	"mahlstick/runner"
	"mahlstick/runner/order"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// bound is a length in mm that no order of the gestures, each from either end, can
// undercut when the brush comes from a place and goes back there: that of M. Held,
// R. M. Karp, Operations Research 18 (1970) 1138-1162, for strokes. In every tour each end of
// a stroke is joined with its other end by the stroke itself, and with one other
// end, or the place, by travel. A tree that joins all strokes by travel, and
// the two shortest ways to the place, are at most as long; so they are when each
// end has a price that its travels are dearer by, less all prices. The prices
// rise where more than one way meets an end and fall where none does.
//
// upper is the length of some tour in mm, for the steps by which the prices change:
// M. Held, P. Wolfe, H. P. Crowder, Mathematical Programming 6 (1974) 62-88.
func bound(gestures []stroke.Gesture, place plane.Point, upper float64) float64 {
	b := newBounding(gestures, place)
	near := b.near
	if len(b.at) <= boundDense || math.IsInf(b.tree(near), -1) {
		near = nil
	}
	best, prices := math.Inf(-1), slices.Clone(b.price)
	scale, since := 2.0, 0
	for range boundRounds {
		l := b.tree(near)
		if since++; l > best {
			best, since = l, 0
			copy(prices, b.price)
		}
		if since == 15 {
			scale, since = scale/2, 0
		}
		squares := 0.0
		for e := range b.price {
			squares += math.Pow(float64(b.degree[e]-1), 2)
		}
		if squares == 0 {
			break // the tree is a tour
		}
		for e := range b.price {
			b.price[e] += scale * (upper*plane.PerMM - l) / squares * float64(b.degree[e]-1)
		}
	}
	// The ascent may know only ways to near ends; the bound counts all.
	copy(b.price, prices)
	return b.tree(nil) / plane.PerMM
}

const (
	boundRounds = 300
	boundNear   = 10
	boundDense  = 400 // ends up to which all ways are counted all the time
)

type bounding struct {
	at     []plane.Point // ends, two a stroke
	place  plane.Point
	near   [][]int32
	price  []float64
	degree []int
}

func newBounding(gestures []stroke.Gesture, place plane.Point) *bounding {
	b := &bounding{place: place}
	for _, g := range gestures {
		b.at = append(b.at, g.Points[0].Plane(), g.Points[len(g.Points)-1].Plane())
	}
	n := len(b.at)
	b.price, b.degree = make([]float64, n), make([]int, n)
	b.near = make([][]int32, n)
	others := make([]int32, 0, n)
	for e := range b.at {
		others = others[:0]
		for f := range b.at {
			if f/2 != e/2 {
				others = append(others, int32(f))
			}
		}
		slices.SortFunc(others, func(f, g int32) int {
			return int(math.Copysign(1, plane.Distance(b.at[e], b.at[f])-plane.Distance(b.at[e], b.at[g])))
		})
		b.near[e] = slices.Clone(others[:min(boundNear, len(others))])
	}
	for e, list := range b.near { // both ways
		for _, f := range list[:min(boundNear, len(list))] {
			if !slices.Contains(b.near[f], int32(e)) {
				b.near[f] = append(b.near[f], int32(e))
			}
		}
	}
	return b
}

func (b *bounding) cost(e, f int) float64 {
	return plane.Distance(b.at[e], b.at[f]) + b.price[e] + b.price[f]
}

// tree is the length of the tree and the two ways to the place, less the prices. It
// sets the number of ways at each end. With a list of near ends only ways to them
// are used, else all (R. C. Prim, Bell System Technical J. 36, 1957, 1389-1401).
func (b *bounding) tree(near [][]int32) float64 {
	n := len(b.at)
	sum := 0.0
	for e := range b.degree {
		b.degree[e] = 0
		sum -= b.price[e]
	}
	g := growing{bounding: b, near: near, key: make([]float64, n), from: make([]int, n), done: make([]bool, n)}
	for e := range g.key {
		g.key[e] = math.Inf(1)
	}
	g.heap = &heap{key: g.key, where: make([]int, n)}
	g.take(0)
	for range n/2 - 1 {
		e := g.next()
		if e < 0 {
			return math.Inf(-1) // the near ends do not join all
		}
		sum += g.key[e]
		b.degree[e]++
		b.degree[g.from[e]]++
		g.take(e)
	}
	return sum + b.home()
}

// home is the length of the two shortest ways to the place.
func (b *bounding) home() float64 {
	first, second := -1, -1
	way := func(e int) float64 { return plane.Distance(b.at[e], b.place) + b.price[e] }
	for e := range b.at {
		switch {
		case first < 0 || way(e) < way(first):
			first, second = e, first
		case second < 0 || way(e) < way(second):
			second = e
		}
	}
	b.degree[first]++
	b.degree[second]++
	return way(first) + way(second)
}

// growing is a tree as it grows.
type growing struct {
	*bounding
	near [][]int32
	heap *heap
	key  []float64 // the shortest way from the tree to an end
	from []int     // and where it begins
	done []bool
}

// take adds an end, and by its stroke the other.
func (g *growing) take(e int) {
	for _, e := range [...]int{e, e ^ 1} {
		g.done[e] = true
		if g.near == nil {
			for f := range g.at {
				g.look(e, f)
			}
			continue
		}
		for _, f := range g.near[e] {
			g.look(e, int(f))
		}
	}
}

func (g *growing) look(e, f int) {
	if c := g.cost(e, f); !g.done[f] && c < g.key[f] {
		g.key[f], g.from[f] = c, e
		if g.near != nil {
			g.heap.lower(f)
		}
	}
}

// next is the end with the shortest way to the tree, -1 if there is none.
func (g *growing) next() int {
	best := -1
	if g.near != nil {
		for best = g.heap.least(); best >= 0 && g.done[best]; {
			best = g.heap.least()
		}
		return best
	}
	for f := range g.at {
		if !g.done[f] && (best < 0 || g.key[f] < g.key[best]) {
			best = f
		}
	}
	return best
}

// heap yields the end with the least key.
type heap struct {
	key   []float64
	ends  []int
	where []int // place in ends, plus 1
}

func (h *heap) less(i, j int) bool { return h.key[h.ends[i]] < h.key[h.ends[j]] }

func (h *heap) swap(i, j int) {
	h.ends[i], h.ends[j] = h.ends[j], h.ends[i]
	h.where[h.ends[i]], h.where[h.ends[j]] = i+1, j+1
}

func (h *heap) lower(e int) {
	if h.where[e] == 0 {
		h.ends = append(h.ends, e)
		h.where[e] = len(h.ends)
	}
	for i := h.where[e] - 1; i > 0 && h.less(i, (i-1)/2); i = (i - 1) / 2 {
		h.swap(i, (i-1)/2)
	}
}

func (h *heap) least() int {
	if len(h.ends) == 0 {
		return -1
	}
	e := h.ends[0]
	last := len(h.ends) - 1
	h.swap(0, last)
	h.ends = h.ends[:last]
	h.where[e] = 0
	for i := 0; 2*i+1 < last; {
		k := 2*i + 1
		if k+1 < last && h.less(k+1, k) {
			k++
		}
		if !h.less(k, i) {
			break
		}
		h.swap(i, k)
		i = k
	}
	return e
}

// greedy is the travel if the brush always goes on at the nearest end.
func greedy(gestures []stroke.Gesture, o order.Options) float64 {
	at, sum := o.Start, 0.0
	left := slices.Clone(gestures)
	for len(left) > 0 {
		best, least, there := 0, math.Inf(1), plane.Point{}
		for i, g := range left {
			a, b := g.Points[0].Plane(), g.Points[len(g.Points)-1].Plane()
			for _, way := range [2][2]plane.Point{{a, b}, {b, a}} {
				if d := plane.Distance(at, way[0]); d < least {
					best, least, there = i, d, way[1]
				}
			}
		}
		sum, at = sum+least, there
		left = slices.Delete(left, best, best+1)
	}
	return (sum + plane.Distance(at, o.Start)) / plane.PerMM
}

// The bound is none for five strokes if any order of them is shorter.
func TestBound(t *testing.T) {
	random := rand.New(rand.NewPCG(11, 12))
	sum := 0.0
	const cases = 30
	for range cases {
		var all []stroke.Gesture
		for range 5 {
			all = append(all, line(20*random.Float64(), 20*random.Float64(), 20*random.Float64(), 20*random.Float64()))
		}
		o := order.Options{Start: plane.At(-5, 25), Return: true}
		least := best(all, o)
		bound := bound(all, o.Start, least)
		if bound > least+1e-6 {
			t.Fatalf("the bound %v is above the least travel of all orders, %v", bound, least)
		}
		sum += bound / least
	}
	t.Logf("on average %.2f %% of the least travel", 100*sum/cases)
	if sum < 0.9*cases {
		t.Errorf("the bound is %.2f %% of the least travel on average", 100*sum/cases)
	}
}

// Travel against the bound, and against going on at the nearest end.
func TestAgainstBound(t *testing.T) {
	for _, c := range []struct {
		strokes int
		most    float64 // times the bound, which is itself below the least travel
	}{{50, 1.02}, {500, 1.031}, {2000, 1.045}} {
		all := many(c.strokes)
		o := order.Options{Start: plane.At(-20, 317), Return: true}
		got, simple := order.Travel(order.Sort(all, o), o), greedy(all, o)
		least := bound(all, o.Start, got)
		t.Logf("%d strokes: %.1f mm, %.4f times the bound; nearest first %.4f", c.strokes, got, got/least, simple/least)
		if got < least || got > c.most*least || got > simple {
			t.Errorf("%d strokes: %.1f mm, the bound is %.1f, nearest first %.1f mm", c.strokes, got, least, simple)
		}
	}
}

// The demo as its programs fly, from the check strip's pause to the place to rest. Its
// long strokes side by side make the bound weak: thirty times the work finds no
// shorter order.
func TestDemoAgainstBound(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, notebooks.Files); err != nil {
		t.Fatal(err)
	}
	r, problems, err := runner.Run(filepath.Join(dir, "heron", "heron.md"), runner.Options{})
	if err != nil || problems.HasErrors() {
		t.Fatal(err, problems)
	}
	for _, l := range r.Layers {
		rest := plane.Point{X: l.Motion.Rest.X, Y: l.Motion.Rest.Y}
		var picture []stroke.Gesture
		for _, s := range l.Motion.Strokes {
			if s.Kind.OfPicture() {
				a, b := s.Moves[0], s.Moves[len(s.Moves)-1]
				picture = append(picture, stroke.Gesture{Points: []stroke.Point{{X: a.X, Y: a.Y}, {X: b.X, Y: b.Y}}})
			}
		}
		got := order.Travel(picture, order.Options{Start: rest, Return: true})
		least := bound(picture, rest, got)
		t.Logf("%s: %d strokes, %.1f mm, %.4f times the bound", l.Model.Name, len(picture), got, got/least)
		if got < least-1e-6 || got > 1.075*least {
			t.Errorf("%s: the lifted brush travels %.1f mm, the bound is %.1f mm", l.Model.Name, got, least)
		}
	}
}

// Register marks come after the check marks and before the picture, in the order
// in which they are given, and the tour goes on from them.
func TestRegisterMarksFirst(t *testing.T) {
	var all []stroke.Gesture
	for i, kind := range []stroke.Kind{stroke.Check, stroke.Register, stroke.Register, stroke.Main, stroke.Main} {
		g := line(float64(10*i), 50, float64(10*i), 40)
		g.Kind, g.Shape = kind, i-3
		all = append(all, g)
	}
	sorted := order.Sort([]stroke.Gesture{all[4], all[1], all[0], all[3], all[2]}, order.Options{Return: true})
	for i, g := range sorted[:4] {
		if g.Kind != all[i].Kind || g.Points[0].X != all[i].Points[0].X {
			t.Fatalf("gesture %d is %v at %v", i, g.Kind, g.Points[0])
		}
	}
}
