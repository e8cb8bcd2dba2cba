package brushwork_test

import (
	"math"
	"path/filepath"
	"testing"

	"mahlstick/notebooks/brushwork"
	"mahlstick/runner/drawing/dxfwrite"
	"mahlstick/runner/vector"
)

// A jump in the width becomes a slope that is nowhere steeper than allowed.
func TestSoften(t *testing.T) {
	half := make([]float64, 101)
	for i := range half {
		half[i] = 0.2
		if i >= 30 && i < 70 {
			half[i] = 2
		}
	}
	const way, steepest = 0.1, 0.5
	soft := brushwork.Soften(half, func(int) float64 { return way }, steepest, 8)
	for i := 1; i < len(soft); i++ {
		if growth := math.Abs(soft[i]-soft[i-1]) / way; growth > steepest+1e-12 {
			t.Errorf("at %d the half width grows by %g a mm", i, growth)
		}
	}
	if soft[0] != 0.2 || soft[50] < 1 {
		t.Errorf("it is %g wide at its end and %g in its middle", soft[0], soft[50])
	}
}

// The envelope of circles with centres on a line and radii that grow evenly is
// a line that touches each of them (a cone's outline).
func TestOutward(t *testing.T) {
	const growth = 0.3
	along := vector.XY{X: 1}
	p := brushwork.Outward(along, growth, 1).Times(1)
	q := vector.XY{X: 10}.Plus(brushwork.Outward(along, growth, 1).Times(1 + 10*growth))
	for x := 0.0; x <= 10; x++ {
		side := q.Minus(p)
		distance := math.Abs(side.Cross(vector.XY{X: x}.Minus(p))) / side.Length()
		if radius := 1 + growth*x; math.Abs(distance-radius) > 1e-12 {
			t.Errorf("at %g the outline passes the circle of %g at %g", x, radius, distance)
		}
	}
}

func TestTurns(t *testing.T) {
	for _, degrees := range []float64{1, 30, 90, 179} {
		radians := degrees * math.Pi / 180
		half := brushwork.TanHalf(math.Cos(radians))
		if math.Abs(half-math.Tan(radians/2)) > 1e-9 || math.Abs(brushwork.TanQuarter(half)-math.Tan(radians/4)) > 1e-9 {
			t.Errorf("%g degrees: half %g, quarter %g", degrees, half, brushwork.TanQuarter(half))
		}
		p := brushwork.Turned(vector.XY{X: 2}, degrees)
		if math.Abs(p.X-2*math.Cos(radians)) > 1e-12 || math.Abs(p.Y-2*math.Sin(radians)) > 1e-12 {
			t.Errorf("%g degrees: %v", degrees, p)
		}
	}
}

func TestWriteSaysWhatWentWrong(t *testing.T) {
	files := []brushwork.File{{Name: "one", Out: dxfwrite.File{Unit: "mm"}}}
	if err := brushwork.Write(filepath.Join(t.TempDir(), "nowhere"), files); err == nil {
		t.Error("writing into a folder that is not there went well")
	}
}
