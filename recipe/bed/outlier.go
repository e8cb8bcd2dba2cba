package bed

import "math"

// Outlier is one touch that does not fit the others.
type Outlier struct {
	Touch   int     // its index
	Without float64 // height there of the surface that the others make, on the scale of the touched heights
	Others  float64 // how far the others are then from that surface at most
}

const (
	// farOut is how many standard deviations a touch is away from the surface of the
	// others before it is called an outlier. Common practice, no source; of nine
	// normal errors one is as far out in 1,800 sheets.
	farOut = 4
	// clearly is how much of what leaving out one touch improves the next best may
	// improve at most; else it is not known which of them is wrong.
	clearly = 0.8
)

// FindOutlier finds the one touch of a surface without which the others fit best, if it does not fit
// them and it is clear which one it is. It is not the touch that the surface of all
// leaves farthest off: a wrong one draws the surface towards itself.
//
// A touch with the residual e and the leverage h is e/(1-h) from the surface that the
// others make, and leaving it out takes e²/(1-h) off the sum of squares (R. D. Cook,
// S. Weisberg, Residuals and Influence in Regression, 1982, sections 2.2 and 3.4; from
// memory).
func FindOutlier(s *Surface) (o Outlier, found bool) {
	free := len(s.touches) - len(s.terms)
	if free < 2 { // without it, nothing would be left to tell
		return o, false
	}
	squares, best, next := 0.0, -1.0, -1.0
	for i := range s.touches {
		e, h := s.Left(i), leverage(s, i, i)
		squares += float64(e * e)
		if h > 1-1e-9 { // the surface goes through it, whatever was touched there
			continue
		}
		switch gain := e * e / (1 - h); {
		case gain > best:
			best, next, o.Touch = gain, best, i
		case gain > next:
			next = gain
		}
	}
	scatter := math.Sqrt(max(squares-best, 0) / float64(free-1))
	if best < 0 || math.Sqrt(best) < float64(farOut*max(scatter, s.setup.Touched)) || next > float64(clearly*best) {
		return o, false
	}
	off := s.Left(o.Touch) / (1 - leverage(s, o.Touch, o.Touch))
	o.Without = s.touches[o.Touch].Height - off
	for i := range s.touches {
		if i != o.Touch {
			o.Others = max(o.Others, math.Abs(s.Left(i)+float64(leverage(s, i, o.Touch)*off)))
		}
	}
	return o, true
}

// leverage is how much the height of one touch counts in the surface at another.
func leverage(s *Surface, i, k int) float64 {
	a, b := values(s, s.touches[i].X, s.touches[i].Y), values(s, s.touches[k].X, s.touches[k].Y)
	sum := 0.0
	for n, row := range s.cofactors {
		for m, c := range row {
			sum += float64(float64(a[n]*c) * b[m])
		}
	}
	return sum
}
