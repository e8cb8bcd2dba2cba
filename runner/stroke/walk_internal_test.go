package stroke

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/runner/axis"
)

// randomGraph draws a graph of some parts: a tree, and links that close loops.
// Each link has a point in its middle that no other has.
func randomGraph(t *rapid.T, mostNodes, mostLoops int) *graph {
	g := &graph{}
	n := rapid.IntRange(2, mostNodes).Draw(t, "nodes")
	for range n {
		g.addNode(axis.Point{
			X: rapid.Int32Range(0, 400_000).Draw(t, "x"), Y: rapid.Int32Range(0, 400_000).Draw(t, "y"), R: rapid.Int32Range(0, 20_000).Draw(t, "r"),
		}, rapid.IntRange(0, 9).Draw(t, "cut") == 0)
	}
	link := func(a, b int32) {
		p, q := g.nodes[a].at, g.nodes[b].at
		middle := between(p, q, 0.5)
		middle.X, middle.Y = middle.X+int32(1000+37*len(g.links)), middle.Y+int32(500+len(g.links))
		g.addLink([]axis.Point{p, middle, q}, a, b)
	}
	for i := int32(1); i < int32(n); i++ {
		if rapid.IntRange(0, 7).Draw(t, "part") > 0 {
			link(rapid.Int32Range(0, i-1).Draw(t, "to"), i)
		}
	}
	for range rapid.IntRange(0, mostLoops).Draw(t, "loops") {
		link(rapid.Int32Range(0, int32(n-1)).Draw(t, "a"), rapid.Int32Range(0, int32(n-1)).Draw(t, "b"))
	}
	return g
}

// visits counts how often chains go over each link.
func visits(g *graph, chains []chain) []int {
	at := map[axis.Point]int{}
	for i, l := range g.links {
		at[l.points[1]] = i
	}
	out := make([]int, len(g.links))
	for _, c := range chains {
		for _, p := range c.points {
			if i, is := at[p]; is {
				out[i]++
			}
		}
	}
	return out
}

// Each part is one walk, over each link once or twice, from node to node along
// the links.
func TestWalks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := randomGraph(t, 12, rapid.IntRange(0, 8).Draw(t, "most"))
		walks, twice := g.walks(g.chains(), 0)
		parts := 0
		for _, part := range g.parts() {
			if len(g.nodes[part[0]].ends) > 0 {
				parts++
			}
		}
		if len(walks) != parts {
			t.Fatalf("%d walks through %d parts", len(walks), parts)
		}
		for i, n := range visits(g, walks) {
			if n != 1 && n != 2 || twice[i] != (n == 2) {
				t.Errorf("link %d is gone over %d times, said twice: %v", i, n, twice[i])
			}
		}
		for _, c := range walks {
			follows(t, g, c)
		}
	})
}

// follows checks that a walk moves along links only, that it is closed if it says
// so, and that its tips are free ends.
func follows(t *rapid.T, g *graph, c chain) {
	beside := map[[2]axis.Point]bool{}
	for _, l := range g.links {
		for i := 1; i < len(l.points); i++ {
			beside[[2]axis.Point{l.points[i-1], l.points[i]}] = true
			beside[[2]axis.Point{l.points[i], l.points[i-1]}] = true
		}
	}
	for i := 1; i < len(c.points); i++ {
		if !beside[[2]axis.Point{c.points[i-1], c.points[i]}] {
			t.Fatalf("from %v to %v is no link", c.points[i-1], c.points[i])
		}
	}
	first, last := c.points[0], c.points[len(c.points)-1]
	if c.closed != (first == last) {
		t.Errorf("closed %v, from %v to %v", c.closed, first, last)
	}
	for k, p := range [2]axis.Point{first, last} {
		free := false
		for n := range g.nodes {
			free = free || g.nodes[n].at == p && g.free(int32(n))
		}
		if c.tips[k] && !free {
			t.Errorf("%v is said to be a tip", p)
		}
	}
}

// Through a tree the way is as short as can be: all but the longest path in it
// is gone over twice. Elsewhere it is compared with all ways that there are.
func TestShortestWalk(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := randomGraph(t, 7, rapid.IntRange(0, 4).Draw(t, "most"))
		if len(g.links) > 10 {
			return
		}
		twice := make([]bool, len(g.links))
		for _, part := range g.parts() {
			if len(g.nodes[part[0]].ends) == 0 {
				continue
			}
			r := newRoute(g, part, twice)
			got := 0.0
			widest := int32(0)
			for _, l := range r.links {
				if twice[l] {
					got += g.links[l].length
				}
			}
			for _, n := range part {
				widest = max(widest, g.nodes[n].at.R)
			}
			best := shortest(g, r.links)
			tree := len(r.links) == len(part)-1
			// The tips that it prefers may cost four radii each.
			if slack := 8*float64(widest) + 0.3*best; tree && got > best+1e-6 || got > best+slack {
				t.Errorf("%.0f steps are gone over twice, where %.0f would do; %d links, %d nodes", got, best, len(r.links), len(part))
			}
		}
	})
}

// shortest is the least length that must be gone over twice, by trying all.
func shortest(g *graph, links []int32) float64 {
	best := math.Inf(1)
	for set := range 1 << len(links) {
		sum := 0.0
		degree := map[int32]int{}
		for k, l := range links {
			times := 1
			if set>>k&1 == 1 {
				times = 2
				sum += g.links[l].length
			}
			degree[g.links[l].nodes[0]] += times
			degree[g.links[l].nodes[1]] += times
		}
		odd := 0
		for _, d := range degree {
			odd += d % 2
		}
		if odd <= 2 {
			best = min(best, sum)
		}
	}
	return best
}

// A ring with branches is one walk, which begins at the end of a branch.
func TestRingWithBranches(t *testing.T) {
	g := &graph{}
	ring := []axis.Point{{X: 100_000, R: 900}, {Y: 100_000, R: 900}, {X: -100_000, R: 900}, {Y: -100_000, R: 900}}
	for _, p := range ring {
		g.addNode(p, false)
	}
	for i, p := range ring {
		q := ring[(i+1)%4]
		g.addLink([]axis.Point{p, {X: (p.X + q.X) / 3 * 2, Y: (p.Y + q.Y) / 3 * 2, R: 900}, q}, int32(i), int32((i+1)%4))
	}
	for i, p := range ring[:3] {
		end := axis.Point{X: p.X + p.X/2, Y: p.Y + p.Y/2}
		n := g.addNode(end, false)
		g.addLink([]axis.Point{p, between(p, end, 0.5), end}, int32(i), n)
	}
	walks, twice := g.walks(g.chains(), 0)
	if len(walks) != 1 || !walks[0].tips[0] {
		t.Fatalf("%d walks, the first from %v", len(walks), walks[0].points[0])
	}
	length := 0.0
	for i := range twice {
		if twice[i] {
			length += g.links[i].length
		}
	}
	if best := shortest(g, []int32{0, 1, 2, 3, 4, 5, 6}); length > best+8*900 {
		t.Errorf("%.0f steps are gone over twice, at least %.0f", length, best)
	}
}
