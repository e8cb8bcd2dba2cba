package axis_test

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"mahlstick/runner/axis"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

// The values of testdata/medial_axis.json; its "source" field names where
// they come from.
type published struct {
	Rectangle struct {
		Polygon [][2]float64
		Nodes   [][3]float64
		Length  float64 `json:"total_length"`
	} `json:"rectangle_20x6"`
	Triangle345 struct {
		Polygon  [][2]float64
		Nodes    [][3]float64
		Branches []float64 `json:"branch_lengths"`
	} `json:"triangle_3_4_5"`
	Triangle131415 struct {
		Polygon [][2]float64
		Nodes   [][3]float64
	} `json:"triangle_13_14_15"`
	Equilateral struct {
		R      float64
		Branch float64 `json:"branch_length"`
		Count  int
	} `json:"equilateral_side_6"`
	L struct {
		Polygon [][2]float64
		Nodes   [][3]float64 `json:"nodes_x_y_r"`
		Points  [][3]float64
		Length  float64 `json:"total_length"`
		MaxR    float64 `json:"max_r"`
	} `json:"L_shape"`
	Notched struct {
		Polygon [][2]float64
		Nodes   [][3]float64 `json:"nodes_x_y_r"`
	} `json:"notched_box"`
	Ellipse struct{ Points [][2]float64 } `json:"ellipse_10_5"`
	Annulus struct{ R float64 }           `json:"annulus_10_4"`
	Capsule struct{ Points [][2]float64 } `json:"tapered_capsule"`
	Two     struct{ Points [][2]float64 } `json:"two_discs"`
}

func values(t *testing.T) published {
	t.Helper()
	text, err := os.ReadFile("testdata/medial_axis.json")
	if err != nil {
		t.Fatal(err)
	}
	var v published
	if err := json.Unmarshal(text, &v); err != nil {
		t.Fatal(err)
	}
	return v
}

const (
	close = 0.002  // mm: how near every axis point and radius must come
	flat  = 0.0004 // mm: how far flattened curves leave the true ones
	loss  = 0.02   // mm: the job's tolerance
)

func medial(t *testing.T, r region.Region) *axis.Graph {
	t.Helper()
	g, err := axis.Medial(r, loss)
	if err != nil {
		t.Fatal(err)
	}
	valid(t, g)
	return g
}

// failer is what tests, fuzz targets and property tests have in common.
type failer interface {
	Helper()
	Fatalf(format string, args ...any)
	Fatal(args ...any)
}

// valid checks what every graph promises of itself.
func valid(t failer, g *axis.Graph) {
	t.Helper()
	ends := make([]int, len(g.Nodes))
	for i, e := range g.Edges {
		if len(e.Points) < 2 || e.Points[0] != g.Nodes[e.From].Point || e.Points[len(e.Points)-1] != g.Nodes[e.To].Point {
			t.Fatalf("edge %d does not run from node to node", i)
		}
		ends[e.From]++
		ends[e.To]++
		for j := range e.Points[1:] {
			if e.Points[j] == e.Points[j+1] {
				t.Fatalf("edge %d stands still at point %d", i, j)
			}
		}
	}
	for i, n := range g.Nodes {
		if len(n.Edges) != ends[i] {
			t.Fatalf("node %d lists %d edges, %d end there", i, len(n.Edges), ends[i])
		}
		for _, e := range n.Edges {
			if int(g.Edges[e].From) != i && int(g.Edges[e].To) != i {
				t.Fatalf("node %d lists edge %d, which does not end there", i, e)
			}
		}
		if len(n.Edges) == 2 && n.Edges[0] != n.Edges[1] {
			t.Fatalf("node %d only joins two edges", i)
		}
	}
	if len(g.Nodes) == 0 {
		t.Fatal("no node")
	}
}

func mm(p axis.Point) (x, y, r float64) { return plane.MM(p.X), plane.MM(p.Y), plane.MM(p.R) }

// every calls f for points all along the edges, between the vertices too, as
// whoever paints along the chords meets them.
func every(g *axis.Graph, f func(x, y, r float64)) {
	for _, n := range g.Nodes {
		f(mm(n.Point))
	}
	for _, e := range g.Edges {
		for i := range e.Points[1:] {
			ax, ay, ar := mm(e.Points[i])
			bx, by, br := mm(e.Points[i+1])
			for j := range 5 {
				t := float64(j) / 4
				f(ax+t*(bx-ax), ay+t*(by-ay), ar+t*(br-ar))
			}
		}
	}
}

func length(e axis.Edge) float64 {
	var sum float64
	for i := range e.Points[1:] {
		sum += math.Hypot(plane.MM(e.Points[i+1].X-e.Points[i].X), plane.MM(e.Points[i+1].Y-e.Points[i].Y))
	}
	return sum
}

func total(g *axis.Graph) float64 {
	var sum float64
	for _, e := range g.Edges {
		sum += length(e)
	}
	return sum
}

