package stroke

import (
	"cmp"
	"runtime"
	"slices"
	"sync/atomic"

	"golang.org/x/sync/errgroup"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/axis"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

// Drawn is what a layer shows, placed on the sheet.
type Drawn struct {
	Closed *region.Result // nil for none
	Lines  []OpenLine
}

// Options of Make. The zero value uses all processors.
type Options struct {
	Workers int // regions planned at the same time; 0 for one per processor
}

// Make plans the gestures of a layer. The same drawing gives the same plan,
// whatever the number of workers.
//
//  1. The press never exceeds the brush's safe press.
//  2. Every shape has a gesture or a remark.
//  3. Drawn is Painted and Refused together.
//
// Problems: "no-brush-curve" if the layer's brush has no curve,
// "width-formula" if a line's formula fails or does not result in a length,
// "no-axis" if a shape has no centre line.
func Make(drawn Drawn, layer *model.Layer, opt Options) (*Plan, problem.List) {
	var problems problem.List
	if layer.Brush == nil || layer.Brush.Curve == nil || layer.Brush.Curve.SafePress() <= 0 {
		problems.Errorf(problem.NoBrushCurve, layer.Place, problem.Advise("give the brush a widest mark and a safe press, or a swatch"),
			"the layer %q has no measured brush", layer.Name)
		return nil, problems
	}
	var closed region.Result
	if drawn.Closed != nil {
		closed = *drawn.Closed
	}
	// Open lines state their widths, so no margin is taken off them.
	regions := regionPlanner{newPainter(layer, layer.LaneMargin)}
	lines := linePlanner{painter: newPainter(layer, 0), regions: regions}
	outcomes := make([]outcome, len(closed.Regions)+len(drawn.Lines))
	forEach(len(outcomes), opt.Workers, func(b *axis.Builder, i int) {
		if i < len(closed.Regions) {
			outcomes[i] = regions.plan(closed.Regions[i], b)
		} else {
			outcomes[i] = lines.plan(drawn.Lines[i-len(closed.Regions)], b)
		}
	})
	for _, s := range closed.Shapes {
		if s.Regions == 0 {
			outcomes = append(outcomes, outcome{remarks: []Remark{{Reason: TooSmall, Shape: s.Number, At: s.At, Place: s.Place}}})
		}
	}
	for i := range outcomes {
		problems = append(problems, outcomes[i].problems...)
	}
	if problems.HasErrors() {
		return nil, problems
	}
	return collect(drawn, &closed, outcomes), problems
}

// collect makes the plan from the outcomes of all regions and lines.
func collect(drawn Drawn, closed *region.Result, outcomes []outcome) *Plan {
	plan := &Plan{Shapes: len(closed.Shapes) + len(drawn.Lines), Drawn: closed.Drawn()}
	hasGesture := map[int]bool{}
	for _, o := range outcomes {
		plan.Gestures = append(plan.Gestures, o.gestures...)
		plan.Remarks = append(plan.Remarks, o.remarks...)
		plan.Drawn += o.drawn
		plan.Necks += o.necks
		plan.Twice += o.twice
		for r, area := range o.refused {
			plan.Refused[r] += area
		}
		for _, g := range o.gestures {
			hasGesture[g.Shape] = true
		}
	}
	for _, l := range drawn.Lines {
		if !hasGesture[l.Shape] {
			plan.UnpaintedShapes++
		}
	}
	for _, s := range closed.Shapes {
		if !hasGesture[s.Number] {
			plan.UnpaintedShapes++
		}
	}
	slices.SortStableFunc(plan.Gestures, func(a, b Gesture) int { return cmp.Compare(a.Shape, b.Shape) })
	slices.SortStableFunc(plan.Remarks, func(a, b Remark) int {
		return cmp.Or(cmp.Compare(a.Shape, b.Shape), cmp.Compare(a.Reason, b.Reason))
	})
	return plan
}

// forEach calls do for 0 to n-1, in the given number of workers (0: one per
// processor). Each worker has its own builder.
func forEach(n, workers int, do func(b *axis.Builder, i int)) {
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	var next atomic.Int64
	var group errgroup.Group
	for range min(workers, n) {
		group.Go(func() error {
			var b axis.Builder
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				do(&b, i)
			}
			return nil
		})
	}
	_ = group.Wait() // no worker returns an error
}

// outcome is the result of planning one region or line.
type outcome struct {
	gestures []Gesture
	remarks  []Remark
	refused  [reasons]float64
	drawn    float64 // mm² of a line; regions are counted by shape
	necks    float64 // mm
	twice    float64 // mm²
	problems problem.List
}

// remark adds a remark and counts its area.
func (o *outcome) remark(r Remark) {
	o.remarks = append(o.remarks, r)
	o.refused[r.Reason] += r.Area
}

// apportion scales the areas of all remarks with one of the reasons, which were
// measured along the path, so that their sum is the area refused for them.
func (o *outcome) apportion(area float64, reasons ...Reason) {
	sum := 0.0
	for _, r := range o.remarks {
		if slices.Contains(reasons, r.Reason) {
			sum += r.Area
		}
	}
	if sum <= 0 {
		return
	}
	for i := range o.remarks {
		if r := &o.remarks[i]; slices.Contains(reasons, r.Reason) {
			r.Area = mul(r.Area, area/sum)
			o.refused[r.Reason] += r.Area
		}
	}
}

// painter holds what all gestures of a layer share.
type painter struct {
	layer  *model.Layer
	press  pressProfile
	radius float64 // of the widest mark used, in grid steps
	limits limits
}

// newPainter makes a painter whose marks are narrower than the widest by a
// margin in mm, and no wider than the deepest press paints.
func newPainter(layer *model.Layer, margin float64) *painter {
	curve := layer.Brush.Curve
	p := &painter{layer: layer}
	narrowest, held := curve.Range()
	if margin > 0 {
		held = max(held-margin, narrowest, held/8)
	}
	widest := max(min(held, layer.Brush.WidestPainted()), narrowest)
	p.radius = float64(widest / 2 * plane.PerMM)
	p.limits = limits{
		held:        float64(held/2*plane.PerMM) + mul(p.tolerance()/8, plane.PerMM),
		narrow:      narrowest / 2 * plane.PerMM,
		broad:       p.radius + mul(p.tolerance()/8, plane.PerMM),
		slackNarrow: mul(p.tolerance()/4, plane.PerMM), slackBroad: mul(p.tolerance()/2, plane.PerMM),
	}
	// The axis may leave out branches that move the edge by the whole
	// tolerance. The path may add a quarter of the tolerance, and so may the
	// width, of which half is at each edge.
	p.press = pressProfile{curve: curve, narrowest: narrowest, widest: widest, within: p.tolerance() / 4, width: p.tolerance() / 4}
	return p
}

// tolerance in mm.
func (p *painter) tolerance() float64 {
	if p.layer.Tolerance > 0 {
		return p.layer.Tolerance
	}
	return 0.02
}
