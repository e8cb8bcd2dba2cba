package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
)

type point struct{ x, y float64 } // mm, y upwards

// shape is an area: inside by the even-odd rule.
type shape [][]point

// picture is what is drawn: shapes that each cover their own area.
type picture struct {
	shapes        []shape
	width, height float64 // mm
}

func (p *picture) segments() int {
	n := 0
	for _, s := range p.shapes {
		for _, ring := range s {
			n += len(ring)
		}
	}
	return n
}

// topology is as much of a TopoJSON file (The TopoJSON Format Specification, 1.0)
// as the coast lines need.
type topology struct {
	Arcs      [][][2]float64
	Transform struct{ Scale, Translate [2]float64 }
	Objects   map[string]struct{ Geometries []geometry }
}

type geometry struct {
	Type string
	Arcs json.RawMessage
}

// world reads an object of the npm package world-atlas (coast lines of Natural
// Earth): longitude and latitude as they are, to a width in mm.
func world(folder, file, object string, width float64) (*picture, error) {
	data, err := os.ReadFile(filepath.Join(folder, file+".json"))
	if err != nil {
		return nil, err
	}
	var t topology
	if err := json.Unmarshal(data, &t); err != nil {
		return nil, err
	}
	for _, arc := range t.Arcs {
		x, y := 0.0, 0.0
		for i := range arc {
			x, y = x+arc[i][0], y+arc[i][1]
			arc[i] = [2]float64{x*t.Transform.Scale[0] + t.Transform.Translate[0], y*t.Transform.Scale[1] + t.Transform.Translate[1]}
		}
	}
	p := &picture{width: width, height: width / 2}
	ring := func(arcs []int) []point {
		var out []point
		for _, a := range arcs {
			arc := t.Arcs[max(a, ^a)]
			if a < 0 {
				arc = slices.Clone(arc)
				slices.Reverse(arc)
			}
			for _, q := range arc[:len(arc)-1] {
				out = append(out, point{(q[0] + 180) / 360 * width, (q[1] + 90) / 360 * width})
			}
		}
		return out
	}
	for _, g := range t.Objects[object].Geometries {
		var polygons [][][]int
		switch g.Type {
		case "Polygon":
			polygons = make([][][]int, 1)
			err = json.Unmarshal(g.Arcs, &polygons[0])
		case "MultiPolygon":
			err = json.Unmarshal(g.Arcs, &polygons)
		default:
			continue
		}
		if err != nil {
			return nil, err
		}
		var s shape
		for _, polygon := range polygons {
			for _, arcs := range polygon {
				s = append(s, ring(arcs))
			}
		}
		p.shapes = append(p.shapes, s)
	}
	if len(p.shapes) == 0 {
		return nil, fmt.Errorf("%s holds no areas named %s", file, object)
	}
	return p, nil
}

// noise is a pseudo-random value for a place, the same in every run.
func noise(x, y, seed int) float64 {
	h := uint64(x)*0x9e3779b97f4a7c15 ^ uint64(y)*0xc2b2ae3d27d4eb4f ^ uint64(seed)*0x165667b19e3779f9
	h ^= h >> 29
	h *= 0xbf58476d1ce4e5b9
	h ^= h >> 32
	return float64(h>>11)/(1<<52) - 1
}

// smooth is noise between the places, even at them.
func smooth(x, y float64, seed int) float64 {
	ix, iy := math.Floor(x), math.Floor(y)
	u, v := x-ix, y-iy
	u, v = u*u*(3-2*u), v*v*(3-2*v)
	i, j := int(ix), int(iy)
	a, b := noise(i, j, seed), noise(i+1, j, seed)
	c, d := noise(i, j+1, seed), noise(i+1, j+1, seed)
	return (a*(1-u)+b*u)*(1-v) + (c*(1-u)+d*u)*v
}

// traced is what tracing the dark parts of a picture gives: the level lines of
// a random landscape, on a grid of cells of a given size, smaller than the
// finest of them. rough is by how much each finer octave weighs less.
func traced(width, height, cell, coarsest, rough float64) *picture {
	w, h := int(width/cell)+1, int(height/cell)+1
	value := make([]float64, w*h)
	for j := range h {
		for i := range w {
			x, y := float64(i)*cell, float64(j)*cell
			sum, weight := 0.0, 1.0
			for octave, size := 0, coarsest; size >= 2*cell; octave, size = octave+1, size/2 {
				sum += weight * smooth(x/size, y/size, octave)
				weight *= rough
			}
			if i == 0 || j == 0 || i == w-1 || j == h-1 {
				sum = -1 // the sheet's edge stays white
			}
			value[j*w+i] = sum
		}
	}
	return &picture{shapes: []shape{levelLines(value, w, h, cell)}, width: width, height: height}
}

// levelLines follows the level 0 through the cells of a grid. A line crosses
// the sides of the cells; side 2*(j*w+i) runs from place (i, j) to the right, the next
// one upwards.
func levelLines(value []float64, w, h int, cell float64) shape {
	next := map[int]int{}
	var starts []int
	for j := range h - 1 {
		for i := range w - 1 {
			k := j*w + i
			corner := [4]int{k, k + 1, k + 1 + w, k + w}
			side := [4]int{2 * k, 2*(k+1) + 1, 2 * (k + w), 2*k + 1} // below, right, above, left
			for c := range 4 {
				if value[corner[c]] <= 0 || value[corner[(c+1)%4]] > 0 {
					continue
				}
				// Going round the cell it gets light here: the line runs to where it got
				// dark.
				back := c
				for value[corner[back]] > 0 {
					back = (back + 3) % 4
				}
				next[side[c]] = side[back]
				starts = append(starts, side[c])
			}
		}
	}
	var out shape
	for _, s := range starts {
		var ring []point
		for to, ok := next[s]; ok; to, ok = next[s] {
			delete(next, s)
			ring = append(ring, crossing(value, w, s, cell))
			s = to
		}
		if len(ring) > 2 {
			out = append(out, ring)
		}
	}
	return out
}

// crossing is where the level 0 crosses a side.
func crossing(value []float64, w, side int, cell float64) point {
	k := side / 2
	x, y := float64(k%w), float64(k/w)
	if side&1 == 1 {
		return point{x * cell, (y + value[k]/(value[k]-value[k+w])) * cell}
	}
	return point{(x + value[k]/(value[k]-value[k+1])) * cell, y * cell}
}
