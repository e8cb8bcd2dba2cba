package motion

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/runner/lagcomp"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

func steps(way, press []float64) []lagcomp.Step {
	var out []lagcomp.Step
	for i := range way {
		at := plane.At(way[i], 0)
		out = append(out, lagcomp.Step{Axis: at, Mark: stroke.Point{X: at.X, Y: at.Y, Press: press[i]}})
	}
	return out
}

// acted walks along a path in small steps and returns the way and the press at
// which a brush with play acts: the play operator (M. A. Krasnosel'skii and A. V.
// Pokrovskii, Systems with Hysteresis, 1989, section 2; from memory).
func acted(path []lagcomp.Step, play float64) (way, press []float64) {
	acts := path[0].Mark.Press
	along := 0.0
	for i := 1; i < len(path); i++ {
		a, b := path[i-1], path[i]
		d := axisDistance(a, b)
		for k := 1; k <= 40; k++ {
			t := float64(k) / 40
			asked := a.Mark.Press + t*(b.Mark.Press-a.Mark.Press)
			acts = math.Max(asked, math.Min(acts, asked+play))
			way, press = append(way, along+t*d), append(press, acts)
		}
		along += d
	}
	return way, press
}

func drawnAt(way, press []float64, at float64) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	take := func(p float64) { low, high = math.Min(low, p), math.Max(high, p) }
	for i := 1; i < len(way); i++ {
		switch {
		case at < way[i-1]-1e-9 || at > way[i]+1e-9:
		case way[i] == way[i-1]:
			take(press[i-1])
			take(press[i])
		default:
			take(press[i-1] + (press[i]-press[i-1])*(at-way[i-1])/(way[i]-way[i-1]))
		}
	}
	return low, high
}

// A brush with play paints what was drawn, but for the tolerance and where it can
// not be pressed less than nothing.
func TestPlayIsTakenUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 12).Draw(t, "points")
		play := rapid.Float64Range(0.02, 0.4).Draw(t, "play")
		way, press := []float64{0}, []float64{rapid.Float64Range(0, 3).Draw(t, "press")}
		for i := 1; i < n; i++ {
			way = append(way, way[i-1]+math.Round(10000*rapid.Float64Range(0.01, 6).Draw(t, "way"))/10000)
			press = append(press, rapid.Float64Range(0, 3).Draw(t, "press"))
		}
		asked := takeUp(steps(way, press), play, 0)
		for _, s := range asked {
			at := plane.MM(s.Axis.X)
			if _, high := drawnAt(way, press, at); s.Mark.Press < 0 || s.Mark.Press > high+0.02 {
				t.Fatalf("at %.4f mm it is asked for %.4f, drawn %.4f", at, s.Mark.Press, high)
			}
		}
		along, acts := acted(asked, play)
		for i, at := range along {
			low, high := drawnAt(way, press, at)
			steep := 0.0002 * 300 // the rounding of the way where the press changes by 300 mm a mm
			if acts[i] < low-playTolerance-steep || acts[i] > math.Max(high+playTolerance, play)+steep {
				t.Fatalf("at %.4f mm it acts at %.4f, drawn %.4f to %.4f", at, acts[i], low, high)
			}
		}
	})
}

// With a limit the press never rises more steeply than the drawn one may.
func TestPlayKeepsTheLimit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const limit = 0.8
		play := rapid.Float64Range(0.02, 0.4).Draw(t, "play")
		way, press := []float64{0}, []float64{0}
		for i := 1; i < 10; i++ {
			d := rapid.Float64Range(0.05, 4).Draw(t, "way")
			way = append(way, way[i-1]+d)
			press = append(press, math.Max(0, press[i-1]+d*rapid.Float64Range(-2, 0.95*limit).Draw(t, "slope")))
		}
		asked := takeUp(steps(way, press), play, limit)
		for i := 1; i < len(asked); i++ {
			rise := asked[i].Mark.Press - asked[i-1].Mark.Press
			if d := axisDistance(asked[i-1], asked[i]); rise > limit*d+1e-3 {
				t.Fatalf("it is pressed %.4f mm deeper on %.4f mm", rise, d)
			}
		}
	})
}

// What has no play, and a dab, stays as it is.
func TestWithoutPlay(t *testing.T) {
	path := steps([]float64{0, 5, 10}, []float64{0, 2, 0})
	if got := takeUp(path, 0, 1); &got[0] != &path[0] || len(got) != 3 {
		t.Errorf("%v", got)
	}
	if got := takeUp(path[:1], 0.1, 0); len(got) != 1 || got[0] != path[0] {
		t.Errorf("%v", got)
	}
	// Down the far side the machine presses less by the play.
	got := takeUp(path, 0.1, 0)
	if last := got[len(got)-1].Mark.Press; last != 0 {
		t.Errorf("the end is pressed %g mm", last)
	}
	for _, s := range got {
		if at := plane.MM(s.Axis.X); at > 5.2 && at < 9.5 && math.Abs(s.Mark.Press-(2-0.4*(at-5)-0.1)) > 1e-3 {
			t.Errorf("at %g mm it is asked for %g", at, s.Mark.Press)
		}
	}
}
