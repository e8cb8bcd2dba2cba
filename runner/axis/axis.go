// Package axis finds the medial axis of a region: the middles of all largest
// discs that fit inside, with their radii.
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
	// Edges are the indices of the edges that end here, by direction
	// counter-clockwise. An edge that is a closed ring at this node stands
	// here twice.
	Edges []int32
}

// Edge is a stretch of axis between two nodes.
type Edge struct {
	From, To int32
	// Points runs from node From to node To, both included. Between two
	// consecutive points the true axis lies within 0.001 mm of the chord,
	// and its radius within 0.001 mm of the radius in proportion.
	Points []Point
}

// Graph is the axis of one region.
type Graph struct {
	Nodes []Node
	Edges []Edge
}
