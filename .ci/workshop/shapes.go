package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
)

// gesture is a drawn brush stroke: its middle line and its width at each point.
type gesture struct {
	middle [][2]float64
	width  []float64
}

// outline of the gesture with round ends, in mm.
func (g gesture) outline() [][2]float64 {
	var left, right [][2]float64
	n := len(g.middle)
	dir := func(i int) float64 {
		a, b := g.middle[max(i-1, 0)], g.middle[min(i+1, n-1)]
		return math.Atan2(b[1]-a[1], b[0]-a[0])
	}
	at := func(i int, angle float64) [2]float64 {
		return [2]float64{g.middle[i][0] + g.width[i]/2*math.Cos(angle), g.middle[i][1] + g.width[i]/2*math.Sin(angle)}
	}
	for i := range g.middle {
		left = append(left, at(i, dir(i)+math.Pi/2))
		right = append(right, at(i, dir(i)-math.Pi/2))
	}
	out := append([][2]float64{}, left...)
	for k := 1; k < 24; k++ {
		out = append(out, at(n-1, dir(n-1)+math.Pi/2-math.Pi*float64(k)/24))
	}
	for i := n - 1; i >= 0; i-- {
		out = append(out, right[i])
	}
	for k := 1; k < 24; k++ {
		out = append(out, at(0, dir(0)-math.Pi/2-math.Pi*float64(k)/24))
	}
	return out
}

// gestures lays out random strokes, each in a box of its own, with widths from
// thin to thick in mm.
func gestures(r *rand.Rand, thin, thick, width, height float64) []gesture {
	const box = 42
	var out []gesture
	for y := 24.0; y+box < height-14; y += box {
		for x := 24.0; x+box < width-14; x += box {
			mid := func() [2]float64 {
				return [2]float64{x + 6 + r.Float64()*(box-12), y + 6 + r.Float64()*(box-12)}
			}
			a, b, c := mid(), mid(), mid()
			for math.Hypot(a[0]-c[0], a[1]-c[1]) < 18 {
				a, c = mid(), mid()
			}
			// A gentle bend: the middle point stays near the chord.
			b[0] = (a[0]+c[0])/2 + (b[0]-(a[0]+c[0])/2)*0.4
			b[1] = (a[1]+c[1])/2 + (b[1]-(a[1]+c[1])/2)*0.4
			full := thin + (thick-thin)*r.Float64()
			start, end := full*(0.6+0.4*r.Float64()), full*(0.6+0.4*r.Float64())
			var g gesture
			const n = 80
			for i := 0; i <= n; i++ {
				t := float64(i) / n
				p := func(k int) float64 { return (1-t)*(1-t)*a[k] + 2*t*(1-t)*b[k] + t*t*c[k] }
				g.middle = append(g.middle, [2]float64{p(0), p(1)})
				swell := 4 * t * (1 - t)
				g.width = append(g.width, swell*full+(1-swell)*(start*(1-t)+end*t))
			}
			out = append(out, g)
		}
	}
	return out
}

// drawing writes the gestures as a picture in millimetres.
func drawing(all []gesture, width, height float64) string {
	var b strings.Builder
	fmt.Fprintf(&b, "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%gmm\" height=\"%gmm\" viewBox=\"0 0 %g %g\">\n", width, height, width, height)
	for _, g := range all {
		b.WriteString("<path d=\"")
		for i, p := range g.outline() {
			command := "L"
			if i == 0 {
				command = "M"
			}
			fmt.Fprintf(&b, "%s%.4f %.4f ", command, p[0], height-p[1])
		}
		b.WriteString("Z\"/>\n")
	}
	b.WriteString("</svg>\n")
	return b.String()
}
