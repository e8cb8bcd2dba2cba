package stroke

import (
	"cmp"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/axis"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

// Drawn is what stands on a layer, placed on the sheet.
type Drawn struct {
	Closed *region.Result // nil for none
	Lines  []OpenLine
}

// Options of Make. The zero value uses all processors.
type Options struct {
	Workers int // how many regions are worked on at a time; 0 for one a processor
}

// Make plans the gestures of a layer. The same drawing gives the same plan,
// whatever the number of workers.
//
//  1. The press never exceeds the brush's safe press.
//  2. Every shape has a gesture or a remark.
//  3. Drawn is Painted and Refused together.
//
// Faults: "no-brush-curve" for a layer whose brush has no curve,
// "width-formula" where a line's formula fails or gives no length.
func Make(drawn Drawn, layer *model.Layer, opt Options) (*Plan, problem.List) {
	var problems problem.List
	if layer.Brush == nil || layer.Brush.Curve == nil || layer.Brush.Curve.SafePress() <= 0 {
		problems.Errorf(problem.NoBrushCurve, layer.Place, problem.Advise("give the brush a widest mark and a safe press, or a swatch"),
			"layer %q has no brush that was measured", layer.Name)
		return nil, problems
	}
	m, own := newMaker(layer, layer.LaneMargin), newMaker(layer, 0)
	plan := &Plan{}
	var closed region.Result
	if drawn.Closed != nil {
		closed = *drawn.Closed
	}
	pieces := make([]piece, len(closed.Regions)+len(drawn.Lines))
	each(len(pieces), opt.Workers, func(b *axis.Builder, i int) {
		if i < len(closed.Regions) {
			pieces[i] = m.region(closed.Regions[i], b)
		} else {
			pieces[i] = own.line(drawn.Lines[i-len(closed.Regions)])
		}
	})
	for _, s := range closed.Shapes {
		plan.Shapes++
		plan.Drawn += s.Area
		if s.Regions == 0 {
			pieces = append(pieces, piece{remarks: []Remark{{Reason: TooSmall, Shape: s.Number, At: s.At, Place: s.Place}}})
		}
	}
	gestures := map[int]bool{}
	for _, p := range pieces {
		plan.Gestures = append(plan.Gestures, p.gestures...)
		plan.Remarks = append(plan.Remarks, p.remarks...)
		if len(p.stated.Points) > 0 {
			plan.Lines = append(plan.Lines, p.stated)
		}
		plan.Necks += p.necks
		for r, a := range p.refused {
			plan.Refused[r] += a
		}
		for _, g := range p.gestures {
			gestures[g.Shape] = true
		}
		problems = append(problems, p.problems...)
	}
	for _, l := range drawn.Lines {
		plan.Shapes++
		if !gestures[l.Shape] {
			plan.Bare++
		}
	}
	for _, s := range closed.Shapes {
		if !gestures[s.Number] {
			plan.Bare++
		}
	}
	for i := range pieces {
		plan.Drawn += pieces[i].drawn
	}
	slices.SortStableFunc(plan.Gestures, func(a, b Gesture) int { return cmp.Compare(a.Shape, b.Shape) })
	slices.SortStableFunc(plan.Remarks, func(a, b Remark) int {
		return cmp.Or(cmp.Compare(a.Shape, b.Shape), cmp.Compare(a.Reason, b.Reason))
	})
	if problems.HasErrors() {
		return nil, problems
	}
	return plan, problems
}

// each calls do for 0 to n-1 on so many workers, one a processor for 0. Each
// worker has a builder of its own.
func each(n, workers int, do func(b *axis.Builder, i int)) {
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	var next atomic.Int64
	var wait sync.WaitGroup
	for range min(workers, n) {
		wait.Go(func() {
			var b axis.Builder
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				do(&b, i)
			}
		})
	}
	wait.Wait()
}

// piece is what came of one region or line.
type piece struct {
	gestures []Gesture
	remarks  []Remark
	refused  [reasons]float64
	drawn    float64 // mm² of a line; regions are counted by shape
	necks    float64 // mm
	stated   Gesture // of a line
	problems problem.List
}

// maker holds what is the same for all regions of a layer.
type maker struct {
	layer  *model.Layer
	hand   hand
	radius float64 // of the widest mark that is made, in grid steps
	limits
}

