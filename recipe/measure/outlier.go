package measure

import (
	"cmp"
	"math"
	"slices"
)

// A reading counts as an outlier if it is farther from what the others say than
// this many times their scatter: with sound readings about one in two million.
const outlierFactor = 5

// leastScatter, in mm, is the least scatter that readings of wet edges have
// (common practice, no source).
const leastScatter = 0.02

// outliers finds readings that do not fit the others. marks are sorted by press.
func (l *Ladder) outliers(readings []Reading, marks []mark) {
	kept := slices.Clone(marks)
	for range 10 { // one large outlier may make others look wrong
		far := farOff(kept)
		if len(far) == 0 {
			break
		}
		for _, i := range far {
			l.Outliers = append(l.Outliers, outlierIn(readings, kept[i]))
		}
		for _, i := range slices.Backward(far) {
			kept = slices.Delete(kept, i, i+1)
		}
	}
	slices.Sort(l.Outliers)
}

// farOff are the marks that are far from what the others say: the farthest of each
// repeated press, and of those that are not repeated the one without which the
// others fit best.
func farOff(marks []mark) []int {
	rungs := rungsOf(marks, 0)
	off := offsets(marks, rungs)
	scale := max(1.4826*median(absolute(off)), leastScatter) // of normal scatter
	var out, single []int
	any := false
	for _, r := range rungs {
		far := -1
		for i := r.first; i < r.end; i++ {
			size := math.Abs(off[i]) / (outlierFactor * scale)
			if r.end-r.first < 3 && size > 0.5 { // the slip may be that of its neighbour
				single = append(single, i)
				any = any || size > 1
			}
			if !(size > 1) || r.end-r.first < 3 {
				continue
			}
			if far < 0 || math.Abs(off[i]) > math.Abs(off[far]) {
				far = i
			}
		}
		if far >= 0 {
			out = append(out, far)
		}
	}
	if any {
		out = append(out, worst(marks, off, single))
		slices.Sort(out)
	}
	return out
}

// candidates is how many marks are tried as the one that does not fit.
const candidates = 8

// worst is the one of some marks without which the others fit each other best: a slip
// makes the marks beside it look wrong too.
func worst(marks []mark, off []float64, of []int) int {
	of = slices.Clone(of)
	slices.SortStableFunc(of, func(a, b int) int { return cmp.Compare(math.Abs(off[b]), math.Abs(off[a])) })
	of = of[:min(len(of), candidates)]
	best, least := of[0], math.Inf(1)
	for _, i := range of {
		rest := slices.Delete(slices.Clone(marks), i, i+1)
		sum := 0.0
		for _, v := range absolute(offsets(rest, rungsOf(rest, 0))) {
			sum += v
		}
		if sum = round(sum); sum < least {
			best, least = i, sum
		}
	}
	return best
}

// outlierIn is the reading of a mark that is farthest from the others of it, or
// its first.
func outlierIn(readings []Reading, m mark) int {
	widths := make([]float64, len(m.readings))
	for i, r := range m.readings {
		widths[i] = readings[r].Width
	}
	middle := median(widths)
	far := m.readings[0]
	for _, r := range m.readings {
		if math.Abs(readings[r].Width-middle) > math.Abs(readings[far].Width-middle) {
			far = r
		}
	}
	return far
}

// offsets are how far each mark is from what the others say: the median of the
// others of its press or, for fewer than three marks of a press, the line through
// the medians of the presses beside it; for the deepest, of the two before it, which
// counts for less. The lightest without repeats has none.
func offsets(marks []mark, rungs []rung) []float64 {
	middle := make([]float64, len(rungs))
	for k, r := range rungs {
		middle[k] = median(widthsBut(marks[r.first:r.end], -1))
	}
	out := make([]float64, len(marks))
	for k, r := range rungs {
		says, share := middle[k], 1.0
		switch {
		case r.end-r.first >= 3:
		case k >= 2 && k == len(rungs)-1:
			p0, p1, p := marks[rungs[k-2].first].press, marks[rungs[k-1].first].press, marks[r.first].press
			says = middle[k-1] + float64((middle[k-1]-middle[k-2])*(p-p1))/(p1-p0)
			share = 1 / beyond
		case k == 0 || k == len(rungs)-1:
			for i := r.first; i < r.end; i++ {
				out[i] = math.NaN()
			}
			continue
		default:
			p0, p, p1 := marks[rungs[k-1].first].press, marks[r.first].press, marks[rungs[k+1].first].press
			says = middle[k-1] + float64((middle[k+1]-middle[k-1])*(p-p0))/(p1-p0)
		}
		for i := r.first; i < r.end; i++ {
			if r.end-r.first >= 3 && r.end-r.first <= few {
				says = median(widthsBut(marks[r.first:r.end], i-r.first))
			}
			out[i] = float64(share * (marks[i].width - says))
		}
	}
	return out
}

// beyond is by how much less sure a line is behind its two places than half-way
// between two: √6 over √1.5.
const beyond = 2.0

// few marks are so few that the median of all is drawn to each of them.
const few = 12

// widthsBut are the widths of marks but that of one.
func widthsBut(marks []mark, but int) []float64 {
	out := make([]float64, 0, len(marks))
	for i, m := range marks {
		if i != but {
			out = append(out, m.width)
		}
	}
	return out
}

// absolute are the sizes of values, without those that are none.
func absolute(values []float64) []float64 {
	out := make([]float64, 0, len(values))
	for _, v := range values {
		if !math.IsNaN(v) {
			out = append(out, math.Abs(v))
		}
	}
	return out
}

// median is the middle of values, 0 for none.
func median(values []float64) float64 {
	sorted := slices.Clone(values)
	slices.Sort(sorted)
	switch n := len(sorted); {
	case n == 0:
		return 0
	case n%2 == 1:
		return sorted[n/2]
	default:
		return (sorted[n/2-1] + sorted[n/2]) / 2
	}
}
