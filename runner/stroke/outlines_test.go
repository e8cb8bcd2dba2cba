package stroke_test

import (
	"bufio"
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"mahlstick/runner/contour"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
	"mahlstick/runner/stroke"
)

// The outlines of brush strokes in the npm package hanzi-writer-data 2.0.1,
// each with a rough centre line ("median"). testdata/outlines holds a few of
// them with their licence; -outlines takes the unpacked package instead.
var (
	outlinesFlag = flag.String("outlines", "", "directory of the unpacked package hanzi-writer-data")
	charsFlag    = flag.Int("characters", 500, "how many characters of it, evenly spread")
)

// outline is one stroke of a character in mm, y upwards.
type outline struct {
	name   string
	rings  [][][2]float64
	median [][2]float64
}

const millimetres = 60.0 / 1024 // a character's square is 1024 units wide, here 60 mm

func outlines(t *testing.T) []outline {
	if *outlinesFlag == "" {
		return extract(t, "testdata/outlines/outlines.txt")
	}
	files, err := filepath.Glob(filepath.Join(*outlinesFlag, "*.json"))
	if err != nil {
		t.Fatal(err)
	}
	files = slices.DeleteFunc(files, func(f string) bool { return strings.HasSuffix(f, "package.json") || strings.HasSuffix(f, "all.json") })
	var out []outline
	for k := range *charsFlag {
		data, err := os.ReadFile(files[k*len(files) / *charsFlag])
		if err != nil {
			t.Fatal(err)
		}
		var c struct {
			Strokes []string
			Medians [][][2]float64
		}
		if err := json.Unmarshal(data, &c); err != nil {
			t.Fatal(err)
		}
		name := strings.TrimSuffix(filepath.Base(files[k*len(files) / *charsFlag]), ".json")
		for i, s := range c.Strokes {
			out = append(out, newOutline(t, fmt.Sprintf("%s-%d", name, i+1), s, c.Medians[i]))
		}
	}
	return out
}

// extract reads a file with a line a stroke: name, path, median, separated by
// tabs.
func extract(t *testing.T, file string) []outline {
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var out []outline
	lines := bufio.NewScanner(f)
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		if strings.HasPrefix(lines.Text(), "#") {
			continue
		}
		cells := strings.Split(lines.Text(), "\t")
		var median [][2]float64
		if err := json.Unmarshal([]byte(cells[2]), &median); err != nil {
			t.Fatal(err)
		}
		out = append(out, newOutline(t, cells[0], cells[1], median))
	}
	return out
}

func newOutline(t *testing.T, name, path string, median [][2]float64) outline {
	o := outline{name: name, rings: flatten(t, path, millimetres)}
	for _, p := range median {
		o.median = append(o.median, [2]float64{p[0] * millimetres, p[1] * millimetres})
	}
	return o
}

// flatten reads the path commands M, L, Q, C and Z with absolute coordinates,
// of which one is scale mm, and puts chords within 0.001 mm of curves.
func flatten(t *testing.T, path string, scale float64) [][][2]float64 {
	var out [][][2]float64
	var ring [][2]float64
	words := strings.Fields(path)
	take := func() [2]float64 {
		var p [2]float64
		for i := range p {
			v, err := strconv.ParseFloat(words[0], 64)
			if err != nil {
				t.Fatal(err)
			}
			p[i], words = v*scale, words[1:]
		}
		return p
	}
	for len(words) > 0 {
		command := words[0]
		words = words[1:]
		switch command {
		case "M", "L":
			if command == "M" && len(ring) > 0 {
				out, ring = append(out, ring), nil
			}
			ring = append(ring, take())
		case "Q":
			a, b, c := ring[len(ring)-1], take(), take()
			ring = curve(ring, [4][2]float64{a, mix(a, b, 2./3), mix(c, b, 2./3), c})
		case "C":
			ring = curve(ring, [4][2]float64{ring[len(ring)-1], take(), take(), take()})
		case "Z":
		default:
			t.Fatalf("path command %q", command)
		}
	}
	return append(out, ring)
}

func mix(a, b [2]float64, t float64) [2]float64 {
	return [2]float64{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])}
}

func curve(ring [][2]float64, c [4][2]float64) [][2]float64 {
	// A cubic lies within 3/4 of its farthest control point from the chord.
	off := 0.0
	for _, p := range c[1:3] {
		dx, dy := c[3][0]-c[0][0], c[3][1]-c[0][1]
		d := math.Hypot(dx, dy)
		if d == 0 {
			off = math.Max(off, math.Hypot(p[0]-c[0][0], p[1]-c[0][1]))
			continue
		}
		off = math.Max(off, math.Abs(dx*(p[1]-c[0][1])-dy*(p[0]-c[0][0]))/d)
		if along := (dx*(p[0]-c[0][0]) + dy*(p[1]-c[0][1])) / d / d; along < 0 || along > 1 {
			off = math.Max(off, math.Max(-along, along-1)*d)
		}
	}
	if 0.75*off < 0.001 {
		return append(ring, c[3])
	}
	ab, bc, cd := mix(c[0], c[1], 0.5), mix(c[1], c[2], 0.5), mix(c[2], c[3], 0.5)
	abc, bcd := mix(ab, bc, 0.5), mix(bc, cd, 0.5)
	m := mix(abc, bcd, 0.5)
	return curve(curve(ring, [4][2]float64{c[0], ab, abc, m}), [4][2]float64{m, bcd, cd, c[3]})
}

