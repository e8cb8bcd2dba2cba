package region

import (
	"cmp"
	"slices"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/contour"
	"mahlstick/runner/plane"
)

// Options is what the layer states about its contours. By default, contours inside
// others are holes, alternating with depth.
type Options struct {
	// Strokes makes every contour a stroke of its own, also inside others. A
	// contour with a stated fill rule follows that rule in any case.
	Strokes bool
}

// Build turns the closed contours of a layer into regions.
//
//  1. Each contour is either part of a shape of the result or listed in Repairs as
//     given twice.
//  2. Regions are as Region promises, whatever the contours are.
//  3. Contours that cross each other are shapes of their own, unless a stated
//     fill rule joins them.
//
// Problems: "contour-off-grid" for a point farther out than plane.Limit,
// "contour-tangled" if so many edges lie on top of each other that no drawing
// can mean it.
func Build(contours []Contour, opt Options) (*Result, problem.List) {
	b := &builder{}
	edges := 0
	for i := range contours {
		edges += len(contours[i].Points)
	}
	b.work = newBudget(edges)
	var groups [][]*Contour
	var single []*Contour
	numbered := map[int]int{}
	for i := range contours {
		c := &contours[i]
		if !b.withinLimit(c) {
			continue
		}
		switch {
		case c.Rule == contour.Unstated:
			single = append(single, c)
		case c.Group == 0:
			groups = append(groups, []*Contour{c})
		default:
			g, seen := numbered[c.Group]
			if !seen {
				g = len(groups)
				numbered[c.Group] = g
				groups = append(groups, nil)
			}
			groups[g] = append(groups[g], c)
		}
	}
	b.singles(single, opt)
	for _, g := range groups {
		b.group(g)
	}
	if b.problems.HasErrors() {
		return nil, b.problems
	}
	return b.result(), b.problems
}

type builder struct {
	problems problem.List
	repairs  []Repair
	shapes   []drawnShape
	work     budget
}

// drawnShape is a shape with the rings of each of its regions.
type drawnShape struct {
	contour *Contour
	holes   []int
	faces   [][][]plane.Point
}

func (b *builder) note(f Fault, c *Contour, n count) {
	if n.n > 0 {
		b.repairs = append(b.repairs, Repair{f, c.Shape, n.n, n.at, c.Place})
	}
}

func (b *builder) noteTidied(c *Contour, found tidied) {
	b.note(Repeated, c, found.repeated)
	b.note(Spike, c, found.spikes)
}

func (b *builder) withinLimit(c *Contour) bool {
	for _, p := range c.Points {
		if p.X < -plane.Limit || p.X > plane.Limit || p.Y < -plane.Limit || p.Y > plane.Limit {
			x, y := p.MM()
			b.problems.Errorf(problem.ContourOffGrid, c.Place, problem.Advise("move or scale the drawing so that it lies on the sheet"),
				"the outline reaches (%.0f, %.0f) mm, more than 10 m from the sheet's corner", x, y)
			return false
		}
	}
	return true
}

func (b *builder) tangled(at source.Place) {
	b.problems.Errorf(problem.ContourTangled, at, problem.Advise("draw it again with fewer edges, or leave it out"),
		"too many edges of this outline cross each other")
}

// singles makes shapes from contours without a fill rule.
func (b *builder) singles(contours []*Contour, opt Options) {
	outlines := make([]*outline, 0, len(contours))
	known := map[ringKey][]*outline{}
	for _, c := range contours {
		p, ok := repairContour(c, b)
		if !ok {
			b.tangled(c.Place)
			return
		}
		// Before nesting: of two equal outlines only one would get the holes.
		key := keyOf(p.rings)
		if p.area2 > 0 && slices.ContainsFunc(known[key], func(q *outline) bool { return sameRings(p.rings, q.rings) }) {
			b.note(Twice, c, count{1, p.rings[0][0]})
			continue
		}
		known[key] = append(known[key], p)
		outlines = append(outlines, p)
	}
	parent := make([]int, len(outlines))
	touching := make([]bool, len(outlines))
	for i := range parent {
		parent[i] = -1
	}
	if !opt.Strokes {
		var ok bool
		if parent, touching, ok = nest(outlines, &b.work); !ok {
			b.tangled(outlines[0].contour.Place)
			return
		}
	}
	// Depth by depth: even ones are shapes, odd ones the holes of their parent.
	holes := make([][]int, len(outlines))
	hole := make([]bool, len(outlines))
	for _, i := range byDepth(parent) {
		if j := parent[i]; j >= 0 && !hole[j] {
			hole[i] = true
			holes[j] = append(holes[j], i)
		}
	}
	for i, p := range outlines {
		b.noteReversed(p, hole[i])
		if hole[i] {
			continue
		}
		d := drawnShape{contour: p.contour}
		slices.Sort(holes[i])
		for _, h := range holes[i] {
			d.holes = append(d.holes, outlines[h].contour.Shape)
		}
		var ok bool
		if d.faces, ok = b.cut(p, holes[i], outlines, touching); !ok {
			b.tangled(p.contour.Place)
			return
		}
		b.shapes = append(b.shapes, d)
	}
}

// byDepth lists all indices, parents before children.
func byDepth(parent []int) []int {
	depth := make([]int, len(parent))
	order := make([]int, len(parent))
	for i := range parent {
		order[i] = i
		for j := parent[i]; j >= 0; j = parent[j] {
			depth[i]++
		}
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(depth[i], depth[j]) })
	return order
}

// noteReversed records an outline or hole that runs in the wrong direction.
func (b *builder) noteReversed(p *outline, hole bool) {
	if a := plane.Area2(p.contour.Points); p.simple && (hole && a > 0 || !hole && a < 0) {
		b.note(Reversed, p.contour, count{1, p.contour.Points[0]})
	}
}

