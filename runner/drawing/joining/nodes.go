package joining

import (
	"math"

	"mahlstick/runner/vector"
)

// maxMeeting is the largest number of ends at one point that are sorted out.
const maxMeeting = 16

// linkNodes joins the ends at each node.
func (j *joiner) linkNodes() {
	var ends []int32
	for n := range j.first {
		if j.degree[n] == 0 || j.degree[n] == 1 {
			continue
		}
		ends = ends[:0]
		for e := j.first[n]; e >= 0; e = j.after[e] {
			if !j.dropped[e>>1] {
				ends = append(ends, e)
			}
		}
		here := End{At: j.grid.points[n].at, Ends: len(ends), Nearest: -1, Line: &j.lines[ends[0]>>1]}
		switch {
		case len(ends) == 2:
			j.link2(ends[0], ends[1])
		case len(ends)%2 == 0 && len(ends) <= maxMeeting:
			j.goStraight(ends)
			here.Nearest = 0
			j.out.CrossingCount++
			j.out.Crossings = note(j.out.Crossings, here)
		default:
			j.out.addLoose(here)
		}
	}
}

func note(list []End, e End) []End {
	if len(list) < MaxEnds {
		return append(list, e)
	}
	return list
}

func (o *Joined) addLoose(e End) {
	o.LooseCount++
	o.Loose = note(o.Loose, e)
}

func (j *joiner) link2(e, f int32) { j.link[e], j.link[f] = f, e }

// goStraight joins an even number of ends in pairs, the straightest first.
func (j *joiner) goStraight(ends []int32) {
	var out [maxMeeting]vector.XY
	for i, e := range ends {
		out[i] = direction(j.lines[e>>1].Points, e&1 == 1, j.meet)
	}
	var used [maxMeeting]bool
	for range len(ends) / 2 {
		a, b := straightest(out[:len(ends)], &used)
		used[a], used[b] = true, true
		j.link2(ends[a], ends[b])
	}
}

// straightest finds the two directions that are most opposite.
func straightest(out []vector.XY, used *[maxMeeting]bool) (a, b int) {
	a, b = -1, -1
	best := math.Inf(1)
	for i := range out {
		for k := i + 1; k < len(out) && !used[i]; k++ {
			// Rounded, so that noise does not decide between equals.
			dot := math.Floor(float64(out[i].Dot(out[k])*1e6) + 0.5)
			if !used[k] && dot < best {
				a, b, best = i, k, dot
			}
		}
	}
	return a, b
}

// direction is the unit vector in which a line leaves its start, or its end.
func direction(pts []vector.XY, end bool, meet float64) vector.XY {
	at := func(i int) vector.XY {
		if end {
			return pts[len(pts)-1-i]
		}
		return pts[i]
	}
	for i := range pts {
		way := at(i).Minus(at(0))
		if length := way.Length(); length > 4*meet {
			return vector.XY{X: way.X / length, Y: way.Y / length}
		}
	}
	return vector.XY{}
}