// along is the radius in mm where the axis passes nearest to (x, y), and how near.
func along(g *axis.Graph, x, y float64) (radius, distance float64) {
	distance = math.Inf(1)
	for _, e := range g.Edges {
		for i := range e.Points[1:] {
			ax, ay, ar := mm(e.Points[i])
			bx, by, br := mm(e.Points[i+1])
			dx, dy := bx-ax, by-ay
			t := math.Max(0, math.Min(1, ((x-ax)*dx+(y-ay)*dy)/(dx*dx+dy*dy)))
			if d := math.Hypot(x-ax-t*dx, y-ay-t*dy); d < distance {
				radius, distance = ar+t*(br-ar), d
			}
		}
	}
	return radius, distance
}

func expectNodes(t *testing.T, g *axis.Graph, want [][3]float64) {
	t.Helper()
	for _, w := range want {
		found := false
		for _, n := range g.Nodes {
			x, y, r := mm(n.Point)
			found = found || math.Abs(x-w[0]) < close && math.Abs(y-w[1]) < close && math.Abs(r-w[2]) < close
		}
		if !found {
			t.Errorf("no node at %v: %+v", w, g.Nodes)
		}
	}
}

func expectPoints(t *testing.T, g *axis.Graph, want [][3]float64) {
	t.Helper()
	for _, w := range want {
		if r, d := along(g, w[0], w[1]); d > close || math.Abs(r-w[2]) > close {
			t.Errorf("at %v: axis %.5f mm away, radius %.5f", w, d, r)
		}
	}
}

// expectPath wants a single edge from (x0, 0) to (x1, 0), give or take ends
// mm, on the x axis with the radius given.
func expectPath(t *testing.T, g *axis.Graph, x0, x1, ends float64, radius func(x float64) float64) {
	t.Helper()
	if len(g.Nodes) != 2 || len(g.Edges) != 1 {
		t.Fatalf("%d nodes and %d edges, want one path", len(g.Nodes), len(g.Edges))
	}
	for i, x := range []float64{x0, x1} {
		if nx, _, _ := mm(g.Nodes[i].Point); math.Abs(nx-x) > ends {
			t.Errorf("the path ends at %.4f, want %.4f", nx, x)
		}
	}
	every(g, func(x, y, r float64) {
		if x > x0 && x < x1 && (math.Abs(y) > close || math.Abs(r-radius(x)) > close) {
			t.Errorf("at x %.4f: y %.5f, radius %.5f, want %.5f", x, y, r, radius(x))
		}
	})
}

func TestRectangle(t *testing.T) {
	v := values(t).Rectangle
	g := medial(t, regionOf(ring(v.Polygon...)))
	expectNodes(t, g, v.Nodes)
	if len(g.Nodes) != 6 || len(g.Edges) != 5 || math.Abs(total(g)-v.Length) > close {
		t.Errorf("%d nodes, %d edges, length %.5f, want %.5f", len(g.Nodes), len(g.Edges), total(g), v.Length)
	}
}

func TestTriangles(t *testing.T) {
	v := values(t)
	g := medial(t, regionOf(ring(v.Triangle345.Polygon...)))
	expectNodes(t, g, v.Triangle345.Nodes)
	if len(g.Edges) != 3 {
		t.Fatalf("%d edges", len(g.Edges))
	}
	for _, w := range v.Triangle345.Branches {
		found := false
		for _, e := range g.Edges {
			found = found || math.Abs(length(e)-w) < close
		}
		if !found {
			t.Errorf("no branch is %.4f long", w)
		}
	}
	expectNodes(t, medial(t, regionOf(ring(v.Triangle131415.Polygon...))), v.Triangle131415.Nodes)
	e := v.Equilateral
	g = medial(t, regionOf(ring([2]float64{0, 0}, [2]float64{6, 0}, [2]float64{3, 3 * math.Sqrt(3)})))
	expectNodes(t, g, [][3]float64{{3, e.R, e.R}})
	if len(g.Edges) != e.Count {
		t.Fatalf("%d branches", len(g.Edges))
	}
	for _, b := range g.Edges {
		if math.Abs(length(b)-e.Branch) > close {
			t.Errorf("branch %.5f long, want %.5f", length(b), e.Branch)
		}
	}
}

func TestL(t *testing.T) {
	v := values(t).L
	g := medial(t, regionOf(ring(v.Polygon...)))
	expectNodes(t, g, v.Nodes[:1])
	expectNodes(t, g, v.Nodes[3:])
	expectPoints(t, g, v.Nodes)
	expectPoints(t, g, v.Points)
	if math.Abs(total(g)-v.Length) > close {
		t.Errorf("length %.5f, want %.5f", total(g), v.Length)
	}
	widest := 0.0
	every(g, func(x, y, r float64) { widest = math.Max(widest, r) })
	if math.Abs(widest-v.MaxR) > close {
		t.Errorf("widest %.5f, want %.5f", widest, v.MaxR)
	}
}

