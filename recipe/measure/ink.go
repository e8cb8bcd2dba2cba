package measure

import (
	"cmp"
	"math"
	"slices"
)

// AtFeed is a mark of one press at a feed (mm/min); Width 0 where it has gaps.
type AtFeed struct{ Feed, Width float64 }

// Spread is how a mark spreads while the brush stands on it.
type Spread struct {
	// Dry is the width in mm that the mark would have without spreading.
	Dry Estimate
	// Rate is D in mm²/s: the mark is wider by 2√(D·t), where t is the time that
	// the brush stands on a place. The brush is taken to be as long as the mark is
	// wide (common practice, no source).
	Rate Estimate
	// Root is √D in mm/√s, in which widths are linear, so that its errors are
	// normal where those of D are not. Readings may make it less than 0.
	Root Estimate
	// Fastest is the fastest feed (mm/min) whose mark has no gaps and is as wide
	// as the slower ones foretell. Slowest is the slowest measured.
	Fastest, Slowest float64
	// Limited reports that a faster feed failed.
	Limited bool
}

// secondsPerMinute converts feeds.
const secondsPerMinute = 60

// Band is the interval that holds D in 95 of 100 cases.
func (s Spread) Band() (low, high float64) {
	by := float64(Student(s.Root.Freedom) * s.Root.U)
	return square(max(s.Root.Value-by, 0)), square(max(s.Root.Value+by, 0))
}

// At is the width (mm) at a feed of a mark that has a width at another feed (both
// in mm/min). Feeds beyond those that were measured count as the nearest that
// was.
func (s Spread) At(width, measured, feed float64) float64 {
	root := max(s.Root.Value, 0)
	slower := float64(root * math.Sqrt(secondsPerMinute/min(max(measured, s.Slowest), s.Fastest)))
	now := float64(root * math.Sqrt(secondsPerMinute/min(max(feed, s.Slowest), s.Fastest)))
	// With x = √dry, the width is x² + 2·slower·x.
	x := math.Sqrt(square(slower)+width) - slower
	return float64(x * (x + float64(2*now)))
}

// Wider is how much wider (mm) a mark of a dry width (mm) gets at a feed (mm/min).
func (s Spread) Wider(dry, feed float64) float64 {
	return 2 * math.Sqrt(max(float64(s.Rate.Value*dry)*secondsPerMinute/feed, 0))
}

// SpreadOf finds how a mark spreads from marks of one press at several feeds: the
// width is a straight line in 1/√feed (Lucas and Washburn: the way of a liquid in
// paper grows as the root of time). scatter is the standard deviation of one mark's
// width. ok is false for fewer than three feeds.
func SpreadOf(marks []AtFeed, scatter float64) (s Spread, ok bool) {
	sorted := slices.Clone(marks)
	slices.SortStableFunc(sorted, func(a, b AtFeed) int { return cmp.Compare(a.Feed, b.Feed) })
	var feeds []float64
	for _, m := range sorted {
		if n := len(feeds); n == 0 || feeds[n-1] != m.Feed {
			feeds = append(feeds, m.Feed)
		}
	}
	if len(feeds) < 3 {
		return s, false
	}
	s.Slowest = feeds[0]
	var line *Fit
	used := 0
	for k, feed := range feeds {
		group := slices.DeleteFunc(slices.Clone(sorted), func(m AtFeed) bool { return m.Feed != feed })
		if broken(group) || line != nil && tooNarrow(line, group, scatter) {
			s.Limited = true
			break
		}
		s.Fastest, used = feed, used+len(group)
		if k >= 1 {
			line = spreadLine(sorted[:used], scatter)
		}
	}
	if line == nil {
		return s, false
	}
	dry, slope := line.Coefficients[0], line.Coefficients[1]
	s.Dry = Estimate{Value: dry, U: line.U(0), Readings: used}.rounded()
	if dry > 0 {
		share := 1 / (2 * math.Sqrt(secondsPerMinute*dry)) // of the slope
		s.Root.Value, s.Root.Readings = slope*share, used
		byDry := s.Root.Value / (2 * dry)
		squares := float64(line.Covariance[1][1]*square(share)) + float64(line.Covariance[0][0]*square(byDry)) - float64(2*line.Covariance[0][1]*float64(share*byDry))
		s.Root.U = math.Sqrt(max(squares, 0))
		root := max(s.Root.Value, 0)
		s.Rate = Estimate{Value: square(root), U: max(2*root*s.Root.U, square(s.Root.U)), Readings: used}
	}
	return s, true
}