// newMaker makes one whose marks are narrower than the widest by a margin in
// mm; open lines have none, as their widths are stated.
func newMaker(layer *model.Layer, margin float64) *maker {
	curve := layer.Brush.Curve
	m := &maker{layer: layer}
	narrowest, widest := curve.Range()
	if margin > 0 {
		widest = max(widest-margin, narrowest, widest/8)
	}
	m.radius = float64(widest / 2 * plane.PerMM)
	m.limits = limits{
		narrow:      narrowest / 2 * plane.PerMM,
		broad:       m.radius + mul(m.tolerance()/8, plane.PerMM),
		slackNarrow: mul(m.tolerance()/4, plane.PerMM), slackBroad: mul(m.tolerance()/2, plane.PerMM),
	}
	// The axis may leave out branches that move the edge by the whole
	// tolerance. The path takes a quarter of it more, and so does the width, of
	// which either edge gets half.
	m.hand = hand{curve: curve, narrowest: narrowest, widest: widest, within: m.tolerance() / 4, width: m.tolerance() / 4}
	return m
}

// tolerance in mm.
func (m *maker) tolerance() float64 {
	if m.layer.Tolerance > 0 {
		return m.layer.Tolerance
	}
	return 0.02
}

// region plans one region.
func (m *maker) region(r region.Region, b *axis.Builder) piece {
	var out piece
	area := r.Area()
	graph, err := b.Medial(r, m.tolerance())
	if err != nil || len(graph.Nodes) == 0 {
		out.problems.Errorf(problem.NoAxis, r.Place, problem.Advise("draw the shape again with fewer points, or report it"),
			"no centre line was found: %s", fault(err))
		return out
	}
	largest := largestOf(graph)
	remark := func(reason Reason, at axis.Point, area, length float64) {
		out.remark(Remark{
			Reason: reason, Shape: r.Shape, At: at.Plane(), Area: area, Length: length / plane.PerMM,
			Width: 2 * float64(at.R) / plane.PerMM, Place: r.Place,
		})
	}
	switch {
	case mul(2, float64(largest.R)) < mul(m.tolerance(), plane.PerMM):
		remark(TooSmall, largest, area, 0)
		return out
	case float64(largest.R) < m.narrow-m.slackNarrow && !m.layer.Hairlines:
		remark(TooThin, largest, area, graphLength(graph))
		return out
	}
	c := m.cut(graph, m.layer.Hairlines)
	// Rounding aside the thin places are smaller than what the widest mark leaves.
	most := min(float64(largest.R), m.radius)
	left := max(area-squareMM(mul(math.Pi, mul(most, most))), 0)
	for _, place := range m.thinPlaces(c.thin) {
		place.area = min(place.area, left)
		left -= place.area
		remark(TooThin, place.at, place.area, place.length)
	}
	if !m.layer.Hairlines {
		out.necks = m.necks(&c.fit) / plane.PerMM
	}
	if len(c.wide.links) > 0 || float64(largest.R) > m.broad+m.slackBroad {
		lanes, ok := m.fill(r, &c.wide)
		if !ok {
			remark(TooWide, largest, area, 0)
			return out
		}
		out.gestures = append(out.gestures, lanes...)
	}
	chains := c.fit.chains()
	if len(graph.Edges) == 0 && m.level(float64(largest.R)) != wide {
		chains = append(chains, chain{kind: Main, points: []axis.Point{largest}})
	}
	for _, ch := range chains {
		points := m.trimmed(ch)
		if ch.kind == Main {
			m.promise(&out, points, r.Shape, r.Place)
		}
		out.gestures = append(out.gestures, Gesture{Kind: ch.kind, Shape: r.Shape, Points: m.hand.path(points), Place: r.Place})
	}
	return out
}

// trimmed gives the points of a chain, taken back at free tips that are too
// thin.
func (m *maker) trimmed(c chain) []axis.Point {
	points := c.points
	if m.layer.Hairlines && !c.closed {
		if c.tips[1] {
			points = trim(points, m.narrow)
		}
		if c.tips[0] {
			slices.Reverse(points)
			points = trim(points, m.narrow)
			slices.Reverse(points)
		}
	}
	return points
}

func largestOf(g *axis.Graph) axis.Point {
	largest := g.Nodes[0].Point
	for _, n := range g.Nodes {
		if n.R > largest.R {
			largest = n.Point
		}
	}
	for _, e := range g.Edges {
		for _, p := range e.Points {
			if p.R > largest.R {
				largest = p
			}
		}
	}
	return largest
}

func fault(err error) string {
	if err == nil {
		return "the region is empty"
	}
	return fmt.Sprint(err)
}

func graphLength(g *axis.Graph) float64 {
	sum := 0.0
	for _, e := range g.Edges {
		sum += length(e.Points)
	}
	return sum
}