func TestNotchedBox(t *testing.T) {
	v := values(t).Notched
	g := medial(t, regionOf(ring(v.Polygon...)))
	expectPoints(t, g, v.Nodes)
	// Two of them are bends, where the middle edge meets the notch's corner.
	expectNodes(t, g, [][3]float64{v.Nodes[0], v.Nodes[3]})
}

func TestEllipse(t *testing.T) {
	const a, b = 10, 5
	// Chords over equal parts of the parameter leave an ellipse by a*d²/2 at most.
	n := int(math.Ceil(2 * math.Pi / (2 * math.Sqrt(2*flat/a))))
	var pts [][2]float64
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * (float64(i) + 0.3) / float64(n))
		pts = append(pts, [2]float64{a * c, b * s})
	}
	g := medial(t, regionOf(ring(pts...)))
	radius := func(x float64) float64 { return b * math.Sqrt(1-x*x/(a*a-b*b)) }
	expectPath(t, g, -7.5, 7.5, 0.3, radius)
	// The true axis ends at the centre of curvature of the tip. The discs
	// near there add so little to each other that the tolerance takes more
	// of the path's length than its own.
	for _, n := range g.Nodes {
		if x, _, r := mm(n.Point); a-math.Abs(x)-r > loss {
			t.Errorf("the tip is moved by %.4f mm", a-math.Abs(x)-r)
		}
	}
	for _, p := range values(t).Ellipse.Points[:3] {
		expectPoints(t, g, [][3]float64{{p[0], 0, p[1]}})
	}
}

func TestUnequalCapsule(t *testing.T) {
	// Two ends of radius 5 at 0 and 2 at 12; the sides leave them at the
	// angle whose cosine is 3/12.
	a := math.Acos(3.0 / 12)
	pts := arc(nil, 12, 0, 2, -a, a, flat)
	pts = append(pts, [2]float64{5 * math.Cos(a), 5 * math.Sin(a)})
	pts = arc(pts, 0, 0, 5, a, 2*math.Pi-a, flat)
	pts = append(pts, [2]float64{12 + 2*math.Cos(a), -2 * math.Sin(a)})
	g := medial(t, regionOf(ring(pts...)))
	expectPath(t, g, 0, 12, loss, func(x float64) float64 { return 5 - x/4 })
	for _, p := range values(t).Capsule.Points {
		expectPoints(t, g, [][3]float64{{p[0], 0, p[1]}})
	}
}

func TestTwoDiscs(t *testing.T) {
	a := math.Acos(3.0 / 5)
	pts := arc(nil, 3, 0, 5, a-math.Pi, math.Pi-a, flat)
	pts = arc(pts, -3, 0, 5, a, 2*math.Pi-a, flat)
	g := medial(t, regionOf(ring(pts...)))
	expectPath(t, g, -3, 3, loss, func(x float64) float64 { return math.Sqrt(x*x + 16) })
	for _, p := range values(t).Two.Points {
		expectPoints(t, g, [][3]float64{{p[0], 0, p[1]}})
	}
}

func TestAnnulus(t *testing.T) {
	g := medial(t, regionOf(circle(0, 0, 10, flat), reversed(circle(0, 0, 4, flat))))
	if len(g.Nodes) != 1 || len(g.Edges) != 1 || len(g.Nodes[0].Edges) != 2 {
		t.Fatalf("%d nodes, %d edges, want one closed ring", len(g.Nodes), len(g.Edges))
	}
	want := values(t).Annulus.R
	every(g, func(x, y, r float64) {
		if math.Abs(math.Hypot(x, y)-7) > close || math.Abs(r-want) > close {
			t.Errorf("%.4f %.4f: %.5f from the middle, radius %.5f", x, y, math.Hypot(x, y), r)
		}
	})
}

func TestDisc(t *testing.T) {
	g := medial(t, regionOf(circle(1, 2, 3, flat)))
	if len(g.Nodes) != 1 || len(g.Edges) != 0 {
		t.Fatalf("%d nodes, %d edges, want one disc", len(g.Nodes), len(g.Edges))
	}
	expectNodes(t, g, [][3]float64{{1, 2, 3}})
}

// A stroke with round ends is one path from the middle of one end to the
// middle of the other.
func TestRoundEndedStroke(t *testing.T) {
	for _, r := range []float64{0.15, 0.5, 1, 3, 10} {
		pts := arc(nil, 20, 0, r, -math.Pi/2, math.Pi/2, 0.001)
		pts = append(pts, [2]float64{0, r})
		pts = arc(pts, 0, 0, r, math.Pi/2, 3*math.Pi/2, 0.001)
		pts = append(pts, [2]float64{20, -r})
		g := medial(t, regionOf(ring(pts...)))
		expectPath(t, g, 0, 20, loss, func(x float64) float64 { return r })
	}
}
