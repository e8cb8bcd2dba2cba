package brush_test

import (
	"math"
	"testing"

	"mahlstick/recipe/brush"
)

func TestLag(t *testing.T) {
	lag, err := brush.NewLag([]brush.Trail{{Press: 1, Lag: 0.6}, {Press: 3, Lag: 2}})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ press, want float64 }{{-1, 0}, {0, 0}, {0.5, 0.3}, {1, 0.6}, {2, 1.3}, {3, 2}, {5, 2}} {
		if got := lag.At(c.press); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("at %g mm the lag is %g mm, want %g", c.press, got, c.want)
		}
	}
	if lag.Max() != 2 || !lag.Known() || len(lag.Trails()) != 3 {
		t.Errorf("%v", lag)
	}
	if even := brush.ConstantLag(1.5); even.At(0) != 1.5 || even.At(9) != 1.5 || even.Max() != 1.5 {
		t.Errorf("%v", even)
	}
	for _, none := range []brush.Lag{{}, brush.ConstantLag(0), brush.ConstantLag(math.NaN())} {
		if none.Known() || none.At(2) != 0 {
			t.Errorf("%v trails", none)
		}
	}
	if flat, err := brush.NewLag([]brush.Trail{{Press: 1}, {Press: 2}}); err != nil || flat.Known() {
		t.Errorf("%v %v", flat, err)
	}
}

func TestLagRefuses(t *testing.T) {
	for _, readings := range [][]brush.Trail{
		{{Press: 1, Lag: -1}}, {{Press: -1, Lag: 1}}, {{Press: 1, Lag: math.NaN()}}, {{Press: 1, Lag: 1e9}},
		{{Press: 2, Lag: 1}, {Press: 2, Lag: 1}}, {{Press: 2, Lag: 1}, {Press: 1, Lag: 1}},
	} {
		if lag, err := brush.NewLag(readings); err == nil {
			t.Errorf("%v is taken as %v", readings, lag)
		}
	}
}
