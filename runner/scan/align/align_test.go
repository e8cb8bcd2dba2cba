package align_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"mahlstick/runner/scan/align"
	"mahlstick/runner/vector"
)

const width, height = 100.0, 70.0 // mm

// bars are strokes that lie askew, so that no two ways of laying them fit.
func bars() (out []align.Path) {
	r := rand.New(rand.NewPCG(7, 7))
	for i := range 14 {
		x, y := 8+float64(i%4)*24+4*r.Float64(), 8+float64(i/4)*16+4*r.Float64()
		long, w := 6+8*r.Float64(), 0.5+1.2*r.Float64()
		end := vector.XY{X: x + long, Y: y}
		if i%3 == 0 {
			end = vector.XY{X: x, Y: y + long}
		}
		out = append(out, align.Path{Points: []align.Point{{XY: vector.XY{X: x, Y: y}, Width: w}, {XY: end, Width: w}}})
	}
	return out
}

// seen draws paths as a map lays them on an overview.
func seen(m align.Map, paths []align.Path, w, h int) []bool {
	ink := make([]bool, w*h)
	for i := range ink {
		p := m.Sheet(vector.XY{X: float64(i%w) + 0.5, Y: float64(i/w) + 0.5})
		for _, k := range paths {
			if way, _ := vector.ToSegment(p, k.Points[0].XY, k.Points[1].XY); way.Length() < k.Points[0].Width/2 {
				ink[i] = true
			}
		}
	}
	return ink
}

// laid is a map with so many squares a mm, turned by degrees, seen as in a mirror or not.
func laid(perMM, degrees float64, mirrored bool, w, h int) align.Map {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	side := 1.0
	if mirrored {
		side = -1
	}
	m := align.Map{XX: perMM * cos * side, XY: -perMM * sin, YX: -perMM * sin * side, YY: -perMM * cos}
	middle := m.Pixel(vector.XY{X: width / 2, Y: height / 2})
	m.X0, m.Y0 = float64(w)/2-middle.X, float64(h)/2-middle.Y
	return m
}

// A scan is found in any of its four ways up, whether it states its scale or not, with some of
// its strokes missing.
func TestFind(t *testing.T) {
	paths := bars()
	const w, h = 480, 480
	for _, c := range []struct {
		degrees  float64
		mirrored bool
		stated   float64
	}{{0, false, 4.1}, {1, false, 4.1}, {91, false, 0}, {178, false, 4.1}, {-87, false, 4.1}, {2, true, 4.1}, {181, true, 0}} {
		m := laid(4.1, c.degrees, c.mirrored, w, h)
		found, _ := align.Find(align.Picture{Width: w, Height: h, Ink: seen(m, paths[:11], w, h), PerMM: c.stated}, paths, width, height)
		if len(found) == 0 || found[0].Mirrored != c.mirrored || found[0].Alike < 0.7 {
			t.Errorf("%+v: %+v", c, found)
			continue
		}
		for _, corner := range []vector.XY{{}, {X: width}, {Y: height}, {X: width, Y: height}} {
			if off := vector.Distance(corner, found[0].Map.Sheet(m.Pixel(corner))); off > 0.3 {
				t.Errorf("%+v: a corner is off by %.2f mm", c, off)
			}
		}
	}
}

// Without ink there is nothing to find, and other marks do not fit.
func TestFindNothing(t *testing.T) {
	const w, h = 480, 480
	paths := bars()
	if _, blank := align.Find(align.Picture{Width: w, Height: h, Ink: make([]bool, w*h)}, paths, width, height); !blank {
		t.Error("an empty scan is not blank")
	}
	other := []align.Path{{Points: []align.Point{{XY: vector.XY{X: 20, Y: 20}, Width: 1}, {XY: vector.XY{X: 80, Y: 60}, Width: 1}}},
		{Points: []align.Point{{XY: vector.XY{X: 20, Y: 60}, Width: 1}, {XY: vector.XY{X: 60, Y: 10}, Width: 1}}}}
	found, _ := align.Find(align.Picture{Width: w, Height: h, Ink: seen(laid(4, 0, false, w, h), other, w, h), PerMM: 4}, paths, width, height)
	for _, f := range found {
		if f.Hit > 0.5 && f.Alike > 0.25 {
			t.Errorf("another sheet fits: %+v", f)
		}
	}
}

// Improve finds the scales, the turn, the shear and the shift of a program from offsets,
// although one in ten is wrong.
func TestImprove(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	var offsets []align.Offset
	for i := range 200 {
		p := vector.XY{X: 200 * r.Float64(), Y: 280 * r.Float64()}
		program := i % 2
		found := vector.XY{X: 0.3 + 0.003*p.X + 0.002*p.Y, Y: -0.2 - 0.001*p.X - 0.003*p.Y}
		if program == 1 {
			found = found.Plus(vector.XY{X: 0.15, Y: -0.08})
		}
		sin, cos := math.Sincos(2 * math.Pi * r.Float64())
		o := align.Offset{At: p, Along: vector.XY{X: cos, Y: sin}, U: 0.01, Program: program}
		o.By = found.Dot(o.Along) + 0.01*r.NormFloat64()
		if i%10 == 9 {
			o.By += 0.5
		}
		offsets = append(offsets, o)
	}
	before := laid(10, 0, false, 3000, 3000)
	f, ok := align.Improve(before, offsets)
	if !ok {
		t.Fatal("not solved")
	}
	for _, p := range []vector.XY{{}, {X: 200}, {Y: 280}, {X: 200, Y: 280}} {
		want := p.Plus(vector.XY{X: 0.3 + 0.003*p.X + 0.002*p.Y, Y: -0.2 - 0.001*p.X - 0.003*p.Y})
		if off := vector.Distance(before.Pixel(want), f.Map.Pixel(p)) / 10; off > 0.02 {
			t.Errorf("%v is off by %.4f mm", p, off)
		}
	}
	if d := f.Shifts[1]; math.Hypot(d.X-0.15, d.Y+0.08) > 0.01 || f.Slant > 6*f.SlantU || f.Used > 0.93 {
		t.Errorf("%+v", f)
	}
}
