package meaning

import (
	"slices"

	"mahlstick/runner/scan/along"
)

// Where ink fades: the depth of the ink, as the median of so many places, stays below
// a share of what it was in the first of them after loading.
const (
	fadeMedian = 7
	pale       = 0.85
)

// shade is how deep the ink is at a place, and what was painted of the load so far.
type shade struct {
	place        along.Place
	area, length float64
}

// fades finds in each layer where the ink of a load ran out.
func fades(measured *along.Result, layers []Layer) []Fade {
	var out []Fade
	for _, l := range measured.Layers() {
		var load []shade
		var area, length float64
		end := func() {
			if f, found := fade(load); found {
				out = append(out, f)
			}
			load, area, length = nil, 0, 0
		}
		stroke := 0
		for _, p := range measured.Places {
			if p.Layer != l {
				continue
			}
			if p.Stroke != stroke && slices.Contains(layers[l].Loads, p.Stroke) {
				end()
			}
			stroke = p.Stroke
			area, length = area+float64(p.Asked*along.Spacing), length+along.Spacing
			if p.State == along.Measured && p.Depth > 0 {
				load = append(load, shade{p, area, length})
			}
		}
		end()
	}
	return out
}

// fade finds where a load fades for good.
func fade(load []shade) (Fade, bool) {
	if len(load) < 4*fadeMedian {
		return Fade{}, false
	}
	median := func(from int) float64 {
		var d []float64
		for _, s := range load[from : from+fadeMedian] {
			d = append(d, s.place.Depth)
		}
		slices.Sort(d)
		return d[fadeMedian/2]
	}
	first := median(0)
	at := len(load)
	for i := len(load) - fadeMedian; i > 0 && median(i) < pale*first; i-- {
		at = i + fadeMedian/2
	}
	if at >= len(load)-fadeMedian/2 {
		return Fade{}, false
	}
	s := load[at]
	return Fade{Layer: s.place.Layer, Stroke: s.place.Stroke, Way: s.place.Way, Area: s.area, Length: s.length}, true
}
