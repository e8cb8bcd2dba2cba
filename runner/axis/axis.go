// Package axis finds the medial axis of a region: the middles of all largest
// discs that fit inside, with their radii (H. Blum, A transformation for
// extracting new descriptors of shape, 1967). It is the part inside the region
// of the Voronoi diagram of the outline's corners and edges (D. T. Lee, Medial
// axis transformation of a planar shape, IEEE PAMI 4, 1982, 363-369).
//
// # Method
//
// The corners are triangulated, in rounds of random order, and the outline's
// edges made walls of the triangulation while it grows (mesh.go, carve.go).
// What lies inside the walls is the dual of the diagram of the corners, as
// far as they see each other (R. Seidel, Constrained Delaunay triangulations
// and Voronoi diagrams with obstacles, Rep. 260 IIG-TU Graz, 1988). Into it
// the edges come as sites, one after the other in random order: the discs an
// edge reaches into are dug out, beginning with the one at the edge itself,
// and the hole is filled with discs that touch the edge (diagram.go). Since
// all sites lie on the rim of the dual, whatever is dug out is a string of
// triangles, and any string can be filled: the structure stays sound whatever
// is decided, which is the point of topology-oriented methods (K. Sugihara,
// M. Iri, Proc. IEEE 80, 1992, 1471-1484). In random order the expected work
// is proportional to n log n, and close to n on drawings. (All from memory.)
//
// # Decisions
//
// Corners are whole numbers, and every decision is that of exact numbers:
// which way corners turn, whether one lies in the circle of three others,
// whether an edge reaches into a disc (exact.go), whether it does so all along
// a stretch. The last two are made in floating point where a bound on its
// error allows, and else by the signs of whole numbers and their square roots.
// An edge that touches a disc does not reach into it. Discs that are decided
// upon are then worked out in floating point, with a bound on the error.
// Nothing depends on the processor: only sums, products, quotients and square
// roots are used, each rounded by itself.
//
// # Guarantees
//
//  1. Every node has the radius of its largest disc, and its place, to the
//     nearest grid step, and every point of an edge's chords to 0.001 mm.
//  2. The painted edge, the rim of all discs together, is the outline, except for
//     pockets no deeper than the tolerance, measured from the outline to a
//     disc of the axis.
//  3. A part of the axis is kept if a deeper pocket would open without it, up to
//     the corner of the outline itself; loops around holes are always kept.
//  4. The same region has the same axis, wherever its rings start and
//     whichever of them comes first, unless two choices are equally good to
//     within rounding.
package axis

import "mahlstick/runner/plane"

// Point is a point of the axis with the radius of the largest disc around it
// that stays inside the region; all three in grid steps (0.0001 mm).
type Point struct{ X, Y, R int32 }

// Plane is the point without its radius.
func (p Point) Plane() plane.Point { return plane.Point{X: p.X, Y: p.Y} }

// Node is a point where axis edges meet or end.
type Node struct {
	Point
	// Edges lists the indices of the edges that end here, counter-clockwise by
	// direction. An edge that is a closed ring at this node is listed twice.
	Edges []int32
}

// Edge is a stretch of axis between two nodes.
type Edge struct {
	From, To int32
	// Points runs from node From to node To, both included. Between two
	// consecutive points the true axis lies within 0.001 mm of the chord,
	// and its radius within 0.001 mm of the radius in proportion.
	Points []Point
	// Slopes holds the change of the radius along the edge, dR/ds from -1 to 1:
	// where it leaves node From, and where it reaches node To. The chords next to
	// the nodes are too long to show it.
	Slopes [2]float64
}

// Graph is the axis of one region.
type Graph struct {
	Nodes []Node
	Edges []Edge
}
