package along

import (
	"math"
	"sort"

	"mahlstick/runner/vector"
)

// way is the way of a stroke: its marks and how far each is from the beginning.
type way struct {
	marks []Mark
	at    []float64
}

func newWay(marks []Mark) way {
	w := way{marks: marks, at: make([]float64, len(marks))}
	for i := 1; i < len(marks); i++ {
		w.at[i] = w.at[i-1] + distance(marks[i-1].X-marks[i].X, marks[i-1].Y-marks[i].Y)
	}
	return w
}

func distance(x, y float64) float64 { return math.Sqrt(float64(x*x) + float64(y*y)) }

func (w way) length() float64 {
	if len(w.at) == 0 {
		return 0
	}
	return w.at[len(w.at)-1]
}

// mark is the asked mark so far from the beginning.
func (w way) mark(s float64) Mark {
	i := sort.SearchFloat64s(w.at, s)
	switch i {
	case 0:
		return w.marks[0]
	case len(w.at):
		return w.marks[i-1]
	}
	a, b := w.marks[i-1], w.marks[i]
	t := (s - w.at[i-1]) / (w.at[i] - w.at[i-1])
	mix := func(u, v float64) float64 { return u + float64((v-u)*t) }
	return Mark{mix(a.X, b.X), mix(a.Y, b.Y), mix(a.Width, b.Width)}
}

// reach is how far before and behind a place its direction is taken, in mm.
const reach = 0.25

// direction is that of painting, a vector of length 1, and how the width rises.
func (w way) direction(s float64) (vector.XY, float64) {
	from, to := max(s-reach, 0), min(s+reach, w.length())
	a, b := w.mark(from), w.mark(to)
	d := distance(b.X-a.X, b.Y-a.Y)
	if d < 1e-9 {
		return vector.XY{X: 1}, 0
	}
	return vector.XY{X: (b.X - a.X) / d, Y: (b.Y - a.Y) / d}, (b.Width - a.Width) / (to - from)
}
