package along

import (
	"math"
	"slices"

	"mahlstick/runner/vector"
)

// lines are how many parallel lines are averaged, and gap how far they are apart in
// mm: a place is seen over 0.5 mm of its stroke.
const (
	lines = 5
	gap   = 0.12
)

// measurer measures strokes in a scan.
type measurer struct {
	light   Light
	pixel   float64 // mm
	strokes []Stroke
	ways    []way
	cover   *cover
	inks    map[int]ink // by layer
	paper   [3]float64  // light beside strokes that are on no other paint
}

// ink is how a layer looks: the share of the light of the ground that a full coat
// takes away, by colour.
type ink [3]float64

// margin is how far a line goes beyond the asked edge, in mm: enough for a stroke
// that is off and for the ground beside it.
func (m *measurer) margin() float64 { return max(0.7, 8*m.pixel) }

// profile is the light along a line: how much of full ink each point has, and how
// far the points are apart in mm. The place is in the middle.
type profile struct {
	q    []float64
	step float64
}

func (p profile) at(i float64) float64 { return (i - float64(len(p.q)-1)/2) * p.step }

// raw is the light along a line, in colours; false if it leaves the scan.
func (m *measurer) raw(at, normal vector.XY, half float64) ([][3]float64, float64, bool) {
	step := m.pixel / 2
	n := int(half / step)
	out := make([][3]float64, 2*n+1)
	for i := range out {
		x := float64(i-n) * step
		light, on := m.light.At(vector.XY{X: at.X + float64(normal.X*x), Y: at.Y + float64(normal.Y*x)})
		if !on {
			return nil, 0, false
		}
		for k := range light {
			out[i][k] = float64(light[k])
		}
	}
	return out, step, true
}

// beside is how wide a stretch at each end of a line shows its ground, in mm.
const beside = 0.3

// ground is the light beside a mark, at the left and the right end of a line: the
// median of what lies there, so wide in mm.
func ground(raw [][3]float64, step, wide float64) (left, right [3]float64) {
	n := max(3, min(int(wide/step), len(raw)/3))
	values := make([]float64, n)
	middle := func(k, from int) float64 {
		for i := range values {
			values[i] = raw[from+i][k]
		}
		slices.Sort(values)
		return (values[(n-1)/2] + values[n/2]) / 2
	}
	for k := range left {
		left[k], right[k] = middle(k, 0), middle(k, len(raw)-n)
	}
	return left, right
}

// ink is a profile in shares of full ink. One side of ground may be left out.
func (m *measurer) inkAlong(raw [][3]float64, step float64, layer int, leftGround, rightGround bool) profile {
	of := m.inks[layer]
	left, right := ground(raw, step, beside)
	if !leftGround {
		left = right
	}
	if !rightGround {
		right = left
	}
	p := profile{q: make([]float64, len(raw)), step: step}
	weight := 0.0
	for _, c := range of {
		weight += float64(c * c)
	}
	for i, light := range raw {
		t := float64(i) / float64(len(raw)-1)
		for k := range light {
			g := left[k] + float64((right[k]-left[k])*t)
			p.q[i] += float64(of[k]*(1-light[k]/max(g, 1e-3))) / weight
		}
	}
	return p
}

// run is a stretch of ink in a profile, in mm from its middle: its edges at half of
// its own depth.
type run struct{ from, to, depth, area float64 }

func (r run) width() float64 { return r.to - r.from }

// runs are the stretches in which there is more than a share of full ink.
func (p profile) runs(least float64) []run {
	var out []run
	for i := 0; i < len(p.q); i++ {
		if p.q[i] < least {
			continue
		}
		end := i
		for end < len(p.q) && p.q[end] >= least {
			end++
		}
		out = append(out, p.edges(i, end))
		i = end
	}
	return out
}

// rim is how many points at each side of a mark its surroundings lighten: two blurs of
// a pixel, at two points a pixel, and what is beyond the threshold.
const rim = 6

// edges finds the edges of the ink between two points.
func (p profile) edges(from, end int) run {
	// The depth is that of the middle, where the light beside the mark does not reach.
	middle, inner := float64(from+end-1)/2, max(2, float64(end-from)/2-rim)
	depth, n := 0.0, 0.0
	for i := from; i < end; i++ {
		if math.Abs(float64(i)-middle) <= inner {
			depth, n = depth+p.q[i], n+1
		}
	}
	depth /= n
	r := run{depth: depth, from: math.NaN(), to: math.NaN()}
	half := depth / 2
	for i := from; i < end; i++ {
		if p.q[i] >= half {
			r.from = p.at(crossing(p.q, i-1, half))
			break
		}
	}
	for i := end - 1; i >= from; i-- {
		if p.q[i] >= half {
			r.to = p.at(crossing(p.q, i, half))
			break
		}
	}
	// What is beyond the threshold belongs to the ink: the blur spread it.
	for i := max(0, from-2); i < min(len(p.q), end+2); i++ {
		r.area += float64(p.q[i] * p.step)
	}
	return r
}

// crossing is where, between a point and the next, the profile has a value.
func crossing(q []float64, i int, value float64) float64 {
	if i < 0 || i+1 >= len(q) {
		return float64(max(i, 0))
	}
	if q[i+1] == q[i] {
		return float64(i)
	}
	return float64(i) + max(0, min(1, (value-q[i])/(q[i+1]-q[i])))
}