// TestOutlines paints brush strokes drawn by hand, each on its own, with an
// ideal round brush that is wide enough.
func TestOutlines(t *testing.T) {
	l := layerWith(0, 40)
	var drawnArea, covered, spilt float64
	var edge []float64
	one, corners, medians, near, points := 0, 0, 0, 0, 0
	worst := 0.0
	all := outlines(t)
	whole := len(all)
	for _, o := range all {
		drawn, problems := region.Build(contoursOf(o.rings), region.Options{})
		if len(problems) > 0 || len(drawn.Regions) == 0 {
			t.Errorf("%s: lost: %v", o.name, problems)
			continue
		}
		p := plan(t, stroke.Drawn{Closed: drawn}, l)
		pressed(t, p, l)
		if broken(drawn) {
			whole-- // it touches or crosses itself as published
		} else if n := p.Count(stroke.Main); n == 1 {
			one++
		} else if testing.Verbose() {
			t.Logf("%s: %d main gestures, %d corners", o.name, n, p.Count(stroke.Corner))
		}
		corners += p.Count(stroke.Corner)
		for _, g := range p.Gestures {
			points += len(g.Points)
		}
		c, s, a := area(drawn.Regions, p.Gestures, widthOf(l), 0.02)
		drawnArea, covered, spilt = drawnArea+a, covered+c, spilt+s
		off := edgeErrors(drawn.Regions, p.Gestures, widthOf(l))
		if m := slices.Max(off); m > 0.06 {
			t.Logf("%s: the edge is off by %.3f mm", o.name, m)
		}
		worst = max(worst, slices.Max(off))
		edge = append(edge, off...)
		for _, m := range o.median {
			medians++
			if x, w := nearestPath(p.Gestures, m); x <= w/4 {
				near++
			}
		}
	}
	slices.Sort(edge)
	p99 := edge[len(edge)*99/100]
	t.Logf("%d strokes, %.1f corner touches and %.1f points each", len(all), float64(corners)/float64(len(all)), float64(points)/float64(len(all)))
	t.Logf("one main gesture: %.2f %%; covered %.4f %%, spilt %.4f %%; edge off by %.4f mm (99 of 100), %.4f mm at most; median points near the path %.1f %%",
		100*float64(one)/float64(whole), 100*covered/drawnArea, 100*spilt/drawnArea, p99, worst, 100*float64(near)/float64(medians))
	if float64(one) < 0.99*float64(whole) {
		t.Errorf("%d of %d strokes are one main gesture", one, whole)
	}
	if covered < 0.999*drawnArea || spilt > 0.001*drawnArea {
		t.Errorf("covered %g, spilt %g of %g mm²", covered, spilt, drawnArea)
	}
	if p99 > 0.02 || worst > 0.06 {
		t.Errorf("the edge is off by %g mm at 99 of 100 places, %g mm at most", p99, worst)
	}
	if float64(near) < 0.9*float64(medians) {
		t.Errorf("%d of %d points of the medians are near the path", near, medians)
	}
}

func contoursOf(rings [][][2]float64) []region.Contour {
	var out []region.Contour
	for i, r := range rings {
		var ring []plane.Point
		for _, p := range r {
			ring = append(ring, plane.At(p[0], p[1]))
		}
		out = append(out, region.Contour{Identity: contour.Identity{Shape: i}, Points: ring})
	}
	return out
}

// broken reports whether an outline was mended where it touched or crossed
// itself.
func broken(r *region.Result) bool {
	return slices.ContainsFunc(r.Repairs, func(m region.Repair) bool { return m.Fault == region.SelfTouch || m.Fault == region.SelfCross })
}

// area gives the mm² that are covered, spilt and drawn.
func area(regions []region.Region, gestures []stroke.Gesture, width func(float64) float64, px float64) (covered, spilt, all float64) {
	drawn, painted := frames(regions, px)
	for _, r := range regions {
		drawn.fill(r)
	}
	for _, g := range gestures {
		painted.paint(g, width)
	}
	for i := range drawn.on {
		switch {
		case drawn.on[i] && painted.on[i]:
			covered++
		case painted.on[i]:
			spilt++
		}
		if drawn.on[i] {
			all++
		}
	}
	return covered * px * px, spilt * px * px, all * px * px
}

// edgeErrors is how far, in mm, the rim of the paint is from the drawn edge,
// every 0.05 mm along it.
func edgeErrors(regions []region.Region, gestures []stroke.Gesture, width func(float64) float64) []float64 {
	var out []float64
	for _, r := range regions {
		for _, ring := range r.Rings {
			left := 0.0
			for i, p := range ring {
				ax, ay := p.MM()
				bx, by := ring[(i+1)%len(ring)].MM()
				d := math.Hypot(bx-ax, by-ay)
				for ; left < d; left += 0.05 {
					out = append(out, math.Abs(offPaint(gestures, width, ax+left/d*(bx-ax), ay+left/d*(by-ay))))
				}
				left -= d
			}
		}
	}
	return out
}

// nearestPath gives the distance of a point from the path of the gestures and
// the width of the mark there.
func nearestPath(gestures []stroke.Gesture, m [2]float64) (distance, width float64) {
	distance = math.Inf(1)
	for _, g := range gestures {
		for i := range g.Points {
			a, b := g.Points[max(i-1, 0)], g.Points[i]
			ax, ay, bx, by := plane.MM(a.X), plane.MM(a.Y), plane.MM(b.X), plane.MM(b.Y)
			s := ((m[0]-ax)*(bx-ax) + (m[1]-ay)*(by-ay)) / ((bx-ax)*(bx-ax) + (by-ay)*(by-ay))
			if !(s > 0) {
				s = 0
			}
			s = math.Min(s, 1)
			if d := math.Hypot(ax+s*(bx-ax)-m[0], ay+s*(by-ay)-m[1]); d < distance {
				distance, width = d, a.Width+s*(b.Width-a.Width)
			}
		}
	}
	return distance, width
}
