package along

import (
	"math"
	"slices"

	"mahlstick/runner/vector"
)

// cell is the size of the cells in mm by which paint near a place is found.
const cell = 1.0

// capsule is what a stroke covers from one of its marks to the next.
type capsule struct {
	stroke, layer int
	a, b          Mark
	from, to      float64 // way of the stroke
}

// cover finds the asked paint at a place.
type cover struct {
	capsules []capsule
	cells    map[[2]int32][]int32
}

// slack is how far from its asked edge paint may end, in mm.
const slack = 0.15

func newCover(strokes []Stroke, ways []way) *cover {
	c := &cover{cells: map[[2]int32][]int32{}}
	for i, s := range strokes {
		for k := 1; k < len(s.Marks); k++ {
			c.add(capsule{i, s.Layer, s.Marks[k-1], s.Marks[k], ways[i].at[k-1], ways[i].at[k]})
		}
		if len(s.Marks) == 1 {
			c.add(capsule{i, s.Layer, s.Marks[0], s.Marks[0], 0, 0})
		}
	}
	return c
}

func (c *cover) add(k capsule) {
	r := max(k.a.Width, k.b.Width)/2 + slack
	at := func(v float64) int32 { return int32(math.Floor(v / cell)) }
	n := int32(len(c.capsules))
	c.capsules = append(c.capsules, k)
	for x := at(min(k.a.X, k.b.X) - r); x <= at(max(k.a.X, k.b.X)+r); x++ {
		for y := at(min(k.a.Y, k.b.Y) - r); y <= at(max(k.a.Y, k.b.Y)+r); y++ {
			c.cells[[2]int32{x, y}] = append(c.cells[[2]int32{x, y}], n)
		}
	}
}

// near calls yield for each piece of paint near a place, with how far the place is
// beyond its edge in mm; inside, that is negative.
func (c *cover) near(p vector.XY, yield func(k *capsule, beyond float64)) {
	for _, n := range c.cells[[2]int32{int32(math.Floor(p.X / cell)), int32(math.Floor(p.Y / cell))}] {
		k := &c.capsules[n]
		dx, dy := k.b.X-k.a.X, k.b.Y-k.a.Y
		t := 0.0
		if l := float64(dx*dx) + float64(dy*dy); l > 0 {
			t = max(0, min(1, (float64((p.X-k.a.X)*dx)+float64((p.Y-k.a.Y)*dy))/l))
		}
		r := (k.a.Width + float64((k.b.Width-k.a.Width)*t)) / 2
		beyond := distance(p.X-k.a.X-float64(dx*t), p.Y-k.a.Y-float64(dy*t)) - r
		if beyond < slack {
			yield(k, beyond)
		}
	}
}

// alone reports whether the edges of a stroke at a place are its own: no other paint
// of its layer lies near the line through them, and other layers cover all of the
// line, as asked, or nothing of it. Those that cover it are returned. half is half the
// length of the line, own how far along the stroke paint belongs to the place, in mm.
func (m *measurer) alone(stroke int, s float64, p Mark, normal vector.XY, half, own float64) (covering []int, free bool) {
	layer := m.strokes[stroke].Layer
	some, all := map[int]bool{}, map[int]int{}
	points := 0
	free = true
	for x := -half; x <= half+1e-9 && free; x += 0.1 {
		points++
		whole := map[int]bool{}
		m.cover.near(vector.XY{X: p.X + float64(normal.X*x), Y: p.Y + float64(normal.Y*x)}, func(k *capsule, beyond float64) {
			switch {
			case k.stroke == stroke:
				if k.from > s+own || k.to < s-own {
					free = free && math.Abs(x) < p.Width/2-slack
				}
			case k.layer == layer:
				free = false
			default:
				some[k.layer] = true
				whole[k.layer] = whole[k.layer] || beyond < -slack
			}
		})
		for l, w := range whole {
			if w {
				all[l]++
			}
		}
	}
	for l := range some {
		free = free && all[l] == points
		covering = append(covering, l)
	}
	slices.Sort(covering)
	return covering, free
}

// covered reports whether the layers that are to cover a line lie at its end: the light
// there is nearer to that of their ink on paper than to that of paper. Paint that is
// narrower than asked, or lies elsewhere, has its own edges in the line instead. Where
// their ink or paper is nowhere seen, nothing tells.
func (m *measurer) covered(end [3]float64, covering []int) bool {
	if len(covering) == 0 {
		return true
	}
	left := [3]float64{1, 1, 1} // share of the light
	for _, l := range covering {
		of, known := m.inks[l]
		if !known {
			return false
		}
		for k := range left {
			left[k] *= 1 - of[k]
		}
	}
	taken, full := 0.0, 0.0
	for k := range left {
		of := 1 - left[k]
		taken += float64(of * (1 - end[k]/max(m.paper[k], 1e-3)))
		full += float64(of * of)
	}
	return taken > full/2
}
