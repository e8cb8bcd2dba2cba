package axis

import (
	"fmt"

	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

// Medial finds the axis of a region. Parts are left out where that moves the
// painted edge, the rim of all discs together, by no more than tolerance (mm).
// It fails only where the region is not clean: where edges cross or overlap,
// or a ring runs the wrong way round.
func Medial(r region.Region, tolerance float64) (*Graph, error) {
	var b Builder
	return b.Medial(r, tolerance)
}

// Medial does the work of the function of that name in the builder's memory.
// The graph is the caller's to keep.
func (b *Builder) Medial(r region.Region, tolerance float64) (*Graph, error) {
	if err := b.build(r); err != nil {
		return nil, fmt.Errorf("medial axis of shape %d: %w", r.Shape, err)
	}
	b.pruner.prune(&b.diagram, tolerance*plane.PerMM, b.walks > 1)
	return b.tracer.trace(&b.diagram, b.pruner.keep, b.origin), nil
}