// cut subtracts the holes from p.
func (b *builder) cut(p *outline, holes []int, outlines []*outline, touching []bool) ([][][]plane.Point, bool) {
	if p.area2 == 0 {
		return nil, true
	}
	plain := p.simple
	for _, h := range holes {
		plain = plain && outlines[h].simple && !touching[h]
	}
	if plain {
		ok := true
		if plain, ok = b.apart(holes, outlines); !ok {
			return nil, false
		}
	}
	rings := slices.Clone(p.rings)
	for _, h := range holes {
		for _, ring := range outlines[h].rings {
			rings = append(rings, reversed(ring))
		}
	}
	if plain {
		return [][][]plane.Point{rings}, true
	}
	return b.arrange(rings, positive)
}

// apart reports whether none of the holes meet.
func (b *builder) apart(holes []int, outlines []*outline) (apartAll, ok bool) {
	if len(holes) < 2 {
		return true, true
	}
	boxes := newTree(len(holes), func(i int) plane.Box { return outlines[holes[i]].box })
	apartAll, ok = true, true
	boxes.pairs(func(i, j int) bool {
		p, q := outlines[holes[i]], outlines[holes[j]]
		pairsBetween(p.tree, q.tree, 0, 0, func(k, l int) bool {
			apartAll = meet(p.edges[k], q.edges[l]) == apart
			ok = b.work.spend()
			return apartAll && ok
		})
		return apartAll && ok
	})
	return apartAll, ok
}

// arrange snap-rounds rings and returns the faces whose winding numbers inside
// accepts.
func (b *builder) arrange(rings [][]plane.Point, inside func(int32) bool) ([][][]plane.Point, bool) {
	edges := segments(rings)
	weight := make([]int32, len(edges))
	for i := range weight {
		weight[i] = 1
	}
	arranged, ok := snapRound(edges, weight, &b.work)
	if !ok {
		return nil, false
	}
	return faces(arranged, inside), true
}

// group makes one shape from contours with a fill rule.
func (b *builder) group(contours []*Contour) {
	d := drawnShape{contour: contours[0]}
	var rings [][]plane.Point
	for _, c := range contours {
		ring, found := tidy(c.Points)
		b.noteTidied(c, found)
		if ring != nil {
			rings = append(rings, ring)
		}
	}
	if len(rings) == 1 {
		// For a simple ring both fill rules are the same.
		p, _, _, ok := simpleOutline(contours[0], rings[0], &b.work)
		if ok && p != nil {
			d.faces, rings = [][][]plane.Point{p.rings}, nil // nothing is left to arrange
		}
	}
	if len(rings) > 0 {
		var ok bool
		if d.faces, ok = b.arrange(rings, contours[0].Rule.Inside); !ok {
			b.tangled(contours[0].Place)
			return
		}
	}
	b.shapes = append(b.shapes, d)
}

// result sorts everything into the drawing's order and drops shapes drawn twice.
func (b *builder) result() *Result {
	slices.SortStableFunc(b.shapes, func(c, d drawnShape) int { return cmp.Compare(c.contour.Shape, d.contour.Shape) })
	out := &Result{}
	known := map[ringKey][][][]plane.Point{}
	for _, d := range b.shapes {
		s := Shape{Number: d.contour.Shape, Place: d.contour.Place, Holes: d.holes, Regions: len(d.faces)}
		if len(d.contour.Points) > 0 {
			s.At = d.contour.Points[0]
		}
		var rings [][]plane.Point
		for _, f := range d.faces {
			rings = append(rings, f...)
		}
		key := keyOf(rings)
		if len(rings) > 0 && slices.ContainsFunc(known[key], func(r [][]plane.Point) bool { return sameRings(rings, r) }) {
			b.note(Twice, d.contour, count{1, rings[0][0]})
			continue
		}
		known[key] = append(known[key], rings)
		s.Area = squareMM(area2(rings))
		out.Shapes = append(out.Shapes, s)
		for _, f := range d.faces {
			out.Regions = append(out.Regions, Region{Rings: f, Shape: s.Number, Place: s.Place})
		}
	}
	slices.SortStableFunc(b.repairs, func(m, n Repair) int {
		return cmp.Or(cmp.Compare(m.Shape, n.Shape), cmp.Compare(m.Fault, n.Fault))
	})
	out.Repairs = b.repairs
	return out
}

// Positive finds the regions that rings wind around more often counter-clockwise
// than clockwise. The rings may cross and touch each other and themselves; their
// points are as in Contour, within plane.Limit. It returns false if more pairs of
// edges had to be compared than work allows.
func Positive(rings [][]plane.Point, work int) ([]Region, bool) {
	return where(rings, 1, budget{work})
}

// Where finds the regions around which rings wind at least so often. It returns false
// if they are more tangled than Build accepts.
func Where(rings [][]plane.Point, least int32) ([]Region, bool) {
	n := 0
	for _, ring := range rings {
		n += len(ring)
	}
	return where(rings, least, newBudget(n))
}

func where(rings [][]plane.Point, least int32, work budget) ([]Region, bool) {
	b := &builder{work: work}
	var clean [][]plane.Point
	for _, ring := range rings {
		if ring, _ := tidy(ring); ring != nil {
			clean = append(clean, ring)
		}
	}
	faces, ok := b.arrange(clean, func(winding int32) bool { return winding >= least })
	if !ok {
		return nil, false
	}
	out := make([]Region, len(faces))
	for i, f := range faces {
		out[i].Rings = f
	}
	return out, true
}
