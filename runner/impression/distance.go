package impression

import (
	"fmt"
	"math"

	"mahlstick/runner/proof"
	"mahlstick/runner/vector"
)

// MarkDistance is how far the marks of two versions of a program are apart on
// the paper.
type MarkDistance struct {
	Program string
	// MM is the largest distance (mm) from a place where the brush touches the
	// paper in one program to the nearest such place in the other. The press is
	// the third coordinate. It is infinite if only one program paints at all.
	MM float64
	// At is that place, and Line its line in the program. Frozen reports that it
	// is the signed program.
	At     proof.Point
	Line   int
	Frozen bool
	// AtLeast reports that the programs were too large to measure completely.
	AtLeast bool
	// Was is the number of strokes of the signed program, Is that of the one made
	// again.
	Was, Is int
}

func (a MarkDistance) String() string {
	if math.IsInf(a.MM, 1) {
		return fmt.Sprintf("%s: only one of the two programs paints", a.Program)
	}
	upTo := "up to"
	if a.AtLeast {
		upTo = "at least"
	}
	text := fmt.Sprintf("%s: the marks are %s %.4f mm apart", a.Program, upTo, a.MM)
	if a.MM > 0 {
		which := "new"
		if a.Frozen {
			which = "signed"
		}
		text += fmt.Sprintf(", most at X%.3f Y%.3f Z%.3f (line %d of the %s program)", a.At.X, a.At.Y, a.At.Z, a.Line, which)
	}
	if a.Was != a.Is {
		text += fmt.Sprintf("; signed: %d strokes, now: %d", a.Was, a.Is)
	}
	return text
}

// markDistance compares two versions of a program, by the Hausdorff distance between
// the paths with the brush down, sampled every sampleStep.
func markDistance(name string, was, is []byte) MarkDistance {
	one, _ := proof.Read(name, was)
	two, _ := proof.Read(name, is)
	one, two = proof.OnStatedBed(proof.Visiting(one, proof.StatedStations(one))), proof.OnStatedBed(proof.Visiting(two, proof.StatedStations(two)))
	a := MarkDistance{Program: name, Was: len(proof.Measure(one, proof.Timing{}, nil).Strokes), Is: len(proof.Measure(two, proof.Timing{}, nil).Strokes)}
	there, here := touching(one), touching(two)
	if len(there) == 0 || len(here) == 0 {
		if len(there) != len(here) {
			a.MM = math.Inf(1)
		}
		return a
	}
	a.farthest(there, newNeighbours(here), true)
	a.farthest(here, newNeighbours(there), false)
	return a
}

// touching lists the moves with the brush on the paper.
func touching(p *proof.Path) []proof.Move {
	var out []proof.Move
	for _, m := range p.Moves {
		if m.Kind != proof.Dwell && m.Kind != proof.Pause && !m.Visit && (m.From.Z < 0 || m.To.Z < 0) {
			out = append(out, m)
		}
	}
	return out
}

const (
	sampleStep = 0.25        // mm: the distance found is at most half a step too small
	maxSamples = 4_000_000   // of one program
	maxLookups = 400_000_000 // of squares and moves, in both directions together
)

func (a *MarkDistance) farthest(moves []proof.Move, other *neighbours, frozen bool) {
	step := max(sampleStep, length(moves)/maxSamples)
	for _, m := range moves {
		n := 1 + int(distance(m.From, m.To)/step)
		for i := range n + 1 {
			p := between(m.From, m.To, float64(i)/float64(n))
			if d := other.nearest(p); d > a.MM {
				a.MM, a.At, a.Line, a.Frozen = d, p, m.Line, frozen
			}
			if other.lookups > maxLookups/2 {
				a.AtLeast = true
				return
			}
		}
	}
}

func length(moves []proof.Move) (total float64) {
	for _, m := range moves {
		total += distance(m.From, m.To)
	}
	return total
}

func between(a, b proof.Point, t float64) proof.Point {
	return proof.Point(vector.XYZ(a).Toward(vector.XYZ(b), t))
}

func distance(a, b proof.Point) float64 { return vector.XYZ(a).Minus(vector.XYZ(b)).Length() }

// toMove is the distance (mm) of a point from a straight move.
func toMove(p proof.Point, m proof.Move) float64 {
	way, _ := vector.ToSegment3(vector.XYZ(p), vector.XYZ(m.From), vector.XYZ(m.To))
	return way.Length()
}

// cellSize is the smallest side (mm) of the grid's squares in which neighbours are
// looked up.
const cellSize = 2.0

type square struct{ x, y int }

// neighbours finds the nearest of many moves, by a grid over X and Y.
type neighbours struct {
	moves                  []proof.Move
	cells                  map[square][]int32
	side                   float64
	minX, minY, maxX, maxY int
	lookups                int
}

func (n *neighbours) cellOf(v float64) int { return int(math.Floor(v / n.side)) }

func newNeighbours(moves []proof.Move) *neighbours {
	n := &neighbours{moves: moves, cells: map[square][]int32{}, side: max(cellSize, length(moves)/maxSamples)}
	n.minX, n.minY, n.maxX, n.maxY = math.MaxInt, math.MaxInt, math.MinInt, math.MinInt
	for i, m := range moves {
		// Squares that a piece of at most one square's length can touch.
		pieces := 1 + int(distance(m.From, m.To)/n.side)
		last := square{math.MinInt, math.MinInt}
		for k := range pieces {
			a := between(m.From, m.To, float64(k)/float64(pieces))
			b := between(m.From, m.To, float64(k+1)/float64(pieces))
			for x := n.cellOf(min(a.X, b.X)); x <= n.cellOf(max(a.X, b.X)); x++ {
				for y := n.cellOf(min(a.Y, b.Y)); y <= n.cellOf(max(a.Y, b.Y)); y++ {
					if s := (square{x, y}); s != last {
						n.cells[s] = append(n.cells[s], int32(i))
						last = s
					}
					n.minX, n.maxX = min(n.minX, x), max(n.maxX, x)
					n.minY, n.maxY = min(n.minY, y), max(n.maxY, y)
				}
			}
		}
	}
	return n
}

// nearest is the distance (mm) of the nearest move.
func (n *neighbours) nearest(p proof.Point) float64 {
	best := math.Inf(1)
	cx, cy := n.cellOf(p.X), n.cellOf(p.Y)
	look := func(x, y int) {
		n.lookups++
		for _, i := range n.cells[square{x, y}] {
			n.lookups++
			best = min(best, toMove(p, n.moves[i]))
		}
	}
	// Start with the first ring that reaches the grid at all.
	start := max(0, n.minX-cx, cx-n.maxX, n.minY-cy, cy-n.maxY)
	end := max(n.maxX-cx, cx-n.minX, n.maxY-cy, cy-n.minY)
	for ring := start; ring <= end && float64(ring-1)*n.side < best; ring++ {
		for x := max(n.minX, cx-ring); x <= min(n.maxX, cx+ring); x++ {
			if x == cx-ring || x == cx+ring {
				for y := max(n.minY, cy-ring); y <= min(n.maxY, cy+ring); y++ {
					look(x, y)
				}
				continue
			}
			look(x, cy-ring)
			if ring > 0 {
				look(x, cy+ring)
			}
		}
	}
	return best
}
