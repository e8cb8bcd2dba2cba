package order

import (
	"cmp"
	"slices"
)

const (
	// Rows are parted before columns, unless the gap between columns is so many
	// times as wide.
	rowsOver = 3
	// What is parted at its widest gap is parted at all that are at least so
	// many parts of it.
	gapsAlike = 2
	// Strokes that do not cross lie apart, too, where they reach past each other
	// by less than one part in so many of the larger side of their part.
	reachPast = 16
	// Rows of a crowd are clear where so many times as few strokes as on average
	// lie across a cut.
	clearRows = 3
	// A crowd is parted so that no part is less than one in so many of it.
	leastPart = 8
)

// parting finds where glyphs are parted best. It sorts them along that axis and
// gives where each part but the first begins; none if they belong together.
// c is nil for a crowd.
func parting(glyphs []*glyph, c *crossings) []int {
	var sorted [2][]*glyph
	for axis := range sorted {
		sorted[axis] = slices.Clone(glyphs)
		slices.SortFunc(sorted[axis], func(a, b *glyph) int {
			return cmp.Or(cmp.Compare(a.middle(axis), b.middle(axis)), cmp.Compare(a.unit, b.unit))
		})
	}
	ways := []finder{gaps, narrowly}
	if c == nil {
		ways = []finder{wideGaps, inRows, gaps, sparsely}
	}
	for _, find := range ways {
		cuts, worth := find(sorted[down], down, c)
		best := down
		if at, w := find(sorted[along], along, c); len(at) > 0 && (len(cuts) == 0 || w > worth) {
			cuts, best = at, along
		}
		if len(cuts) > 0 {
			copy(glyphs, sorted[best])
			return cuts
		}
	}
	return nil
}

// A finder gives where to part glyphs, which are sorted along an axis, and what
// that is worth; no cuts if nowhere.
type finder func(glyphs []*glyph, axis int, c *crossings) (cuts []int, worth int64)

// clearances gives for each glyph but the first how far it and all after it are
// from all before it, along the axis by which they are sorted: negative where
// they reach past each other.
func clearances(glyphs []*glyph, axis int) []int64 {
	out := make([]int64, len(glyphs))
	low := glyphs[len(glyphs)-1].low[axis]
	for k := len(glyphs) - 1; k > 0; k-- {
		low = min(low, glyphs[k].low[axis])
		out[k] = low
	}
	high := glyphs[0].high[axis]
	for k := 1; k < len(glyphs); k++ {
		high = max(high, glyphs[k-1].high[axis])
		out[k] -= high
	}
	return out
}

// wideGaps parts a crowd at gaps, columns only if they are farther apart than
// strokes are large: narrow gaps may be where words of all rows happen to end.
func wideGaps(glyphs []*glyph, axis int, c *crossings) (cuts []int, worth int64) {
	if axis == along && slices.Max(clearances(glyphs, axis)[1:]) < meanSize(glyphs) {
		return nil, 0
	}
	return gaps(glyphs, axis, c)
}

// gaps parts glyphs where there is room between them all the way across.
func gaps(glyphs []*glyph, axis int, _ *crossings) (cuts []int, worth int64) {
	clear := clearances(glyphs, axis)
	widest := slices.Max(clear[1:])
	if widest <= 0 {
		return nil, 0
	}
	for k, gap := range clear {
		if k > 0 && gap*gapsAlike >= widest {
			cuts = append(cuts, k)
		}
	}
	if axis == down {
		widest *= rowsOver
	}
	return cuts, widest
}

// meanSize is the mean of the larger sides of glyphs.
func meanSize(glyphs []*glyph) int64 {
	var sum int64
	for i := range glyphs {
		sum += side(glyphs[i : i+1])
	}
	return sum / int64(len(glyphs))
}

// narrowly parts a few glyphs in two where they reach past each other a little
// and none of the one part crosses one of the other.
func narrowly(glyphs []*glyph, axis int, c *crossings) (cuts []int, worth int64) {
	clear := clearances(glyphs, axis)
	worth = -side(glyphs) / reachPast
	for k := 1; k < len(glyphs); k++ {
		if clear[k] > worth && !c.between(glyphs[:k], glyphs[k:]) {
			cuts, worth = []int{k}, clear[k]
		}
	}
	return cuts, worth
}

// inRows parts a crowd in two where hardly a stroke lies across the cut.
func inRows(glyphs []*glyph, axis int, _ *crossings) (cuts []int, worth int64) {
	if axis != down {
		return nil, 0
	}
	at, across := sparsest(glyphs, axis)
	var sum int64
	low, high := glyphs[0].low[axis], glyphs[0].high[axis]
	for _, g := range glyphs {
		sum += g.high[axis] - g.low[axis]
		low, high = min(low, g.low[axis]), max(high, g.high[axis])
	}
	if int64(clearRows*across)*(high-low) > sum {
		return nil, 0
	}
	return []int{at}, 0
}

// sparsely parts a crowd in two where the fewest strokes lie across the cut,
// unless half of them do.
func sparsely(glyphs []*glyph, axis int, _ *crossings) (cuts []int, worth int64) {
	at, across := sparsest(glyphs, axis)
	if 2*across > len(glyphs) {
		return nil, 0
	}
	if axis == along {
		across *= rowsOver
	}
	return []int{at}, int64(-across)
}

// sparsest finds the cut across which the fewest of many glyphs lie, of equal ones
// the one nearest to the middle of the crowd.
func sparsest(glyphs []*glyph, axis int) (best, least int) {
	n := len(glyphs)
	begin, end := make([]int64, n), make([]int64, n)
	for i, g := range glyphs {
		begin[i], end[i] = 4*g.low[axis], 4*g.high[axis]
	}
	slices.Sort(begin)
	slices.Sort(end)
	off := func(k int) int { return max(2*k-n, n-2*k) } // from the middle
	begun, ended := 0, 0
	least = n + 1
	for k := 1; k < n; k++ {
		at := glyphs[k-1].middle(axis) + glyphs[k].middle(axis)
		for begun < n && begin[begun] < at {
			begun++
		}
		for ended < n && end[ended] <= at {
			ended++
		}
		across := begun - ended
		if k >= n/leastPart && k <= n-n/leastPart && (across < least || across == least && off(k) < off(best)) {
			best, least = k, across
		}
	}
	return best, least
}