func broken(group []AtFeed) bool {
	return slices.ContainsFunc(group, func(m AtFeed) bool { return m.Width == 0 })
}

func spreadLine(marks []AtFeed, scatter float64) *Fit {
	design, y := make([][]float64, len(marks)), make([]float64, len(marks))
	for i, m := range marks {
		design[i], y[i] = []float64{1, 1 / math.Sqrt(m.Feed)}, m.Width
	}
	line, err := LeastSquares(design, y, nil, scatter)
	if err != nil {
		return nil
	}
	return line
}

// tooNarrow reports whether marks at a feed are narrower than a line foretells by
// more than three standard uncertainties and a twentieth.
func tooNarrow(line *Fit, group []AtFeed, scatter float64) bool {
	mean := 0.0
	for _, m := range group {
		mean += m.Width / float64(len(group))
	}
	says, u := line.At([]float64{1, 1 / math.Sqrt(group[0].Feed)})
	u = math.Sqrt(square(u) + square(scatter)/float64(len(group)))
	return round(says-mean) > round(max(3*u, says/20))
}

// Dot is a dot held for a time in seconds, and its diameter in mm.
type Dot struct{ Held, Diameter float64 }

// Growth is how a dot grows while the brush stands: its diameter d after a time t
// is √(d0² + 4·D·t).
type Growth struct {
	First Estimate // d0, mm
	Rate  Estimate // D, mm²/s
	Held  float64  // longest time measured, s
}

// GrowthOf fits the growth of dots. scatter is the standard deviation of one
// diameter. ok is false for fewer than three times.
func GrowthOf(dots []Dot, scatter float64) (g Growth, ok bool) {
	var design [][]float64
	var y, weights, times []float64
	for _, d := range dots {
		if d.Diameter <= 0 {
			continue
		}
		if !slices.Contains(times, d.Held) {
			times = append(times, d.Held)
		}
		design, y = append(design, []float64{1, 4 * d.Held}), append(y, square(d.Diameter))
		weights = append(weights, 1/square(2*d.Diameter))
		g.Held = max(g.Held, d.Held)
	}
	if len(times) < 3 {
		return g, false
	}
	fit, err := LeastSquares(design, y, weights, scatter)
	if err != nil || !(fit.Coefficients[0] > 0) {
		return g, false
	}
	first := math.Sqrt(fit.Coefficients[0])
	g.First = Estimate{Value: first, U: fit.U(0) / (2 * first), Readings: len(y)}.rounded()
	g.Rate = Estimate{Value: max(fit.Coefficients[1], 0), U: fit.U(1), Readings: len(y)}.rounded()
	return g, true
}

// Run is a load of ink that was painted to its end: the length to the first gap,
// and the mean width, both in mm.
type Run struct{ Length, Width float64 }

// Load is what one load of ink bears.
type Load struct {
	Length Estimate // mm
	Area   Estimate // mm²
}

// LoadOf is the shortest of several loads, so that a stop comes in time; their
// scatter is the uncertainty.
func LoadOf(runs []Run) (l Load, ok bool) {
	if len(runs) == 0 {
		return l, false
	}
	lengths, areas := make([]float64, len(runs)), make([]float64, len(runs))
	for i, r := range runs {
		lengths[i], areas[i] = r.Length, float64(r.Length*r.Width)
	}
	n := float64(len(runs) - 1)
	l.Length = Estimate{Value: slices.Min(lengths), U: Deviation(lengths), Freedom: n, Readings: len(runs)}.rounded()
	l.Area = Estimate{Value: slices.Min(areas), U: Deviation(areas), Freedom: n, Readings: len(runs)}.rounded()
	return l, true
}
