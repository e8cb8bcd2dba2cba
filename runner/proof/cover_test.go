package proof

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// plainBrush paints a mark of one width at any press.
func plainBrush(t testing.TB, width float64) *Brush {
	t.Helper()
	b, err := NewBrush([]Rung{{0, width}})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// program reads lines of motion, lifted at first.
func program(t testing.TB, format string, args ...any) *Path {
	t.Helper()
	p, faults := Read("test.nc", []byte("G21 G90 G94\nG0 Z5\n"+fmt.Sprintf(format, args...)+"\nM2\n"))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return p
}

func compare(t testing.TB, p *Path, c Comparison) Cover {
	t.Helper()
	out, err := Compare(p, c)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// polygon is a ring of n corners on a circle.
func polygon(x, y, r float64, n int) []Vertex {
	var ring []Vertex
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		ring = append(ring, Vertex{x + r*c, y + r*s})
	}
	return ring
}

func rectangle(x0, y0, x1, y1 float64) []Vertex {
	return []Vertex{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}
}

// Grid points within r of a grid point: OEIS A000328 (5, 13, 29, 49,
// 81, 317, 1257, 31417 for r = 1, 2, 3, 4, 5, 10, 20, 100). The dot is at a
// pixel's centre, and its radius a whole number of pixels.
func TestDotPixels(t *testing.T) {
	for r, want := range map[int]int{1: 5, 2: 13, 3: 29, 4: 49, 5: 81, 10: 317, 20: 1257, 100: 31417} {
		for _, pixel := range []float64{1, 0.02, 0.1, 0.05} {
			brush := plainBrush(t, float64(2*r)*pixel)
			// pixel number 700 in x, number 433 in y
			p := program(t, "G0 X%.6f Y%.6f\nG1 Z-1 F300\nG0 Z5", 700.5*pixel, 433.5*pixel)
			c := compare(t, p, Comparison{Brush: brush, Pixel: pixel})
			if got := int(math.Round(c.Painted / (pixel * pixel))); got != want {
				t.Errorf("radius %d, pixel %g: %d pixels, want %d", r, pixel, got, want)
			}
		}
	}
}

// A dot 2.8 mm wide (OEIS A000328 at 14 and 28): 613 pixels of 0.1 mm, 2453 of
// 0.05 mm; in truth 6.157522 mm².
func TestDotArea(t *testing.T) {
	for pixel, want := range map[float64]float64{0.1: 6.13, 0.05: 6.1325} {
		p := program(t, "G0 X%.4f Y%.4f\nG1 Z-1 F300\nG0 Z5", 300.5*pixel, 200.5*pixel)
		c := compare(t, p, Comparison{Brush: plainBrush(t, 2.8), Pixel: pixel})
		near(t, "area", c.Painted, want, 1e-9)
		if c.Coverage != 1 || c.Excess != 1 || c.Spill != c.Painted {
			t.Errorf("with nothing drawn: %+v", c)
		}
	}
}

// Areas by closed forms: A + L r + pi r² (Steiner's formula) for a stroke and
// a grown rectangle, the lens of two unit discs 1 apart, two crossing strokes.
func TestAreas(t *testing.T) {
	const pixel = 0.02
	stroke := program(t, "G0 X10.003 Y20.007\nG1 Z-1 F300\nX20.003 F600\nG0 Z5")
	c := compare(t, stroke, Comparison{Brush: plainBrush(t, 2.8)})
	near(t, "stroke", c.Painted, 34.157522, pixel*pixel*(20+2.8*math.Pi))

	slanted := program(t, "G0 X10.003 Y20.007\nG1 Z-1 F300\nX16.003 Y28.007 F600\nG0 Z5")
	c = compare(t, slanted, Comparison{Brush: plainBrush(t, 2.8)})
	near(t, "slanted stroke", c.Painted, 34.157522, pixel*pixel*(20+2.8*math.Pi))

	// The rim of the rectangle is painted, its inside drawn: the union is the
	// grown rectangle.
	rim := program(t, "G0 X50 Y50\nG1 Z-1 F300\nX60 F600\nY54\nX50\nY50\nG0 Z5")
	c = compare(t, rim, Comparison{Brush: plainBrush(t, 2.8), Drawn: []Region{{Rings: [][]Vertex{rectangle(50, 50, 60, 54)}}}})
	near(t, "grown rectangle", c.Drawn+c.Spill, 85.357522, pixel*pixel*(28+2.8*math.Pi))
	near(t, "rectangle", c.Drawn, 40, 1e-9)
	near(t, "middle left bare", c.Missing, 7.2*1.2, pixel*pixel*17)

	dot := program(t, "G0 X1 Y1\nG1 Z-1 F300\nG0 Z5")
	c = compare(t, dot, Comparison{Brush: plainBrush(t, 2), Pixel: 0.001, Drawn: []Region{{Rings: [][]Vertex{polygon(2, 1, 1, 20000)}}}})
	near(t, "lens", c.Covered, 1.228370, 1e-4) // a hundred pixels

	one := "G0 X10.003 Y20.007\nG1 Z-1 F300\nX20.003 F600\nG0 Z5\n"
	two := "G0 X15.003 Y15.007\nG1 Z-1 F300\nY25.007 F600\nG0 Z5\n"
	a := compare(t, program(t, "%s", one), Comparison{Brush: plainBrush(t, 2)}).Painted
	b := compare(t, program(t, "%s", two), Comparison{Brush: plainBrush(t, 2)}).Painted
	both := compare(t, program(t, "%s%s", one, two), Comparison{Brush: plainBrush(t, 2)}).Painted
	near(t, "union", both, 42.283185, pixel*pixel*(40+4*math.Pi))
	near(t, "painted twice", a+b-both, 4, pixel*pixel*8)
}

// A swelling stroke is the shape of its two end discs and their common
// tangents: radii 5 and 2, 12 apart, area 132.192029 mm².
func TestSwellingStroke(t *testing.T) {
	brush, err := NewBrush([]Rung{{0, 0}, {10, 20}})
	if err != nil {
		t.Fatal(err)
	}
	p := program(t, "G0 X50 Y60\nG1 Z-5 F300\nX62 Z-2 F600\nG0 Z5")
	c := compare(t, p, Comparison{Brush: brush})
	near(t, "area", c.Painted, 132.192029, 0.02*0.02*46.75)

	// Beyond the safe side of the cone, one disc holds the other.
	steep := program(t, "G0 X50 Y60\nG1 Z-5 F300\nX51 Z-2 F600\nG0 Z5")
	c = compare(t, steep, Comparison{Brush: brush})
	near(t, "disc", c.Painted, 25*math.Pi, 0.02*0.02*10*math.Pi)
}

// The width along a stroke bends at the rungs: from press 0 to 4 the mark
// grows over half the way and then stays.
func TestRungsBend(t *testing.T) {
	brush, err := NewBrush([]Rung{{0, 1}, {2, 3}, {4, 3}})
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{"G0 X50 Y60\nG1 Z0 F300\nX70 Z-4 F600\nG0 Z5", "G0 X70 Y60\nG1 Z-4 F300\nX50 Z0 F600\nG0 Z5"} {
		c := compare(t, program(t, "%s", text), Comparison{Brush: brush})
		// Half a disc of 1.5, a band of 10 by 3, and the tapering half: tangents
		// at cosine c = 0.1 of the radii 0.5 and 1.5, 10 apart.
		sine := math.Sqrt(1 - 0.01)
		taper := (0.5 + 1.5) * 10 * sine
		want := math.Pi*1.5*1.5/2 + 30 + taper + 0.25*(math.Pi/2-math.Asin(0.1)) + 2.25*math.Asin(0.1)
		near(t, "area", c.Painted, want, 0.02*0.02*50)
	}
}

func TestArcMark(t *testing.T) {
	p := program(t, "G0 X60 Y50\nG1 Z-1 F300\nG3 X60 I-10 J0 F600\nG0 Z5")
	c := compare(t, p, Comparison{Brush: plainBrush(t, 2)})
	near(t, "ring", c.Painted, math.Pi*(11*11-9*9), 0.02*0.02*40*math.Pi)
	c = compare(t, p, Comparison{Brush: plainBrush(t, 2), TipX: 3, TipY: -4,
		Drawn: []Region{{Rings: [][]Vertex{polygon(53, 46, 11, 4000), polygon(53, 46, 9, 4000)}, EvenOdd: true}}})
	if c.Coverage < 0.9995 || c.Excess > 0.0005 {
		t.Errorf("the ring with the tip's offset covers %.5f and spills %.5f", c.Coverage, c.Excess)
	}
}

// Holes by both rules, overlap of regions, and what is left out.
func TestDrawnRegions(t *testing.T) {
	outer, inner := rectangle(10, 10, 20, 20), rectangle(13, 13, 17, 17)
	back := []Vertex{inner[3], inner[2], inner[1], inner[0]}
	none := program(t, "G0 X0 Y0")
	for name, c := range map[string]struct {
		drawn, leftOut []Region
		area, out      float64
	}{
		"one":                 {drawn: []Region{{Rings: [][]Vertex{outer}}}, area: 100},
		"even-odd hole":       {drawn: []Region{{Rings: [][]Vertex{outer, inner}, EvenOdd: true}}, area: 84},
		"hole turning back":   {drawn: []Region{{Rings: [][]Vertex{outer, back}}}, area: 84},
		"no hole by winding":  {drawn: []Region{{Rings: [][]Vertex{outer, inner}}}, area: 100},
		"union":               {drawn: []Region{{Rings: [][]Vertex{outer}}, {Rings: [][]Vertex{rectangle(15, 15, 25, 25)}}}, area: 175},
		"shared side":         {drawn: []Region{{Rings: [][]Vertex{rectangle(10, 10, 15.013, 20)}}, {Rings: [][]Vertex{rectangle(15.013, 10, 20, 20)}}}, area: 100},
		"left out":            {drawn: []Region{{Rings: [][]Vertex{outer}}}, leftOut: []Region{{Rings: [][]Vertex{inner}}}, area: 84, out: 16},
		"left out beyond":     {drawn: []Region{{Rings: [][]Vertex{outer}}}, leftOut: []Region{{Rings: [][]Vertex{rectangle(19, 10, 29, 20)}}}, area: 90, out: 10},
		"nothing":             {},
		"less than a line":    {drawn: []Region{{Rings: [][]Vertex{{{1, 1}, {2, 2}}, {{3, 3}}, {}}}}, area: 0},
		"negative quadrant":   {drawn: []Region{{Rings: [][]Vertex{rectangle(-10, -10, -4, -6)}}}, area: 24},
		"crossing the origin": {drawn: []Region{{Rings: [][]Vertex{rectangle(-3, -2, 3, 2)}}}, area: 24},
	} {
		t.Run(name, func(t *testing.T) {
			got := compare(t, none, Comparison{Brush: plainBrush(t, 1), Drawn: c.drawn, LeftOut: c.leftOut})
			near(t, "drawn", got.Drawn, c.area, 1e-9)
			near(t, "left out", got.LeftOut, c.out, 1e-9)
			near(t, "missing", got.Missing, c.area, 1e-9)
		})
	}
}

// The worst places are told with where they are.
func TestWorstPlaces(t *testing.T) {
	// Drawn: a bar 2 mm wide from 10 to 90. Painted: the same, but not from 40
	// to 40.6, and a dot beside it.
	p := program(t, "G0 X11 Y20\nG1 Z-1 F300\nX39 F600\nG0 Z5\nG0 X41.6\nG1 Z-1 F300\nX89 F600\nG0 Z5\nG0 X70 Y30\nG1 Z-1 F300\nG0 Z5")
	c := compare(t, p, Comparison{Brush: plainBrush(t, 2), Places: 3,
		Drawn: []Region{{Rings: [][]Vertex{rectangle(11, 19, 89, 21)}}, {Rings: [][]Vertex{polygon(11, 20, 1, 900)}}, {Rings: [][]Vertex{polygon(89, 20, 1, 900)}}}})
	if len(c.MostMissing) != 3 || len(c.MostSpill) != 3 {
		t.Fatalf("%+v", c)
	}
	if w := c.MostMissing[0]; math.Abs(w.X-40.3) > 0.7 || math.Abs(w.Y-20) > 1 || w.Area < 0.3 {
		t.Errorf("most is missing at %+v", w)
	}
	if w := c.MostSpill[0]; math.Abs(w.X-70) > 0.7 || math.Abs(w.Y-30) > 0.7 {
		t.Errorf("most is spilled at %+v", w)
	}
	near(t, "spill", c.Spill, math.Pi, 0.01)
	for i := 1; i < 3; i++ {
		if c.MostMissing[i].Area > c.MostMissing[i-1].Area || c.MostSpill[i].Area > c.MostSpill[i-1].Area {
			t.Error("the worst are not first")
		}
	}
}

// The strip of tiles against asking each pixel, for random swelling strokes.
func TestPixelByPixel(t *testing.T) {
	const pixel = 0.1
	brush, err := NewBrush([]Rung{{0, 0.3}, {1, 1.3}, {3, 2.4}})
	if err != nil {
		t.Fatal(err)
	}
	seed := uint32(7)
	random := func(size float64) float64 {
		seed = seed*1664525 + 1013904223
		return math.Round(float64(seed>>8)/(1<<24)*size*1e4) / 1e4
	}
	for range 12 {
		var b strings.Builder
		for range 1 + int(random(3)) {
			fmt.Fprintf(&b, "G0 X%.4f Y%.4f\nG1 Z-%.4f F300\n", random(6), random(6), random(3))
			for range int(random(4)) {
				fmt.Fprintf(&b, "X%.4f Y%.4f Z-%.4f\n", random(6), random(6), random(3))
			}
			b.WriteString("G0 Z5\n")
		}
		p := program(t, "%s", b.String())
		got := compare(t, p, Comparison{Brush: brush, Pixel: pixel})
		want := 0
		for j := -30; j < 90; j++ {
			for i := -30; i < 90; i++ {
				if inMark(p, brush, (float64(i)+0.5)*pixel, (float64(j)+0.5)*pixel) {
					want++
				}
			}
		}
		if n := int(math.Round(got.Painted / pixel / pixel)); n != want {
			t.Errorf("%d pixels, one by one %d:\n%s", n, want, b.String())
		}
	}
}

// inMark says by a search along each piece whether a point is painted: on each
// part where the width changes evenly, distance less radius has one lowest
// point, as the one is convex and the other straight.
func inMark(p *Path, brush *Brush, x, y float64) bool {
	inside := false
	p.contact(true, func(k segment) {
		if inside {
			return
		}
		shares := []float64{0}
		brush.bends(-k.from.Z, -k.to.Z, func(s float64) { shares = append(shares, s) })
		shares = append(shares, 1)
		if reach := brush.Width(3); x < min(k.from.X, k.to.X)-reach || x > max(k.from.X, k.to.X)+reach ||
			y < min(k.from.Y, k.to.Y)-reach || y > max(k.from.Y, k.to.Y)+reach {
			return
		}
		gap := func(s float64) float64 {
			q := between(k.from, k.to, s)
			return math.Hypot(q.X-x, q.Y-y) - brush.Width(-q.Z)/2
		}
		for i := 1; i < len(shares); i++ {
			a, b := shares[i-1], shares[i]
			for range 40 {
				c, d := a+(b-a)/3, b-(b-a)/3
				if gap(c) < gap(d) {
					b = d
				} else {
					a = c
				}
			}
			if gap((a+b)/2) <= 1e-9 || gap(shares[i-1]) <= 1e-9 || gap(shares[i]) <= 1e-9 {
				inside = true
			}
		}
	})
	return inside
}

func TestCompareRefuses(t *testing.T) {
	far := program(t, "G0 X0 Y0\nG1 Z-1 F300\nX900000\nG0 Z5")
	for name, c := range map[string]struct {
		p    *Path
		c    Comparison
		want string
	}{
		"no brush":  {far, Comparison{}, "widths"},
		"too large": {far, Comparison{Brush: plainBrush(t, 1)}, "missing decimal point"},
		// More pixels away than 32 bits can count.
		"too far":       {program(t, "G0 X999000 Y0\nG1 Z-1 F300\nX999001\nG0 Z5"), Comparison{Brush: plainBrush(t, 1), Pixel: 1e-4}, "missing decimal point"},
		"drawn too far": {program(t, "G0 Z5"), Comparison{Brush: plainBrush(t, 1), Pixel: 1e-4, Drawn: []Region{{Rings: [][]Vertex{rectangle(-9e5, 0, 9e5, 1)}}}}, "missing decimal point"},
		"bad pixel":     {far, Comparison{Brush: plainBrush(t, 1), Pixel: -1}, "pixel"},
		"no number":     {far, Comparison{Brush: plainBrush(t, 1), Drawn: []Region{{Rings: [][]Vertex{{{math.NaN(), 0}, {1, 1}}}}}}, "corner"},
	} {
		if _, err := Compare(c.p, c.c); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Strips far thinner than a pixel, bare or spilled all along the sides of a
// rectangle, are told at their size where the pixels lie askew, and in the
// right place.
func TestThinStripsAreTold(t *testing.T) {
	for _, pixel := range []float64{0.05, 0.02} {
		for _, bare := range []float64{0.0129, 0.004, -0.006} { // at either side
			for _, at := range []float64{3, 3.01, 3.013, 3.021} {
				p := program(t, "G0 X0 Y%.4f\nG1 Z-1 F300\nX50\nG0 Z5", at+2+bare)
				c := compare(t, p, Comparison{Brush: plainBrush(t, 4), Pixel: pixel, Askew: true,
					Drawn:   []Region{{Rings: [][]Vertex{rectangle(5, at, 45, at+4+2*bare)}}},
					LeftOut: []Region{{Rings: [][]Vertex{rectangle(-3, 0, 5, 12)}}, {Rings: [][]Vertex{rectangle(45, 0, 53, 12)}}}})
				drawn := 40 * (4 + 2*bare)
				near(t, "drawn", c.Drawn, drawn, 0.05)
				near(t, "missing", c.Missing, 80*max(bare, 0), 0.04)
				near(t, "spill", c.Spill, 80*max(-bare, 0), 0.04)
				for _, place := range append(c.MostMissing, c.MostSpill...) {
					if !(place.X > 4.9 && place.X < 45.1 && place.Y > at-0.1 && place.Y < at+4.1+2*bare) {
						t.Errorf("a place at %g, %g", place.X, place.Y)
					}
				}
			}
		}
	}
}
