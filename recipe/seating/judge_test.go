package seating_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/recipe/seating"
)

// Whatever is misread is named: on sheets with a random turn, shift and growth,
// read by a brush with a tip offset.
func TestMisread(t *testing.T) {
	ways := map[string]func(r []seating.Reading, tip float64){
		"inches that were written as mm": func(r []seating.Reading, tip float64) { scale(r, tip, 1/25.4) },
		"mm that were written as inches": func(r []seating.Reading, tip float64) { scale(r, tip, 25.4) },
		"cm that were written as mm":     func(r []seating.Reading, tip float64) { scale(r, tip, 0.1) },
		"X has the wrong sign": func(r []seating.Reading, tip float64) {
			for i := range r {
				r[i].FoundX = -(r[i].FoundX - tip) + tip
			}
		},
		"Y has the wrong sign": func(r []seating.Reading, tip float64) {
			for i := range r {
				r[i].FoundY = -(r[i].FoundY - tip) + tip
			}
		},
		"X and Y are exchanged": func(r []seating.Reading, tip float64) {
			for i := range r {
				r[i].FoundX, r[i].FoundY = r[i].FoundY, r[i].FoundX
			}
		},
		`the marks "0" and "2" are exchanged`: func(r []seating.Reading, tip float64) {
			r[0].FoundX, r[2].FoundX, r[0].FoundY, r[2].FoundY = r[2].FoundX, r[0].FoundX, r[2].FoundY, r[0].FoundY
		},
	}
	rapid.Check(t, func(t *rapid.T) {
		growth := rapid.SampledFrom([]seating.Growth{seating.None, seating.Even, seating.Grain}).Draw(t, "growth")
		turn := rapid.Float64Range(-5, 5).Draw(t, "turn") * math.Pi / 180
		dx, dy := rapid.Float64Range(-20, 20).Draw(t, "dx"), rapid.Float64Range(-20, 20).Draw(t, "dy")
		tip := rapid.Float64Range(-3, 3).Draw(t, "tip")
		sin, cos := math.Sincos(turn)
		make := func() []seating.Reading {
			var pairs [][4]float64
			for _, p := range [][2]float64{{12, 15}, {198, 10}, {180, 280}} {
				pairs = append(pairs, [4]float64{p[0], p[1], cos*p[0] - sin*p[1] + dx, sin*p[0] + cos*p[1] + dy})
			}
			return readings(0.06, pairs...)
		}
		if v := seating.Judge(make(), growth, 0.3, tip, tip); v.Fault != seating.Sound {
			t.Fatalf("sound readings: %+v", v)
		}
		for what, misread := range ways {
			r := make()
			misread(r, tip)
			if v := seating.Judge(r, growth, 0.3, tip, tip); v.Fault != seating.Misread || !strings.Contains(v.What, what) {
				t.Fatalf("%s: %+v", what, v)
			}
		}
	})
}

func scale(r []seating.Reading, tip, by float64) {
	for i := range r {
		r[i].FoundX, r[i].FoundY = (r[i].FoundX-tip)*by+tip, (r[i].FoundY-tip)*by+tip
	}
}

// A mark that is off is named, and what is left without it.
func TestWorstMark(t *testing.T) {
	for bad := range 4 {
		pairs := [][4]float64{{10, 10, 11, 9}, {200, 10, 201, 9}, {200, 287, 201, 286}, {10, 287, 11, 286}}
		pairs[bad][2] += 1.5
		v := seating.Judge(readings(0.06, pairs...), seating.None, 0.3, 0, 0)
		if v.Fault != seating.Misfit || v.Marks[0] != string(rune('0'+bad)) || v.Without > 1e-6 || v.Without < 0 {
			t.Errorf("%d: %+v", bad, v)
		}
	}
}

func TestTooLittle(t *testing.T) {
	a, b, c := [4]float64{10, 10, 10, 10}, [4]float64{100, 10, 100, 10}, [4]float64{200, 12, 200, 12}
	for _, test := range []struct {
		name   string
		pairs  [][4]float64
		growth seating.Growth
		want   seating.Fault
	}{
		{"one mark", [][4]float64{a}, seating.None, seating.Sound},
		{"one mark, even", [][4]float64{a}, seating.Even, seating.TooFew},
		{"two marks, grain", [][4]float64{a, b}, seating.Grain, seating.TooFew},
		{"a line, even", [][4]float64{a, b, c}, seating.Even, seating.Sound},
		{"a line, grain", [][4]float64{a, b, c}, seating.Grain, seating.InLine},
		{"one place", [][4]float64{a, {12, 13, 12, 13}}, seating.None, seating.Coinciding},
	} {
		if v := seating.Judge(readings(0.06, test.pairs...), test.growth, 0.3, 0, 0); v.Fault != test.want {
			t.Errorf("%s: %+v", test.name, v)
		}
	}
}

// Whatever is read, there is a verdict, and what is believed has finite figures and
// is near the readings.
func TestAnyReadings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		place := rapid.Float64Range(-10_000, 10_000)
		var r []seating.Reading
		for range rapid.IntRange(1, 6).Draw(t, "readings") {
			r = append(r, seating.Reading{Mark: rapid.SampledFrom([]string{"a", "b", "c", "d"}).Draw(t, "mark"), U: rapid.Float64Range(1e-6, 10).Draw(t, "u")})
		}
		at := map[string][2]float64{}
		for i := range r {
			if _, known := at[r[i].Mark]; !known {
				at[r[i].Mark] = [2]float64{place.Draw(t, "x"), place.Draw(t, "y")}
			}
			r[i].X, r[i].Y = at[r[i].Mark][0], at[r[i].Mark][1]
			r[i].FoundX, r[i].FoundY = place.Draw(t, "found x"), place.Draw(t, "found y")
			if rapid.Bool().Draw(t, "near") {
				r[i].FoundX, r[i].FoundY = r[i].X+r[i].FoundX*1e-5, r[i].Y+r[i].FoundY*1e-5
			}
		}
		growth := rapid.SampledFrom([]seating.Growth{seating.None, seating.Even, seating.Grain}).Draw(t, "growth")
		if seating.Judge(r, growth, 0.3, 0, 0).Fault != seating.Sound {
			return
		}
		f := seating.New(r, growth)
		if d := f.Doubt(0, 0); math.IsNaN(d) || math.IsInf(d, 0) || f.Worst().Size() > 0.300001 {
			t.Fatalf("%+v, doubt %g", f, d)
		}
		x, y := f.At(3, 4)
		if x, y = f.Back(x, y); math.Hypot(x-3, y-4) > 1e-6 {
			t.Fatalf("3, 4 comes back as %g, %g", x, y)
		}
	})
}
