package axis

import (
	"fmt"

	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

// Medial finds the axis of a region. Parts are left out if that moves the painted edge,
// the rim of all discs together, by no more than tolerance (mm). It fails only if the
// region is not clean: edges cross or overlap, or a ring runs in the wrong direction.
func Medial(r region.Region, tolerance float64) (*Graph, error) {
	var b Builder
	return b.Medial(r, tolerance)
}

// Medial is like the function Medial, in the builder's memory. The graph does not use
// that memory.
func (b *Builder) Medial(r region.Region, tolerance float64) (*Graph, error) {
	if err := b.build(r); err != nil {
		return nil, fmt.Errorf("medial axis of shape %d: %w", r.Shape, err)
	}
	b.pruner.prune(&b.diagram, tolerance*plane.PerMM, b.walks > 1)
	return b.tracer.trace(&b.diagram, b.pruner.keep, b.origin), nil
}
