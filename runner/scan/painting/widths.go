package painting

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"mahlstick/runner/scan/along"
)

// atMost is how many rows a layer has: so many fit under a heading, and can be told
// apart as dots.
const atMost = 10

// fewest is how many places a row is made of: fewer say nothing of a median.
const fewest = 4

// systematic is the standard uncertainty of a width, in mm, that many places do not
// lower: of what is taken for the edge. Found with simulated scans at 300 dpi.
const systematic = 0.004

// Width is what was measured where a width was asked for, in mm: the median of places
// asked about the same.
type Width struct {
	Press    float64 // for the width asked for, by the brush's rows
	Asked    float64
	Measured float64
	U        float64 // standard uncertainty of Measured
}

// Widths are the widths of a layer, thin ones first: its places in order of the width
// asked for, in groups of the same range. Each group's doubt is that of a median of
// strokes, because places of one stroke are off alike: the scatter is that of the
// strokes' medians about their group's, of all groups together. The factor from mean
// to median, √(π/2), is that of a normal distribution (H. Cramér, Mathematical Methods
// of Statistics, 1946, 28.5).
func (r *Reading) Widths(layer int) []Width {
	places := r.measured(layer)
	if len(places) < fewest {
		return nil
	}
	low, high := places[0].Asked, places[len(places)-1].Asked
	step := max((high-low)/atMost, 0.02)
	var out []Width
	var counts []int
	var scatter []float64
	for len(places) > 0 {
		bound := low + float64((math.Floor((places[0].Asked-low)/step)+1)*step)
		n := 0
		for n < len(places) && (places[n].Asked < bound || bound >= high-1e-9) {
			n++
		}
		group := places[:n]
		places = places[n:]
		if n < fewest {
			continue
		}
		asked := make([]float64, n)
		for i, p := range group {
			asked[i] = p.Asked
		}
		width := median(asked)
		press, err := r.Layers[layer].Model.Brush.Curve.PressFor(width)
		if err != nil {
			continue
		}
		off, strokes := offs(group)
		for _, s := range strokes {
			scatter = append(scatter, math.Abs(s-off))
		}
		out, counts = append(out, Width{Press: press, Asked: width, Measured: width + off}), append(counts, len(strokes))
	}
	typical := 0.0
	if len(scatter) > len(out) {
		typical = 1.4826 * median(scatter) // the median of a normal distribution's sizes is 1/1.4826
	}
	for i := range out {
		u := typical * math.Sqrt(math.Pi/2/float64(counts[i]))
		out[i].U = math.Sqrt(float64(u*u) + systematic*systematic)
	}
	return out
}

// measured are the measured places of a layer, in order of the width asked for.
func (r *Reading) measured(layer int) []along.Place {
	doubled := map[int]bool{}
	for _, s := range r.Measured.Strokes {
		if s.Layer == layer && s.Doubled {
			doubled[s.Stroke] = true
		}
	}
	var out []along.Place
	for _, p := range r.Measured.Places {
		if p.Layer == layer && p.State == along.Measured && !doubled[p.Stroke] {
			out = append(out, p)
		}
	}
	slices.SortStableFunc(out, func(a, b along.Place) int {
		switch {
		case a.Asked < b.Asked:
			return -1
		case a.Asked > b.Asked:
			return 1
		}
		return 0
	})
	return out
}

// offs is the median of how far places are off, and that of each stroke.
func offs(places []along.Place) (float64, []float64) {
	var all []float64
	by := map[int][]float64{}
	var order []int
	for _, p := range places {
		off := p.Width - p.Asked
		if all = append(all, off); by[p.Stroke] == nil {
			order = append(order, p.Stroke)
		}
		by[p.Stroke] = append(by[p.Stroke], off)
	}
	var strokes []float64
	for _, s := range order {
		strokes = append(strokes, median(by[s]))
	}
	return median(all), strokes
}

// median leaves the values in order.
func median(v []float64) float64 {
	slices.Sort(v)
	return (v[len(v)/2] + v[(len(v)-1)/2]) / 2
}

// Results are the rows of Results with the widths of all layers, which the page draws.
// "" where none was measured.
func (r *Reading) Results() string {
	var b strings.Builder
	for i, l := range r.Layers {
		for _, w := range r.Widths(i) {
			fmt.Fprintf(&b, "| %s | %.2f mm | %.2f mm | %.2f ± %.2f mm |\n", l.Model.Name, w.Press, w.Asked, w.Measured, max(w.U, 0.01))
		}
	}
	if b.Len() == 0 {
		return ""
	}
	return "\nFor the page, under Results, below a heading of this sheet:\n\n| layer | press | asked | measured |\n|-------|-------|-------|----------|\n" + b.String()
}
